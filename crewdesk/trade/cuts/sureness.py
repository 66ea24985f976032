"""How far each mark can be off, by the instruments that its readings were taken with.

A reading is off by at most half the step it was read to (the resolution of an indication, JCGM
100:2008, F.2.2.1) and its instrument's own error. Both are bounds. They are carried into each
mark at their worst, all the same way at once, as for errors that go together (5.2.2, note 1):
marks that are linear in their readings carry them exactly, those on a slope take the worst
corner of all that the readings can be.
"""

from fractions import Fraction
from itertools import product
from typing import NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import SIXTY_FOURTH, exact, mixed, rounded_up
from crewdesk.sentence import Caution, caution
from crewdesk.trade.bounds import more_than_zero
from crewdesk.trade.cuts.board_end import OPEN_AT_MOST, EdgeProfile, shares
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, Instrument, apart_off
from crewdesk.trade.cuts.pitch import Pitch, square_root
from crewdesk.trade.cuts.side_board import End, EndReading
from crewdesk.trade.cuts.skew import SkewReading
from crewdesk.trade.cuts.sloped_side import end_ratio, lean_ratio

LEVELS = tuple(Fraction(inches) for inches in (9, 16, 24, 32, 48, 72, 78, 96))
"""Levels as sold, in inches (common practice, no source)."""

ZERO = Fraction(0)


class Measured(NamedTuple):
    """A length in inches, or a ratio, and how far it can be off."""

    value: Fraction
    off: Fraction

    @property
    def least(self) -> Fraction:
        """The least that it can be."""
        return self.value - self.off

    @property
    def most(self) -> Fraction:
        """The most that it can be."""
        return self.value + self.off


class OnSlope(NamedTuple):
    """The slope that a beam runs up, and its lower end."""

    pitch: Pitch
    low: End

    def tangent(self, end: End) -> Measured:
        """The slope's tangent as an end meets it: positive at the low end, negative at the high."""
        sign = 1 if end == self.low else -1
        return Measured(sign * exact(self.pitch.tangent), exact(self.pitch.off))


Two = tuple[Measured | None, Measured | None]
"""What was read at end 1 and at end 2, or over side A and over side B."""


def lean_of(reading: EndReading, level: Instrument = USUAL_INSTRUMENTS.level) -> Measured:
    """A wall's tangent off plumb, positive where its top comes in."""
    return Measured(lean_ratio(reading), level.ratio_off(reading.level))


def skew_of(reading: SkewReading, square: Instrument = USUAL_INSTRUMENTS.square) -> Measured:
    """A wall's tangent off square in plan, positive where side A is the longer."""
    return Measured(reading.ratio, square.ratio_off(reading.leg))


def offset_off(
    reading: EndReading, height: Fraction, level: Instrument = USUAL_INSTRUMENTS.level
) -> Fraction:
    """Return how far an end's offset can be off: what the wall's ratio can, times the height."""
    return level.ratio_off(reading.level) * height


def skew_off(
    leg: Fraction, across: Fraction, square: Instrument = USUAL_INSTRUMENTS.square
) -> Fraction:
    """Return how far a skew over `across` inches can be off, read with a square of that `leg`: the
    relief of a back over the board's thickness, or the slant of a bottom board's end over its
    width.

    Raise `BadInput` for a leg of zero.
    """
    more_than_zero("square's leg", leg)
    return square.ratio_off(leg) * across


def end_ratios(lean: Measured, slope: OnSlope | None, end: End) -> Measured:
    """Return the tangent of the end cut off square, as `end_ratio` gives it. What it can be off is
    the worst of the corners: it grows with the lean and with the slope.

    Raise `BadInput` for an end too steep to cut.
    """
    if slope is None:
        return lean
    nominal = _nominal(lean, slope, end)
    corners = (_added(t, a) for t, a in product(_ends_of(slope.tangent(end)), _ends_of(lean)))
    return Measured(nominal, max(abs(one - nominal) for one in corners))


