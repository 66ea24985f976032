"""The money of a job: its price, material, extra work, invoices, and how far it is."""

from collections.abc import Iterable

from rich.text import Text
from textual import on
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.paper.letter import money
from crewdesk.paper.plain import plain
from crewdesk.screens.leaf import ACTIONS, Leaf
from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.lines_page import LinesPage
from crewdesk.screens.money_done import DoneLeaf
from crewdesk.screens.money_extra import ExtraLeaf
from crewdesk.screens.money_invoices import InvoicesLeaf
from crewdesk.screens.money_materials import SECONDS, MaterialsLeaf, take_over
from crewdesk.screens.money_price import PriceLeaf
from crewdesk.screens.planning import Planning

LEAVES: tuple[type[Leaf], ...] = (PriceLeaf, MaterialsLeaf, ExtraLeaf, InvoicesLeaf, DoneLeaf)


_LEAVES_APART = 66
"""Columns from which on the names of the leaves stand apart."""


class MoneyPage(LinesPage):
    """Five leaves, one in sight; a number or an arrow turns to another."""

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

    @property
    def where(self) -> str:
        return f"{self.desk_app.record.job.name} · money"

    def above(self) -> Iterable[Widget]:
        self._leaves = tuple(leaf(self.desk_app) for leaf in LEAVES)
        yield Static(id="sums", markup=False)
        yield Planning("t", SECONDS)
        yield Static(id="leaves", markup=False)
        yield Static(id="heads", markup=False)

    @property
    def leaf(self) -> Leaf:
        """The leaf in sight."""
        return self._leaves[self._at]

    def record_changed(self, rows: frozenset[tuple[str, str]]) -> None:
        """Show the books as they are."""
        self._books = self.desk_app.job_books()
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
        self.query_one("#heads", Static).update(
            Text(self.leaf.heads(self._books, width), no_wrap=True)
        )
        self.refresh_bindings()
        return self.leaf.rows(self._books, width)

    def _sums(self) -> Text:
        accepted = self._books.record.accepted
        found = self._books.money
        text = Text()
        if accepted is None:
            text.append("No price is accepted yet", style="bold")
        else:
            text.append(f"Accepted {money(accepted.total)}", style="bold")
            text.append(plain(f" by {accepted.by} on {accepted.on}"))
        text.append(f"\nBilled {money(found.billed)}   paid {money(found.paid)}   ")
        owed = "owed back" if found.balance < 0 else "owed"
        text.append(f"{owed} {money(abs(found.balance))}", style="bold")
        if found.overdue:
            text.append(f"   overdue {money(found.overdue)}", style="bold reverse")
        return text

    def about(self, key: str) -> Text:
        return Text(self.leaf.about(self._books, key), overflow="ellipsis")

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Only what makes sense on the leaf in sight can be done."""
        if action != "leaf_act":
            return True
        return (
            self.is_mounted and parameters[0] in ACTIONS and hasattr(self.leaf, str(parameters[0]))
        )

    def action_leaf_act(self, what: str) -> None:
        getattr(self.leaf, what)(self._books, self.key)

    @on(Planning.Made)
    def planned(self, event: Planning.Made) -> None:
        """Take the takeoff that was just made into the estimate."""
        take_over(self.desk_app, event.takeoff)

    @on(Planning.Failed)
    def not_planned(self, event: Planning.Failed) -> None:
        """Say why there is no takeoff."""
        self.tell(str(event.refused), "wrong")

    @on(Lines.Chosen)
    def chosen(self) -> None:
        """A line that is clicked twice is opened."""
        if hasattr(self.leaf, "change"):
            self.action_leaf_act("change")

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
        self.desk_app.open("next-invoice")
