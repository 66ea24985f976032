"""`crewdesk figure skew`: boards between walls that aren't square to the beam."""

from argparse import ArgumentParser, Namespace
from fractions import Fraction
from math import ceil

from crewdesk.job.sentences import sentence
from crewdesk.paper.figures import Figure
from crewdesk.paper.lengths import degrees_shown, length_json
from crewdesk.trade.angle import read_angle
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS
from crewdesk.trade.cuts.skew import (
    SQUARE,
    BottomEdges,
    SkewedBoardEnd,
    SkewReading,
    board_ends,
    bottom_edges,
    hidden_by,
)
from crewdesk.trade.cuts.sureness import Measured, skew_allowed, skew_of
from crewdesk.trade.length import show_length, show_up
from crewdesk.trade.read_length import read_length
from crewdesk.trade.refusal import Refusal

ABOUT = "long faces, back bevels and the bottom board's edges at skewed walls"


def arguments(parser: ArgumentParser) -> None:
    """Add the widths, and the readings with the square or the sides' lengths."""
    parser.add_argument("--width", required=True, metavar="W", help="over the outside of the sides")
    parser.add_argument("--side-thickness", default="3/4", metavar="T", help="of a side (3/4)")
    parser.add_argument("--fit", default="0", metavar="L", help="taken off the bottom's width (0)")
    for end in ("end1", "end2"):
        parser.add_argument(
            f"--{end}", metavar="GAP:LEG:A|B", help="gap at the square, its leg, the longer side"
        )
    for side in ("a", "b"):
        parser.add_argument(f"--length-{side}", metavar="L", help=f"side {side.upper()}, show face")
    parser.add_argument("--back-bevel", default="5", metavar="DEG", help="planned at the ends (5)")


def read_skew(text: str) -> SkewReading:
    """Read ``1/8:12:A``; raises `Refusal`, among others `skew-form`."""
    parts = text.split(":")
    if len(parts) != 3 or not parts[2].strip():
        raise Refusal("skew-form", text=text[:40])
    side = parts[2].strip().upper()[:20]
    return SkewReading(read_length(parts[0]), read_length(parts[1]), side)  # type: ignore[arg-type]


def figure(args: Namespace) -> Figure:
    """Each board end's long face, then the bottom board's edges."""
    width, thickness = read_length(args.width), read_length(args.side_thickness)
    readings = _readings(args.end1, args.end2)
    edges = bottom_edges(
        width,
        width - 2 * thickness - read_length(args.fit),
        readings,
        _lengths(args.length_a, args.length_b),
        _allowed(width, readings),
    )
    bevel = read_angle(args.back_bevel)
    ends = () if readings is None else board_ends(readings, thickness, bevel)
    lines = [_told(end, readings) for end in ends if readings is not None]
    warnings = [sentence(one) for one in edges.cautions]
    return Figure(
        (*lines, *_edge_lines(edges), *warnings),
        {
            "ends": [
                {
                    "side": end.side,
                    "end": end.end,
                    "long_face": end.long_face,
                    "by": length_json(end.by),
                    "hidden": end.hidden,
                }
                for end in ends
            ],
            "edge_a": None if edges.edge_a is None else length_json(edges.edge_a),
            "edge_b": None if edges.edge_b is None else length_json(edges.edge_b),
            "a_over_b": length_json(edges.a_over_b),
            "off": None if edges.off is None else length_json(edges.off),
            "warnings": warnings,
        },
    )


def _readings(end1: str | None, end2: str | None) -> tuple[SkewReading, SkewReading] | None:
    if end1 is None and end2 is None:
        return None
    first, second = (SQUARE if text is None else read_skew(text) for text in (end1, end2))
    return first, second


def _allowed(width: Fraction, readings: tuple[SkewReading, SkewReading] | None) -> Fraction:
    """How far apart squares and lengths may lie, both lengths read with the usual laser; an end
    that was not given is taken for square."""
    if readings is None:
        return Fraction(0)
    laser = USUAL_INSTRUMENTS.laser
    first, second = (
        skew_of(one) if one != SQUARE else Measured(Fraction(0), Fraction(0)) for one in readings
    )
    return skew_allowed(width, (laser, laser), (first, second))


def _lengths(a: str | None, b: str | None) -> tuple[Fraction, Fraction] | None:
    if (a is None) != (b is None):
        raise Refusal("skew-one-length")
    return None if a is None or b is None else (read_length(a), read_length(b))


def _told(end: SkewedBoardEnd, readings: tuple[SkewReading, SkewReading]) -> str:
    where = f"side {end.side}, end {end.end}:"
    if end.long_face == "neither":
        return f"{where} the wall is square"
    by = show_up(end.by)
    if end.long_face == "back":
        return f"{where} the back has {by} in more room; a square cut hides the gap behind"
    room = f"{where} the show face has {by} in more room"
    if end.hidden:
        return f"{room}; the back bevel clears the wall; pare the lowest inch, which has none"
    least = degrees_shown(ceil(hidden_by(readings[end.end - 1]) * 100) / 100)
    return f"{room}; back-bevel it {least} or more, and pare the lowest inch to the wall"


def _edge_lines(edges: BottomEdges) -> list[str]:
    longer = "edge A" if edges.a_over_b >= 0 else "edge B"
    lines = [f"bottom board: {longer} longer by {show_length(abs(edges.a_over_b))} in"]
    if edges.edge_a is not None and edges.edge_b is not None:
        lines.append(
            f"bottom board: edge A {show_length(edges.edge_a)} in, "
            f"edge B {show_length(edges.edge_b)} in, before its under-cut"
        )
    if edges.off is not None:
        lines.append(f"square and lengths lie {show_length(edges.off)} in apart")
    return lines
