"""The handwritten lists of a job's money: extra work and material."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING, ClassVar, Protocol, TypeVar

from crewdesk.errors import CrewdeskError
from crewdesk.job.books.contract import Contract
from crewdesk.job.books.job_books import JobBooks
from crewdesk.job.books.job_lists import (
    accept_order,
    remove_material,
    remove_order,
    typed_material,
    typed_order,
)
from crewdesk.job.books.job_rows import MATERIAL_SORTS, MaterialLine, Order
from crewdesk.job.change import Change
from crewdesk.job.lumber.buying_list import into_estimate
from crewdesk.job.lumber.kept import kept_takeoff, without_board
from crewdesk.job.record import Record
from crewdesk.job.time.logged import total
from crewdesk.paper.documents.letter import money
from crewdesk.paper.plain import plain
from crewdesk.paper.text.lists import order_price, order_stands, quantity_text
from crewdesk.screens.material.planning import Planning
from crewdesk.screens.parts.actions import with_keys
from crewdesk.screens.parts.ask import Answer, Field, ask_change
from crewdesk.screens.parts.list_page import Column, ThingList
from crewdesk.screens.parts.program import Program
from crewdesk.screens.parts.stick import Part
from crewdesk.store.lumber import job_task
from crewdesk.trade.books.dates import day_text, read_day
from crewdesk.trade.books.durations import to_the_minute

if TYPE_CHECKING:
    from crewdesk.job.lumber.takeoff import Takeoff

T = TypeVar("T")
SECONDS = 60
"""The time limit of planning in the background."""
_BEFORE_TAX, _ROOMY = "   before tax, without what is by the hour", 76
_PERCENTS = 15
"""The columns of waste and markup."""


class _Page(Protocol):
    """The part of the page that a tab needs."""

    books: JobBooks
    contract: Contract

    @property
    def program(self) -> Program: ...

    @property
    def key(self) -> str: ...


class Leaf(ThingList[T]):
    """A list that is a tab of the money page: its content, and its keys."""

    NAME = ""
    AREA = "money"
    CAN: ClassVar[tuple[str, ...]] = ("add_one", "change_here", "remove_here")
    """The methods for the page's keys."""

    def __init__(self, page: _Page) -> None:
        self._page = page

    @property
    def program(self) -> Program:
        """The app."""
        return self._page.program

    @property
    def key(self) -> str:
        """The key of the line under the cursor."""
        return self._page.key

    @property
    def books(self) -> JobBooks:
        """The books as shown."""
        return self._page.books

    @property
    def contract(self) -> Contract:
        """The job's contract and its parts."""
        return self._page.contract

    def keyed(self, text: str) -> str:
        """Return a text with the keys of actions in braces."""
        return with_keys(text, self.AREA, self.program.key)

    def about(self) -> str:
        """Return details of the line under the cursor, in at most three lines."""
        return ""

    def total(self, width: int) -> list[Part]:
        """Return the total of its lines, shown below them."""
        return []


def accepting(customer: str, day: object) -> tuple[Field, ...]:
    """Return the fields for who accepted something, and when."""
    return (
        Field("by", "By", customer, "a name"),
        Field("on", "On", f"{day}", "today, yesterday, mon, 3/9, 2026-03-09"),
    )


class ExtraLeaf(Leaf[Order]):
    """Change orders, each with its own price or rate; none is ever part of the base price."""

    NAME = "Extra work"
    CAN = ("add_one", "change_here", "accept", "remove_here")
    NONE = "No extra work. Press {add} to add a change order: what it is, its price or 85/h."
    TITLES = "Add extra work", "Change the extra work"
    REMOVAL = "Remove {0.text}?", "Remove it", ""
    REMOVE = remove_order
    FIELDS = (
        Field("text", "What", hint="the extra work"),
        Field("price", "Price or rate", hint="240, or 85/h"),
    )

    def things(self) -> Sequence[Order]:
        return self.books.record.orders

    def columns(self, width: int) -> Sequence[Column[Order]]:
        billed = self.books.money.extras
        return (
            Column("no.", 4, lambda one: f"{one.row:>2}"),
            Column("", min(max(width - 42, 16), 60), lambda one: one.text),
            Column("price", -13, order_price),
            Column(
                "  status",
                0,
                lambda one: f"  {order_stands(one, billed.get(one.row))}",
                lambda one: "muted" if one.row in billed else "text" if one.taken else "strong",
            ),
        )

    def about(self) -> str:
        order = self.here
        if order is None:
            return "Extra work is billed once the customer has accepted it."
        logged = [entry for entry in self.books.record.entries if entry.order == order.row]
        time = f"   {to_the_minute(total(logged, self.books.now))} logged on it" if logged else ""
        on = "" if order.accepted_on is None else f" on {day_text(order.accepted_on)}"
        accepted = f"Accepted by {order.accepted_by}{on}"
        when = "at the end" if order.hour is not None else "next"
        if not order.taken:
            then = self.keyed(
                "Press {accept} to enter who accepted it. Until then it isn't invoiced."
            )
        elif order.row in (found := self.books.money.extras):
            then = f"{accepted}, billed on invoice {found[order.row]}."
        else:
            invoice = self.keyed(": {invoice}.")
            then = f"{accepted}; it goes on the invoice that is {when}{invoice}"
        return plain(f"{order.text}{time}") + "\n" + plain(then)

    def total(self, width: int) -> list[Part]:
        return [
            (f" {'Accepted':<20}", "text"),
            (money(self.books.extra_accepted), "strong"),
            (_BEFORE_TAX if width >= _ROOMY else "   before tax", "muted"),
        ]

    def shown(self, one: Order) -> Mapping[str, str]:
        price = f"{one.hour}/h" if one.hour is not None else str(one.price)
        return {"text": one.text, "price": price}

    def keep(self, record: Record, answer: Answer, now: datetime, one: Order | None) -> Change:
        row = one.row if one else ""
        return typed_order(record, answer["text"], answer["price"], now, row=row)

    def change_here(self) -> None:
        if (one := self.here) and one.taken:
            text = f"{one.text} was accepted and stays as it is; add another."
            self.program.tell(text, "wrong")
        else:
            super().change_here()

    def accept(self) -> None:
        """Ask who accepted the change order under the cursor, and when."""
        app, order, books = self.program, self.here, self.books
        if order is None:
            return
        if order.taken:
            on = "" if order.accepted_on is None else f" on {day_text(order.accepted_on)}"
            text = f"accepted already, by {order.accepted_by}{on}."
            app.tell(f"{order.text} was {text}", "wrong")
            return
        ask_change(
            app,
            f"{order.text}, {order_price(order)}, is accepted",
            accepting(books.record.job.customer, books.today),
            lambda record, answer, now: accept_order(
                record,
                order.row,
                answer["by"],
                read_day(answer["on"], books.today),
                now,
                today=app.today,
            ),
            does="Save it as accepted",
        )


