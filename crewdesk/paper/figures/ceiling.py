"""`crewdesk figure ceiling`: the scriber's setting and the cut at every spot, for a pair."""

from argparse import ArgumentParser, Namespace
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.length import Step, show_length
from crewdesk.paper.figures import Figure, step_of, warned
from crewdesk.paper.lengths import length_json, lengths_json, with_unit
from crewdesk.paper.text.mark_text import within, within_json
from crewdesk.trade.bounds import more_than_zero
from crewdesk.trade.cuts.ceiling import Scribe, Station, scribe
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS
from crewdesk.trade.cuts.sureness import scribe_sureness
from crewdesk.trade.read_length import read_length

ABOUT = "scriber setting, gaps and cut depths of a pair under a ceiling"


def arguments(parser: ArgumentParser) -> None:
    """Add the side's width, the measured spots, and the values to compare with."""
    parser.add_argument("--height", required=True, metavar="H", help="starting width of the sides")
    parser.add_argument(
        "--station",
        required=True,
        action="append",
        metavar="AT:HEIGHT_A:HEIGHT_B",
        help="from end 1; the ceiling over the laser line, over side A and over side B",
    )
    parser.add_argument("--length", metavar="L", help=("length of the beam (the last spot's AT)"))
    parser.add_argument("--width", default="8", metavar="W", help="over the outside (8)")
    parser.add_argument(
        "--margin",
        metavar="M",
        help="cut where the ceiling is highest (what the setting can be off by, to the next 1/16)",
    )
    parser.add_argument("--tape", default="1", metavar="T", help="width of painter's tape (1)")
    parser.add_argument("--drop", metavar="D", help="least finished width wanted")


def read_station(text: str) -> Station:
    """Read ``72:12-1/4:12-3/8``; raises `BadInput`."""
    parts = text.split(":")
    if len(parts) != 3:
        raise BadInput(
            "{text} isn't a spot. Type AT:HEIGHT_A:HEIGHT_B, three lengths, for "
            "example 72:12-1/4:12-3/8.",
            text=text[:40],
        )
    return Station(*(read_length(part) for part in parts))


def figure(args: Namespace) -> Figure:
    """Return the pair's marks, side A's first. The setting and every cut are rounded up, finished
    widths down."""
    step, width = step_of(args), read_length(args.width)

    more_than_zero("ceiling's width", width)
    made = scribe(
        tuple(read_station(text) for text in args.station),
        read_length(args.height),
        length=None if args.length is None else read_length(args.length),
        margin=None if args.margin is None else read_length(args.margin),
        tape=read_length(args.tape),
        drop=None if args.drop is None else read_length(args.drop),
        width=width,
    )
    off = scribe_sureness(made.marks, width, USUAL_INSTRUMENTS.line_laser).setting
    values = {**_values(made, step), "within": within_json(off, step)}
    return warned(_lines(made, off, step), values, made.cautions)


def _lines(made: Scribe, off: Fraction, step: Step) -> list[str]:
    lines = [
        f"set the scriber to {with_unit(made.setting, step, 'up')}, for both sides, "
        f"within {within(off, step)}",
        "side  at          gap        cut        finished width",
    ]
    for mark in made.marks:
        at, gap = show_length(mark.at, step), show_length(mark.gap, step)
        cut = show_length(mark.cut_depth, step, way="up")
        left = show_length(mark.finished_height, step, way="down")
        lines.append(f"{mark.side:<6}{at:<12}{gap:<11}{cut:<11}{left}".rstrip())
    for side, rest in (("A", made.rest_a), ("B", made.rest_b)):
        at = " and ".join(with_unit(x, step) for x in rest.touches)
        rocks = ", and rocks there" if rest.rocks and len(rest.touches) == 1 else ""
        lines.append(f"side {side} pushed up touches at {at}{rocks}")
    for pry in made.pry_down:
        lines.append(f"side {pry.side}: pry end {pry.end} down {with_unit(pry.by, step)}")
    if not made.pry_down:
        lines.append("both sides rest level; there is nothing to pry down")
    met = {None: "", True: ", meets the wanted drop", False: ", short of the wanted drop"}
    lowest = with_unit(made.lowest_drop, step, "down")
    lines.append(f"narrowest finished width {lowest}{met[made.meets_drop]}")
    return lines


def _values(made: Scribe, step: Step) -> dict[str, object]:
    return {
        **lengths_json(made, step, "setting", way="up"),
        "stations": [
            {
                "side": mark.side,
                **lengths_json(mark, step, "at", "gap"),
                **lengths_json(mark, step, "cut_depth", way="up"),
                **lengths_json(mark, step, "finished_height", way="down"),
            }
            for mark in made.marks
        ],
        "touches": [
            {"side": side, "at": length_json(x, step), "rocks": rest.rocks}
            for side, rest in (("A", made.rest_a), ("B", made.rest_b))
            for x in rest.touches
        ],
        "pry_down": [
            {"side": pry.side, "end": pry.end, **lengths_json(pry, step, "by")}
            for pry in made.pry_down
        ],
        **lengths_json(made, step, "lowest_drop", way="down"),
        "meets_drop": made.meets_drop,
        "scribed_alone": lengths_json(made.alone, step, *made.alone._fields),
    }
