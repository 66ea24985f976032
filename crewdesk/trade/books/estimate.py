"""The estimated price of a job: low, likely and high, with the reasons.

Nothing here mixes in change orders; they are lines of their own on an invoice.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from crewdesk.errors import BadInput
from crewdesk.length import INCHES_PER_FOOT, exact
from crewdesk.trade.books.money import (
    SORTS,
    ZERO,
    Rate,
    Sort,
    Taxable,
    TaxPer,
    amount,
    cents,
    part_of,
    percent,
    tax,
)
from crewdesk.trade.books.stage_rates import Beams, Factors, StageRate, load_of


@dataclass(frozen=True)
class Material:
    """A quantity of material at a unit price; `waste` is bought in addition, `markup` added to the
    price.

    Both in percent. A takeoff's quantities include their waste: 0 there. Raises `BadInput`.
    """

    text: str
    quantity: Fraction
    price: Decimal
    sort: Literal["materials", "consumables"] = "materials"
    waste: Decimal = Decimal(0)
    markup: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        if self.quantity < 0 or self.price < 0:
            raise BadInput(
                "{text} has a quantity or price below zero. Both must be zero or more.",
                text=self.text,
            )
        percent(self.waste, "waste")
        percent(self.markup, "markup")

    @property
    def cost(self) -> Decimal:
        """Its cost, with waste, to the cent."""
        return amount(self.quantity * (1 + Fraction(self.waste) / 100), self.price)

    @property
    def amount(self) -> Decimal:
        """The customer's price: the cost and its markup, to the cent."""
        return self.cost + part_of(self.cost, self.markup)


@dataclass(frozen=True)
class Pricing:
    """The shop's pricing: hourly rate, percentages, what is taxed, rounding.

    `stages` holds rates of stages that are priced otherwise: by another hour, by the foot of beam
    or by the beam, which then costs the same in low, likely and high. `overhead` is put on labor,
    materials and consumables; `profit` on these and the overhead. The sum before tax goes to a
    multiple of `round_to`, the nearest or up. Raises `BadInput`.
    """

    hour: Decimal
    overhead: Decimal = Decimal(0)
    profit: Decimal = Decimal(0)
    tax: Decimal = Decimal(0)
    tax_per: TaxPer = "invoice"
    taxed: frozenset[Sort] = frozenset()
    round_to: Decimal = Decimal("0.01")
    round_up: bool = False
    stages: Mapping[str, Rate] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.hour <= 0:
            raise BadInput("The hourly rate is {rate}; it must be more than zero.", rate=self.hour)
        if self.round_to <= 0 or self.round_to != cents(self.round_to):
            raise BadInput(
                "A price can't be rounded to {step}. Type 0.01, 1, 10 or the like.",
                step=self.round_to,
            )
        for sort in ("overhead", "profit", "tax"):
            percent(getattr(self, sort), sort)
        if strange := sorted(self.taxed - set(SORTS)):
            raise BadInput(
                "Tax can't be set for {sort}. It can be set for {known}.",
                sort=strange[0],
                known=SORTS,
            )


@dataclass(frozen=True)
class PriceLine:
    """One line: labor's `key` is its stage, a material's its own text, else the sort."""

    sort: Sort
    key: str
    amount: Decimal
    taxed: bool


@dataclass(frozen=True)
class Price:
    """A price made up of lines: subtotal is their sum, total that and the tax."""

    lines: tuple[PriceLine, ...]
    subtotal: Decimal
    tax: Decimal
    total: Decimal


@dataclass(frozen=True)
class StageMinutes:
    """A stage's minutes, and their rate."""

    rate: StageRate
    low: Fraction
    likely: Fraction
    high: Fraction


@dataclass(frozen=True)
class Reason:
    """A reason for the price: a fixed name and the facts of its sentence."""

    name: str
    facts: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True)
class Estimate:
    """Three prices, the minutes behind them and the reasons."""

    low: Price
    likely: Price
    high: Price
    stages: tuple[StageMinutes, ...]
    reasons: tuple[Reason, ...]


def estimate(
    beams: Sequence[Beams],
    rates: Sequence[StageRate],
    materials: Sequence[Material],
    pricing: Pricing,
    factors: Factors | None = None,
) -> Estimate:
    """Return the estimate of a job with those beams.

    A stage's low is the likely time divided by one spread more than whole, its high
    that many times the likely: about two jobs of three fall between, if jobs to come
    are like those past. Stages are taken to run late together, so their highs add up.
    Materials are the same in all three.

    Raises `BadInput`.
    """
    if not beams:
        raise BadInput("There is no beam to price. Add at least one.")
    factors = factors or Factors()
    load = load_of(beams, factors)
    stages = []
    for rate in rates:
        likely = rate.minutes(load)
        stages.append(
            StageMinutes(rate, likely / (1 + rate.spread), likely, likely * (1 + rate.spread))
        )
    return Estimate(
        _price([(s.rate.stage, s.low) for s in stages], beams, materials, pricing),
        _price([(s.rate.stage, s.likely) for s in stages], beams, materials, pricing),
        _price([(s.rate.stage, s.high) for s in stages], beams, materials, pricing),
        tuple(stages),
        _reasons(beams, stages, materials, pricing, factors),
    )


