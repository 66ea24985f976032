"""Sheets over a page: questions, and lists in them."""

from collections.abc import Hashable, Iterable
from typing import ClassVar, Generic, TypeVar

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widget import Widget
from textual.widgets import Label, Static

from crewdesk.paper.plain import plain
from crewdesk.screens.parts.keys_line import NamedKeys
from crewdesk.screens.parts.lines import Lines, Row

Answered = TypeVar("Answered")
Marked = TypeVar("Marked", bound=Hashable)
_CLOSER = ("near", "tight")
"""Style classes: without empty rows between its lines; without any."""


class Sheet(NamedKeys, ModalScreen[Answered]):
    """A sheet over a page until it is answered or closed."""

    def action_leave(self) -> None:
        self.dismiss()


class Question(Sheet[Answered]):
    """A question with less spacing on a low screen, so that its keys stay visible."""

    def on_resize(self) -> None:
        """Fit it to the new size."""
        for box in self.query(".question"):
            box.remove_class(*_CLOSER)
            for one in box.children:
                one.styles.clear_rule("max_height")
        self.call_after_refresh(self.fit)

    def fit(self) -> None:
        """Remove empty rows, then limit the longest part to the available rows."""
        box = next(iter(self.query(".question")), None)
        if box is None or not box.max_scroll_y:  # it is answered already, or it fits
            return
        for closer in _CLOSER:
            if not box.has_class(closer):
                box.add_class(closer)
                self.call_after_refresh(self.fit)
                return
        longest = max(box.children, key=lambda one: one.size.height)
        longest.styles.max_height = max(1, longest.size.height - box.max_scroll_y)


class ListSheet(Question[Answered]):
    """A question with a list in it: its title, what `body` yields, and its keys in a sentence."""

    DEFAULT_CSS = """
    ListSheet Lines, ListSheet OptionList { height: auto; max-height: 60vh; padding: 0;
                                            background: $surface; }
    ListSheet OptionList, ListSheet OptionList:focus { border: none; }
    """
    KEYS: ClassVar[str] = ""

    def compose(self) -> ComposeResult:
        with Vertical(classes="question"):
            yield Label(plain(self.asks), classes="title", markup=False)
            yield from self.body()
            yield Static(self.with_keys(self.KEYS), id="keys", classes="about keys", markup=False)

    @property
    def asks(self) -> str:
        """Its title."""
        return ""

    def body(self) -> Iterable[Widget]:
        """Return the widgets between its title and its keys."""
        yield Lines()

    def open_on(self, rows: Iterable[Row], key: str = "") -> None:
        """Show lines, as high as they are, and begin on the one of a key."""
        lines = self.query_one(Lines)
        lines.show(tuple(rows))
        lines.styles.height = len(lines.rows)
        lines.focus()
        lines.go_to(key)


class MarkSheet(ListSheet[Answered], Generic[Answered, Marked]):
    """Things to mark: `marked` are those marked; Space toggles one."""

    marked: set[Marked]

    def things(self) -> Iterable[tuple[str, str, Marked | None]]:
        """Return the things, each its key, its words and itself; a head has no thing."""
        raise NotImplementedError

    def on_mount(self) -> None:
        """Show the things."""
        self.open_on(self._rows())
        self.show()

    def show(self) -> None:
        """Show which are marked."""
        self.query_one(Lines).show(list(self._rows()))

    def _rows(self) -> Iterable[Row]:
        things = list(self.things())
        before = "  " if any(one is None for _, _, one in things) else ""
        for key, words, one in things:
            sign, ink = ("■", "made") if one in self.marked else ("□", "muted")
            parts = ((f"{before}{sign} ", ink), (plain(words), "text"))
            yield Row(*(((plain(words), "head"),) if one is None else parts), key=key)

    @on(Lines.Chosen)
    def action_turn(self) -> None:
        """Mark or unmark the one under the cursor."""
        key = self.query_one(Lines).key
        self.marked ^= {one for its, _, one in self.things() if its == key and one is not None}
        self.show()
