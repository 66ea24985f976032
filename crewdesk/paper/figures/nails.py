"""`crewdesk figure nails`: what a nail holds, and that it doesn't come through."""

from argparse import ArgumentParser, Namespace

from crewdesk.errors import BadInput
from crewdesk.paper.figures import Figure, step_of, warned
from crewdesk.paper.lengths import lengths_json, with_unit
from crewdesk.trade.cuts.nails import Stack, longest_nail, nail
from crewdesk.trade.read_length import read_length

ABOUT = "which nail goes into a stack of boards, and what it holds"


def arguments(parser: ArgumentParser) -> None:
    """Add the stack, the gauge, and a length to check."""
    parser.add_argument(
        "--piece",
        required=True,
        action="append",
        metavar="T",
        help="a thickness, the one under the head first; once for each piece. A cleat "
        "nailed to a side counts with the size it is ripped to, because its sawn "
        "face is against the side; a cleat over the bottom board counts with its "
        "stock's thickness",
    )
    parser.add_argument("--framing", action="store_true", help="framing is behind them")
    parser.add_argument("--gauge", default="18", metavar="N", help="15, 16, 18 or 23 (18)")
    parser.add_argument("--length", metavar="L", help="a nail to check (the longest that fits)")


def figure(args: Namespace) -> Figure:
    """Return the given nail, or the longest as sold that stays inside."""
    step = step_of(args)
    stack = Stack(tuple(read_length(text) for text in args.piece), args.framing)
    if not args.gauge.strip().isdecimal() or len(args.gauge.strip()) > 3:
        raise BadInput("{text} isn't a gauge. Type 15, 16, 18 or 23.", text=args.gauge[:20])
    gauge = int(args.gauge)
    if args.length is None:
        made = longest_nail(stack, gauge)
    else:
        made = nail(stack, read_length(args.length), gauge)
    left = "framing behind"
    if made.left is not None:
        left = f"{with_unit(made.left, step, 'down')} left behind it"
    return warned(
        (
            f"nail   {with_unit(made.length, step)}, {gauge} gauge "
            f"({float(made.gauge.diameter):.3f} in thick)",
            f"holds  {with_unit(made.hold, step, 'down')} in the second piece, {left}",
        ),
        {
            **lengths_json(made, step, "length"),
            "gauge": gauge,
            **lengths_json(made.gauge, step, "diameter"),
            **lengths_json(made, step, "hold", "left", way="down"),
        },
        made.cautions,
    )
