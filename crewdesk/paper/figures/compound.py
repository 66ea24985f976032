"""`crewdesk figure compound`: saw settings where a sloped beam meets a skewed wall."""

from argparse import ArgumentParser, Namespace
from fractions import Fraction
from typing import Any

from crewdesk.paper.figures import Figure
from crewdesk.paper.figures.end import read_end
from crewdesk.paper.figures.skew import read_skew
from crewdesk.paper.lengths import degrees_shown
from crewdesk.trade.cuts.compound import Compound, compound_end
from crewdesk.trade.cuts.pitch import read_pitch
from crewdesk.trade.cuts.sloped_side import lean_ratio
from crewdesk.trade.length import read_length
from crewdesk.trade.refusal import Refusal

ABOUT = "mitre and blade tilt where a sloped beam meets a skewed wall"


def arguments(parser: ArgumentParser) -> None:
    """Add the slope, the end, the skew in plan and the wall's lean."""
    parser.add_argument("--pitch", required=True, metavar="P", help="6/12, 26.565deg or RISE:RUN")
    parser.add_argument("--end", required=True, choices=("low", "high"), help="which end")
    parser.add_argument(
        "--skew", required=True, metavar="GAP:LEG:A|B", help="at the square; the longer side"
    )
    parser.add_argument("--wall", metavar="GAP:in|out", help="the wall's lean at the level")
    parser.add_argument("--level", metavar="L", help="length of the level")


def figure(args: Namespace) -> Figure:
    """The settings of side A, side B and the bottom board, with the long face named."""
    lean = Fraction(0)
    if args.wall is not None:
        if args.level is None:
            raise Refusal("slope-wall-needs-level")
        lean = lean_ratio(read_end(args.wall, read_length(args.level)))
    made = compound_end(read_pitch(args.pitch), lean, read_skew(args.skew).ratio, args.end)
    return Figure(
        (
            f"side A  {_told(made.side_a, 'top cut back', 'top out past')}",
            f"side B  {_told(made.side_b, 'top cut back', 'top out past')}",
            f"bottom  {_told(made.bottom, 'edge A longer', 'edge B longer')}",
        ),
        {"side_a": _json(made.side_a), "side_b": _json(made.side_b), "bottom": _json(made.bottom)},
    )


def _told(cut: Compound, positive: str, negative: str) -> str:
    way = positive if cut.mitre_deg > 0 else negative
    face = "show face" if cut.blade_deg > 0 else "back"
    mitre = f"mitre {degrees_shown(abs(cut.mitre_deg))}" + (f" ({way})" if cut.mitre_deg else "")
    blade = f"blade {degrees_shown(abs(cut.blade_deg))}" + (
        f" ({face} longer)" if cut.blade_deg else ""
    )
    return f"{mitre}, {blade}"


def _json(cut: Compound) -> dict[str, Any]:
    return {"mitre_deg": cut.mitre_deg, "blade_deg": cut.blade_deg}
