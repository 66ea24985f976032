"""Slopes: their pitch and length."""

import math
import re
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import Length, exact
from crewdesk.trade.angle import arctangent, read_angle, tangent
from crewdesk.trade.bounds import checked, more_than_zero
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, Instrument
from crewdesk.trade.read_length import read_length

STEEPEST = 75
"""The steepest slope, in degrees; a steeper one is treated as a typo."""
PER_FOOT = 12
_OVER_TWELVE = r"(.+?) ?(?:/|in) ?12"
_DEGREES = r"(?s:.*)(?:\u00b0|deg(?:rees?)?)"
RISE_STEP = Fraction(1, 8)
"""The step of the rise of a pitch in 12, in inches (common practice, no source)."""
DEGREES_OFF = Fraction(1, 5)
"""The uncertainty of an angle measured with a digital angle gauge, in degrees (common practice, no
source)."""


@checked
class Pitch(NamedTuple):
    """A slope by its `tangent`, rise over run: exact if it was given as rise and run.

    `off` is the tangent's uncertainty as measured; 0 if not measured.

    Raises `BadInput`.
    """

    tangent: Length
    off: Length = Fraction(0)

    def check(self) -> None:
        """Raise `BadInput` for a value out of bounds."""
        if self.tangent < 0:
            raise BadInput(
                "The pitch is {value}; it must be zero or more, measured up from the low end.",
                value=self.tangent,
            )
        if self.degrees > STEEPEST:
            raise BadInput(
                "A slope of {degrees} degrees is steeper than a ceiling; the limit is "
                "{limit}. Measure it again.",
                degrees=self.degrees,
                limit=STEEPEST,
            )

    @property
    def degrees(self) -> float:
        """The slope off level in degrees, which is also the plumb cut off square."""
        return arctangent(self.tangent)

    @property
    def length_per_run(self) -> Length:
        """Slope length over run: 1 / cos = sqrt(1 + tangent^2), by Pythagoras."""
        return square_root(1 + self.tangent * self.tangent)


def read_pitch(text: str) -> Pitch:
    """Return a typed pitch: ``6/12`` or ``6-1/2 in 12``, ``26.565deg``, or two readings RISE:RUN.

    Its uncertainty is half of `RISE_STEP` in 12, `DEGREES_OFF`, or that of both readings with the
    usual tape. Raises `BadInput`, and what a length, an angle or a pitch raises.
    """
    plain = text.strip().lower()
    rise, colon, run = plain.partition(":")
    if colon:
        up, along = read_length(rise), read_length(run)
        return pitch_of(up, along)._replace(off=pitch_off_by_two(up, along, USUAL_INSTRUMENTS.tape))
    if m := re.fullmatch(_OVER_TWELVE, plain):
        return Pitch(read_length(m[1]) / PER_FOOT, RISE_STEP / 2 / PER_FOOT)
    if re.fullmatch(_DEGREES, plain):
        angle = read_angle(plain)
        return Pitch(tangent(angle), exact(tangent(angle + DEGREES_OFF)) - exact(tangent(angle)))
    raise BadInput(
        "{text} isn't a pitch. Type rise per 12 like 6/12, degrees like 26.565deg, or "
        "two readings as RISE:RUN.",
        text=text.strip()[:20],
    )


def pitch_of(rise: Fraction, run: Fraction) -> Pitch:
    """Return the pitch of two readings; raises `BadInput` without a run."""
    more_than_zero("slope's run", run)
    return Pitch(rise / run)


def pitch_off_by_two(rise: Fraction, run: Fraction, read_with: Instrument) -> Fraction:
    """Return how far a pitch's tangent can be off where rise and run, in inches, were both read
    with one instrument: the steepest that both readings allow, minus their value.

    Of a run so short that it may be half of what was read, half is taken. Raises `BadInput`
    without a run.
    """
    more_than_zero("slope's run", run)
    off = read_with.length_off
    return (1 + rise / run) * off / max(run - off, run / 2)


def square_root(value: Length) -> Length:
    """Return the square root of a number of zero or more: exact if it is rational, else a float."""
    if isinstance(value, Fraction):
        top, bottom = math.isqrt(value.numerator), math.isqrt(value.denominator)
        if top * top == value.numerator and bottom * bottom == value.denominator:
            return Fraction(top, bottom)
    return math.sqrt(value)


class Slope(NamedTuple):
    """A right triangle under a slope: `run` level, `rise` plumb, `length` along it, inches."""

    pitch: Pitch
    run: Length
    rise: Length
    length: Length


def slope(
    pitch: Pitch | None = None,
    run: Fraction | None = None,
    rise: Fraction | None = None,
    length: Fraction | None = None,
) -> Slope:
    """Return the whole triangle from any two of its four measures.

    Raises `BadInput`.
    """
    given = {"run": run, "rise": rise, "length": length}
    for name, value in given.items():
        if value is not None and (value < 0 or (value == 0 and name != "rise")):
            raise BadInput(
                "The slope's {name} is {value} in; it must be more than zero.",
                name=name,
                value=value,
            )
    count = sum(value is not None for value in (pitch, run, rise, length))
    if count != 2:
        raise BadInput(
            "A slope needs exactly two of pitch, run, rise and length; {count} were typed.",
            count=count,
        )
    if pitch is None:
        return _without_pitch(run, rise, length)
    if run is not None:
        return _from_run(pitch, run)
    if length is not None:
        return Slope(
            pitch,
            _over(length, pitch.length_per_run),
            _over(length * pitch.tangent, pitch.length_per_run),
            length,
        )
    assert rise is not None
    if pitch.tangent == 0 or rise == 0:
        raise BadInput(
            "A rise of {rise} in and a slope without pitch don't say how long it is. "
            "Type its run or its length.",
            rise=rise,
        )
    level = _over(rise, pitch.tangent)
    return Slope(pitch, level, rise, level * pitch.length_per_run)


def _from_run(pitch: Pitch, run: Length) -> Slope:
    return Slope(pitch, run, run * pitch.tangent, run * pitch.length_per_run)


def _without_pitch(run: Fraction | None, rise: Fraction | None, length: Fraction | None) -> Slope:
    if run is not None and rise is not None:
        return Slope(pitch_of(rise, run), run, rise, square_root(run * run + rise * rise))
    assert length is not None
    leg = run if run is not None else rise
    assert leg is not None
    if leg > length or (leg == length and run is None):
        raise BadInput(
            "A run or rise of {leg} in doesn't fit a slope {length} in long. Measure both again.",
            leg=leg,
            length=length,
        )
    other = square_root(length * length - leg * leg)
    level, plumb = (leg, other) if run is not None else (other, leg)
    return Slope(Pitch(_over(plumb, level)), level, plumb, length)


def _over(top: Length, bottom: Length) -> Length:
    if isinstance(top, Fraction) and isinstance(bottom, Fraction):
        return top / bottom
    return float(top) / float(bottom)


def shortened(whole: Slope, run: Fraction) -> Slope:
    """Return the same slope with `run` inches less run.

    Raises `BadInput` if nothing is left.
    """
    if run >= whole.run:
        raise BadInput(
            "Half the ridge beam takes {taken} in of a run of {run} in. Measure the "
            "run to the ridge's center line.",
            run=exact(whole.run),
            taken=run,
        )
    return _from_run(whole.pitch, whole.run - run)
