"""Lengths: exact inside, rounded only when shown. `read_length.py` parses them.

A length is a `fractions.Fraction` of an inch. A length that a tangent made irrational is a `float`
of inches instead, good to about 15 digits; the type shows which it is. One inch is exactly 25.4 mm
(NIST SP 811, appendix B; the yard is exactly 0.9144 m).
"""

from decimal import Decimal
from fractions import Fraction
from math import gcd
from typing import Literal, NamedTuple, TypeAlias

Length: TypeAlias = Fraction | float

MM_PER_INCH = Fraction(254, 10)
INCHES_PER_FOOT = 12
SIXTEENTH = Fraction(1, 16)
THIRTY_SECOND = Fraction(1, 32)
SIXTY_FOURTH = Fraction(1, 64)
Way = Literal["near", "down", "up"]
"""The direction in which a shown length is rounded."""
_BLUR = Fraction(1, 10**9)
"""The accuracy of floats, in inches."""
HIDDEN_AT_MOST = Fraction(1, 128)
"""Rounding by more than this is shown with a `+` or a `-`."""


class Step(NamedTuple):
    """The step of shown lengths: `size` in inches; `mm` if shown in millimeters."""

    name: str
    size: Fraction
    mm: bool = False


STEPS = {
    step.name: step
    for step in (
        Step("1/16", SIXTEENTH),
        Step("1/32", THIRTY_SECOND),
        Step("1/64", SIXTY_FOURTH),
        Step("mm", 1 / MM_PER_INCH, mm=True),
    )
}
DEFAULT_STEP = STEPS["1/32"]


def exact(value: Length) -> Fraction:
    """Return `value` as a fraction; a float becomes exactly the number it holds."""
    return value if isinstance(value, Fraction) else Fraction(value)


def nearest(value: Length, step: Fraction) -> Fraction:
    """Return `value` rounded to the nearest multiple of `step` inches, ties away from zero."""
    return rounded(value, step)


def rounded_up(value: Length, step: Fraction) -> Fraction:
    """Return the least multiple of `step` inches that is not below `value`."""
    return rounded(value, step, "up")


def rounded_down(value: Length, step: Fraction) -> Fraction:
    """Return the greatest multiple of `step` inches that is not above `value`."""
    return rounded(value, step, "down")


def rounded(value: Length, step: Fraction, way: Way = "near") -> Fraction:
    """Return `value` to a multiple of `step` inches: the nearest, the one below or above."""
    return _steps(value, step, way) * step


def _steps(value: Length, step: Fraction, way: Way) -> int:
    """Return `value` as a multiple of `step`. When rounding up or down, a float within a billionth
    of a multiple counts as that multiple."""
    (top, bottom), (size, parts) = value.as_integer_ratio(), step.as_integer_ratio()
    top, bottom = top * parts, bottom * size
    steps = (2 * abs(top) + bottom) // (2 * bottom)
    near = steps if top >= 0 else -steps
    if way == "near" or (isinstance(value, float) and abs(exact(value) - near * step) < _BLUR):
        return near
    return top // bottom if way == "down" else -(-top // bottom)


def show_at_most(value: Length, step: Step = DEFAULT_STEP) -> str:
    """Return `value` rounded down to the step, for a length that must never be cut over."""
    return show_length(value, step, way="down")


def show_up(value: Length, step: Step = DEFAULT_STEP) -> str:
    """Return `value` rounded up to the step, for a length that must never be cut under."""
    return show_length(value, step, way="up")


def mixed(value: Fraction) -> str:
    """Return inches as a whole number and a fraction: ``146 3/4``, ``-5/32``, ``0``."""
    return _mixed(value.numerator, value.denominator)


def _mixed(top: int, bottom: int) -> str:
    sign = "-" if top < 0 else ""
    whole, rest = divmod(abs(top), bottom)
    if rest == 0:
        return f"{sign}{whole}"
    common = gcd(rest, bottom)
    part = f"{rest // common}/{bottom // common}"
    return f"{sign}{whole} {part}" if whole else f"{sign}{part}"


def to_type(value: Fraction, step: Step) -> str:
    """Return an exact length in typed form if lengths are shown to `step`. The unit is added if a
    bare number would mean millimeters; millimeters are used if three decimals give them exactly."""
    if not step.mm:
        return mixed(value)
    thousandths = value * MM_PER_INCH * 1000
    if thousandths.denominator > 1:
        return f"{mixed(value)} in"
    return f"{Decimal(thousandths.numerator) / 1000:f} mm"


def feet_and_inches(value: Fraction) -> str:
    """Return ``12' 3 5/16"``; below one foot ``3 5/16"``."""
    sign = "-" if value < 0 else ""
    feet, inches = divmod(abs(value), INCHES_PER_FOOT)
    return f"{sign}{feet}' {mixed(inches)}\"" if feet else f'{sign}{mixed(inches)}"'


def show_length(
    value: Length, step: Step = DEFAULT_STEP, *, feet: bool = False, way: Way = "near"
) -> str:
    """Return `value` inches rounded to the step: the nearest (ties away from zero), down or up.

    A `+` after it means that the true length is longer than shown, a `-` that it is shorter, if
    rounding hid more than 1/128 in.
    """
    steps = _steps(value, step.size, way)
    # The rounding error is over / under inches; whole numbers, for every length shown asks it.
    (top, bottom), (size, parts) = value.as_integer_ratio(), step.size.as_integer_ratio()
    under, over = bottom * parts, top * parts - steps * size * bottom
    much = abs(over) * HIDDEN_AT_MOST.denominator > under * HIDDEN_AT_MOST.numerator
    mark = ("+" if over > 0 else "-") if much else ""
    if step.mm:
        return f"{steps}{mark} mm"
    if feet:
        return feet_and_inches(steps * step.size) + mark
    return _mixed(steps * size, parts) + mark


def exact_text(value: Length) -> str:
    """Return `value` exactly: ``587/4``; an irrational one with 12 decimals."""
    return str(value) if isinstance(value, Fraction) else f"{value:.12f}"
