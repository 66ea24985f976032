"""`crewdesk figure ceiling`: the scriber's setting and every station's cut, for a pair."""

from argparse import ArgumentParser, Namespace

from crewdesk.job.sentences import sentence
from crewdesk.paper.figures import Figure
from crewdesk.paper.lengths import length_json
from crewdesk.trade.cuts.ceiling import Scribe, scribe
from crewdesk.trade.cuts.station import Station
from crewdesk.trade.length import show_length
from crewdesk.trade.read_length import read_length
from crewdesk.trade.refusal import Refusal

ABOUT = "scriber setting, gaps and cut depths of a pair under a ceiling"


def arguments(parser: ArgumentParser) -> None:
    """Add the side's height, the stations, and what they are held against."""
    parser.add_argument("--height", required=True, metavar="H", help="starting height of the sides")
    parser.add_argument(
        "--station",
        required=True,
        action="append",
        metavar="AT:HEIGHT_A:HEIGHT_B",
        help="from end 1; the ceiling over the laser line, over side A and over side B",
    )
    parser.add_argument("--length", metavar="L", help="length of the beam (the last station's AT)")
    parser.add_argument("--margin", default="1/16", metavar="M", help="cut at the highest (1/16)")
    parser.add_argument("--tape", default="1", metavar="T", help="width of the tape (1)")
    parser.add_argument("--drop", metavar="D", help="least finished height that is wanted")


def read_station(text: str) -> Station:
    """Read ``72:12-1/4:12-3/8``; raises `Refusal`, among others `ceiling-station-form`."""
    parts = text.split(":")
    if len(parts) != 3:
        raise Refusal("ceiling-station-form", text=text[:40])
    return Station(*(read_length(part) for part in parts))


def figure(args: Namespace) -> Figure:
    """The pair's marks, side A's stations first."""
    made = scribe(
        tuple(read_station(text) for text in args.station),
        read_length(args.height),
        length=None if args.length is None else read_length(args.length),
        margin=read_length(args.margin),
        tape=read_length(args.tape),
        drop=None if args.drop is None else read_length(args.drop),
    )
    warnings = [sentence(one) for one in made.cautions]
    return Figure((*_lines(made), *warnings), {**_values(made), "warnings": warnings})


def _lines(made: Scribe) -> list[str]:
    lines = [
        f"scriber setting  {show_length(made.setting)} in, the same for both sides",
        "side  at          gap        cut        finished height",
    ]
    for mark in made.marks:
        lengths = (mark.at, mark.gap, mark.cut_depth, mark.finished_height)
        at, gap, cut, left = (show_length(value) for value in lengths)
        lines.append(f"{mark.side:<6}{at:<12}{gap:<11}{cut:<11}{left}".rstrip())
    for side, rest in (("A", made.rest_a), ("B", made.rest_b)):
        at = " and ".join(show_length(x) for x in rest.touches)
        rocks = ", and rocks there" if rest.rocks and len(rest.touches) == 1 else ""
        lines.append(f"side {side} pushed up touches at {at} in{rocks}")
    for pry in made.pry_down:
        lines.append(f"side {pry.side}: pry end {pry.end} down {show_length(pry.by)} in")
    if not made.pry_down:
        lines.append("both sides rest level as they are: nothing to pry down")
    met = {None: "", True: ", meets the wanted drop", False: ", short of the wanted drop"}
    lines.append(f"lowest finished height {show_length(made.lowest_drop)} in{met[made.meets_drop]}")
    return lines


def _values(made: Scribe) -> dict[str, object]:
    return {
        "setting": length_json(made.setting),
        "stations": [
            {
                "side": mark.side,
                "at": length_json(mark.at),
                "gap": length_json(mark.gap),
                "cut_depth": length_json(mark.cut_depth),
                "finished_height": length_json(mark.finished_height),
            }
            for mark in made.marks
        ],
        "touches": [
            {"side": side, "at": length_json(x), "rocks": rest.rocks}
            for side, rest in (("A", made.rest_a), ("B", made.rest_b))
            for x in rest.touches
        ],
        "pry_down": [
            {"side": pry.side, "end": pry.end, "by": length_json(pry.by)} for pry in made.pry_down
        ],
        "lowest_drop": length_json(made.lowest_drop),
        "meets_drop": made.meets_drop,
        "scribed_alone": {name: length_json(value) for name, value in made.alone._asdict().items()},
    }
