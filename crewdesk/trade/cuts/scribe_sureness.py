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
        return max((self.setting, *self.gaps.values()))


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
    places = sorted({one.at for one in marks})
    offs = _offs(places, width, line_laser)
    every = [one for row in offs for pair in row for one in pair]
    # All in whole parts of one size, exact: every place is compared with every other one.
    parts = math.lcm(*(one.denominator for one in (*every, *(mark.gap for mark in marks))))
    by = [[[_parts(off, parts) for off in pair] for pair in row] for row in offs]
    read = [(one.side, places.index(one.at), _parts(one.gap, parts)) for one in marks]
    gaps, most, least = {}, 0, 0
    for one, (side, place, gap) in zip(marks, read, strict=True):
        up, down = -gap, gap
        for other, (its_side, its_place, its_gap) in zip(marks, read, strict=True):
            if other is not one:
                off = by[place][its_place][side != its_side]
                up, down = max(up, off - its_gap), min(down, off + its_gap)
        gaps[side, one.at] = Fraction(max(up, down), parts)
        most, least = max(most, gap + up), max(least, gap - down)
    setting = max((gap for _, _, gap in read), default=0)
    return ScribeSureness(Fraction(max(most - setting, setting - least), parts), gaps)


def _offs(
    places: Sequence[Fraction], width: Fraction, line_laser: Instrument
) -> list[list[tuple[Fraction, Fraction]]]:
    """Return how far the difference of two heights can be off, in inches, by the numbers of
    their places: over the same side, and over one side and the other."""
    each = line_laser.step + REPEATS
    found: list[list[tuple[Fraction, Fraction]]] = [[] for _ in places]
    for number, first in enumerate(places):
        for other, second in enumerate(places[: number + 1]):
            along = first - second
            far = _hypotenuse(along, width)
            off = each + line_laser.own * along, each + line_laser.own * far
            found[number].append(off)
            if other != number:
                found[other].append(off)
    return found


def _parts(length: Fraction, parts: int) -> int:
    return length.numerator * (parts // length.denominator)


def _hypotenuse(along: Fraction, across: Fraction) -> Fraction:
    return across if not along else Fraction(math.hypot(along, across))
