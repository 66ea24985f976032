"""An estimate that a customer accepted, as it was then."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeVar

from crewdesk.errors import NotAllowed
from crewdesk.job.books.amounts import read_amount, read_date, read_part
from crewdesk.job.change import Doc
from crewdesk.job.readings import fraction
from crewdesk.job.words import LONGEST_NAME, brief, checked_line, checked_note
from crewdesk.job.written import read_plainly, within
from crewdesk.trade.books.estimate import PriceLine
from crewdesk.trade.books.price_sorts import SORTS

_Part = TypeVar("_Part")


@dataclass(frozen=True)
class StagePlan:
    """A stage's minutes as they were estimated, and how many past jobs they rested on."""

    stage: str
    low: Fraction
    likely: Fraction
    high: Fraction
    jobs: int = 0


@dataclass(frozen=True)
class Accepted:
    """What was accepted: the likely price, line by line, its tax, and what it rested on.

    `low` and `high` are the totals beside it; `beams` tells the beams it was for, and
    `reasons` why the price was what it was, each in words.
    """

    row: str
    on: date
    by: str
    lines: tuple[PriceLine, ...]
    tax_rate: Decimal
    tax: Decimal
    low: Decimal
    high: Decimal
    stages: tuple[StagePlan, ...]
    beams: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()

    @property
    def subtotal(self) -> Decimal:
        """The base price, before tax."""
        return sum((line.amount for line in self.lines), Decimal("0.00"))

    @property
    def total(self) -> Decimal:
        """The base price and its tax."""
        return self.subtotal + self.tax

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "Accepted":
        """The accepted estimate as it stands in the record; raises `NotAllowed`."""
        with read_plainly(f"Accepted estimate {row}", "one is"):
            found = Accepted(
                row,
                read_date(doc["on"], "accepted estimate"),
                checked_line(doc["by"], "name of who accepts", most=LONGEST_NAME),
                _each(_line, doc, "lines"),
                read_part(doc["tax_rate"], "tax"),
                read_amount(doc["tax"], "tax of an estimate"),
                read_amount(doc["low"], "low of an estimate"),
                read_amount(doc["high"], "high of an estimate"),
                _each(_plan, doc, "stages"),
                tuple(checked_line(one, "beam of an estimate") for one in doc["beams"]),
                tuple(checked_note(one, "reason of an estimate") for one in doc["reasons"]),
            )
        if str(found.total) != doc.get("total"):
            raise NotAllowed(f"The lines and the tax of accepted estimate {row} miss its total.")
        return found


def _each(read: Callable[[Any], _Part], doc: Doc, key: str) -> tuple[_Part, ...]:
    with within(key):
        return tuple(read(one) for one in doc[key])


def _line(doc: Any) -> PriceLine:
    sort, taxed = doc["sort"], doc["taxed"]
    if sort not in SORTS or not isinstance(taxed, bool):
        raise NotAllowed(f"{brief(doc)} is no line of an estimate.")
    money = read_amount(doc["amount"], "line of an estimate", below_zero=sort == "rounding")
    return PriceLine(sort, checked_line(doc["key"], "line of an estimate"), money, taxed)


def _plan(doc: Any) -> StagePlan:
    low, likely, high = (fraction(doc[key], "minutes") for key in ("low", "likely", "high"))
    if type(doc["jobs"]) is not int or not 0 <= low <= likely <= high:
        raise NotAllowed(f"{brief(doc)} are no minutes of a stage, low to high.")
    return StagePlan(checked_line(doc["stage"], "stage"), low, likely, high, doc["jobs"])
