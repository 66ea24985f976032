"""Rows of a job's books: change orders, lines of material, accepted estimates."""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Literal

from crewdesk.errors import NotAllowed
from crewdesk.job.row import (
    BALANCE,
    DAY,
    EXACT,
    FLAG,
    LINE,
    MONEY,
    NOTE,
    PERCENT,
    QUANTITY,
    SHORT,
    WHOLE,
    Kind,
    Row,
    TableRow,
    as_is,
    field,
    made_of,
    many,
    one_of,
)
from crewdesk.job.text_limits import LONGEST_LINE, checked_line
from crewdesk.trade.books.estimate import Material, PriceLine
from crewdesk.trade.books.invoice_lines import ChangeOrder
from crewdesk.trade.books.money import SORTS, ZERO

if TYPE_CHECKING:
    from crewdesk.job.books.shop import Shop


def order_text(text: object, what: str = "change order's text") -> str:
    """Return the extra work's description in one line; raises `NotAllowed`."""
    found = checked_line(text, what)
    if not found:
        raise NotAllowed("Type what the change order is for.")
    return found


class Order(TableRow, noun="change order"):
    """Extra work: a fixed `price`, or `hour` for each hour; never part of the base price."""

    text: str = field(Kind(order_text, as_is, "text"), "change order's text")
    price: Decimal | None = field(MONEY, default=None)
    hour: Decimal | None = field(MONEY, "change order's rate", default=None)
    accepted_by: str = field(SHORT, "name of the person who accepts", default="")
    accepted_on: date | None = field(DAY, default=None)

    @property
    def taken(self) -> bool:
        """Whether it was accepted."""
        return bool(self.accepted_by)

    @property
    def order(self) -> ChangeOrder:
        """The change order for an invoice's line."""
        return ChangeOrder(
            self.row, self.text, self.price, self.hour, self.accepted_by, self.accepted_on
        )

    def check(self) -> None:
        """Raise `NotAllowed` if it has no price or two, or is only half accepted."""
        if (self.price is None) == (self.hour is None):
            raise NotAllowed(f"The change order {self.text} needs a price or an hourly rate.")
        if bool(self.accepted_by) != (self.accepted_on is not None):
            raise NotAllowed(f"The change order {self.text} needs both who accepted it and when.")


MATERIAL_SORTS = ("materials", "consumables")
TAKEOFF: Literal["takeoff"] = "takeoff"


def material_name(text: object, what: str = "material's name") -> str:
    """Return the material's description in one line; raises `NotAllowed`."""
    found = checked_line(text, what, most=LONGEST_LINE)
    if not found:
        raise NotAllowed("Type what the material is.")
    return found


class MaterialLine(TableRow, noun="material"):
    """A line of material; `waste` and `markup` in percent, or None for the shop's.

    A line with `of` comes from a takeoff and is replaced by the next one; its quantity includes
    waste.
    """

    text: str = field(Kind(material_name, as_is, "text"), "material's name")
    quantity: Fraction = field(QUANTITY, "material")
    price: Decimal = field(MONEY)
    sort: Literal["materials", "consumables"] = field(
        one_of(MATERIAL_SORTS), default="materials", given=lambda _: True
    )
    waste: Decimal | None = field(PERCENT, "waste", default=None)
    markup: Decimal | None = field(PERCENT, "markup", default=None)
    of: Literal["", "takeoff"] = field(one_of(("", TAKEOFF)), "'of' of material", default="")

    def material(self, shop: "Shop") -> Material:
        """Return the line for an estimate."""
        return Material(
            self.text,
            self.quantity,
            self.price,
            self.sort,
            shop.waste if self.waste is None else self.waste,
            shop.markup if self.markup is None else self.markup,
        )


_LINE = made_of(PriceLine, "line", sort=one_of(SORTS), key=LINE, amount=BALANCE, taxed=FLAG)


def _price_line(value: Any, what: str) -> PriceLine:
    line: PriceLine = _LINE.read(value, what)
    if line.amount < 0 and line.sort != "rounding":
        raise NotAllowed(f"The {what} {line.amount} is below zero; only rounding can be.")
    return line


class StagePlan(Row, noun="stage's plan"):
    """A stage's estimated minutes, and the number of past jobs behind them."""

    stage: str = field(LINE, "stage")
    low: Fraction = field(EXACT, "minutes")
    likely: Fraction = field(EXACT, "minutes")
    high: Fraction = field(EXACT, "minutes")
    jobs: int = field(WHOLE, "number of past jobs")

    def check(self) -> None:
        """Raise `NotAllowed` if the minutes don't go from low to high."""
        if not 0 <= self.low <= self.likely <= self.high:
            raise NotAllowed(f"The minutes of {self.stage} must go from low to high.")


class Accepted(TableRow, noun="accepted estimate"):
    """An accepted estimate: the likely price by line, its tax and its basis.

    `low` and `high` are the totals beside it; `beams` names the beams it was for, `left_out`
    those of the job that it was without, and `reasons` says why the price was what it was, each
    in words.
    """

    on: date = field(DAY)
    by: str = field(SHORT, "name of the person who accepts")
    lines: tuple[PriceLine, ...] = field(
        many(Kind(_price_line, _LINE.write, _LINE.about), "line"), "estimate line"
    )
    tax_rate: Decimal = field(PERCENT, "tax")
    tax: Decimal = field(MONEY, "estimate's tax")
    total: Decimal = field(BALANCE, "total of an estimate")
    low: Decimal = field(MONEY, "estimate's low price")
    high: Decimal = field(MONEY, "estimate's high price")
    stages: tuple[StagePlan, ...] = field(many(StagePlan, "stage"))
    beams: tuple[str, ...] = field(many(LINE), "estimate's beam")
    reasons: tuple[str, ...] = field(many(NOTE), "estimate's reason")
    left_out: tuple[str, ...] = field(many(LINE), "beam left out of the estimate", default=())

    @property
    def subtotal(self) -> Decimal:
        """The base price, before tax."""
        return sum((line.amount for line in self.lines), ZERO)

    def check(self) -> None:
        """Raise `NotAllowed` if lines and tax don't add up to the total."""
        if self.subtotal + self.tax != self.total:
            raise NotAllowed(
                f"The lines and the tax of accepted estimate {self.row} don't add up to its total."
            )