def _nominal(lean: Measured, slope: OnSlope, end: End) -> Fraction:
    """The tangent of an end on a slope by what was read; raises `BadInput` as `end_ratio` does."""
    return exact(end_ratio(slope.pitch, lean.value, "low" if end == slope.low else "high"))


def room(
    run: Measured, leans: tuple[Measured, Measured], height: Fraction, slope: OnSlope | None = None
) -> Measured:
    """Return the length between both walls `height` inches up from the bottom edges, square to
    them, from the run along them: run - (both ends' tangents) x height.

    On a slope what is off of the pitch is common to both ends, and nearly cancels.
    Raise `BadInput` for an end too steep to cut.
    """
    first, second = leans
    if slope is None:
        both, off = first.value + second.value, first.off + second.off
    else:
        both = _nominal(first, slope, 1) + _nominal(second, slope, 2)
        corners = (
            one + two
            for tilt in _ends_of(slope.tangent(1))
            for one, two in product(
                [_added(tilt, lean) for lean in _ends_of(first)],
                [_added(-tilt, lean) for lean in _ends_of(second)],
            )
        )
        off = max(abs(one - both) for one in corners)
    return Measured(run.value - both * height, run.off + off * height)


_ENDS: tuple[End, End] = (1, 2)


def twist(over_a: Measured, over_b: Measured, slope: OnSlope | None, end: End) -> Measured:
    """Return how much more a wall comes in per inch up at side B than at side A. The slope's own
    error is the same at both sides, so it nearly cancels.

    Raise `BadInput` for an end too steep to cut.
    """
    if slope is None:
        return Measured(over_b.value - over_a.value, over_a.off + over_b.off)
    nominal = _nominal(over_b, slope, end) - _nominal(over_a, slope, end)
    corners = (
        _added(tilt, b) - _added(tilt, a)
        for tilt in _ends_of(slope.tangent(end))
        for a, b in product(_ends_of(over_a), _ends_of(over_b))
    )
    return Measured(nominal, max(abs(one - nominal) for one in corners))


def _ends_of(one: Measured) -> tuple[Fraction, Fraction]:
    return one.least, one.most


def _added(tilt: Fraction, lean: Fraction) -> Fraction:
    """The tangent of the sum of two angles, from theirs."""
    return (tilt + lean) / (1 - tilt * lean)


class SideSureness(NamedTuple):
    """How far each mark of a side board can be off, in inches: its edges, its blank, the
    offsets at both ends, and the relief of its back there where a square was held to the wall;
    and cautions."""

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
    """Return how far every mark of a side can be off, whose ends were each read with a level.

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
    """The most that max(0, -offset) can be off."""
    now = max(ZERO, -offset.value)
    return max(max(ZERO, -offset.least) - now, now - max(ZERO, -offset.most))


def short_level(
    end: End,
    reading: EndReading,
    height: Fraction,
    level: Instrument = USUAL_INSTRUMENTS.level,
    slope: OnSlope | None = None,
) -> tuple[Caution, ...]:
    """Return a caution where the level is shorter than the side: it reads a part of what the
    board covers, and a slip in the gap grows by height over level. What the offset can be off,
    by this level and by the next that is long enough, is rounded up to 1/64 in. Raise `BadInput`
    for an end too steep to cut."""
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
    """How far a cleat's `start` from the side's corner at end 1 and its `length` can be off."""

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
    """Return how far a cleat inside a side can be off, whose upper edge is `top` inches up it.

    It stays clear of both walls there. At each end `behind` is how far the wall comes in
    behind the show face, in inches over the side and the cleat, None where no square was held
    to it: that counts where it is more than the back `bevel` takes, which it stays clear of too.
    """
    backs = [ZERO if one is None else _over(bevel, one) for one in behind]
    start = end_ratios(leans[0], slope, 1).off * top
    return CleatSureness(start + backs[0], room(run, leans, top, slope).off + sum(backs))


def _over(least: Fraction, one: Measured) -> Fraction:
    """The most that max(least, one) can be off."""
    now = max(least, one.value)
    return max(max(least, one.most) - now, now - max(least, one.least))


class FlatBoardSureness(NamedTuple):
    """How far a bottom's or a top board's marks can be off, in inches: its length along both
    edges, at the show face and at the back; and at each end how far one edge runs past the
    other, None where no square says it."""

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
    """Return how far the marks of a flat board between the walls can be off, which is `across`
    inches wide.

    `edges` is how far the room along its two edges can be off, `apart` how far the rooms'
    difference. What it is cut short on purpose is no error: what the `walls`, by how far they
    come in per inch behind the show face, ask of its ends counts as far as it is over the
    `undercut`. An end that is beveled along the wall gives up nothing, but its back follows the
    wall. With both squares the ends share what the edges' difference leaves over, with one the
    other end gets the rest. `twists` is how far each end's offset can be off by what its wall
    twists across the board, in inches: that is in the rooms' difference too, so of an end it
    counts once, and not at all at the other end.
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


