"""`crewdesk figure compound`: saw settings where a sloped beam meets a skewed wall."""

from argparse import ArgumentParser, Namespace
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.paper.figures import Figure
from crewdesk.paper.figures.end import read_end
from crewdesk.paper.figures.skew import read_skew
from crewdesk.paper.text.notes import compound_json, compound_text
from crewdesk.trade.cuts.pitch import read_pitch
from crewdesk.trade.cuts.sloped_side import compound_end, lean_ratio
from crewdesk.trade.read_length import read_length

ABOUT = "miter and bevel settings where a sloped beam meets a wall out of square"


def arguments(parser: ArgumentParser) -> None:
    """Add the slope, the end, the skew in plan and the wall's lean."""
    parser.add_argument("--pitch", required=True, metavar="P", help="6/12, 26.565deg or RISE:RUN")
    parser.add_argument("--end", required=True, choices=("low", "high"), help="which end")
    parser.add_argument(
        "--skew", required=True, metavar="GAP:LEG:A|B", help="at the square; the longer side"
    )
    parser.add_argument(
        "--wall", metavar="GAP:in|out", help=("out of plumb at the level: in or out at the top")
    )
    parser.add_argument("--level", metavar="L", help="level's length")


def figure(args: Namespace) -> Figure:
    """Return the settings of side A, side B and the bottom board, naming the face with the long
    point."""
    lean = Fraction(0)
    if args.wall is not None:
        if args.level is None:
            raise BadInput("A wall's reading needs the level's length. Add --level.")
        lean = lean_ratio(read_end(args.wall, read_length(args.level)))
    made = compound_end(read_pitch(args.pitch), lean, read_skew(args.skew).ratio, args.end)
    return Figure(
        (
            f"side A  {compound_text(made.side_a, 'side')}",
            f"side B  {compound_text(made.side_b, 'side')}",
            f"bottom  {compound_text(made.bottom, 'bottom')}",
        ),
        {
            "side_a": compound_json(made.side_a),
            "side_b": compound_json(made.side_b),
            "bottom": compound_json(made.bottom),
        },
    )
