"""The uncertainty of each mark, from its readings' instruments; also of the scriber's setting and
the gaps of a pair under a ceiling.

A reading is off by at most half the step it was read to (the resolution of an indication, JCGM
100:2008, F.2.2.1) and its instrument's own error. Both are bounds. They are carried into each
mark at their worst, all the same way at once, as for errors that go together (5.2.2, note 1):
marks that are linear in their readings carry them exactly, those on a slope take the worst
corner of all that the readings can be.
"""

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple, Protocol

from crewdesk.errors import BadInput
from crewdesk.length import SIXTY_FOURTH, exact, mixed, rounded_up
from crewdesk.sentence import Caution, caution
from crewdesk.trade.cuts.board_end import OPEN_AT_MOST, EdgeProfile, shares
from crewdesk.trade.cuts.instruments import REPEATS, USUAL_INSTRUMENTS, Instrument, apart_off
from crewdesk.trade.cuts.measured import (
    ZERO,
    Measured,
    OnSlope,
    Two,
    end_ratios,
    lean_of,
    offset_off,
    room,
)
from crewdesk.trade.cuts.side_board import End, EndReading, Side
from crewdesk.trade.cuts.sloped_side import lean_ratio

LEVELS = tuple(Fraction(inches) for inches in (9, 16, 24, 32, 48, 72, 78, 96))
"""Levels as sold, in inches (common practice, no source)."""
_ENDS: tuple[End, End] = (1, 2)


class SideSureness(NamedTuple):
    """The uncertainty of each mark of a side board, in inches: its edges, its blank, the offsets at
    both ends, and its back's relief if a square was held to the wall; and cautions."""

    bottom_length: Fraction
    top_length: Fraction
    blank: Fraction
    end1: Fraction
    end2: Fraction
    relief1: Fraction | None
    relief2: Fraction | None
    cautions: tuple[Caution, ...]


def side_sureness(
    run: Measured,
    height: Fraction,
    readings: tuple[EndReading, EndReading],
    levels: tuple[Instrument, Instrument] = (USUAL_INSTRUMENTS.level, USUAL_INSTRUMENTS.level),
    *,
    slope: OnSlope | None = None,
    squares: Two = (None, None),
    thickness: Fraction = ZERO,
) -> SideSureness:
    """Return the uncertainty of every mark of a side whose ends were each measured with a level.

    The top edge is the run less both offsets. The blank grows only by an end that runs out
    past the square line, so an end counts as far as its offset may fall below zero.
    Raise `BadInput` for an end too steep to cut.
    """
    first, second = leans = (lean_of(readings[0], levels[0]), lean_of(readings[1], levels[1]))
    offsets = [
        Measured(one.value * height, one.off * height)
        for one in (end_ratios(first, slope, 1), end_ratios(second, slope, 2))
    ]
    relief1, relief2 = (None if one is None else one.off * thickness for one in squares)
    return SideSureness(
        run.off,
        room(run, leans, height, slope).off,
        run.off + _outward(offsets[0]) + _outward(offsets[1]),
        offsets[0].off,
        offsets[1].off,
        relief1,
        relief2,
        tuple(
            one
            for end, reading, level in zip(_ENDS, readings, levels, strict=True)
            for one in short_level(end, reading, height, level, slope)
        ),
    )


def _outward(offset: Measured) -> Fraction:
    """Return the uncertainty of max(0, -offset)."""
    now = max(ZERO, -offset.value)
    return max(max(ZERO, -offset.least) - now, now - max(ZERO, -offset.most))


