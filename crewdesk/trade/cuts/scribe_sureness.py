"""How far the scriber's setting and the gaps of a pair under a ceiling can be off."""

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple, Protocol

from crewdesk.trade.cuts.instruments import REPEATS, USUAL_INSTRUMENTS, Instrument
from crewdesk.trade.cuts.side_board import Side

Place = tuple[Side, Fraction]
"""A side, and inches from end 1."""


class ScribedAt(Protocol):
    """A mark of the scribe: the gap over a side at a place."""

    @property
    def side(self) -> Side: ...
    @property
    def at(self) -> Fraction: ...
    @property
    def gap(self) -> Fraction: ...


class Gap(NamedTuple):
    """How much higher the ceiling is over a side at a place than where it is lowest, in inches."""

    side: Side
    at: Fraction
    gap: Fraction


class ScribeSureness(NamedTuple):
    """How far the `setting` and each of the `gaps` can be off, in inches. A cut's depth and a
    finished height are off by as much as the gap there."""

    setting: Fraction
    gaps: Mapping[Place, Fraction]

    @property
    def most(self) -> Fraction:
        """The most that any of them can be off."""
        return max(self.setting, *self.gaps.values())


def scribe_sureness(
    marks: Sequence[ScribedAt],
    width: Fraction,
    line_laser: Instrument = USUAL_INSTRUMENTS.line_laser,
) -> ScribeSureness:
    """Return how far a scribe can be off, from its marks and the beam's `width` in inches.

    A gap is how much higher the ceiling is there than where it is lowest, so it hangs on two
    heights over the laser line. Each is off by half a step; read again it may lie `REPEATS`
    off; and the line itself is off by so much an inch of the way between both, along and
    across the beam. Which place is the lowest is not known for sure either: the worst of all
    places that may be it counts.
    """

    def off(first: ScribedAt, second: ScribedAt) -> Fraction:
        if first is second:
            return Fraction(0)
        along = abs(first.at - second.at)
        far = along if first.side == second.side else _hypotenuse(along, width)
        return line_laser.step + REPEATS + line_laser.own * far

    gaps, most, least = {}, Fraction(0), Fraction(0)
    for one in marks:
        over = [(one.gap - other.gap, off(one, other)) for other in marks]
        high, low = max(more + by for more, by in over), max(more - by for more, by in over)
        gaps[one.side, one.at] = max(high - one.gap, one.gap - low)
        most, least = max(most, high), max(least, low)
    setting = max(one.gap for one in marks)
    return ScribeSureness(max(most - setting, setting - least), gaps)


def _hypotenuse(along: Fraction, across: Fraction) -> Fraction:
    return across if not along else Fraction(math.hypot(along, across))
