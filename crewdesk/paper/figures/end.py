"""`crewdesk figure end`: a side board's marks from the readings at its two ends."""

from argparse import ArgumentParser, Namespace
from fractions import Fraction
from typing import Any

from crewdesk.errors import BadInput
from crewdesk.length import DEFAULT_STEP, Step, exact
from crewdesk.paper.figures import Figure, step_of
from crewdesk.paper.lengths import degrees_shown, lengths_json, with_unit
from crewdesk.trade.cuts.side_board import EndCut, EndReading, side_cut
from crewdesk.trade.cuts.sloped_side import SlopedEnd
from crewdesk.trade.read_length import read_length

ABOUT = "a side board's top length, blank and end cuts"


def arguments(parser: ArgumentParser) -> None:
    """Add the run, the side's width and the level's reading at each end."""
    parser.add_argument(
        "--length", required=True, metavar="L", help=("wall-to-wall length along the bottom line")
    )
    parser.add_argument("--height", required=True, metavar="H", help=("width of the side board"))
    for end in ("end1", "end2"):
        parser.add_argument(
            f"--{end}",
            required=True,
            metavar="GAP:in|out",
            help=("gap at the level, and in or out at the top"),
        )
    parser.add_argument("--level", required=True, metavar="L", help="level's length")


def read_end(text: str, level: Fraction) -> EndReading:
    """Read ``5/32:in``; raises `BadInput`, also where a part is missing."""
    gap, colon, lean = text.rpartition(":")
    lean = lean.strip().lower()
    if not colon or not lean:
        raise BadInput(
            "{text} isn't a gap with a direction. Type GAP:in or GAP:out, for example 5/32:in.",
            text=text[:40],
        )
    return EndReading(read_length(gap), lean[:20], level)  # type: ignore[arg-type]


def figure(args: Namespace) -> Figure:
    """Return the marks as seen from the show face of side A, end 1 at the left."""
    level, step = read_length(args.level), step_of(args)
    cut = side_cut(
        read_length(args.length),
        read_length(args.height),
        read_end(args.end1, level),
        read_end(args.end2, level),
    )
    return Figure(
        (
            f"bottom length  {with_unit(cut.bottom_length, step, 'down')}",
            f"top length     {with_unit(cut.top_length, step, 'down')}",
            f"blank          {with_unit(cut.blank, step, 'up')}",
            f"end 1          {end_text(cut.end1, step)}",
            f"end 2          {end_text(cut.end2, step)}",
        ),
        {
            **lengths_json(cut, step, "bottom_length", "top_length", way="down"),
            **lengths_json(cut, step, "blank", way="up"),
            "end1": _json(cut.end1, step),
            "end2": _json(cut.end2, step),
        },
    )


def end_text(end: EndCut | SlopedEnd, step: Step = DEFAULT_STEP) -> str:
    """Return an end's cut in words: ``top 5/32 in back from the square line (1.00°)``, rounded so
    that the top is never too long."""
    if end.offset == 0:
        return "square"
    back = end.offset > 0
    way = "back from" if back else "out past"
    off = with_unit(abs(exact(end.offset)), step, "up" if back else "down")
    return f"top {off} {way} the square line ({degrees_shown(abs(end.angle_deg))})"


def _json(end: EndCut, step: Step) -> dict[str, Any]:
    return {**lengths_json(end, step, "offset", way="up"), "angle_deg": end.angle_deg}
