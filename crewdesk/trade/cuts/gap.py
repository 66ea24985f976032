"""A gap found at the fix-up, held against published workmanship.

Installed trim, Architectural Woodwork Standards, 1st edition, 2009, p. 331: a joint of wood
to wood, flat, stands open no more than .012 in, one of wood to another material no more
than .050 in; a wall or ceiling out by more than 1/4 in in 144 in is not the installer's.
"""

from fractions import Fraction
from typing import Literal

from crewdesk.errors import BadInput
from crewdesk.sentence import Caution, caution
from crewdesk.trade.bounds import more_than_zero

Against = Literal["wood", "other"]

MOST: dict[Against, Fraction] = {"wood": Fraction("0.012"), "other": Fraction("0.050")}
"""The widest gap of good work in inches, by what the wood meets (source above)."""
WIDEST = Fraction(1)
"""A wider gap is taken for a slip of the finger, in inches."""
THOUSANDTH = Fraction(1, 1000)
_SOURCE = "(Architectural Woodwork Standards, 1st ed. 2009, p. 331)"
_OVER: dict[Against, str] = {
    "wood": (
        f"Over the {{thousandths}} thousandths of an inch allowed between wood and wood "
        f"in good work {_SOURCE}."
    ),
    "other": (
        f"Over the {{thousandths}} thousandths of an inch allowed between wood and a "
        f"wall or ceiling in good work {_SOURCE}, unless that is out by more than 1/4 "
        "in in 12 ft."
    ),
}


def gap_cautions(width: Fraction, against: Against) -> tuple[Caution, ...]:
    """What a gap of `width` inches must be told with; nothing where good work may have it.

    Raises `BadInput`.
    """
    more_than_zero("width of the gap", width)
    if width > WIDEST:
        raise BadInput(
            "A gap of {gap} in can't be right; the limit is {limit} in. Measure it again.",
            gap=width,
            limit=WIDEST,
        )
    if width <= MOST[against]:
        return ()
    return (caution(_OVER[against], thousandths=int(MOST[against] / THOUSANDTH)),)