class MaterialsLeaf(Leaf[MaterialLine]):
    """A line for each material."""

    NAME = "Material"
    CAN = ("add_one", "change_here", "remove_here", "takeoff")
    NONE = (
        "No material.\n{takeoff}  copies the takeoff's boards and supplies.\n{add}  "
        "adds a line: what, how many, at what price each."
    )
    TITLES = "Add material", "Change the material"
    REMOVAL = "Remove {0.text}?", "Remove it", ""
    REMOVE = remove_material
    FIELDS = (
        Field("text", "What", hint="White oak 1x10, 14 ft"),
        Field("quantity", "How many", hint="12, 2.5 or 3/4"),
        Field("price", "Price each", hint="84.00"),
        Field("sort", "Kind", "materials", answers=MATERIAL_SORTS),
        Field("waste", "Waste, percent"),
        Field("markup", "Markup, percent"),
    )

    def things(self) -> Sequence[MaterialLine]:
        return self.books.record.materials

    def columns(self, width: int) -> Sequence[Column[MaterialLine]]:
        shop, left = self.books.books.shop, width - 34 - _PERCENTS
        roomy = left >= 20  # for the percents, beside a name that can be told
        percents = (
            Column[MaterialLine](
                "waste", -7, lambda one: _percent(one.material(shop).waste, one.of), "muted"
            ),
            Column[MaterialLine](
                "markup", -8, lambda one: _percent(one.material(shop).markup), "muted"
            ),
        )
        return (
            Column("", min(max(left + (0 if roomy else _PERCENTS), 20), 44), lambda one: one.text),
            Column("how many", -9, lambda one: quantity_text(one.quantity)),
            Column("each", -11, lambda one: money(one.price)),
            *(percents if roomy else ()),
            Column("on the bill", -12, lambda one: money(one.material(shop).amount), "strong"),
        )

    def about(self) -> str:
        line = self.here
        if line is None:
            return "Material is in the estimate, and on invoices by rates."
        found = line.material(self.books.books.shop)
        counted = ", counted by the takeoff with its waste" if line.of else ""
        price = "" if line.price else self.keyed("  No price is set. Press {open} to enter it.")
        return (
            f"{plain(line.text)} ({line.sort}{counted})\n{money(found.cost)} to buy, with waste; "
            f"{money(found.amount)} on the bill, with markup.{price}"
        )

    def total(self, width: int) -> list[Part]:
        before = sum(abs(column.width) for column in self.columns(width)[:-1])
        amount = money(self.books.material_amount)
        return [(f" {'All material':<{before}}", "text"), (f"{amount:>12}", "strong")]

    def fields_of(self, one: MaterialLine | None) -> Sequence[Field]:
        shop = self.books.books.shop
        *fields, waste, markup = super().fields_of(one)
        waste = replace(waste, hint=f"empty: {shop.waste}, from Business settings")
        return [
            *fields,
            waste,
            replace(markup, hint=(f"empty: {shop.markup}, from Business settings")),
        ]

    def keep(
        self, record: Record, answer: Answer, now: datetime, one: MaterialLine | None
    ) -> Change:
        return typed_material(
            record,
            answer["text"],
            answer["quantity"],
            answer["price"],
            now,
            row=one.row if one else "",
            sort=answer["sort"].strip().lower(),
            waste=answer["waste"],
            markup=answer["markup"],
        )

    def takeoff(self) -> None:
        """Copy the takeoff into the material; without a complete kept plan, plan first. Pressed
        again: stop planning."""
        app, record = self.program, self.books.record
        planning, kept = app.screen.query_one(Planning), kept_takeoff(record)
        if planning.busy:
            planning.stop()
        elif kept is not None and not without_board(record):
            take_over(app, kept)
        elif (job := app.job) is not None:
            try:
                planning.begin(job_task(app.desk, job.id, job))
            except CrewdeskError as refused:
                app.tell(refused.shown(app.shown_step), "wrong")


def take_over(app: Program, found: "Takeoff") -> None:
    """Add a takeoff's lines to the material."""
    shop = app.shop
    app.do(lambda record, now: into_estimate(record, found, shop, now))


def _percent(part: Decimal, of: str = "") -> str:
    return "in it" if of and not part else f"{part.normalize():f}%"
