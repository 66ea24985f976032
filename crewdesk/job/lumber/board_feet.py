"""How many board feet boards are counted as, by what their size is called."""

import re
from collections.abc import Iterable
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.length import INCHES_PER_FOOT
from crewdesk.trade.boards.lumber import Sawn, dressed, tally, unrounded_board_feet

TIMES = re.compile(r" ?[xX\u00d7*] ?")
"""What stands between a thickness and a width."""
_QUARTERS = re.compile(r"(\d+)/4")


def board_feet_of(
    size: str, thickness: Fraction, width: Fraction, lengths: Iterable[Fraction]
) -> Fraction:
    """Board feet of boards of one size, in their order: softwood by its nominal size;
    hardwood by the surface measure of its true width, so that halves go up and down in
    turn, and by its rough thickness. `thickness`, `width` and `lengths` in inches."""
    try:
        dressed(size)
    except BadInput:
        quarters = _QUARTERS.match(size)
        rough = Fraction(int(quarters[1]), 4) if quarters else thickness
        feet = (int(length // INCHES_PER_FOOT) for length in lengths)
        return tally(Sawn(rough, width, whole) for whole in feet if whole)
    thick, wide = TIMES.split(size, maxsplit=1)
    return sum(
        (unrounded_board_feet(Fraction(thick), Fraction(wide), length) for length in lengths),
        Fraction(0),
    )
