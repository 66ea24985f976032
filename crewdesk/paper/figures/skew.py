"""`crewdesk figure skew`: boards between walls that aren't square to the beam."""

from argparse import ArgumentParser, Namespace
from fractions import Fraction
from math import ceil
from typing import Any

from crewdesk.errors import BadInput
from crewdesk.length import Step, exact
from crewdesk.paper.figures import Figure, step_of, warned
from crewdesk.paper.lengths import degrees_shown, lengths_json, with_unit
from crewdesk.paper.sheet import facts_json
from crewdesk.trade.angle import read_angle
from crewdesk.trade.cuts.board_end import BoardEnd, EdgeProfile, WallAt
from crewdesk.trade.cuts.board_end import board_ends as bottom_ends
from crewdesk.trade.cuts.dry_fit import BEVEL_FROM
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS
from crewdesk.trade.cuts.measured import skew_of
from crewdesk.trade.cuts.skew import (
    SQUARE,
    BottomEdges,
    SkewedBoardEnd,
    SkewReading,
    board_ends,
    bottom_edges,
    hidden_by,
)
from crewdesk.trade.cuts.sureness import skew_allowed
from crewdesk.trade.read_length import read_length

ABOUT = "back bevels, and the bottom board's edges and ends, at walls out of square"

Squares = tuple[SkewReading | None, SkewReading | None]


def arguments(parser: ArgumentParser) -> None:
    """Add the widths, and the readings with the square or the sides' lengths."""
    parser.add_argument("--width", required=True, metavar="W", help="over the outside of the sides")
    parser.add_argument("--side-thickness", default="3/4", metavar="T", help="of a side (3/4)")
    parser.add_argument(
        "--fit", default="0", metavar="L", help=("clearance, off the bottom's width (0)")
    )
    for end in ("end1", "end2"):
        parser.add_argument(
            f"--{end}", metavar="GAP:LEG:A|B", help="gap at the square, its leg, the longer side"
        )
    for side in ("a", "b"):
        parser.add_argument(f"--length-{side}", metavar="L", help=f"side {side.upper()}, show face")
    parser.add_argument("--back-bevel", default="5", metavar="DEG", help="planned at the ends (5)")


def read_skew(text: str) -> SkewReading:
    """Read ``1/8:12:A``; raises `BadInput`."""
    parts = text.split(":")
    if len(parts) != 3 or not parts[2].strip():
        raise BadInput(
            "{text} is not a reading with the square; write GAP:LEG:A or GAP:LEG:B, as "
            "1/8:12:A where side A is the longer.",
            text=text[:40],
        )
    side = parts[2].strip().upper()[:20]
    return SkewReading(read_length(parts[0]), read_length(parts[1]), side)  # type: ignore[arg-type]


def figure(args: Namespace) -> Figure:
    """Return what the sides' ends meet, then the bottom board's edges and ends. A wall without a
    square's reading is known only from the sides' lengths, if at all."""
    width, thickness, step = (
        read_length(args.width),
        read_length(args.side_thickness),
        step_of(args),
    )
    across = width - 2 * thickness - read_length(args.fit)
    squares = (
        None if args.end1 is None else read_skew(args.end1),
        None if args.end2 is None else read_skew(args.end2),
    )
    lengths = _lengths(args.length_a, args.length_b)
    edges = _edges(width, across, squares, lengths)
    read = (squares[0] or SQUARE, squares[1] or SQUARE)
    sides = [
        end
        for end in board_ends(read, thickness, read_angle(args.back_bevel))
        if squares[end.end - 1] is not None
    ]
    ends = _bottom_ends(edges, across, squares, lengths is not None)
    return warned(
        (
            *(_side_line(end, read, step) for end in sides),
            *_edge_lines(edges, squares, lengths is not None, step),
            *(_end_line(end, step) for end in ends),
        ),
        {
            "ends": [
                {
                    **facts_json(end, "side", "end", "long_face"),
                    **lengths_json(end, step, "by", way="up"),
                    "hidden": end.hidden,
                }
                for end in sides
            ],
            **lengths_json(edges, step, "edge_a", "edge_b", way="down"),
            **lengths_json(edges, step, "a_over_b"),
            **lengths_json(edges, step, "off", way="up"),
            "bottom_ends": [_end_json(end, step) for end in ends],
        },
        edges.cautions,
    )


