"""`crewdesk figure bottom`: the bottom board's marks from its reading once sides are up."""

from argparse import ArgumentParser, Namespace

from crewdesk.errors import BadInput
from crewdesk.length import Length, Step
from crewdesk.paper.figures import Figure, lengths_by_default, read_section, step_of, warned
from crewdesk.paper.lengths import degrees_shown, lengths_json, with_unit
from crewdesk.trade.cuts.bottom_cut import BottomReading, bottom_cut
from crewdesk.trade.read_length import read_length

ABOUT = "the bottom board's lengths, widths and relief, from its reading"


def arguments(parser: ArgumentParser) -> None:
    """Add the section's measures and the reading."""
    parser.add_argument("--width", required=True, metavar="W", help="over the outside of the sides")
    lengths_by_default(
        parser,
        ("side-thickness", "3/4", "thickness of a side board"),
        ("bottom-thickness", "3/4", "thickness of the bottom board"),
        ("flat", "1/4", "left square at the show face"),
        ("fit", "0", "taken off the width"),
        ("undercut", "1/32", "taken off the length"),
    )
    parser.add_argument("--bevel", default="15", metavar="DEG", help="tilt of the relief (15)")
    parser.add_argument("--reading", metavar="L", help="wall to wall, along one line")
    for edge in ("a", "b"):
        parser.add_argument(f"--edge-{edge}", metavar="L", help=f"along edge {edge.upper()}")
    parser.add_argument("--cut", metavar="L", help="a length of your own, for both edges")
    parser.add_argument("--reason", default="", help="why a cut goes over its reading")


def figure(args: Namespace) -> Figure:
    """Return the board's marks; the sides count as wide enough. Lengths and widths are rounded
    down, since the board must go in."""
    step = step_of(args)
    section = read_section(args)
    wanted = None if args.cut is None else read_length(args.cut)
    made = bottom_cut(
        section,
        _reading(args),
        wanted=None if wanted is None else (wanted, wanted),
        reason=args.reason,
    )
    return warned(
        (
            f"edge A    {_with_back(made.edge_a, made.back_a, step)}",
            f"edge B    {_with_back(made.edge_b, made.back_b, step)}",
            f"width     {_with_back(made.width, made.back_width, step)}",
            f"all round {with_unit(made.flat, step)} flat, then "
            f"{with_unit(made.relief, step, 'up')} of relief, blade at "
            f"{degrees_shown(float(made.bevel_deg))}",
        ),
        {
            **lengths_json(made, step, "edge_a", "edge_b", "back_a", "back_b", way="down"),
            **lengths_json(made, step, "width", "back_width", way="down"),
            **lengths_json(made, step, "flat"),
            **lengths_json(made, step, "relief", way="up"),
        },
        made.cautions,
    )


def _with_back(show: Length, back: Length, step: Step) -> str:
    return f"{with_unit(show, step, 'down')}, {with_unit(back, step, 'down')} at the back"


def _reading(args: Namespace) -> BottomReading:
    given = (args.reading is not None, args.edge_a is not None, args.edge_b is not None)
    if given == (True, False, False):
        return BottomReading(read_length(args.reading))
    if given == (False, True, True):
        return BottomReading(read_length(args.edge_a), read_length(args.edge_b))
    raise BadInput(
        "The bottom board is measured along one line or along both edges. Type "
        "--reading, or --edge-a and --edge-b."
    )
