"""`crewdesk figure slope`: a side board that runs up a slope between two walls."""

from argparse import ArgumentParser, Namespace
from fractions import Fraction
from typing import Any

from crewdesk.job.sentences import sentence
from crewdesk.paper.figures import Figure
from crewdesk.paper.figures.end import end_told, read_end
from crewdesk.paper.lengths import (
    degrees_shown,
    length_json,
    length_json_at_least,
    length_json_at_most,
)
from crewdesk.trade.cuts.caution import Caution
from crewdesk.trade.cuts.pitch import Slope, read_pitch, slope
from crewdesk.trade.cuts.side_board import PLUMB, EndReading
from crewdesk.trade.cuts.sloped_side import SlopedSide, into_ridge, sloped_side
from crewdesk.trade.length import show_length
from crewdesk.trade.read_length import read_length
from crewdesk.trade.refusal import Refusal

ABOUT = "a sloped side's lengths and end cuts"


def arguments(parser: ArgumentParser) -> None:
    """Add the slope by two of its measures, the side's height and the walls' leans."""
    parser.add_argument("--pitch", metavar="P", help="6/12, 26.565deg or RISE:RUN")
    for name, about in (
        ("run", "level distance between the bottom corners"),
        ("rise", "plumb distance between them"),
        ("length", "distance along the slope between them"),
    ):
        parser.add_argument(f"--{name}", dest=f"by_{name}", metavar="LENGTH", help=about)
    parser.add_argument("--height", required=True, metavar="H", help="height of the side board")
    for end in ("low", "high"):
        parser.add_argument(f"--{end}", metavar="GAP:in|out", help=f"the wall at the {end} end")
    parser.add_argument("--level", metavar="L", help="length of the level")
    parser.add_argument(
        "--ridge",
        metavar="WIDTH:SIDE_HEIGHT",
        help="a ridge beam that the high end dies into; measures go to its centre line",
    )


def figure(args: Namespace) -> Figure:
    """The marks as seen from the show face, the low end at the left of side A."""
    measured = slope(
        None if args.pitch is None else read_pitch(args.pitch),
        *(_length(value) for value in (args.by_run, args.by_rise, args.by_length)),
    )
    height = read_length(args.height)
    low = _wall(args.low, args.level)
    cautions: tuple[Caution, ...] = ()
    if args.ridge is None:
        side = sloped_side(measured, height, low, _wall(args.high, args.level))
    else:
        if args.high is not None:
            raise Refusal("slope-ridge-and-high")
        made = into_ridge(measured, height, *_ridge(args.ridge), low)
        side, cautions = made.side, made.cautions
    warnings = [sentence(one) for one in cautions]
    return Figure(
        (*_lines(side, side.slope), *warnings), {**_values(side, side.slope), "warnings": warnings}
    )


def _length(text: str | None) -> Fraction | None:
    return None if text is None else read_length(text)


def _wall(text: str | None, level: str | None) -> EndReading:
    if text is None:
        return PLUMB
    if level is None:
        raise Refusal("slope-wall-needs-level")
    return read_end(text, read_length(level))


def _ridge(text: str) -> tuple[Fraction, Fraction]:
    width, colon, height = text.partition(":")
    if not colon:
        raise Refusal("slope-ridge-form", text=text[:40])
    return read_length(width), read_length(height)


def _lines(side: SlopedSide, measured: Slope) -> list[str]:
    return [
        f"slope          {degrees_shown(measured.pitch.degrees)}, "
        f"{show_length(12 * measured.pitch.tangent)} in 12",
        f"run            {show_length(measured.run)} in",
        f"rise           {show_length(measured.rise)} in",
        f"bottom length  {show_length(side.bottom_length, way='down')} in, along the slope",
        f"top length     {show_length(side.top_length, way='down')} in",
        f"blank          {show_length(side.blank, way='up')} in",
        f"low end        {end_told(side.low)}",
        f"high end       {end_told(side.high)}",
        f"plumb cut      {degrees_shown(side.plumb_deg)} off square, "
        f"{show_length(side.plumb_height)} in down the wall",
        f"level cut      {degrees_shown(side.level_deg)} off square",
    ]


def _values(side: SlopedSide, measured: Slope) -> dict[str, Any]:
    return {
        "angle_deg": measured.pitch.degrees,
        "run": length_json(measured.run),
        "rise": length_json(measured.rise),
        "slope_length": length_json(measured.length),
        "low": {"angle_deg": side.low.angle_deg, "offset": length_json_at_least(side.low.offset)},
        "high": {
            "angle_deg": side.high.angle_deg,
            "offset": length_json_at_least(side.high.offset),
        },
        "top_length": length_json_at_most(side.top_length),
        "blank": length_json_at_least(side.blank),
        "plumb_height": length_json(side.plumb_height),
        "plumb_deg": side.plumb_deg,
        "level_deg": side.level_deg,
    }
