"""Money, percentages, days and quantities as the record keeps them: exact, as text."""

import re
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.readings import FIRST_YEAR, LAST_YEAR, as_number
from crewdesk.job.words import brief
from crewdesk.trade.books.money import MOST, percent

_CENTS = re.compile(r"-?\d{1,9}\.\d\d")
_PERCENT = re.compile(r"\d{1,4}(?:\.\d{1,6})?")


def read_amount(text: Any, what: str, *, below_zero: bool = False) -> Decimal:
    """An amount out of the record; raises `NotAllowed`."""
    if not isinstance(text, str) or not _CENTS.fullmatch(text) or not as_number(text):
        raise NotAllowed(f'The {what} {brief(text)} is not money; write it as text, as "85.00".')
    found = Decimal(text)
    if found < 0 and not below_zero:
        raise NotAllowed(
            f"The {what} {text} is below zero; a credit takes back, nothing else does."
        )
    if abs(found) > MOST:
        raise NotAllowed(
            f"The {what} {text} is more than any job here costs; the most is {MOST:,}."
        )
    return found


def read_part(text: Any, sort: str) -> Decimal:
    """A percentage of a sort out of the record; raises `NotAllowed` or `BadInput`."""
    if not isinstance(text, str) or not _PERCENT.fullmatch(text) or not as_number(text):
        raise NotAllowed(f'The {sort} {brief(text)} is not in percent; write it as text, as "7.5".')
    return percent(Decimal(text), sort)


def read_date(text: Any, what: str) -> date:
    """A day out of the record; raises `NotAllowed`."""
    try:
        if not isinstance(text, str) or len(text) != len("2026-03-02"):
            raise ValueError
        found = date.fromisoformat(text)
    except ValueError:
        raise NotAllowed(
            f"The day {brief(text)} of a {what} is not in the calendar; write it as 2026-03-02."
        ) from None
    if not FIRST_YEAR <= found.year <= LAST_YEAR:
        raise NotAllowed(
            f"The day {text} of a {what} can't be right; years from "
            f"{FIRST_YEAR} to {LAST_YEAR} are read."
        )
    return found


def read_quantity(text: Any, what: str) -> Fraction:
    """How many, out of the record or as typed: ``12``, ``3/4``, ``2.5``; raises `NotAllowed`."""
    try:
        if not isinstance(text, str) or len(text) > 30 or not as_number(text):
            raise ValueError
        found = Fraction(text.replace(",", "") if "/" not in text else text)
    except (ValueError, ZeroDivisionError):
        raise NotAllowed(f"{brief(text)} is no quantity of {what}; write 12, 2.5 or 3/4.") from None
    if not 0 <= found <= 1_000_000:
        raise NotAllowed(f"The quantity of {what} must be from 0 to 1,000,000, not {text}.")
    return found
