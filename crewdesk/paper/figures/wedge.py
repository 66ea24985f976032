"""`crewdesk figure wedge`: a sliver of scrap that closes a gap, and where it seats."""

from argparse import ArgumentParser, Namespace

from crewdesk.paper.figures import Figure, step_of
from crewdesk.paper.lengths import degrees_shown, lengths_json, with_unit
from crewdesk.trade.angle import read_angle
from crewdesk.trade.cuts.gap import wedge
from crewdesk.trade.read_length import read_length

ABOUT = "angle and back of a tapered wedge, and how deep it seats in a gap"


def arguments(parser: ArgumentParser) -> None:
    """Add the scrap's thickness, the blade's tilt, and the gap."""
    parser.add_argument("--stock", required=True, metavar="T", help="thickness of the scrap")
    parser.add_argument("--bevel", required=True, metavar="DEG", help="blade tilt of each rip")
    parser.add_argument("--gap", metavar="G", help="width of the gap to close")


def figure(args: Namespace) -> Figure:
    """Return the wedge, and its seat if a gap is given."""
    step = step_of(args)
    gap = None if args.gap is None else read_length(args.gap)
    made = wedge(read_length(args.stock), read_angle(args.bevel), gap)
    lines = [
        f"included angle   {degrees_shown(float(made.included_deg))}",
        f"back thickness   {with_unit(made.back_thickness, step)}",
    ]
    if made.seats_at is not None:
        lines.append(f"seats in the gap {with_unit(made.seats_at, step)} deep")
    return Figure(
        tuple(lines),
        {
            "included_deg": float(made.included_deg),
            **lengths_json(made, step, "back_thickness", "seats_at"),
        },
    )
