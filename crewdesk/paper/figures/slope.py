"""`crewdesk figure slope`: a side board that runs up a slope between two walls."""

from argparse import ArgumentParser, Namespace
from fractions import Fraction
from typing import Any

from crewdesk.errors import BadInput
from crewdesk.length import Step
from crewdesk.paper.figures import Figure, step_of, warned
from crewdesk.paper.figures.end import end_text, read_end
from crewdesk.paper.lengths import degrees_shown, lengths_json, with_unit
from crewdesk.sentence import Caution
from crewdesk.trade.cuts.pitch import Slope, read_pitch, slope
from crewdesk.trade.cuts.side_board import PLUMB, EndReading
from crewdesk.trade.cuts.sloped_side import SlopedSide, into_ridge, sloped_side
from crewdesk.trade.read_length import read_length

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
    parser.add_argument("--height", required=True, metavar="H", help=("width of the side board"))
    for end in ("low", "high"):
        parser.add_argument(f"--{end}", metavar="GAP:in|out", help=f"the wall at the {end} end")
    parser.add_argument("--level", metavar="L", help="level's length")
    parser.add_argument(
        "--ridge",
        metavar="WIDTH:SIDE_HEIGHT",
        help="a ridge beam that the high end dies into; measures go to its center line",
    )


def figure(args: Namespace) -> Figure:
    """Return the marks as seen from the show face, the low end at the left of side A."""
    measured = slope(
        None if args.pitch is None else read_pitch(args.pitch),
        *(_length(value) for value in (args.by_run, args.by_rise, args.by_length)),
    )
    height, step = read_length(args.height), step_of(args)
    low = _wall(args.low, args.level)
    cautions: tuple[Caution, ...] = ()
    if args.ridge is None:
        side = sloped_side(measured, height, low, _wall(args.high, args.level))
    else:
        if args.high is not None:
            raise BadInput(
                "The high end dies into the ridge beam, whose face is plumb. Leave that wall out."
            )
        made = into_ridge(measured, height, *_ridge(args.ridge), low)
        side, cautions = made.side, made.cautions
    return warned(_lines(side, side.slope, step), _values(side, side.slope, step), cautions)


def _length(text: str | None) -> Fraction | None:
    return None if text is None else read_length(text)


def _wall(text: str | None, level: str | None) -> EndReading:
    if text is None:
        return PLUMB
    if level is None:
        raise BadInput("A wall's reading needs the level's length. Add --level.")
    return read_end(text, read_length(level))


def _ridge(text: str) -> tuple[Fraction, Fraction]:
    width, colon, height = text.partition(":")
    if not colon:
        raise BadInput(
            "{text} isn't a ridge beam. Type WIDTH:SIDE_HEIGHT, for example 8:10.", text=text[:40]
        )
    return read_length(width), read_length(height)


def _lines(side: SlopedSide, measured: Slope, step: Step) -> list[str]:
    return [
        f"slope          {degrees_shown(measured.pitch.degrees)}, "
        f"{with_unit(12 * measured.pitch.tangent, step)} in {with_unit(Fraction(12), step)}",
        f"run            {with_unit(measured.run, step)}",
        f"rise           {with_unit(measured.rise, step)}",
        f"bottom length  {with_unit(side.bottom_length, step, 'down')}, along the slope",
        f"top length     {with_unit(side.top_length, step, 'down')}",
        f"blank          {with_unit(side.blank, step, 'up')}",
        f"low end        {end_text(side.low, step)}",
        f"high end       {end_text(side.high, step)}",
        f"plumb cut      {degrees_shown(side.plumb_deg)} off square, "
        f"{with_unit(side.plumb_height, step)} down the wall",
        f"level cut      {degrees_shown(side.level_deg)} off square",
    ]


def _values(side: SlopedSide, measured: Slope, step: Step) -> dict[str, Any]:
    return {
        "angle_deg": measured.pitch.degrees,
        **lengths_json(measured, step, "run", "rise"),
        **lengths_json(measured, step, "slope_length=length", way="down"),
        **{
            name: {"angle_deg": end.angle_deg, **lengths_json(end, step, "offset", way="up")}
            for name, end in (("low", side.low), ("high", side.high))
        },
        **lengths_json(side, step, "top_length", way="down"),
        **lengths_json(side, step, "blank", way="up"),
        **lengths_json(side, step, "plumb_height"),
        "plumb_deg": side.plumb_deg,
        "level_deg": side.level_deg,
    }
