"""The lists of the business: customers, saved beam types, boards in stock and boards on hand."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from fractions import Fraction

from textual.containers import Horizontal, Vertical
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams.beams import beam_of_type
from crewdesk.job.books.shop_lists import (
    FIELDS,
    keep_customer,
    known_forms,
    remove_customer,
    remove_form,
)
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.shop_rows import Customer, KeptForm
from crewdesk.job.change import Change
from crewdesk.job.lumber.stock import HandBoard, StockLine
from crewdesk.job.lumber.stock_list import remove_from, shown_stock, typed_hand, typed_stock
from crewdesk.job.text_limits import lines_of, text_of
from crewdesk.length import STEPS, show_length
from crewdesk.paper.documents.letter import money
from crewdesk.paper.plain import plain
from crewdesk.paper.text.lists import hand_text
from crewdesk.screens.parts.ask import Answer, Field, ask_shop_change, filled
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.list_page import Column, ListPage, fit
from crewdesk.screens.parts.picture import Picture
from crewdesk.screens.parts.stick import Part, place, ruled
from crewdesk.screens.piece.beam_pictures import section_picture
from crewdesk.sentence import many


class CustomersPage(ListPage[Customer]):
    """A line for each customer."""

    WHERE = "Business · customers"
    OF_SHOP = True
    AREA = "customers"
    NONE = "No customers. Press {add} to add one. A job's documents go to its customer."
    TITLES = "Add a customer", "Change the customer"
    REMOVAL = "Remove {0.name}?", "Remove them", "Documents already sent keep the name."
    REMOVE = remove_customer
    FIELDS = (
        Field("name", "Name", hint="the name used in jobs"),
        Field("address", "Address", hint="street / town"),
        Field("phone", "Phone"),
        Field("email", "Email"),
        Field("terms", "Payment terms, days", hint="empty: as in Business settings"),
    )

    def things(self) -> list[Customer]:
        every = self.program.books.customers
        return sorted(every, key=lambda one: one.name.casefold())

    def columns(self, width: int) -> tuple[Column[Customer], ...]:
        usual = f"{self.program.shop.terms}, from Business settings"
        return (
            Column("name", 30, lambda one: one.name),
            Column("phone", 20, lambda one: one.phone, "muted"),
            Column(
                "terms, days",
                0,
                lambda one: usual if one.terms is None else f"{one.terms}",
                lambda one: "muted" if one.terms is None else "strong",
            ),
        )

    @property
    def _missing(self) -> str:
        """A customer of the open job, or else of another, that isn't in the list; "" for none."""
        app = self.program
        named = [app.record.job.customer] if app.job else []
        named += [str(one.summary["customer"]) for one in app.desk.jobs() if one.summary]
        found = (one for one in named if one and app.books.customer_named(one) is None)
        return next(found, "")

    def rows(self) -> Sequence[Row]:
        rows, width, name = list(super().rows()), self.size.width - 3, self._missing
        self.query_one("#heads").display = bool(self.program.books.customers)
        if name:
            add = self.with_keys(": press {add}")
            text = fit(plain(f"Add {name}"), width - len(add) - 1).rstrip() + add
            card = [
                Row((f"   {field.asks:<22}", "muted"), (plain(shown), "text"))
                for field, shown in zip(self.FIELDS, (name, *["not set"] * 4), strict=True)
            ]
            if not self.program.books.customers:
                rows = []
            rows = [Row((f" {text}", "set")), Row(*ruled(name, width)), *card, Row(), *rows]
        return rows

    def fields_of(self, one: Customer | None) -> Sequence[Field]:
        return super().fields_of(one) if one else filled(self.FIELDS, {"name": self._missing})

    def about(self, key: str) -> str:
        one = self.here
        return "" if one is None else f"{plain(lines_of(one.address))}\n{plain(one.email)}"

    def keep(
        self, record: ShopRecord, answer: Answer, now: datetime, one: Customer | None
    ) -> Change:
        values = {key: text_of(answer[key]) for key in FIELDS}
        return keep_customer(record, now, row=one.row if one else "", **values)


_BESIDE = 76
"""The columns from which the list of types is wider, beside the section."""


class FormsPage(ListPage[KeptForm]):
    """A line for each type, the business's own first, and the section of the one under the
    cursor beside them."""

    WHERE = "Business · beam types"
    OF_SHOP = True
    AREA = "forms-of-the-shop"
    DEFAULT_CSS = """
    FormsPage #list { width: 34; }
    FormsPage.narrow #list { width: 24; }
    FormsPage Picture > .picture--mark { color: $dimension; text-style: none; }
    FormsPage Picture { width: 1fr; }
    FormsPage #here { height: 1; }
    """
    REMOVAL = "Remove {0.name}?", "Remove it", "Beams stay as they are."
    REMOVE = remove_form

    def body(self) -> Iterable[Widget]:
        with Horizontal():
            with Vertical(id="list"):
                yield from self.above()
                yield Lines()
            yield Picture(most_rows=30)
        yield Static(id="here", markup=False)

    def things(self) -> Sequence[KeptForm]:
        return known_forms(self.program.books)

    def key_of(self, one: KeptForm) -> str:
        return one.row or one.name

    def columns(self, width: int) -> Sequence[Column[KeptForm]]:
        def size(one: KeptForm) -> str:
            step = STEPS[self.program.shop.step]
            section = one.section
            return f"{show_length(section.width, step)} x {show_length(section.height, step)}"

        return (
            Column(
                "type",
                15 if width >= _BESIDE else 14,
                lambda one: one.name,
                lambda one: "strong" if one.row else "text",
            ),
            Column("size", 0, size, "muted"),
        )

    def rows(self) -> Sequence[Row]:
        self.set_class(self.size.width < _BESIDE, "narrow")
        return super().rows()

    def about(self, key: str) -> str:
        one, step = self.here, STEPS[self.program.shop.step]
        if one is None:
            return ""
        now = self.program.now()
        try:
            beam = beam_of_type(one.form.id, one.section, now)
        except CrewdeskError:
            self.query_one(Picture).show(None)
        else:
            self.query_one(Picture).show(
                lambda columns, rows: section_picture(beam, step, columns, rows)
            )
        whose = self.with_keys("Yours: {remove} removes it.") if one.row else "Built in."
        return plain(f"{one.name}: {one.form.name}. {whose}{self._used(one)}")

    def _used(self, one: KeptForm) -> str:
        """Return how many beams of the open job are of a type and its size."""
        if not self.program.job:
            return ""
        used = sum(
            beam.form.id == one.form.id and beam.section == one.section
            for beam in self.program.record.beams
        )
        return f" In this job: {many(used, 'beam')}." if used else ""