def _price(
    minutes: Sequence[tuple[str, Fraction]],
    beams: Sequence[Beams],
    materials: Sequence[Material],
    pricing: Pricing,
) -> Price:
    lines: list[PriceLine] = []

    def add(sort: Sort, key: str, money: Decimal) -> None:
        lines.append(PriceLine(sort, key, money, sort in pricing.taxed))

    for stage, taken in minutes:
        rate = _rate(stage, pricing)
        add("labour", stage, amount(_many(rate, taken, beams), rate.amount))
    for sort in ("materials", "consumables"):
        for material in materials:
            if material.sort == sort:
                add(material.sort, material.text, material.amount)
    if pricing.overhead:
        add("overhead", "overhead", part_of(_sum(lines), pricing.overhead))
    if pricing.profit:
        add("profit", "profit", part_of(_sum(lines), pricing.profit))
    if off := _to_step(_sum(lines), pricing) - _sum(lines):
        add("rounding", "rounding", off)
    subtotal = _sum(lines)
    due = tax([Taxable(line.amount, line.taxed) for line in lines], pricing.tax, pricing.tax_per)
    return Price(tuple(lines), subtotal, due, subtotal + due)


def _rate(stage: str, pricing: Pricing) -> Rate:
    return pricing.stages.get(stage, Rate(pricing.hour, "hour"))


def _many(rate: Rate, minutes: Fraction, beams: Sequence[Beams]) -> Fraction:
    """Return the quantity for a rate: hours of those minutes, feet or beams."""
    if rate.per == "hour":
        return minutes / 60
    if rate.per == "each":
        return Fraction(sum(b.count for b in beams))
    return sum((b.count * exact(b.length) for b in beams), Fraction(0)) / INCHES_PER_FOOT


def _sum(lines: Sequence[PriceLine]) -> Decimal:
    return sum((line.amount for line in lines), ZERO)


def _to_step(money: Decimal, pricing: Pricing) -> Decimal:
    """Return `money` as a multiple of the shop's price increment, ties up."""
    steps = Fraction(money) / Fraction(pricing.round_to)
    whole = -(-steps // 1) if pricing.round_up else (steps * 2 + 1) // 2
    return cents(whole * Fraction(pricing.round_to))


def _reasons(
    beams: Sequence[Beams],
    stages: Sequence[StageMinutes],
    materials: Sequence[Material],
    pricing: Pricing,
    factors: Factors,
) -> tuple[Reason, ...]:
    found = []
    for one in stages:
        rate, paid = one.rate, _rate(one.rate.stage, pricing)
        many = _many(paid, one.likely, beams) * (60 if paid.per == "hour" else 1)
        facts: dict[str, object] = {
            "stage": rate.stage,
            "percent": _percent(rate.spread),
            "many": Decimal(round(many * 100)).scaleb(-2),
            "rate": paid.amount,
            "per": paid.per,
        }
        if rate.jobs:
            facts["jobs"] = rate.jobs
        found.append(Reason(f"stage-{rate.how}", facts))
    for kind, name in (("ceiling", "ceiling-factor"), ("section", "section-factor")):
        known = factors.ceilings if kind == "ceiling" else factors.sections
        counts: dict[str, int] = {}
        for b in beams:
            counts[getattr(b, kind)] = counts.get(getattr(b, kind), 0) + b.count
        for key, count in counts.items():
            if known.get(key, Fraction(1)) != 1:
                facts = {"kind": key, "count": count, "percent": _percent(known[key])}
                found.append(Reason(name, facts))
    for material in materials:
        if material.quantity and not material.price:
            found.append(Reason("material-no-price", {"text": material.text}))
        if material.waste:
            facts = {"text": material.text, "percent": material.waste}
            found.append(Reason("material-waste", facts))
    if materials:
        found.append(Reason("materials-alike"))
    if pricing.tax:
        on = tuple(sort for sort in SORTS if sort in pricing.taxed)
        name = "tax-on" if on else "tax-on-nothing"
        found.append(Reason(name, {"percent": pricing.tax, "sorts": on} if on else {}))
    return tuple(found)


def _percent(part: Fraction) -> Decimal:
    return Decimal(round(part * 1000)).scaleb(-1)
