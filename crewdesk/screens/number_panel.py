"""Where one number is asked for and typed: large, with what follows from it below."""

from collections.abc import Iterable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Static

from crewdesk.paper.plain import plain
from crewdesk.screens.big_figures import BigFigures
from crewdesk.screens.length_input import LengthInput
from crewdesk.screens.number_asked import Seen


class Typed(LengthInput):
    """Where the one number is typed."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "submit", "Save, go on", id="one-number.save-go-on"),
        Binding("up,pageup", "screen.back_one", "Back one", id="one-number.back-one"),
        Binding("pagedown", "screen.next_beam", "Next beam", id="one-number.next-beam"),
    ]


class NumberPanel(Vertical):
    """What is asked, the number in large figures, a hint, the mark in large figures, and the
    other marks."""

    DEFAULT_CSS = """
    NumberPanel { width: 1fr; }
    NumberPanel #asked { height: auto; min-height: 2; max-height: 3; padding: 0 1;
                         text-style: bold; color: $primary; }
    NumberPanel Typed { height: 1; width: 100%; background: $panel; }
    NumberPanel BigFigures { height: 3; margin: 0 1; }
    NumberPanel #number { color: $foreground; }
    NumberPanel #mark { color: $mark; }
    NumberPanel #hint { height: auto; min-height: 1; max-height: 3; padding: 0 1; color: $muted; }
    NumberPanel #hint.wrong { color: $error; text-style: bold; }
    NumberPanel #words { height: auto; min-height: 1; max-height: 3; padding: 0 1;
                         text-style: bold; color: $mark; }
    NumberPanel #marks { height: 1fr; padding: 0 1; background: $surface; }
    """

    def compose(self) -> ComposeResult:
        yield Static(id="asked", markup=False)
        yield Typed(compact=True)
        yield BigFigures(id="number")
        yield Static(id="hint", markup=False)
        yield Static(id="words", markup=False)
        yield BigFigures(id="mark")
        yield Static(id="marks", markup=False)

    def tell(self, asks: str, number: str, seen: Seen) -> None:
        """Show what is asked, the number and what follows from it."""
        self.query_one("#hint", Static).set_class(seen.wrong, "wrong")
        self.query_one("#number", BigFigures).show(number)
        self.query_one("#mark", BigFigures).show(seen.figures)
        self._put("#asked", asks.splitlines())
        self._put("#hint", [seen.hint])
        self._put("#words", [seen.words])
        self._put("#marks", seen.lines)

    def _put(self, id_: str, lines: Iterable[str]) -> None:
        """Show lines, unless they stand there: laying the page out again takes time."""
        told, text = self.query_one(id_, Static), "\n".join(map(plain, lines))
        if text != str(told.content):
            told.update(text)
