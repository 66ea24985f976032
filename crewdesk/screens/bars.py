"""Bars of signs, told apart by their signs and not by colour."""

from collections.abc import Iterable
from fractions import Fraction


def bar(parts: Iterable[tuple[int | Fraction, str]], most: int | Fraction, width: int) -> str:
    """Each part drawn with its sign, one after the other, `most` being as long as `width`.

    Ends are rounded to the nearest sign, so the whole is never off by more than half of one.
    """
    if not most or width <= 0:
        return ""
    text, sum_ = "", Fraction(0)
    for size, sign in parts:
        sum_ += size
        text += sign * (round(width * sum_ / most) - len(text))
    return text
