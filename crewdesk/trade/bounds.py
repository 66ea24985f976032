"""Check bounds when a value is made, so that none is ever out of bounds.

A `NamedTuple` class is created in a third of a millisecond, a frozen dataclass in one or two, and
importing its module takes thirty: a cut list must print in the time of dozens of them.
"""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from functools import wraps
from typing import Any, Protocol, TypeVar

from crewdesk.errors import BadInput

Number = int | float | Fraction | Decimal


def more_than_zero(what: str, value: Number, unit: str = " in") -> None:
    """Raise `BadInput` if `value`, named `what`, is not more than zero."""
    if value <= 0:
        raise BadInput(
            f"The {{what}} is {{value}}{unit}; it must be more than zero.", what=what, value=value
        )


def zero_or_more(what: str, value: Number, unit: str = " in") -> None:
    """Raise `BadInput` if `value`, named `what`, is below zero."""
    if value < 0:
        raise BadInput(
            f"The {{what}} is {{value}}{unit}; it must be zero or more.", what=what, value=value
        )


class _Checked(Protocol):
    def check(self) -> None: ...


_Value = TypeVar("_Value", bound=_Checked)


def checked(value: type[_Value]) -> type[_Value]:
    """Decorate a `NamedTuple` so that `check` runs on each one made, also by `_replace`."""
    bare = value.__new__

    @wraps(bare)
    def new(cls: type[_Value], *args: Any, **named: Any) -> _Value:
        made: _Value = bare(cls, *args, **named)
        made.check()
        return made

    def make(cls: type[_Value], values: Iterable[Any]) -> _Value:
        return new(cls, *values)

    value.__new__ = new  # type: ignore[assignment]
    value._make = classmethod(make)  # type: ignore[attr-defined]
    return value
