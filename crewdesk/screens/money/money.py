"""The money of a job: its price, material, extra work, invoices, and how far it is."""

from collections.abc import Iterable, Sequence
from typing import Any

from rich.text import Text
from textual import on
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.books.documents import document_id, document_with_id
from crewdesk.paper.documents.invoice import KINDS, standing_text
from crewdesk.paper.documents.letter import money
from crewdesk.paper.plain import plain
from crewdesk.screens.material.planning import Planning
from crewdesk.screens.money.lists import (
    SECONDS,
    ExtraLeaf,
    Leaf,
    MaterialsLeaf,
    take_over,
)
from crewdesk.screens.money.price import DoneLeaf, PriceLeaf
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.list_page import Column, LinesPage
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.trade.books.accounts import Standing
from crewdesk.trade.books.invoice import Credit, Issued


class InvoicesLeaf(Leaf[Issued | Credit]):
    """A line for each document, the latest first; enter shows it, with its payments."""

    NAME = "Invoices"
    CAN = ("change_here",)
    NONE = "No invoices. Press {invoice} to see the next one and issue it."

    def things(self) -> Iterable[Issued | Credit]:
        return reversed(self.books.money.documents)

    def key_of(self, one: Issued | Credit) -> str:
        return document_id(self.books.books, one.number)

    def columns(self, width: int) -> Sequence[Column[Issued | Credit]]:
        dated = Column[Issued | Credit]("date", 10, lambda one: f"{one.issued_on:%Y-%m-%d}", _ink)
        return (
            Column(" no.", -4, lambda one: f"{one.number}", _ink),
            Column("  kind", 11, lambda one: f"  {KINDS[one.kind].lower()}", _ink),
            *((dated,) if width >= _DATED else ()),
            Column("total", -12, lambda one: money(one.total), _ink),
            Column("balance", -12, self._balance, "strong"),
            Column("  status", 0, self._stands, self._ink_of),
        )

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
        return "wrong" if stands.overdue else "set" if stands.balance > 0 else "muted"

    def about(self) -> str:
        if not self.key:
            return (
                "A deposit comes first, then progress by what is checked off, then the final one."
            )
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
            + f"due on {stands.due_on}.\n"
            + self.keyed("Press {open} to see it: payments, credit, void, file.")
        )

    def change_here(self) -> None:
        """Show the document under the cursor."""
        if self.key:
            self.program.open("an-invoice", self.key)


def _ink(one: Issued | Credit) -> str:
    return "muted" if isinstance(one, Credit) else "text"


LEAVES: tuple[type[Leaf[Any]], ...] = (PriceLeaf, MaterialsLeaf, ExtraLeaf, InvoicesLeaf, DoneLeaf)
_LEAVES_APART = 66
"""Columns from which on the names of the leaves stand apart."""
_DATED = 70
"""Columns from which on there is room for an invoice's date, which Enter shows, too."""


class MoneyPage(LinesPage):
    """Five leaves, one in sight; a number or an arrow turns to another."""

    WHERE = "{job} · money"
    AREA = "money"
    SHOWS_BOOKS = True
    DEFAULT_CSS = """
    MoneyPage #sums { height: auto; padding: 0 1; background: $surface; }
    MoneyPage #leaves { height: 1; padding: 0 1; margin-top: 1; color: $muted; }
    MoneyPage #here { height: 3; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._at = 0

    def above(self) -> Iterable[Widget]:
        self._leaves = tuple(leaf(self) for leaf in LEAVES)
        yield Static(id="sums", markup=False)
        yield Planning("t", SECONDS)
        yield Static(id="leaves", markup=False)
        yield Static(id="heads", markup=False)

    @property
    def leaf(self) -> Leaf[Any]:
        """The leaf in sight."""
        return self._leaves[self._at]

    def record_changed(self, rows: ChangedRows) -> None:
        """Show the books as they are."""
        self.books = self.program.job_books()
        super().record_changed(rows)

    def rows(self) -> list[Row]:
        self.query_one("#sums", Static).update(self._sums())
        told = Text(no_wrap=True)
        gap = 2 if self.size.width >= _LEAVES_APART else 0
        for place, one in enumerate(LEAVES):
            here = place == self._at
            told.append(
                f"[{place + 1} {one.NAME}]" if here else f" {place + 1} {one.NAME} ",
                style="bold reverse" if here else "",
            )
            told.append(" " * gap)
        self.query_one("#leaves", Static).update(told)
        width = self.size.width - 1
        self.query_one("#heads", Static).update(Text(self.leaf.heads_in(width), no_wrap=True))
        self.refresh_bindings()
        return self.leaf.rows_in(width)

    def _sums(self) -> Text:
        accepted = self.books.record.accepted
        found = self.books.money
        text = Text()
        if accepted is None:
            text.append("No price has been accepted", style="bold")
        else:
            text.append(f"Accepted {money(accepted.total)}", style="bold")
            text.append(plain(f" by {accepted.by} on {accepted.on}"))
        text.append(f"\nBilled {money(found.billed)}   paid {money(found.paid)}   ")
        owed = "credit balance" if found.balance < 0 else "owed"
        text.append(f"{owed} {money(abs(found.balance))}", style="bold")
        if found.overdue:
            text.append(f"   overdue {money(found.overdue)}", style="bold reverse")
        return text

    def about(self, key: str) -> Text:
        return Text(self.leaf.about(), overflow="ellipsis")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Only what makes sense on the leaf in sight can be done."""
        return action != "leaf_act" or (self.is_mounted and parameters[0] in self.leaf.CAN)

    def action_leaf_act(self, what: str) -> None:
        getattr(self.leaf, what)()

    @on(Planning.Made)
    def planned(self, event: Planning.Made) -> None:
        """Take the takeoff that was just made into the estimate."""
        take_over(self.program, event.takeoff)

    @on(Planning.Failed)
    def not_planned(self, event: Planning.Failed) -> None:
        """Say why there is no takeoff."""
        self.tell(str(event.refused), "wrong")

    @on(Lines.Chosen)
    def chosen(self) -> None:
        """A line that is clicked twice is opened."""
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
