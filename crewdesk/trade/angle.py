"""Angles in degrees, and their tangents."""

import math
import re
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.length import Length, exact

_ANGLE = (
    r"(\d{1,3}(?:\.\d{0,12})?|\.\d{1,12}|(\d{1,3})[ -](\d{1,2})/(\d{1,2}))"
    r" ?(?:deg(?:rees?)?|\u00b0)?"
)
_EXACT_TANGENT = {Fraction(0): Fraction(0), Fraction(45): Fraction(1)}


def read_angle(text: str, below: int = 90) -> Fraction:
    """Return an angle in degrees: ``15``, ``26.565deg``, ``22-1/2``, ``15 degrees``.

    Raises `BadInput` if the text isn't an angle from 0 to under `below`, or its fraction is not
    below 1.
    """
    m = re.fullmatch(_ANGLE, text.strip().lower())
    if m is None or (m[4] is not None and int(m[3]) >= int(m[4])):
        raise BadInput(
            "{text} isn't an angle. Type degrees from 0 to below {below}, for example "
            "15 or 22-1/2.",
            text=text.strip()[:20],
            below=below,
        )
    value = Fraction(m[1]) if m[2] is None else int(m[2]) + Fraction(int(m[3]), int(m[4]))
    if value >= below:
        raise BadInput(
            "{text} isn't an angle. Type degrees from 0 to below {below}, for example "
            "15 or 22-1/2.",
            text=text.strip()[:20],
            below=below,
        )
    return value


def tangent(degrees: Fraction) -> Length:
    """Return the tangent of an angle in degrees.

    Exact at 0 and 45, the only angles of a fraction of degrees below 90 whose tangent is
    rational (Niven's theorem and its corollaries); a float otherwise.
    """
    return _EXACT_TANGENT.get(degrees, math.tan(math.radians(degrees)))


def arctangent(ratio: Length) -> float:
    """Return the angle in degrees whose tangent is `ratio`."""
    return math.degrees(math.atan(ratio))


def times(factor: Fraction, value: Length) -> Length:
    """Return `factor` x `value`, exact if both are, and exactly 0 if either is 0."""
    if isinstance(value, Fraction):
        return factor * value
    return Fraction(0) if factor == 0 else float(factor * exact(value))
