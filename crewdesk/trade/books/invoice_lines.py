"""The lines of an invoice; a change order's line has its own type."""

from collections.abc import Mapping, Sequence
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
from crewdesk.trade.books.rounding import shares

Sort = Literal["hours", "feet", "fixed", "material", "deposit", "less"]


@dataclass(frozen=True)
class Line:
    """One line of the base price; below zero only if it subtracts earlier billing.

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
                "{text} is {amount}, below zero. Enter a credit instead.",
                text=self.text,
                amount=self.amount,
            )


@dataclass(frozen=True)
class ChangeOrder:
    """Extra work: a fixed `price`, or an hourly rate `hour`; who accepted it, and when."""

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
                "{text} is {amount}, below zero. Enter a credit instead.",
                text=self.text,
                amount=self.amount,
            )


def hours_line(text: str, billed_seconds: int, hour: Decimal, *, taxed: bool = False) -> Line:
    """Return the line of a stage's billed time at an hourly rate."""
    return Line("hours", text, amount(Fraction(billed_seconds, HOUR), hour), taxed)


def feet_line(text: str, length: Length, foot: Decimal, *, taxed: bool = False) -> Line:
    """Return the line of `length` inches of beam at a price per foot."""
    return Line("feet", text, amount(exact(length) / INCHES_PER_FOOT, foot), taxed)


def fixed_line(text: str, price: Decimal, *, taxed: bool = False) -> Line:
    """Return the line of a fixed price."""
    return Line("fixed", text, cents(price), taxed)


def material_line(material: Material, *, taxed: bool = False) -> Line:
    """Return the line of material with its waste and markup."""
    return Line("material", material.text, material.amount, taxed)


def deposit_line(text: str, base: Decimal, rate: Decimal, *, taxed: bool = False) -> Line:
    """Return the line of a deposit, `rate` percent of the base price before the work; raises
    `BadInput` for a rate out of range."""
    return Line("deposit", text, part_of(base, percent(rate, "deposit")), taxed)


def less_line(text: str, billed: Decimal, *, taxed: bool = False) -> Line:
    """Return the line that subtracts what earlier invoices billed of the same work."""
    return Line("less", text, -cents(billed), taxed)


def extra_line(order: ChangeOrder, billed_seconds: int = 0, *, taxed: bool = False) -> ExtraLine:
    """Return a change order's line, at its price or by its hours.

    Raises `BadInput` unless it has either a price or an hourly rate.
    """
    if not order.accepted_by or order.accepted_on is None:
        raise BadInput(
            "The change order {text} hasn't been accepted. Enter by whom and when "
            "before you bill it.",
            text=order.text,
        )
    if order.price is not None and order.hour is None:
        return ExtraLine(order.key, order.text, cents(order.price), taxed)
    if order.hour is not None and order.price is None:
        money = amount(Fraction(billed_seconds, HOUR), order.hour)
        return ExtraLine(order.key, order.text, money, taxed)
    raise BadInput(
        "The change order {text} needs either a price or an hourly rate.",
        text=order.text,
    )


def _check(text: str, money: Decimal) -> None:
    if not text.strip():
        raise BadInput("A line of {amount} has no text. Type what it is for.", amount=money)
    if money != cents(money):
        raise BadInput(
            "{text} is {amount}, with parts of a cent. Type whole cents.", text=text, amount=money
        )


@dataclass(frozen=True)
class Tick:
    """One step of the run sheet on one piece: its stage, estimated minutes, done or not."""

    stage: str
    minutes: Fraction
    done: bool


@dataclass(frozen=True)
class StageDone:
    """A stage's estimated minutes, and the part of them that is done, 0 to 1."""

    stage: str
    minutes: Fraction
    part: Fraction


def stages_done(ticks: Sequence[Tick]) -> tuple[StageDone, ...]:
    """Return each stage's part done, in the order first met, weighted by estimated minutes.

    Steps without minutes count alike where a whole stage has none.
    Raises `BadInput`.
    """
    found = []
    for stage in dict.fromkeys(tick.stage for tick in ticks):
        own = [tick for tick in ticks if tick.stage == stage]
        if any(tick.minutes < 0 for tick in own):
            raise BadInput(
                "A step of stage {stage} has minutes below zero. Type zero or more.", stage=stage
            )
        minutes = sum((tick.minutes for tick in own), Fraction(0))
        if minutes:
            done = sum((tick.minutes for tick in own if tick.done), Fraction(0))
            found.append(StageDone(stage, minutes, done / minutes))
        else:
            part = Fraction(sum(tick.done for tick in own), len(own))
            found.append(StageDone(stage, minutes, part))
    return tuple(found)


def part_done(stages: Sequence[StageDone]) -> Fraction:
    """Return the part of the whole job that is done, 0 to 1, by estimated minutes."""
    minutes = sum((stage.minutes for stage in stages), Fraction(0))
    if not minutes:
        return Fraction(0)
    return sum((stage.minutes * stage.part for stage in stages), Fraction(0)) / minutes


def stage_values(base: Decimal, stages: Sequence[StageDone]) -> tuple[Decimal, ...]:
    """Return each stage's value once done: the base shared by minutes, to the cent."""
    worth = shares(int(cents(base) * 100), [stage.minutes for stage in stages])
    return tuple(cents(Fraction(whole, 100)) for whole in worth)


def percent_text(part: Fraction) -> str:
    """Return a part of 1 as a whole percent, rounded to the nearest: ``85%``.

    What is begun shows at least 1%, and what isn't all done at most 99%.
    """
    percent = int(part * 100 + Fraction(1, 2))
    return f"{min(max(percent, int(part > 0)), 99 if part < 1 else 100)}%"


def progress_lines(
    base: Decimal,
    stages: Sequence[StageDone],
    names: Mapping[str, str] | None = None,
    *,
    taxed: bool = False,
) -> tuple[Line, ...]:
    """Return the earned lines of the base price, by stage; a stage not begun has none.

    The base is shared among the stages by their minutes, exact to the cent, so that
    a job all done has earned the base and no cent more.
    """
    if not stages:
        return ()
    found = []
    for stage, whole in zip(stages, stage_values(base, stages), strict=True):
        earned = cents(Fraction(whole) * stage.part)
        if earned:
            name = (names or {}).get(stage.stage, stage.stage)
            found.append(fixed_line(name, earned, taxed=taxed))
    return tuple(found)
