"""The money of a job: its price, material, extra work, invoices, and how far it is."""

from collections.abc import Iterable, Sequence
from typing import Any

from rich.text import Text
from textual import on
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.books.contract import contract
from crewdesk.job.books.documents import document_id, document_with_id
from crewdesk.job.books.payments import payment_text, payments_on
from crewdesk.paper.documents.invoice import KINDS, standing_text
from crewdesk.paper.documents.letter import money
from crewdesk.paper.plain import plain
from crewdesk.screens.material.planning import Planning
from crewdesk.screens.money.contract import contract_lines, next_line
from crewdesk.screens.money.lists import (
    SECONDS,
    ExtraLeaf,
    Leaf,
    MaterialsLeaf,
    take_over,
)
from crewdesk.screens.money.price import DoneLeaf, PriceLeaf
from crewdesk.screens.parts.inked import Band
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.list_page import Column, LinesPage, fit
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.parts.stick import Part, ruled, stick
from crewdesk.trade.books.accounts import Standing
from crewdesk.trade.books.dates import day_text
from crewdesk.trade.books.invoice import Credit, Issued
from crewdesk.trade.books.money import ZERO


class InvoicesLeaf(Leaf[Issued | Credit]):
    """A line for each document, the latest first; enter shows it, with its payments."""

    NAME = "Invoices"
    CAN = ("change_here",)
    NONE = "No invoices. Press {invoice} to see the next one and issue it."

    def things(self) -> Iterable[Issued | Credit]:
        return reversed(self.books.money.documents)

    def key_of(self, one: Issued | Credit) -> str:
        return document_id(self.books.books, one.number)

    def heads_in(self, width: int) -> str:
        return super().heads_in(width) if self.books.money.documents else ""

    def columns(self, width: int) -> Sequence[Column[Issued | Credit]]:
        dated = Column[Issued | Credit]("date", 13, lambda one: day_text(one.issued_on), _ink)
        status = width - 58 - _STICK if width >= _STUCK else 0
        return (
            Column(" no.", -4, lambda one: f"{one.number}", _ink),
            Column("  kind", 14, lambda one: f"  {KINDS[one.kind].lower()}", _ink),
            *((dated,) if width >= _DATED else ()),
            Column("total", -11, lambda one: money(one.total), _ink),
            Column("balance", -12, self._balance, "strong"),
            Column("  status", max(status, 0), self._stands, self._ink_of),
        )

    def rows_in(self, width: int) -> list[Row]:
        draft = self.contract.next
        rows = super().rows_in(width) if self.books.money.documents or draft is None else []
        if width >= _STUCK:
            drawn = {self.key_of(one): self._drawn(one, _STICK) for one in self.things()}
            rows = [Row(*row.parts, *drawn.get(row.key, ()), key=row.key) for row in rows]
        if draft is not None:
            title = f"Next, {KINDS[draft.kind].lower()}: {money(draft.total)}"
            rows += [*([Row()] if rows else []), Row(*ruled(title, width - 1))]
            for one in draft.all_lines:
                text = f"  {fit(plain(one.text), width - 20)}"
                rows.append(Row((text, "text"), (f"{money(one.amount):>15}", "text")))
        if paid := [line for one in self._standings for line in self._payments(one.number)]:
            rows += [Row(), Row(*ruled("Payments", width - 1))]
            rows += [Row((f"  {line}", "text")) for line in paid]
        return rows

    @property
    def _standings(self) -> Iterable[Standing]:
        return self.books.money.standings.values()

    def _payments(self, number: int) -> list[str]:
        """Return an invoice's payments, refunds and credits, one by one."""
        return [
            f"{day_text(one.on)}  {payment_text(one, number)} on invoice {number}"
            f"  {plain(one.note)}".rstrip()
            for _, one in payments_on(self.books.books, number)
        ]

    def _drawn(self, one: Issued | Credit, width: int) -> list[Part]:
        """Return the paid part of an invoice as a stick with a notch at its total; all to one
        scale."""
        if isinstance(one, Credit):
            return []
        most = max((each.total for each in self._standings), default=one.total)
        stands = self._standing(one)
        return [("  ", "text"), *stick(max(stands.held, ZERO), stands.total, most, width)]

    def _balance(self, one: Issued | Credit) -> str:
        return "" if isinstance(one, Credit) else money(self._standing(one).balance)

    def _standing(self, one: Issued) -> Standing:
        return self.books.money.standings[one.number]

    def _stands(self, one: Issued | Credit) -> str:
        headed = self.books.books.headed(one.number)
        sent = f", first sent as {headed.was[0]}" if headed.was else ""
        if isinstance(one, Credit):
            return f"  of invoice {one.of}{sent}"
        voided = one.number in self.books.money.voided
        return f"  {standing_text(self._standing(one), voided=voided)}{sent}"

    def _ink_of(self, one: Issued | Credit) -> str:
        if isinstance(one, Credit):
            return "muted"
        stands = self._standing(one)
        return "wrong" if stands.overdue else "strong" if stands.balance > 0 else "muted"

    def about(self) -> str:
        if not self.key:
            return ""
        document = document_with_id(self.books.books, self.key).document
        if isinstance(document, Credit):
            return (
                f"Credits {money(-document.total)} of invoice {document.of}.\nReason: "
                f"{plain(document.reason)}"
            )
        stands = self._standing(document)
        return (
            f"Paid {money(stands.paid)}, credited {money(stands.credited)}, "
            + (f"credit applied {money(stands.applied)}, " if stands.applied else "")
            + f"due {day_text(stands.due_on)}.\n"
            + self.keyed("Press {open} to see it: payments, credit, void, file.")
        )

    def total(self, width: int) -> list[Part]:
        found = self.books.money
        owed = "credit balance" if found.balance < 0 else "balance due"
        return [
            (f" billed {money(found.billed)}   paid {money(found.paid)}   ", "text"),
            (f"{owed} {money(abs(found.balance))}", "strong" if found.balance else "muted"),
        ]

    def change_here(self) -> None:
        """Show the document under the cursor."""
        if self.key:
            self.program.open("an-invoice", self.key)


