"""A document on the screen, to read and to save."""

from abc import abstractmethod
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from rich.text import Text
from textual import on
from textual.containers import Horizontal, VerticalScroll
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.errors import CrewdeskError
from crewdesk.paper.documents.letter import Letter, letter_lines, money
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.figure import ROWS, BigFigures, dots
from crewdesk.screens.parts.inked import Band
from crewdesk.screens.parts.list_page import fit
from crewdesk.screens.parts.page import Page
from crewdesk.screens.parts.paper import ask_save_letter
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.parts.stick import Part, ruled

_MARGINS, _WIDEST = 8, 96
_ROOMY = 100, 34
"""The columns and rows from which the figures are wider and taller."""
_BOTH = 32
"""Rows of the window from which on the letter is in sight below what its amount is made of."""


class LetterHead(NamedTuple):
    """The head of a document: its title, the amount in tall figures ("" for none), the lines beside
    and below it, the parts of the amount, and whether something must be done about it now."""

    title: str
    amount: str = ""
    beside: Sequence[Sequence[Part]] = ()
    below: Sequence[Sequence[Part]] = ()
    lines: Sequence[tuple[str, Decimal]] = ()


class LetterPage(Page):
    """A document, to read and to save."""

    DEFAULT_CSS = """
    LetterPage #sum { height: auto; padding: 0 1; }
    LetterPage #figure { height: 3; padding: 0 1; }
    LetterPage #figure > BigFigures { height: 3; width: auto; color: $foreground; }
    LetterPage #figure > Band { width: 1fr; padding: 0 0 0 3; }
    LetterPage #lines { padding: 0 1 0 3; background: $background; }
    LetterPage #rule { height: 1; background: $background; }
    LetterPage VerticalScroll { height: 1fr; scrollbar-size-vertical: 1; background: $surface; }
    LetterPage #letter { height: auto; padding: 0 3 1 3; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._sent = False

    def body(self) -> Iterable[Widget]:
        yield Band(id="title")
        with Horizontal(id="figure"):
            yield BigFigures()
            yield Band(id="beside")
        yield Band(id="sum")
        with VerticalScroll():
            yield Band(id="lines")
            yield Band(id="rule")
            yield Static(id="letter", markup=False)

    def on_mount(self) -> None:
        """Let the keys scroll the letter."""
        self.query_one(VerticalScroll).focus()

    @on(Resize)
    def resized(self) -> None:
        """Fit the letter to the new width."""
        self.call_after_refresh(self.record_changed, frozenset())

    @property
    def _wide(self) -> int:
        """The document's columns: all there are, unless amounts would be too far from their
        texts."""
        return min(self.size.width - _MARGINS, _WIDEST)

    def record_changed(self, rows: ChangedRows) -> None:
        """Show the amount and the current document."""
        self.query_one("#letter", Static).update(self.shown())
        width, head = self.size.width - 2, self.head()
        self.query_one("#title", Band).tell([ruled(head.title, width)])
        figures, amount = self.query_one(BigFigures), head.amount
        figures.show(amount)
        times = 2 if self.size.width >= _ROOMY[0] and self.size.height >= _ROOMY[1] else 1
        figures.styles.width = len(dots(amount)[0]) * times if amount else 0
        tall = ROWS if times > 1 else (ROWS + 1) // 2
        figures.styles.height = self.query_one("#figure").styles.height = tall
        beside = self.query_one("#figure", Horizontal)
        beside.display = bool(amount)
        self.query_one("#beside", Band).tell(head.beside)
        self.query_one("#sum", Band).tell(head.below)
        lines = () if self._sent else head.lines
        sent = not lines or self.size.height >= _BOTH
        self.query_one("#lines", Band).tell(_amounts(lines, self._wide + 3))
        self.query_one("#letter", Static).display = sent
        rule = "As it is sent" if amount and sent else ""
        self.query_one("#rule", Band).tell([ruled(rule, width - 1)] if rule else [])

    def action_as_sent(self) -> None:
        """Show the letter as it is sent in place of what its amount is made of, or that again."""
        self._sent = not self._sent
        self.record_changed(frozenset())
        self.query_one(VerticalScroll).scroll_home(animate=False)

    def head(self) -> LetterHead:
        """Return the head of the document."""
        return LetterHead(self.where)

    def shown(self) -> Text:
        """Return the content: the document, or why there is none."""
        try:
            lines = letter_lines(self.letter(), self._wide)
        except CrewdeskError as refused:
            return Text(plain(str(refused)))
        text = Text()
        for place, line in enumerate(lines):
            text.append(f"{line}\n", style="bold" if not place or _is_head(line) else "")
        return text

    @abstractmethod
    def letter(self) -> Letter:
        """Return the document; raises `NotAllowed` or `BadInput`."""

    @property
    def day(self) -> date:
        """The day that the books go by."""
        return self.program.books_day

    def action_save(self) -> None:
        """Save it as PDF or text, to send or to print."""
        try:
            letter = self.letter()
        except CrewdeskError as refused:
            self.tell(str(refused), "wrong")
            return
        ask_save_letter(self.program, letter, self.file)

    @property
    def file(self) -> str:
        """The name of the document's file, without suffix."""
        return "letter"


def _amounts(lines: Sequence[tuple[str, Decimal]], width: int) -> list[list[Part]]:
    """Return the parts of an amount, a line each."""
    return [
        [(fit(plain(text), width - _AMOUNT), "text"), (f"{money(amount):>{_AMOUNT}}", "strong")]
        for text, amount in lines
    ]


_AMOUNT = 14
"""The columns of an amount."""


def _is_head(line: str) -> bool:
    return line.startswith(("Invoice ", "Work", "Extra work", "Total ", "Balance "))
