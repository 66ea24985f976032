"""The lines of an invoice. A change order's line is of a type of its own."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from crewdesk.errors import BadInput
from crewdesk.length import INCHES_PER_FOOT, Length, exact
from crewdesk.trade.books.durations import HOUR
from crewdesk.trade.books.estimate import Material
from crewdesk.trade.books.money import amount, cents, part_of, percent

Sort = Literal["hours", "feet", "fixed", "material", "deposit", "less"]


@dataclass(frozen=True)
class Line:
    """One line of the base price; below zero only if it takes off what was billed before.

    Raises `BadInput`.
    """

    sort: Sort
    text: str
    amount: Decimal
    taxed: bool = False

    def __post_init__(self) -> None:
        _check(self.text, self.amount)
        if self.amount < 0 and self.sort != "less":
            raise BadInput(
                "{text} is {amount}, below zero; a credit takes back, not a line.",
                text=self.text,
                amount=self.amount,
            )


@dataclass(frozen=True)
class ChangeOrder:
    """Extra work: a fixed `price`, or `hour` for each hour; who took it on, and when."""

    key: str
    text: str
    price: Decimal | None = None
    hour: Decimal | None = None
    accepted_by: str = ""
    accepted_on: date | None = None


@dataclass(frozen=True)
class ExtraLine:
    """One line of extra work, under the change order `order`; never part of the base price.

    Raises `BadInput`: as `Line`.
    """

    order: str
    text: str
    amount: Decimal
    taxed: bool = False

    def __post_init__(self) -> None:
        _check(self.text, self.amount)
        if self.amount < 0:
            raise BadInput(
                "{text} is {amount}, below zero; a credit takes back, not a line.",
                text=self.text,
                amount=self.amount,
            )


def hours_line(text: str, billed_seconds: int, hour: Decimal, *, taxed: bool = False) -> Line:
    """A stage's billed time at so much an hour."""
    return Line("hours", text, amount(Fraction(billed_seconds, HOUR), hour), taxed)


def feet_line(text: str, length: Length, foot: Decimal, *, taxed: bool = False) -> Line:
    """`length` inches of beam at so much a foot."""
    return Line("feet", text, amount(exact(length) / INCHES_PER_FOOT, foot), taxed)


def fixed_line(text: str, price: Decimal, *, taxed: bool = False) -> Line:
    """A fixed price."""
    return Line("fixed", text, cents(price), taxed)


def material_line(material: Material, *, taxed: bool = False) -> Line:
    """Material with its waste and markup."""
    return Line("material", material.text, material.amount, taxed)


def deposit_line(text: str, base: Decimal, rate: Decimal, *, taxed: bool = False) -> Line:
    """`rate` percent of the base price ahead of the work; raises `BadInput` for a rate out of
    range."""
    return Line("deposit", text, part_of(base, percent(rate, "deposit")), taxed)


def less_line(text: str, billed: Decimal, *, taxed: bool = False) -> Line:
    """Takes off what earlier invoices billed of the same work."""
    return Line("less", text, -cents(billed), taxed)


def extra_line(order: ChangeOrder, billed_seconds: int = 0, *, taxed: bool = False) -> ExtraLine:
    """A change order's line, at its price or by the hours worked on it.

    Raises `BadInput` where it has not just one of
    price and hourly rate.
    """
    if not order.accepted_by or order.accepted_on is None:
        raise BadInput(
            "The change order {text} is not accepted; enter by whom and when before it is billed.",
            text=order.text,
        )
    if order.price is not None and order.hour is None:
        return ExtraLine(order.key, order.text, cents(order.price), taxed)
    if order.hour is not None and order.price is None:
        money = amount(Fraction(billed_seconds, HOUR), order.hour)
        return ExtraLine(order.key, order.text, money, taxed)
    raise BadInput(
        "The change order {text} needs a price or an hourly rate, just one of them.",
        text=order.text,
    )


def _check(text: str, money: Decimal) -> None:
    if not text.strip():
        raise BadInput("A line of {amount} has no text; say what it is for.", amount=money)
    if money != cents(money):
        raise BadInput(
            "{text} is {amount}, with parts of a cent; give whole cents.", text=text, amount=money
        )
