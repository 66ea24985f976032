"""`crewdesk figure length TEXT`: one length, read and shown in every unit."""

from argparse import ArgumentParser, Namespace

from crewdesk.length import DEFAULT_STEP, STEPS, show_length
from crewdesk.paper.figures import Figure, step_of
from crewdesk.paper.lengths import length_json
from crewdesk.trade.read_length import read_length

ABOUT = "read one length and show it in inches, feet and millimeters"


def arguments(parser: ArgumentParser) -> None:
    """Add TEXT, which may come as several words."""
    parser.add_argument(
        "text", nargs="+", metavar="TEXT", help="a length, for example 12' 3-5/16\""
    )


def figure(args: Namespace) -> Figure:
    """Return the length in `args.text`."""
    value, step = read_length(" ".join(args.text)), step_of(args)
    inches = DEFAULT_STEP if step.mm else step
    return Figure(
        (
            f"{show_length(value, inches)} in",
            show_length(value, inches, feet=True),
            show_length(value, STEPS["mm"]),
        ),
        {"length": length_json(value, step), "mm": show_length(value, STEPS["mm"])},
    )
