"""`crewdesk figure length TEXT`: one length, read and told in every way."""

from argparse import ArgumentParser, Namespace

from crewdesk.paper.figures import Figure
from crewdesk.paper.lengths import length_json
from crewdesk.trade.length import STEPS, show_length
from crewdesk.trade.read_length import read_length

ABOUT = "read one length and tell it in inches, feet and millimetres"


def arguments(parser: ArgumentParser) -> None:
    """Add TEXT, which may come as several words."""
    parser.add_argument("text", nargs="+", metavar="TEXT", help="a length, as 12' 3-5/16\"")


def figure(args: Namespace) -> Figure:
    """The length in `args.text`."""
    value = read_length(" ".join(args.text))
    return Figure(
        (
            f"{show_length(value)} in",
            show_length(value, feet=True),
            show_length(value, STEPS["mm"]),
        ),
        {"length": length_json(value), "mm": show_length(value, STEPS["mm"])},
    )