def _ink(one: Issued | Credit) -> str:
    return "muted" if isinstance(one, Credit) else "text"


LEAVES: tuple[type[Leaf[Any]], ...] = (PriceLeaf, MaterialsLeaf, ExtraLeaf, InvoicesLeaf, DoneLeaf)
_OF_A_LINE = ("change_here", "remove_here")
"""What a key does with the line under the cursor alone."""
_LEAVES_APART = 66
"""The columns from which the tabs' names are spaced."""
_STUCK, _STICK = 110, 30
"""The columns from which each invoice has a stick of its paid part, and the stick's columns."""
_DATED = 70
"""The columns from which there is room for an invoice's date."""


class MoneyPage(LinesPage):
    """Five tabs, one shown; a digit or an arrow changes it. The contract stays above them, and the
    tab's total below its list."""

    WHERE = "{job} · money"
    AREA = "money"
    SHOWS_BOOKS = True
    DEFAULT_CSS = """
    MoneyPage #leaves { height: 1; background: $panel; }
    MoneyPage #total { height: 1; padding: 0 1 0 0; background: $surface; }
    MoneyPage #here { height: auto; min-height: 2; max-height: 3; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._at = 0

    def above(self) -> Iterable[Widget]:
        self._leaves = tuple(leaf(self) for leaf in LEAVES)
        yield Band(id="sums")
        yield Planning("t", SECONDS)
        yield Static(id="leaves", markup=False)
        yield Static(id="heads", markup=False)

    def body(self) -> Iterable[Widget]:
        yield from self.above()
        yield Lines()
        yield Band(id="total")
        yield Static(id="here", markup=False)

    @property
    def leaf(self) -> Leaf[Any]:
        """The tab that is shown."""
        return self._leaves[self._at]

    def record_changed(self, rows: ChangedRows) -> None:
        """Show the current books."""
        self.books = self.program.job_books()
        self.contract = contract(self.books)
        super().record_changed(rows)

    def rows(self) -> list[Row]:
        width = self.size.width - 1
        self.query_one("#sums", Band).tell(self._sums(width - 1))
        self.query_one("#total", Band).tell([self.leaf.total(width)])
        self.query_one("#leaves", Static).update(self._names())
        heads, head = self.query_one("#heads", Static), self.leaf.heads_in(width)
        heads.update(Text(head, no_wrap=True))
        heads.display = bool(head)
        return self.leaf.rows_in(width)

    def _names(self) -> Content:
        """Return the tabs' names, each with its number, the current one in brackets."""
        gap = " " * (2 if self.size.width >= _LEAVES_APART else 0)
        parts: list[tuple[str, str]] = []
        for place, one in enumerate(LEAVES):
            here = place == self._at
            parts.append(("[" if here else " ", "$foreground bold"))
            parts.append((f"{place + 1} ", "$key bold"))
            parts.append((one.NAME, "$foreground bold" if here else "$muted"))
            parts.append((("]" if here else " ") + gap, "$foreground bold"))
        return Content.assemble(*parts)

    def _sums(self, width: int) -> list[list[Part]]:
        """Show the contract and the next action."""
        line = [
            (self.with_keys(text), ink) for text, ink in next_line(self.contract, self.books.money)
        ]
        return [*contract_lines(self.contract, width), line]

    def about(self, key: str) -> Text:
        self.refresh_bindings()
        text = self.leaf.about()
        self.query_one("#here").display = bool(text)
        return Text(text, overflow="ellipsis")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Allow only the actions of the current tab."""
        if action != "leaf_act" or not self.is_mounted:
            return action != "leaf_act"
        if parameters[0] in _OF_A_LINE and not self.key:
            return False
        return parameters[0] in self.leaf.CAN

    def action_leaf_act(self, what: str) -> None:
        getattr(self.leaf, what)()

    @on(Planning.Made)
    def planned(self, event: Planning.Made) -> None:
        """Copy the new takeoff into the estimate."""
        take_over(self.program, event.takeoff)

    @on(Planning.Failed)
    def not_planned(self, event: Planning.Failed) -> None:
        """Say why there is no takeoff."""
        self.tell(str(event.refused), "wrong")

    @on(Lines.Chosen)
    def chosen(self) -> None:
        """Open a line that is clicked twice."""
        if "change_here" in self.leaf.CAN:
            self.action_leaf_act("change_here")

    def action_turn(self, by: int) -> None:
        self.action_leaf((self._at + by) % len(LEAVES) + 1)

    def action_leaf(self, number: int) -> None:
        self._at = number - 1
        lines = self.query_one(Lines)
        lines.show(())
        self.show()
        lines.action_move(-len(lines.rows))

    def action_next_invoice(self) -> None:
        self.action_leaf(LEAVES.index(InvoicesLeaf) + 1)
        self.program.open("next-invoice")
