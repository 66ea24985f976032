"""A letter on the screen, to look at and to save."""

from abc import abstractmethod
from collections.abc import Iterable
from datetime import date

from rich.text import Text
from textual import on
from textual.containers import VerticalScroll
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.errors import CrewdeskError
from crewdesk.paper.documents.letter import Letter, letter_lines
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.page import Page
from crewdesk.screens.parts.paper import ask_save_letter
from crewdesk.screens.parts.program import ChangedRows

_MARGINS, _WIDEST = 8, 96


class LetterPage(Page):
    """A letter, to look at and to save."""

    DEFAULT_CSS = """
    LetterPage VerticalScroll { height: 1fr; scrollbar-size-vertical: 1; }
    LetterPage #letter { height: auto; padding: 1 3; }
    """

    def body(self) -> Iterable[Widget]:
        with VerticalScroll():
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
        """The columns that the letter takes: all that there are, until amounts stand too far
        from what they are for."""
        return min(self.size.width - _MARGINS, _WIDEST)

    def record_changed(self, rows: ChangedRows) -> None:
        """Show the letter as it is."""
        self.query_one("#letter", Static).update(self.shown())

    def shown(self) -> Text:
        """What stands on the page: the letter, or why there is none."""
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
        """The letter; raises `NotAllowed` or `BadInput`."""

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
        """The name of the letter's file, without its end."""
        return "letter"


def _is_head(line: str) -> bool:
    return line.startswith(("Invoice ", "Work", "Extra work", "Total ", "Balance "))
