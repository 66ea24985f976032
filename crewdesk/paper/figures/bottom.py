"""`crewdesk figure bottom`: the bottom board's marks from its reading once sides are up."""

from argparse import ArgumentParser, Namespace
from fractions import Fraction

from crewdesk.job.sentences import sentence
from crewdesk.paper.figures import Figure
from crewdesk.paper.lengths import degrees_shown, length_json
from crewdesk.trade.angle import read_angle
from crewdesk.trade.cuts.bottom_cut import BottomReading, bottom_cut
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.length import DEFAULT_STEP, Length, exact_text, rounded_down, show_length
from crewdesk.trade.read_length import read_length
from crewdesk.trade.refusal import Refusal

ABOUT = "the bottom board's lengths, widths and relief, from its reading"


def arguments(parser: ArgumentParser) -> None:
    """Add the section's measures and the reading."""
    parser.add_argument("--width", required=True, metavar="W", help="over the outside of the sides")
    for name, usual, about in (
        ("side-thickness", "3/4", "thickness of a side board"),
        ("bottom-thickness", "3/4", "thickness of the bottom board"),
        ("flat", "1/4", "left square at the show face"),
        ("fit", "0", "taken off the width"),
        ("undercut", "1/32", "taken off the length"),
    ):
        parser.add_argument(f"--{name}", default=usual, metavar="LENGTH", help=f"{about} ({usual})")
    parser.add_argument("--bevel", default="15", metavar="DEG", help="tilt of the relief (15)")
    parser.add_argument("--reading", metavar="L", help="wall to wall, along one line")
    for edge in ("a", "b"):
        parser.add_argument(f"--edge-{edge}", metavar="L", help=f"along edge {edge.upper()}")
    parser.add_argument("--cut", metavar="L", help="a length of one's own, for both edges")
    parser.add_argument("--reason", default="", help="why a cut goes over its reading")


def figure(args: Namespace) -> Figure:
    """The board's marks; the sides are taken to be high enough."""
    thickness = read_length(args.bottom_thickness)
    section = Section(
        width=read_length(args.width),
        height=thickness + 1,
        side_thickness=read_length(args.side_thickness),
        bottom_thickness=thickness,
        reveal=Fraction(0),
        flat=read_length(args.flat),
        bevel=read_angle(args.bevel),
        fit=read_length(args.fit),
        undercut=read_length(args.undercut),
    )
    wanted = None if args.cut is None else read_length(args.cut)
    made = bottom_cut(
        section,
        _reading(args),
        wanted=None if wanted is None else (wanted, wanted),
        reason=args.reason,
    )
    warnings = [sentence(one) for one in made.cautions]
    return Figure(
        (
            f"edge A    {_told(_down(made.edge_a), made.back_a)}",
            f"edge B    {_told(_down(made.edge_b), made.back_b)}",
            f"width     {_told(made.width, made.back_width)}",
            f"all round {show_length(made.flat)} in flat, then {show_length(made.relief)} in of "
            f"relief, blade at {degrees_shown(float(made.bevel_deg))}",
            *warnings,
        ),
        {
            "edge_a": {"exact": exact_text(made.edge_a), "shown": show_length(_down(made.edge_a))},
            "edge_b": {"exact": exact_text(made.edge_b), "shown": show_length(_down(made.edge_b))},
            "back_a": length_json(made.back_a),
            "back_b": length_json(made.back_b),
            "width": length_json(made.width),
            "back_width": length_json(made.back_width),
            "flat": length_json(made.flat),
            "relief": length_json(made.relief),
            "warnings": warnings,
        },
    )


def _down(length: Length) -> Fraction:
    """`length` to the step below it: shown up, a cut could go over its reading."""
    return rounded_down(length, DEFAULT_STEP.size)


def _told(show: Length, back: Length) -> str:
    return f"{show_length(show)} in, {show_length(back)} in at the back"


def _reading(args: Namespace) -> BottomReading:
    given = (args.reading is not None, args.edge_a is not None, args.edge_b is not None)
    if given == (True, False, False):
        return BottomReading(read_length(args.reading))
    if given == (False, True, True):
        return BottomReading(read_length(args.edge_a), read_length(args.edge_b))
    raise Refusal("bottom-readings-form")
