"""Bounds that what is given must keep."""

from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import BadInput

Number = int | float | Fraction | Decimal


def more_than_zero(what: str, value: Number, unit: str = " in") -> None:
    """Raise `BadInput` where `value`, which is called `what`, is not more than zero."""
    if value <= 0:
        raise BadInput(
            f"The {{what}} is {{value}}{unit}; it must be more than zero.", what=what, value=value
        )


def zero_or_more(what: str, value: Number, unit: str = " in") -> None:
    """Raise `BadInput` where `value`, which is called `what`, is below zero."""
    if value < 0:
        raise BadInput(
            f"The {{what}} is {{value}}{unit}; it must be zero or more.", what=what, value=value
        )
