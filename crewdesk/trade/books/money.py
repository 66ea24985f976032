"""Money: exact decimals, rounded half up to the cent, parsed from typed text.

Half up is what sales tax laws ask: K.S.A. 79-3676 (Kansas) and R.I. Gen. Laws
44-18.1-25 carry the tax to the third decimal place and round up to a whole cent
whenever that place is greater than four, by item or by invoice as the seller chooses.
Wis. Admin. Code Tax 11.32 (5) (a) says the same, with examples in numbers.
"""

import re
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.errors import Ambiguous, BadInput, Unread

TaxPer = Literal["line", "invoice"]
Unit = Literal["hour", "foot", "each"]

ZERO = Decimal("0.00")
LONGEST_TERMS = 365
"""The longest payment terms, in days."""
MOST = Decimal(10_000_000)
"""The largest amount; more is treated as a typo."""
LONGEST_TEXT = 40
PERCENT_MOST = {
    "tax": 50,
    "waste": 100,
    "markup": 300,
    "overhead": 200,
    "profit": 200,
    "deposit": 100,
    "done": 100,
    "time": 400,
}
"""The largest percentage of each kind; the least is 0 for all."""

_UNITS: dict[str, Unit] = {
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), "hour"),
    **dict.fromkeys(("ft", "foot", "feet", "'", "lf"), "foot"),
    **dict.fromkeys(("each", "ea", "beam", "piece", "pc"), "each"),
}
_MONEY = r"\$? ?(\d{1,3}(?:,\d{3})+|\d+)?(?:\.(\d*))? ?(?:\$|usd|dollars)?"
_RATE = r"([^/]*?)(?: ?/ ?| per | an? (?=hour))([a-z']+)\.?"


class Rate(NamedTuple):
    """A price for each hour, foot or thing."""

    amount: Decimal
    per: Unit


class Taxable(NamedTuple):
    """An amount of an invoice or estimate, and whether tax is due on it."""

    amount: Decimal
    taxed: bool


def cents(value: Decimal | Fraction | int) -> Decimal:
    """Return `value` to the cent, half up (half a cent goes away from zero); always two
    decimals."""
    exact = Fraction(value)
    whole = (abs(exact) * 200 + 1) // 2
    return Decimal(int(whole if exact >= 0 else -whole)).scaleb(-2)


def amount(quantity: Fraction | Decimal | int, price: Decimal) -> Decimal:
    """Return a quantity at that price, to the cent; exact until then."""
    return cents(Fraction(quantity) * Fraction(price))


def read_money(text: str) -> Decimal:
    """Return a typed amount: ``1,250.00``, ``$85``, ``85.5``, ``.50``; two decimals at most.

    Raises `Unread`, `Ambiguous`, and `BadInput` for an empty text, parts of a cent, an amount below
    zero or over `MOST`.
    """
    given = text.strip()[:LONGEST_TEXT]
    plain = re.sub(r"\s+", " ", text.strip().lower())
    if not plain:
        raise BadInput("Type an amount, for example 1,250.00 or $85.")
    if len(plain) > LONGEST_TEXT:
        raise _unread(given)
    if re.match(r"\$? ?[-\u2212]|\(.*\)$", plain):
        raise BadInput(
            "{text} is below zero. Type zero or more; to give money back, enter a credit.",
            text=given,
        )
    m = re.fullmatch(_MONEY, plain)
    if m is None or not (m[1] or m[2]):
        raise _not_money(plain, given)
    if m[2] and len(m[2]) > 2:
        raise BadInput("{text} has parts of a cent. Type two decimals at most.", text=given)
    found = cents(Fraction(f"{(m[1] or '0').replace(',', '')}.{m[2] or '0'}"))
    if found > MOST:
        raise BadInput(
            "{text} is more than any job here costs; the limit is {most}.",
            text=given,
            most=f"{MOST:,}",
        )
    return found


def _not_money(plain: str, given: str) -> BadInput:
    figures = plain.strip("$ ")
    if m := re.fullmatch(r"(\d+),(\d{1,2})", figures):
        return Ambiguous(given, (f"{m[1]}.{m[2]}", f"{m[1]}{m[2]}"))
    if m := re.fullmatch(r"(\d{1,3}(?:[. ]\d{3})+)(?:,(\d{2}))?", figures):
        whole = re.sub(r"[. ]", ",", m[1])
        return Ambiguous(given, (f"{whole}.{m[2] or '00'}",))
    return _unread(given)


def _unread(given: str) -> Unread:
    return Unread("{text} isn't an amount of money. Type it like 1,250.00 or $85.", text=given)


def read_rate(text: str, default: Unit = "hour") -> Rate:
    """Return a typed rate: ``85/h``, ``$85 per hour``, ``4.50/ft``, ``300 each``; bare, per
    `default`.

    Raises `BadInput`: as `read_money`, and for a unit that is unknown.
    """
    plain = re.sub(r"\s+", " ", text.strip().lower())
    if plain.endswith(" each"):
        return Rate(read_money(plain.removesuffix(" each")), "each")
    m = re.fullmatch(_RATE, plain)
    if m is None:
        return Rate(read_money(text), default)
    if m[2] not in _UNITS:
        raise BadInput(
            "{text} is per {unit}, which isn't known. Type it like 85/h, 4.50/ft or 300 each.",
            text=text.strip()[:40],
            unit=m[2],
        )
    return Rate(read_money(m[1]), _UNITS[m[2]])


def read_percent(text: str, sort: str) -> Decimal:
    """Return a typed percentage, ``7.5``, ``7.5 %`` or ``8 percent``, of the given sort
    (`PERCENT_MOST`).

    Raises `BadInput`.
    """
    m = re.fullmatch(
        r"([-\u2212]?(?:\d{1,9}(?:\.\d{0,6})?|\.\d{1,6})) ?(?:%|percent)?", text.strip()
    )
    if m is None:
        raise BadInput(
            "{text} isn't a percentage. Type it like 7.5 or 7.5%.", text=text.strip()[:40]
        )
    return percent(Decimal(m[1].replace("\u2212", "-")), sort)


def percent(value: Decimal, sort: str) -> Decimal:
    """Return `value` if it is allowed for a percentage of that sort; raises `BadInput`."""
    if not 0 <= value <= PERCENT_MOST[sort]:
        raise BadInput(
            "{value}% is out of range for {sort}; it must be from 0 to {most}%.",
            value=value,
            sort=sort,
            most=PERCENT_MOST[sort],
        )
    return value


def part_of(base: Decimal, rate: Decimal) -> Decimal:
    """Return `rate` percent of `base`, to the cent."""
    return cents(Fraction(base) * Fraction(rate) / 100)


def tax(lines: Sequence[Taxable], rate: Decimal, per: TaxPer) -> Decimal:
    """Return the tax at `rate` percent, rounded half up by line or once for the invoice.

    Raises `BadInput`.
    """
    percent(rate, "tax")
    taxed = [line.amount for line in lines if line.taxed]
    if per == "line":
        return sum((part_of(each, rate) for each in taxed), ZERO)
    return part_of(sum(taxed, Decimal(0)), rate)


Sort = Literal["labour", "materials", "consumables", "overhead", "profit", "rounding"]
SORTS: tuple[Sort, ...] = ("labour", "materials", "consumables", "overhead", "profit", "rounding")
