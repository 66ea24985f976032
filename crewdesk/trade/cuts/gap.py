"""A gap found at the fix-up, held against published workmanship.

Installed trim, Architectural Woodwork Standards, 1st edition, 2009, p. 331: a joint of wood
to wood, flat, stands open no more than .012 in, one of wood to another material no more
than .050 in; a wall or ceiling out by more than 1/4 in in 144 in is not the installer's.
"""

from fractions import Fraction
from typing import Literal

from crewdesk.trade.cuts.caution import Caution, caution
from crewdesk.trade.refusal import Refusal

Against = Literal["wood", "other"]

MOST: dict[Against, Fraction] = {"wood": Fraction("0.012"), "other": Fraction("0.050")}
"""The widest gap of good work in inches, by what the wood meets (source above)."""
WIDEST = Fraction(1)
"""A wider gap is taken for a slip of the finger, in inches."""
THOUSANDTH = Fraction(1, 1000)


def gap_cautions(width: Fraction, against: Against) -> tuple[Caution, ...]:
    """What a gap of `width` inches must be told with; nothing where good work may have it.

    Raises `Refusal`: `gap-not-positive`, `gap-too-wide`.
    """
    if width <= 0:
        raise Refusal("gap-not-positive", gap=width)
    if width > WIDEST:
        raise Refusal("gap-too-wide", gap=width, limit=WIDEST)
    if width <= MOST[against]:
        return ()
    return (
        caution(f"gap-over-workmanship-{against}", thousandths=int(MOST[against] / THOUSANDTH)),
    )
