"""Parse values and rows of files, which may be hand-written; each error becomes one sentence."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.text_limits import brief, comes_in

if TYPE_CHECKING:
    from types import TracebackType


@contextmanager
def refusing_alone() -> Iterator[None]:
    """Raise errors of `trade` inside as `NotAllowed`, with their sentence and places."""
    try:
        yield
    except BadInput as refusal:
        refused = NotAllowed(str(refusal))
        for place in getattr(refusal, "__notes__", ()):
            refused.add_note(place)
        raise refused from None


@contextmanager
def read_plainly(what: str, built: str) -> Iterator[None]:
    """Parse a document inside; raise only `NotAllowed`.

    `what` names it if something is missing; `built` ends the sentence if a value has the wrong
    type.
    """
    try:
        with refusing_alone():
            yield
    except KeyError as lacking:
        raise NotAllowed(f"{_inside(what, lacking)} has no {lacking.args[0]}.") from None
    except (TypeError, AttributeError, ValueError) as error:
        raise NotAllowed(f"{_inside(what, error)} isn't written as {built}.") from None


class within:  # noqa: N801 - reads as a word of the `with` statement
    """Add the place in a row to errors raised inside: see `places_of`.

    `name`, as the row has it, is quoted after the place.
    """

    __slots__ = ("name", "place")

    def __init__(self, place: str, name: object = None) -> None:
        self.place, self.name = place, name

    def __enter__(self) -> None:
        pass

    def __exit__(
        self,
        _kind: type[BaseException] | None,
        error: BaseException | None,
        _traceback: TracebackType | None,
    ) -> None:
        if error is not None:
            error.add_note(self.place if self.name is None else f"{self.place} {brief(self.name)}")


def places_of(error: BaseException) -> tuple[str, ...]:
    """Return the places in a row where an error was raised, the outermost first."""
    return tuple(reversed(getattr(error, "__notes__", ())))


def _inside(what: str, error: Exception) -> str:
    return ", ".join((what, *places_of(error)))


LARGEST = 10**9
"""The largest number that may come into a job."""
FIRST_YEAR, LAST_YEAR = 1970, 2200
_CENTS = r"-?\d{1,9}\.\d\d"
_PERCENT = r"\d{1,4}(?:\.\d{1,6})?"


def read_amount(text: Any, what: str, *, below_zero: bool = False) -> Decimal:
    """Return an amount from the record; raises `NotAllowed`."""
    from crewdesk.trade.books.money import MOST  # a cut list needs none

    if not isinstance(text, str) or not re.fullmatch(_CENTS, text) or not as_number(text):
        raise NotAllowed(f'The {what} {brief(text)} isn\'t money. It must be text like "85.00".')
    found = Decimal(text)
    if found < 0 and not below_zero:
        raise NotAllowed(f"The {what} {text} is below zero. Only a credit can be.")
    if abs(found) > MOST:
        raise NotAllowed(
            f"The {what} {text} is more than any job here costs; the limit is {MOST:,}."
        )
    return found


def read_part(text: Any, sort: str) -> Decimal:
    """Return a percentage of a sort from the record; raises `NotAllowed` or `BadInput`."""
    if not isinstance(text, str) or not re.fullmatch(_PERCENT, text) or not as_number(text):
        raise NotAllowed(
            f'The {sort} {brief(text)} isn\'t a percentage. It must be text like "7.5".'
        )
    from crewdesk.trade.books.money import percent

    return percent(Decimal(text), sort)


def read_date(text: Any, what: str) -> date:
    """Return a day from the record; raises `NotAllowed`."""
    try:
        if not isinstance(text, str) or len(text) != len("2026-03-02"):
            raise ValueError
        found = date.fromisoformat(text)
    except ValueError:
        raise NotAllowed(
            f"The date {brief(text)} of a {what} isn't in the calendar. It must be like 2026-03-02."
        ) from None
    if not FIRST_YEAR <= found.year <= LAST_YEAR:
        raise NotAllowed(
            f"The date {text} of a {what} can't be right. It must be from {FIRST_YEAR} "
            f"to {LAST_YEAR}."
        )
    return found


def read_quantity(text: Any, what: str) -> Fraction:
    """Return a quantity from the record or as typed: ``12``, ``3/4``, ``2.5``; raises
    `NotAllowed`."""
    try:
        if not isinstance(text, str) or len(text) > 30 or not as_number(text):
            raise ValueError
        found = Fraction(text.replace(",", "") if "/" not in text else text)
    except (ValueError, ZeroDivisionError):
        raise NotAllowed(
            f"{brief(text)} isn't a quantity of {what}. Type it like 12, 2.5 or 3/4."
        ) from None
    if not 0 <= found <= 1_000_000:
        raise NotAllowed(f"The quantity of {what} must be from 0 to 1,000,000, not {text}.")
    return found


def fraction(text: Any, what: str) -> Fraction:
    """Return an exact fraction from the record; raises `NotAllowed`."""
    try:
        if not isinstance(text, str) or len(text) > 100 or not as_number(text):
            raise ValueError
        found = _parsed(text)
    except (ValueError, ZeroDivisionError):
        raise NotAllowed(
            f'The {what} {brief(text)} isn\'t an exact number. It must be text like "587/4".'
        ) from None
    if comes_in() and abs(found) > LARGEST:
        raise NotAllowed(f"The {what} {brief(text)} is too large; the limit is {LARGEST:,}.")
    return found


@lru_cache(maxsize=1024)
def _parsed(text: str) -> Fraction:
    """Return the fraction of a text; cached, since a job's rows repeat many."""
    return Fraction(text)


def as_number(text: str) -> bool:
    """Return whether a number has no exponent and, if new, no `_` and no digits of other scripts,
    which older versions accepted."""
    if "e" in text.lower():
        return False
    return (text.isascii() and "_" not in text) or not comes_in()


def moment(text: Any, what: str) -> datetime:
    """Return a time with its offset from the record; raises `NotAllowed`."""
    try:
        when = datetime.fromisoformat(text)
    except (TypeError, ValueError):
        raise NotAllowed(
            f"The time {brief(text)} of a {what} isn't ISO 8601, like 2026-03-02T07:30:00-05:00."
        ) from None
    if when.tzinfo is None:
        raise NotAllowed(
            f"The time {text} of a {what} has no offset. It must be like {text}-05:00."
        )
    if not FIRST_YEAR <= when.year <= LAST_YEAR:
        raise NotAllowed(
            f"The time {text} of a {what} can't be right. It must be from {FIRST_YEAR} "
            f"to {LAST_YEAR}."
        )
    return when
