"""How far the scriber's setting and the gaps of a pair under a ceiling can be off."""

import math
from collections.abc import Collection, Mapping, Sequence
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

    With g a gap and o what two heights are off by together, the gap at a place is at most
    g + max(o - g of each other place) and at least g - min(g of each other place + o).
    """
    offs = _offs({one.at for one in marks}, width, line_laser)
    both = [one for pair in offs.values() for one in pair]
    # All in whole parts of one size, exact: every place is compared with every other one.
    parts = math.lcm(*(one.denominator for one in (*both, *(mark.gap for mark in marks))))
    alike, across = (
        {apart: _parts(pair[of], parts) for apart, pair in offs.items()} for of in (0, 1)
    )
    heights = [_parts(one.gap, parts) for one in marks]
    gaps, most, least = {}, 0, 0
    for one, height in zip(marks, heights, strict=True):
        up, down = -height, height
        for other, low in zip(marks, heights, strict=True):
            if other is not one:
                off = (alike if other.side == one.side else across)[one.at, other.at]
                up, down = max(up, off - low), min(down, low + off)
        gaps[one.side, one.at] = Fraction(max(up, down), parts)
        most, least = max(most, height + up), max(least, height - down)
    setting = max(heights)
    return ScribeSureness(Fraction(max(most - setting, setting - least), parts), gaps)


def _offs(
    places: Collection[Fraction], width: Fraction, line_laser: Instrument
) -> Mapping[tuple[Fraction, Fraction], tuple[Fraction, Fraction]]:
    """Return how far the difference of two heights can be off, in inches, by their places: over
    the same side, and over one side and the other."""
    each, found = line_laser.step + REPEATS, {}
    for first in places:
        for second in places:
            if first <= second:
                along = second - first
                far = _hypotenuse(along, width)
                off = each + line_laser.own * along, each + line_laser.own * far
                found[first, second] = found[second, first] = off
    return found


def _parts(length: Fraction, parts: int) -> int:
    return length.numerator * (parts // length.denominator)


def _hypotenuse(along: Fraction, across: Fraction) -> Fraction:
    return across if not along else Fraction(math.hypot(along, across))