def short_level(
    end: End,
    reading: EndReading,
    height: Fraction,
    level: Instrument = USUAL_INSTRUMENTS.level,
    slope: OnSlope | None = None,
) -> tuple[Caution, ...]:
    """Return a caution if the level is shorter than the side: it spans a part of the board's
    height, and an error in the gap grows by height over level. The offset's uncertainty, with this
    level and with the next one that is long enough, is rounded up to 1/64 in. Raise `BadInput` for
    an end too steep to cut."""
    if reading.level >= height:
        return ()
    longer = next((one for one in LEVELS if one >= height), height)
    lean = lean_of(reading, level)
    off, then = (
        mixed(rounded_up(end_ratios(one, slope, end).off * height, SIXTY_FOURTH))
        for one in (lean, lean._replace(off=level.ratio_off(longer)))
    )
    return (
        caution(
            "At end {end} the {level} in level is shorter than the {height} in side, "
            "so an error in its gap grows {grows} times, and the offset is within "
            "{off} in. With a {longer} in level it would be within {then} in.",
            end=end,
            level=reading.level,
            height=height,
            grows=float(height / reading.level),
            off=off,
            longer=longer,
            then=then,
        ),
    )


class CleatSureness(NamedTuple):
    """The uncertainty of a cleat's `start` from the side's corner at end 1 and of its `length`."""

    start: Fraction
    length: Fraction


def cleat_sureness(
    run: Measured,
    leans: tuple[Measured, Measured],
    top: Fraction,
    *,
    slope: OnSlope | None = None,
    behind: Two = (None, None),
    bevel: Fraction = ZERO,
) -> CleatSureness:
    """Return the uncertainty of a cleat inside a side, whose upper edge is `top` inches up.

    The cleat stays clear of both walls there.

    behind: at each end how far the wall comes in behind the show face, in inches over the side and
    the cleat, or None without a square's reading. It counts if it is more than the back `bevel`
    takes, which the cleat clears too.
    """
    backs = [ZERO if one is None else _over(bevel, one) for one in behind]
    start = end_ratios(leans[0], slope, 1).off * top
    return CleatSureness(start + backs[0], room(run, leans, top, slope).off + sum(backs))


def _over(least: Fraction, one: Measured) -> Fraction:
    """Return the uncertainty of max(least, one)."""
    now = max(least, one.value)
    return max(max(least, one.most) - now, now - max(least, one.least))


class FlatBoardSureness(NamedTuple):
    """The uncertainty of a bottom's or a top's marks, in inches: its length along both edges, at
    the show face and at the back; and at each end how far one edge runs past the other, or None if
    no square gives it."""

    edge_a: Fraction
    edge_b: Fraction
    back_a: Fraction
    back_b: Fraction
    offset1: Fraction | None
    offset2: Fraction | None


def flat_board_sureness(
    edges: tuple[Fraction, Fraction],
    apart: Fraction,
    across: Fraction,
    profile: EdgeProfile,
    walls: tuple[Measured, Measured],
    undercut: Fraction,
    squares: Two = (None, None),
    twists: tuple[Fraction, Fraction] = (ZERO, ZERO),
) -> FlatBoardSureness:
    """Return the uncertainty of the marks of a flat board between the walls, `across` inches wide.

    edges: that of the room along its two edges; apart: that of the rooms' difference. A deduction
    on purpose is no error: the share of the `walls`, which come in per inch behind the show face,
    counts only beyond the `undercut`. A beveled end takes nothing off its reading, but its back
    follows the wall. With both squares the ends share the rest of the edges' difference; with one
    the other end gets it. twists: the uncertainty of each end's offset from its wall's twist across
    the board, in inches. It is in the rooms' difference too, so at its own end it counts once, and
    not at the other end.
    """
    beveled = [exact(profile.need(one.value)) > OPEN_AT_MOST for one in walls]
    needs = [
        [ZERO] * 3
        if along
        else [exact(profile.need(at)) for at in (one.least, one.value, one.most)]
        for one, along in zip(walls, beveled, strict=True)
    ]
    least, now, most = (max(undercut, first + second) for first, second in zip(*needs, strict=True))
    short = max(most - now, now - least)
    back = sum(
        (one.off * profile.thickness for one, along in zip(walls, beveled, strict=True) if along),
        apart / across * exact(profile.relief),
    )
    edge_a, edge_b = edges[0] + short, edges[1] + short
    first, second = _offsets(apart - sum(twists), across, squares)
    return FlatBoardSureness(
        edge_a,
        edge_b,
        edge_a + back,
        edge_b + back,
        None if first is None else first + twists[0],
        None if second is None else second + twists[1],
    )