def _edges(
    width: Fraction,
    across: Fraction,
    squares: Squares,
    lengths: tuple[Fraction, Fraction] | None,
) -> BottomEdges:
    """Return the bottom's edges. With one square the other wall follows from the lengths,
    unchecked; without lengths it counts as square."""
    first, second = squares
    if first is None and second is None:
        return bottom_edges(width, across, None, lengths)
    if first is None or second is None:
        both = None if lengths is not None else (first or SQUARE, second or SQUARE)
        return bottom_edges(width, across, both, lengths)
    laser = USUAL_INSTRUMENTS.laser
    allowed = skew_allowed(width, (laser, laser), (skew_of(first), skew_of(second)))
    return bottom_edges(width, across, (first, second), lengths, allowed)


def _bottom_ends(
    edges: BottomEdges, across: Fraction, squares: Squares, by_lengths: bool
) -> tuple[BoardEnd, BoardEnd]:
    """Return how the bottom board's ends slant. Without a square nothing is known, since two walls
    turned alike leave both edges equal; with one, the other end gets the rest of the lengths'
    difference."""
    walls = [
        WallAt() if one is None else WallAt(skew=skew_of(one).value, skew_off=skew_of(one).off)
        for one in squares
    ]
    ends = bottom_ends(
        EdgeProfile(Fraction(1), Fraction(1)), across, (edges.a_over_b, Fraction(0)), walls
    )
    known = [(by_lengths and squares != (None, None)) or one is not None for one in squares]
    first, second = (
        end if sure else end._replace(offset=None, miter_deg=None)
        for end, sure in zip(ends, known, strict=True)
    )
    return first, second


def _lengths(a: str | None, b: str | None) -> tuple[Fraction, Fraction] | None:
    if (a is None) != (b is None):
        raise BadInput("Only one side's length was given; give side A's and side B's.")
    return None if a is None or b is None else (read_length(a), read_length(b))


def _side_line(end: SkewedBoardEnd, readings: tuple[SkewReading, SkewReading], step: Step) -> str:
    where = f"side {end.side}, end {end.end}:"
    if end.long_face == "neither":
        return f"{where} the wall is square"
    by = with_unit(end.by, step, "up")
    if end.long_face == "back":
        return f"{where} the back has {by} more room; a square cut hides the gap behind"
    room = f"{where} the show face has {by} more room"
    pare = f"pare the bottom {with_unit(BEVEL_FROM, step)} of the end, which it leaves square"
    if end.hidden:
        return f"{room}; the planned back bevel clears the wall; {pare}"
    least = degrees_shown(ceil(hidden_by(readings[end.end - 1]) * 100) / 100)
    return f"{room}; back-bevel it {least} or more; {pare}"


def _edge_lines(edges: BottomEdges, squares: Squares, by_lengths: bool, step: Step) -> list[str]:
    by = with_unit(abs(edges.a_over_b), step)
    longer = (
        "both edges are equally long"
        if edges.a_over_b == 0
        else f"edge {'A' if edges.a_over_b > 0 else 'B'} is {by} longer"
    )
    unread = [end for end, one in enumerate(squares, 1) if one is None]
    if unread and not by_lengths:
        longer += f" if the wall at end {unread[0]} is square"
    lines = [f"bottom board: {longer}"]
    if edges.edge_a is not None and edges.edge_b is not None:
        lines.append(
            f"bottom board: edge A {with_unit(edges.edge_a, step, 'down')}, "
            f"edge B {with_unit(edges.edge_b, step, 'down')}, before it is cut short to go up"
        )
    if edges.off:
        lines.append(
            f"the squares and the lengths are {with_unit(edges.off, step, 'up')} apart over the "
            "beam's width"
        )
    return lines


def _end_line(end: BoardEnd, step: Step) -> str:
    where = f"bottom board, end {end.end}:"
    if end.offset is None or end.miter_deg is None:
        return f"{where} its slant isn't known; measure that wall with the square"
    if end.longer is None:
        return f"{where} cut it square"
    past = f"edge {end.longer} runs past edge {'B' if end.longer == 'A' else 'A'}"
    by = with_unit(abs(exact(end.offset)), step)
    return f"{where} {past} by {by}, miter {degrees_shown(end.miter_deg)}"


def _end_json(end: BoardEnd, step: Step) -> dict[str, Any]:
    return {
        **facts_json(end, "end", "known", "longer"),
        **lengths_json(end, step, "offset"),
        "miter_deg": end.miter_deg,
    }
