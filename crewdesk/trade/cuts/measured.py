"""Measured walls and distances between them, with their uncertainty."""

from fractions import Fraction
from itertools import product
from typing import NamedTuple

from crewdesk.length import exact
from crewdesk.trade.bounds import more_than_zero
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, Instrument
from crewdesk.trade.cuts.pitch import Pitch, square_root
from crewdesk.trade.cuts.side_board import End, EndReading
from crewdesk.trade.cuts.skew import SkewReading
from crewdesk.trade.cuts.sloped_side import end_ratio, lean_ratio

ZERO = Fraction(0)


class Measured(NamedTuple):
    """A length in inches, or a ratio, with its uncertainty."""

    value: Fraction
    off: Fraction

    @property
    def least(self) -> Fraction:
        """The least possible value."""
        return self.value - self.off

    @property
    def most(self) -> Fraction:
        """The greatest possible value."""
        return self.value + self.off


class OnSlope(NamedTuple):
    """The slope of a beam, and its lower end."""

    pitch: Pitch
    low: End

    def tangent(self, end: End) -> Measured:
        """Return the slope's tangent at an end: positive at the low end, negative at the high."""
        sign = 1 if end == self.low else -1
        return Measured(sign * exact(self.pitch.tangent), exact(self.pitch.off))


Two = tuple[Measured | None, Measured | None]
"""The values at end 1 and end 2, or over side A and side B."""


def lean_of(reading: EndReading, level: Instrument = USUAL_INSTRUMENTS.level) -> Measured:
    """Return a wall's tangent off plumb, positive if its top comes in."""
    return Measured(lean_ratio(reading), level.ratio_off(reading.level))


def skew_of(reading: SkewReading, square: Instrument = USUAL_INSTRUMENTS.square) -> Measured:
    """Return a wall's tangent off square in plan, positive if side A is longer."""
    return Measured(reading.ratio, square.ratio_off(reading.leg))


def offset_off(
    reading: EndReading, height: Fraction, level: Instrument = USUAL_INSTRUMENTS.level
) -> Fraction:
    """Return the uncertainty of an end's offset: the wall's ratio's times the height."""
    return level.ratio_off(reading.level) * height


def skew_off(
    leg: Fraction, across: Fraction, square: Instrument = USUAL_INSTRUMENTS.square
) -> Fraction:
    """Return the uncertainty of a skew over `across` inches, measured with a square of that `leg`:
    the relief of a back over the board's thickness, or the slant of a bottom's end over its width.

    Raise `BadInput` for a leg of zero.
    """
    more_than_zero("square's leg", leg)
    return square.ratio_off(leg) * across


def end_ratios(lean: Measured, slope: OnSlope | None, end: End) -> Measured:
    """Return the tangent of an end's cut off square, as `end_ratio`. Its uncertainty is the worst
    of the corners: it grows with the lean and the slope.

    Raise `BadInput` for an end too steep to cut.
    """
    if slope is None:
        return lean
    nominal = _nominal(lean, slope, end)
    corners = (_added(t, a) for t, a in product(_ends_of(slope.tangent(end)), _ends_of(lean)))
    return Measured(nominal, max(abs(one - nominal) for one in corners))


def _nominal(lean: Measured, slope: OnSlope, end: End) -> Fraction:
    """Return the tangent of an end on a slope from the readings; raises `BadInput` as `end_ratio`
    does."""
    return exact(end_ratio(slope.pitch, lean.value, "low" if end == slope.low else "high"))


def room(
    run: Measured, leans: tuple[Measured, Measured], height: Fraction, slope: OnSlope | None = None
) -> Measured:
    """Return the length between both walls `height` inches up from the bottom edges, square to
    them, from the run along them: run - (both ends' tangents) x height.

    On a slope the pitch's error is common to both ends, and nearly cancels. Raise `BadInput` for an
    end too steep to cut.
    """
    first, second = leans
    if slope is None:
        both, off = first.value + second.value, first.off + second.off
    else:
        both = _nominal(first, slope, 1) + _nominal(second, slope, 2)
        corners = (
            one + two
            for tilt in _ends_of(slope.tangent(1))
            for one, two in product(_all_added(tilt, first), _all_added(-tilt, second))
        )
        off = max(abs(one - both) for one in corners)
    return Measured(run.value - both * height, run.off + off * height)


def twist(over_a: Measured, over_b: Measured, slope: OnSlope | None, end: End) -> Measured:
    """Return how much more a wall comes in per inch up at side B than at side A. The slope's own
    error is the same at both sides, so it nearly cancels.

    Raise `BadInput` for an end too steep to cut.
    """
    if slope is None:
        return Measured(over_b.value - over_a.value, over_a.off + over_b.off)
    nominal = _nominal(over_b, slope, end) - _nominal(over_a, slope, end)
    corners = (
        b - a
        for tilt in _ends_of(slope.tangent(end))
        for a, b in product(_all_added(tilt, over_a), _all_added(tilt, over_b))
    )
    return Measured(nominal, max(abs(one - nominal) for one in corners))


def _ends_of(one: Measured) -> tuple[Fraction, Fraction]:
    return one.least, one.most


def _all_added(tilt: Fraction, lean: Measured) -> list[Fraction]:
    return [_added(tilt, one) for one in _ends_of(lean)]


def _added(tilt: Fraction, lean: Fraction) -> Fraction:
    """Return the tangent of the sum of two angles, from their tangents."""
    return (tilt + lean) / (1 - tilt * lean)


def at_edges(
    rooms: Two, places: tuple[Fraction, Fraction], width: Fraction, squares: Two = (None, None)
) -> Two:
    """Return the length between the walls along two lines, `places` inches from side A's show
    face, from the rooms at both sides' show faces, `width` inches apart.

    Between two flat walls it changes evenly from the one to the other. Where one room alone is
    known, the squares at both walls say by how much. None if nothing says it.
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
