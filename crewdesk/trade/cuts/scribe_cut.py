"""How a side is cut to its scribe line: by its length, the depth of the cut and the ceiling."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.length import SIXTEENTH, THIRTY_SECOND

Way = Literal["table saw", "circular saw", "track saw", "plane"]
WAYS: tuple[Way, ...] = ("table saw", "circular saw", "track saw", "plane")

BACK_CUT = Fraction(3)
"""What keeps a scribed edge's back clear of the ceiling, in degrees (common practice, no
source)."""
PLANE_AT_MOST = 2 * SIXTEENTH
"""A cut no deeper than this anywhere is planed, in inches (common practice, no source)."""
STRAIGHT = THIRTY_SECOND
"""A line that bends no more than this is cut as a straight one, in inches (common practice, no
source)."""
TABLE_SAW_AT_MOST = Fraction(96)
"""A longer board is not pushed over a table saw on a carrier, in inches (common practice, no
source)."""


Why = Literal["shallow", "not known", "bent", "straight and short", "straight and long"]


class WayToCut(NamedTuple):
    """How a board is cut to its line, and what of the board or its ceiling makes it so."""

    way: Way
    why: Why


def bend(line: Sequence[tuple[Fraction, Fraction]]) -> Fraction:
    """The farthest that a line of (place, height) leaves the straight line from its first
    point to its last, in inches."""
    (start, low), (stop, high) = line[0], line[-1]
    rise = (high - low) / (stop - start) if stop != start else Fraction(0)
    return max(abs(height - low - rise * (at - start)) for at, height in line)


def way_to_cut(
    length: Fraction | None, deepest: Fraction | None, bent: Fraction | None
) -> WayToCut:
    """How a side is cut to its line (common practice, no source); None is not known.

    A shallow cut is planed; a straight line is sawed along a guide, on a table saw where the
    board is short enough to be carried over it, with a track saw where it is longer; a line
    that follows a bent ceiling is steered along with a circular saw.
    """
    if deepest is not None and deepest <= PLANE_AT_MOST:
        return WayToCut("plane", "shallow")
    if bent is None:
        return WayToCut("circular saw", "not known")
    if bent > STRAIGHT:
        return WayToCut("circular saw", "bent")
    if length is not None and length <= TABLE_SAW_AT_MOST:
        return WayToCut("table saw", "straight and short")
    return WayToCut("track saw", "straight and long")
