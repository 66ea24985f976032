"""Exact whole numbers for the solver: a common unit of lengths, and one of money."""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from math import gcd, lcm


def length_unit(lengths: Iterable[Fraction]) -> Fraction:
    """The greatest length of which every one of these is a whole number; 1 for none."""
    given = [x for x in lengths if x]
    if not given:
        return Fraction(1)
    below = lcm(*(x.denominator for x in given))
    return Fraction(gcd(*(int(x * below) for x in given)), below)


def money_unit(prices: Iterable[Decimal]) -> Decimal:
    """The greatest sum of which every one of these is a whole number; 1 for none."""
    unit = length_unit(Fraction(p) for p in prices)
    return Decimal(unit.numerator) / Decimal(unit.denominator)
