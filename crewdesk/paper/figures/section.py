"""`crewdesk figure section`: the bottom board and the cleat line from the section."""

from argparse import ArgumentParser, Namespace

from crewdesk.paper.figures import Figure, read_section, step_of
from crewdesk.paper.lengths import length_json, with_unit
from crewdesk.trade.cuts.section import bottom_back_width, bottom_width, cleat_line

ABOUT = "widths of the bottom board and height of the cleat line"


def arguments(parser: ArgumentParser) -> None:
    """Add the section's measures."""
    for name, about in (
        ("width", "over the outside of the sides"),
        ("side-thickness", "thickness of a side board"),
        ("bottom-thickness", "thickness of the bottom board"),
        ("reveal", "bottom board's height over the sides' bottom edges"),
        ("flat", "left square at the bottom board's show face"),
    ):
        parser.add_argument(f"--{name}", required=True, metavar="LENGTH", help=about)
    parser.add_argument("--bevel", required=True, metavar="DEG", help=("bevel of the relief"))
    parser.add_argument(
        "--fit", default="0", metavar="LENGTH", help=("clearance, off the width (0)")
    )


def figure(args: Namespace) -> Figure:
    """Return the section's figures; its sides count as wide enough. The bottom's widths are rounded
    down, since it must go in between them."""
    step, section = step_of(args), read_section(args)
    back = bottom_back_width(section)
    return Figure(
        (
            f"bottom width, show face  {with_unit(bottom_width(section), step, 'down')}",
            f"bottom width, back       {with_unit(back, step, 'down')}",
            f"cleat line, from bottom  {with_unit(cleat_line(section), step)}",
        ),
        {
            "bottom_width": length_json(bottom_width(section), step, "down"),
            "bottom_back_width": length_json(back, step, "down"),
            "cleat_line": length_json(cleat_line(section), step),
        },
    )