def _offsets(
    apart: Fraction, across: Fraction, squares: Two
) -> tuple[Fraction | None, Fraction | None]:
    first, second = (None if one is None else one.off * across for one in squares)
    if first is not None and second is not None:
        # o1 = s1 + p1 (d - s1 - s2) is off by p2 of s1, p1 of s2 and p1 of d; o2 the other way.
        part_1, part_2 = shares(first, second)
        return (
            part_2 * first + part_1 * (second + apart),
            part_1 * second + part_2 * (first + apart),
        )
    if first is not None:
        return first, first + apart
    return (None, None) if second is None else (second + apart, second)


def skew_allowed(
    width: Fraction, runs: tuple[Instrument, Instrument], squares: tuple[Measured, Measured]
) -> Fraction:
    """Return by how much the squares at both walls and the runs of both sides, `width` inches
    apart, may disagree about side A's length minus side B's: the uncertainty of the runs'
    difference, plus both squares' ratios over the width."""
    return apart_off(*runs) + (squares[0].off + squares[1].off) * width


def must_agree(first: Fraction, second: Fraction, allowed: Fraction) -> None:
    """Check that two readings of one thing, in inches, are no further apart than `allowed`.

    Raise `BadInput` if they are.
    """
    if abs(first - second) > allowed:
        raise BadInput(
            "Readings of {first} in and {second} in are {apart} in apart, and the "
            "instruments allow {allowed} in. Measure it again.",
            first=first,
            second=second,
            apart=abs(first - second),
            allowed=mixed(rounded_up(allowed, SIXTY_FOURTH)),
        )


def ends_must_agree(
    first: EndReading,
    second: EndReading,
    height: Fraction,
    levels: tuple[Instrument, Instrument] = (USUAL_INSTRUMENTS.level, USUAL_INSTRUMENTS.level),
) -> None:
    """Check that two readings of one wall agree, by the offsets that they give. A level's own error
    counts twice even for one level: turned end for end, its error has the other sign.

    Raise `BadInput` if they don't.
    """
    apart = abs(lean_ratio(first) - lean_ratio(second)) * height
    allowed = offset_off(first, height, levels[0]) + offset_off(second, height, levels[1])
    if apart > allowed:
        raise BadInput(
            "Two readings of one wall put the offset {apart} in apart, and the level "
            "allows {allowed} in. Measure it again.",
            apart=apart,
            allowed=mixed(rounded_up(allowed, SIXTY_FOURTH)),
        )


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
    """A gap: how much higher the ceiling is over a side at a place than at its lowest point, in
    inches."""

    side: Side
    at: Fraction
    gap: Fraction


class ScribeSureness(NamedTuple):
    """The uncertainty of the `setting` and of each of the `gaps`, in inches. A cut's depth and a
    finished height have that of the gap there."""

    setting: Fraction
    gaps: Mapping[Place, Fraction]

    @property
    def most(self) -> Fraction:
        """The largest uncertainty of any of them."""
        return max((self.setting, *self.gaps.values()))


def scribe_sureness(
    marks: Sequence[ScribedAt],
    width: Fraction,
    line_laser: Instrument = USUAL_INSTRUMENTS.line_laser,
) -> ScribeSureness:
    """Return the uncertainty of a scribe, from its marks and the beam's `width` in inches.

    A gap is the ceiling's height there minus its lowest one, so it depends on two heights over the
    laser line. Each has an error of half a step, plus `REPEATS` between readings; and the line
    itself has an error per inch between both places, along and across the beam. The lowest place
    isn't certain either: the worst of all possible ones counts.

    With g a gap and o what two heights are off by together, the gap at a place is at most
    g + max(o - g of each other place) and at least g - min(g of each other place + o).
    """
    places = sorted({one.at for one in marks})
    offs = _offs(places, width, line_laser)
    every = [one for row in offs for pair in row for one in pair]
    # All in whole parts of one size, exact, since every place is compared with every other.
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
    """Return the uncertainty of the difference of two heights, in inches, by their places' numbers:
    over the same side, and over one side and the other."""
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