def at_edges(
    rooms: Two, places: tuple[Fraction, Fraction], width: Fraction, squares: Two = (None, None)
) -> Two:
    """Return the length between the walls along two lines, `places` inches from side A's show
    face, from the rooms at both sides' show faces, `width` inches apart.

    Between two flat walls it changes evenly from the one to the other. Where one room alone is
    known, the squares at both walls say by how much. None where nothing says it.
    """
    room_a, room_b = rooms
    if room_a is not None and room_b is not None:
        first, second = (_between(room_a, room_b, at / width) for at in places)
        return first, second
    known = room_a or room_b
    if known is None or squares[0] is None or squares[1] is None:
        return None, None
    per_inch = Measured(squares[0].value + squares[1].value, squares[0].off + squares[1].off)
    far = [at if room_a is not None else at - width for at in places]
    first, second = (
        Measured(known.value - per_inch.value * one, known.off + per_inch.off * abs(one))
        for one in far
    )
    return first, second


def _between(first: Measured, second: Measured, part: Fraction) -> Measured:
    return Measured(
        first.value + (second.value - first.value) * part,
        first.off * (1 - part) + second.off * part,
    )


def in_slope(skew: Measured, lean: Measured, slope: OnSlope | None, end: End) -> Measured:
    """Return a wall's tangent off square where it meets a board in the slope:
    skew / (cos slope - lean x sin slope), the slope positive at the low end."""
    if slope is None:
        return skew
    tilt = slope.tangent(end)

    def turns(tangent: Fraction, *leans: Fraction) -> list[Fraction]:
        secant = exact(square_root(1 + tangent * tangent))
        return [secant / (1 - one * tangent) for one in leans]

    nominal = skew.value * turns(tilt.value, lean.value)[0]
    corners = (
        one * turn
        for tangent in _ends_of(tilt)
        for turn in turns(tangent, *_ends_of(lean))
        for one in _ends_of(skew)
    )
    return Measured(nominal, max(abs(one - nominal) for one in corners))


def skew_allowed(
    width: Fraction, runs: tuple[Instrument, Instrument], squares: tuple[Measured, Measured]
) -> Fraction:
    """Return how far apart the squares at both walls and the runs of both sides, `width` inches
    apart, may put side A's length over side B's: what the runs' difference can be off, and both
    squares' ratios over the width."""
    return apart_off(*runs) + (squares[0].off + squares[1].off) * width


def must_agree(first: Fraction, second: Fraction, allowed: Fraction) -> None:
    """Check that two readings of one thing, in inches, are no further apart than `allowed`.

    Raise `BadInput` where they are.
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
    """Check that two readings of one wall agree, by the offsets that they give. A level's own
    error counts twice even where it is the same level: turned end for end, it is off the other
    way.

    Raise `BadInput` where they are.
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
