"""The bottom board's length, read between the installed sides' walls."""

from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.length import Length, exact

WIDEST_UNDERCUT = Fraction(1, 4)


def bottom_length(reading: Length, undercut: Fraction = Fraction(1, 32)) -> Length:
    """Return the length to cut, in inches: the reading less the under-cut, never over it.

    Common practice, no source: exact or 1/32 in under goes up and shows no gap.
    Raises `BadInput`.
    """
    if not 0 <= undercut <= WIDEST_UNDERCUT:
        raise BadInput(
            "An under-cut of {undercut} in is not from 0 to {limit} in; 1/32 is usual.",
            undercut=undercut,
            limit=WIDEST_UNDERCUT,
        )
    if reading <= undercut:
        raise BadInput(
            "A reading of {reading} in leaves nothing of the bottom board after its under-cut.",
            reading=exact(reading),
        )
    return reading - undercut
