"""Lists: lines to walk through, with details of the one under the cursor, and lists of things to
add, change and remove."""

from abc import abstractmethod
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from textwrap import wrap
from typing import TYPE_CHECKING, Any, ClassVar, Generic, TypeVar

from rich.text import Text
from textual import on
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.change import Change
from crewdesk.job.text_limits import lines_of
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.actions import with_keys
from crewdesk.screens.parts.ask import Answer, Field, ask_change, ask_shop_change, filled, make_sure
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.page import Page
from crewdesk.screens.parts.program import ChangedRows, Program

T = TypeVar("T")


@dataclass(frozen=True)
class Column(Generic[T]):
    """A column of a list: its head, how wide it is (below 0: to the right; 0: as it comes), the
    text of a thing, and which of the styles of `Lines`."""

    head: str
    width: int
    show: Callable[[T], str]
    ink: str | Callable[[T], str] = "text"

    def cell(self, one: T) -> tuple[str, str]:
        """Return the text of one thing, with its style."""
        text = plain(self.show(one))
        return fit(text, self.width), self.ink if isinstance(self.ink, str) else self.ink(one)


class ThingList(Generic[T]):
    """A list of things of one sort. Its content and questions are data of a subclass: its
    columns and fields, and how the answer is kept. `program`, `key` and `with_keys` are those of
    the page."""

    OF_SHOP: ClassVar[bool] = False
    NONE: ClassVar[str] = ""
    """What stands if there is none."""
    FIELDS: Sequence[Field] = ()
    TITLES: ClassVar[tuple[str, str]] = ("", "")
    """The titles of the forms to add and to change."""
    DOES: ClassVar[tuple[str, str]] = ("Add it", "Save")
    """The labels of the forms' answers."""
    REMOVAL: ClassVar[tuple[str, str, str]] = ("", "", "")
    """The question before one is removed, its answer, and a note; without a question it is removed
    at once."""
    REMOVE: ClassVar[Callable[[Any, str, datetime], Change]]
    """The function that removes the thing of a line's key."""
    AREA: ClassVar[str] = ""
    if TYPE_CHECKING:

        @property
        def program(self) -> Program:
            """The app."""

        @property
        def key(self) -> str:
            """The key of the line under the cursor."""

    def things(self) -> Iterable[T]:
        """Return the things, in their order."""
        return ()

    def key_of(self, one: T) -> str:
        """Return the line's key of a thing."""
        row: str = getattr(one, "row")  # noqa: B009
        return row

    def columns(self, width: int) -> Sequence[Column[T]]:
        """Return the columns, in that much room."""
        return ()

    def heads_in(self, width: int) -> str:
        """Return the heads of the columns."""
        return " " + "".join(fit(one.head, one.width) for one in self.columns(width)).rstrip()

    def rows_in(self, width: int) -> list[Row]:
        """Return the lines, as they go into that many columns."""
        columns = self.columns(width)
        rows = [
            Row((" ", "text"), *(column.cell(one) for column in columns), key=self.key_of(one))
            for one in self.things()
        ]
        text = with_keys(self.NONE, self.AREA, self.program.key)
        return rows or [Row(*one.parts) for one in told_rows(text.splitlines(), width)]

    @property
    def here(self) -> T | None:
        """The thing under the cursor."""
        key = self.key
        return next((one for one in self.things() if self.key_of(one) == key), None)

    def shown(self, one: T) -> Mapping[str, str]:
        """Return the values in the fields for a thing, by name."""
        has = {field.key: getattr(one, field.key, None) for field in self.FIELDS}
        return {key: lines_of(str(value)) for key, value in has.items() if value is not None}

    def keep(self, record: Any, answer: Answer, now: datetime, one: T | None) -> Change:
        """Return the change that adds a thing as typed, or changes `one`, in its record."""
        raise NotImplementedError

    def title_of(self, one: T | None) -> str:
        """Return the title of the form for one to change, or to add (None)."""
        return self.TITLES[one is not None]

    def fields_of(self, one: T | None) -> Sequence[Field]:
        """Return the fields of one to change, or of one to add (None)."""
        return self.FIELDS if one is None else filled(self.FIELDS, self.shown(one))

    def ask(self, one: T | None) -> None:
        """Ask for a new thing (None), or for other values of one."""
        asks = ask_shop_change if self.OF_SHOP else ask_change
        asks(
            self.program,
            self.title_of(one),
            self.fields_of(one),
            lambda record, answer, now: self.keep(record, answer, now, one),
            does=self.DOES[one is not None],
        )

    def add_one(self) -> None:
        """Ask for one more."""
        self.ask(None)

    def change_here(self) -> None:
        """Ask for other values of the one under the cursor."""
        if (one := self.here) is not None:
            self.ask(one)

    def remove_here(self) -> None:
        """Ask whether to remove the one under the cursor."""
        if (one := self.here) is None:
            return
        app, (asks, does, about), key = self.program, self.REMOVAL, self.key_of(one)

        def go() -> None:
            do = app.do_shop if self.OF_SHOP else app.do
            do(lambda record, now: type(self).REMOVE(record, key, now))

        if asks:
            make_sure(app, asks.format(one), does, go, about=about)
        else:
            go()


