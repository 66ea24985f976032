"""The bottom board's length, read between the installed sides' walls."""

from fractions import Fraction

from crewdesk.length import Length, exact
from crewdesk.trade.refusal import Refusal

WIDEST_UNDERCUT = Fraction(1, 4)


def bottom_length(reading: Length, undercut: Fraction = Fraction(1, 32)) -> Length:
    """Return the length to cut, in inches: the reading less the under-cut, never over it.

    Common practice, no source: exact or 1/32 in under goes up and shows no gap.
    Raises `Refusal`: `bottom-undercut-out-of-range`, `bottom-length-not-positive`.
    """
    if not 0 <= undercut <= WIDEST_UNDERCUT:
        raise Refusal("bottom-undercut-out-of-range", undercut=undercut, limit=WIDEST_UNDERCUT)
    if reading <= undercut:
        raise Refusal("bottom-length-not-positive", reading=exact(reading))
    return reading - undercut