_BOARD = (
    Field("species", "Wood", hint="White oak"),
    Field("grade", "Grade", hint="clear"),
    Field("size", "Size", hint="1x12, 5/4 x 8, or 4/4 x 9-1/2"),
    Field("true", "True size", hint="3/4 x 11-1/4, if it differs from the name"),
)
_HAND = (
    *_BOARD,
    Field("length", "Length", hint="9' 10"),
    Field("bad", "Defect from .. to", hint="40..43, in inches from one end"),
)


def _remove_board(books: ShopRecord, key: str, now: datetime) -> Change:
    table, _, row = key.partition(":")
    return remove_from(books, table, row, now)


_LENGTHS = 40
"""The columns of the lengths of a board."""


def _lengths_drawn(one: StockLine, longest: Fraction, width: int) -> list[Part]:
    """Return the lengths of a size, each a notch on one stick; `width` is as long as `longest`."""
    places = {max(place(length, longest, width) - 1, 0) for length, _ in one.lengths}
    return [("┃", "strong") if at in places else ("─", "muted") for at in range(max(places) + 1)]


class StockPage(ListPage[StockLine | HandBoard]):
    """A line for each stock size and each board on hand."""

    WHERE = "Business · boards"
    OF_SHOP = True
    AREA = "boards-of-the-shop"
    DEFAULT_CSS = """
    StockPage Lines { padding: 0 0 0 1; }
    StockPage #here { display: none; }
    """
    TITLES = "A board you can buy", "A board you can buy"
    DOES = "Save", "Save"
    REMOVAL = "Remove this from the list?", "Remove it", ""
    REMOVE = _remove_board
    FIELDS = (
        *_BOARD,
        Field("lengths", "Lengths", hint="8', 10', 12' x 4 if there are only 4"),
        Field("price", "Price", hint="6.60"),
        Field("per", "  of one", "foot", answers=("piece", "foot", "board foot")),
    )

    def things(self) -> tuple[StockLine | HandBoard, ...]:
        books = self.program.books
        return *books.stock, *books.on_hand

    def key_of(self, one: StockLine | HandBoard) -> str:
        return f"{'stock' if isinstance(one, StockLine) else 'on_hand'}:{one.row}"

    def rows(self) -> list[Row]:
        width = self.size.width - 3
        lines, hand = [Row(*ruled("Boards you can buy", width))], []
        stock = self.program.books.stock
        longest = max((length for one in stock for length, _ in one.lengths), default=Fraction(1))
        room = min(max(width - _LENGTHS - 5, 2), 60)
        for one in self.things():
            if isinstance(one, HandBoard):
                hand.append(Row((f" {hand_text(one)}", "text"), key=self.key_of(one)))
                continue
            shown = shown_stock(one)
            lines.append(
                Row(
                    (f" {fit(one.label, 27)} ", "strong"),
                    (f"{shown['true'] + ' in':<18}" if width >= _BESIDE - 6 else "", "muted"),
                    (f"{money(one.price):>9} per {one.per}", "text"),
                    key=self.key_of(one),
                )
            )
            text = f"   {fit(shown['lengths'], _LENGTHS)} "
            lines.append(Row((text, "muted"), *_lengths_drawn(one, longest, room)))
        if len(lines) == 1:
            text = self.with_keys(" None. Press {add} to add a size with its lengths and price.")
            lines.append(Row((text, "set")))
        text = self.with_keys(" None. Press {add-one-on-hand} to add one with its defects.")
        heads = [Row(), Row(*ruled("Boards on hand", width))]
        return [*lines, *heads, *(hand or [Row((text, "text"))])]

    def shown(self, one: StockLine | HandBoard) -> Mapping[str, str]:
        return shown_stock(one) if isinstance(one, StockLine) else {}

    def keep(
        self, record: ShopRecord, answer: Answer, now: datetime, one: StockLine | HandBoard | None
    ) -> Change:
        return typed_stock(record, answer, now, row=one.row if one else "")

    def action_add_hand(self) -> None:
        ask_shop_change(self.program, "A board on hand", _HAND, typed_hand, does="Add it")

    def change_here(self) -> None:
        if isinstance(self.here, HandBoard):
            self.tell("To change a board on hand, remove it with Del and add it again with o.")
        else:
            super().change_here()