class LinesPage(Page):
    """A page of lines; a subclass has the `rows` for the page's width, and the text `about` one."""

    DEFAULT_CSS = """
    LinesPage #heads { height: 1; color: $primary; text-style: bold; }
    LinesPage #here { height: 2; padding: 0 1; background: $surface; }
    """

    def body(self) -> Iterable[Widget]:
        yield from self.above()
        yield Lines()
        yield Static(id="here", markup=False)

    def above(self) -> Iterable[Widget]:
        """Return the widgets over the lines."""
        return ()

    @abstractmethod
    def rows(self) -> Sequence[Row]:
        """Return the lines."""

    def about(self, key: str) -> str | Text:
        """Return details of the line with that key, made plain."""
        return ""

    @property
    def key(self) -> str:
        """The key of the line under the cursor, or ""."""
        return self.query_one(Lines).key

    def on_mount(self) -> None:
        """Begin on the first line."""
        self.query_one(Lines).focus()

    @on(Resize)
    def resized(self) -> None:
        """Fit the lines to the new width."""
        self.call_after_refresh(self.show)

    def record_changed(self, rows: ChangedRows) -> None:
        """Show the current lines, the cursor on a new one."""
        lines = self.query_one(Lines)
        before = {row.key for row in lines.rows}
        self.show()
        changed = {row for _, row in rows} - before
        for added in [row.key for row in lines.rows if row.key in changed][:1]:
            lines.go_to(added)

    def show(self) -> None:
        """Show the lines, the cursor on the same one where it is still there."""
        self.query_one(Lines).show(self.rows())
        self.tell_here()

    @on(Lines.Moved)
    def tell_here(self) -> None:
        """Show details of the line under the cursor."""
        about = self.about(self.key)
        text = Text(about, overflow="ellipsis", no_wrap=True) if isinstance(about, str) else about
        self.query_one("#here", Static).update(text, layout=False)


class ListPage(ThingList[T], LinesPage):
    """A page of one list of things; Enter, or a second click, changes the one under the cursor."""

    def above(self) -> Iterable[Widget]:
        if heads := self.heads_in(0).strip():
            yield Static(f" {heads}", id="heads", markup=False)

    def rows(self) -> Sequence[Row]:
        return self.rows_in(self.size.width - 1)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Return the one under the cursor can be changed or removed only if there is one."""
        if action in ("change", "remove") and self.is_mounted:
            return self.here is not None
        return super().check_action(action, parameters)

    @on(Lines.Moved)
    def refresh_keys(self) -> None:
        """Name the keys that do something on this line."""
        self.refresh_bindings()

    def show(self) -> None:
        """Show the lines, and the keys that do something on them."""
        super().show()
        self.refresh_bindings()

    def action_add(self) -> None:
        """Ask for one more."""
        self.add_one()

    @on(Lines.Chosen)
    def action_change(self) -> None:
        """Ask for other values of the one under the cursor."""
        self.change_here()

    def action_remove(self) -> None:
        """Ask whether to remove the one under the cursor."""
        self.remove_here()


def fit(text: str, width: int) -> str:
    """Return a text in `width` columns, with an ellipsis if cut; a negative width aligns right and
    never cuts."""
    if width > 0:
        cut = text if len(text) <= width else f"{text[: width - 1].rstrip()}…"
        return f"{cut:<{width}}"
    return f"{text:>{-width}}" if width else text


def told_rows(sentences: Iterable[str], width: int, ink: str = "muted") -> list[Row]:
    """Return sentences, wrapped; the cursor moves through them."""
    return [
        Row((f" {line}", ink), key=f"told {sentence}{line}")
        for sentence in sentences
        for line in wrap(plain(sentence), max(width - 3, 20), subsequent_indent="  ")
    ]
