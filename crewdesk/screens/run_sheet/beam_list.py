"""Beams as a list: typed line by line, pasted, or filled into a table."""

from collections.abc import Iterable
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Button, Input, Label, Static, TextArea

from crewdesk.errors import BadInput
from crewdesk.length import Step, feet_and_inches, mixed, show_length
from crewdesk.paper.lengths import with_unit
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.sheet import Question
from crewdesk.screens.parts.terminal import TypedLine
from crewdesk.screens.parts.typed_line import TypedText
from crewdesk.sentence import many
from crewdesk.trade.beam_list import MOST_LINES, BeamLine, TypeInList, read_beam_list

_ABOUT = "Great room: 4 beams 16' 7-1/4x6   the room, how many, how long, width x height"
_HEADS = ("Room", "How many", "Length", "Width", "Height")
_LEAST_ROWS = 4
_MOST_TOLD = 4
_TYPE_KEY = "Its key there is {run-sheet.edit-beam}."
_KEYS = "{these-beams}: add these beams.  {list-or-table}: %s.  {leave}: cancel."

Beams = tuple[BeamLine, ...]


class Cell(TypedLine):
    """A cell of the table; at its ends the arrows go to the next one."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "screen.row(-1)", show=False),
        Binding("down", "screen.row(1)", show=False),
    ]

    def action_cursor_left(self, select: bool = False) -> None:
        """Move left, from the beginning into the cell before."""
        if self.cursor_position or select:
            super().action_cursor_left(select)
        else:
            self.screen.focus_previous(Cell)

    def action_cursor_right(self, select: bool = False) -> None:
        """Move right, from the end into the next cell."""
        if self.cursor_position < len(self.value) or select:
            super().action_cursor_right(select)
        else:
            self.screen.focus_next(Cell)


class Row(Horizontal):
    """A row of the table: room, how many, length, width, height."""

    def __init__(self, values: Iterable[str] = ()) -> None:
        super().__init__()
        self._values = (*values, *[""] * len(_HEADS))[: len(_HEADS)]

    def compose(self) -> Iterable[Widget]:
        for value in self._values:
            yield Cell(value, compact=True, select_on_focus=False)


class BeamList(Question[Beams | None]):
    """Asks for beams, with the parsed beams shown below."""

    AREA = "list-of-beams"
    DEFAULT_CSS = """
    BeamList .question { width: 84; }
    BeamList .title { margin: 0; }
    BeamList .about { margin: 0; }
    BeamList Button { margin: 0; }
    BeamList TextArea, BeamList #table { margin: 1 0; height: 25vh; min-height: 4; }
    BeamList TextArea { border: none; padding: 0 1; background: $panel;
                        scrollbar-size-vertical: 1; }
    BeamList TextArea:focus { border: none; }
    BeamList #table { display: none; background: $surface; }
    BeamList.table #table { display: block; }
    BeamList.table TextArea { display: none; }
    BeamList #rows { height: 1fr; scrollbar-size-vertical: 1; }
    BeamList #heads, BeamList Row { height: 1; }
    BeamList #heads Label { width: 1fr; color: $primary; text-style: bold; }
    BeamList Cell { width: 1fr; margin: 0 1 0 0; background: $panel; }
    BeamList Cell:focus { background: $entry; }
    BeamList Row > Cell:first-of-type, BeamList #heads > Label:first-of-type { width: 2fr; }
    BeamList #told { height: auto; min-height: 3; }
    BeamList #told.wrong { color: $error; }
    """

    def __init__(self, step: Step, *, title: str = "Beams", does: str = "Add these beams") -> None:
        super().__init__()
        self._step = step
        self._title = title
        self._does = does
        self._beams: Beams | None = None

    def compose(self) -> ComposeResult:
        with Vertical(classes="question"):
            yield Label(plain(self._title), classes="title", markup=False)
            yield Static(_ABOUT, classes="about", id="how", markup=False)
            area = TypedText(soft_wrap=True, tab_behavior="indent")
            area.cursor_blink = False
            yield area
            with Vertical(id="table"):
                with Horizontal(id="heads"):
                    yield from (Label(head) for head in _HEADS)
                yield VerticalScroll(*(Row() for _ in range(_LEAST_ROWS)), id="rows")
            yield Static(id="told", markup=False)
            yield Button(Content(self._does), id="answer")
            yield Static(id="keys", classes="about", markup=False)

    def on_mount(self) -> None:
        """Begin with the list."""
        self.query_one("#rows").can_focus = False
        self._begin()

    @property
    def _in_table(self) -> bool:
        return self.has_class("table")

    @property
    def _unit(self) -> str:
        return "mm" if self._step.mm else "in"

    @property
    def _text(self) -> str:
        if not self._in_table:
            return self.query_one(TextArea).text
        rows = [[cell.value.strip() for cell in row.query(Cell)] for row in self.query(Row)]
        return "\n".join("\t".join(row) if any(row) else "" for row in rows)

    def _begin(self) -> None:
        first: Widget = self.query(Cell).first() if self._in_table else self.query_one(TextArea)
        first.focus()
        other = "line by line" if self._in_table else "a table"
        self.query_one("#keys", Static).update(self.with_keys(_KEYS % other))
        self.changed()

    @on(TextArea.Changed)
    @on(Input.Changed)
    def changed(self) -> None:
        """Show the parsed beams."""
        line = self.query_one("#told", Static)
        text = self._text
        self._beams = None
        wrong = False
        if not text.strip():
            words = "Nothing typed yet. Type some beams, paste a list, or leave it for later."
        else:
            try:
                self._beams = read_beam_list(text, unit=self._unit)
                words = _told(self._beams, self._step)
            except BadInput as refusal:
                words, wrong = plain(refusal.shown(self._step)), True
                if isinstance(refusal, TypeInList):
                    words = f"{words} {self.with_keys(_TYPE_KEY)}"
        line.set_class(wrong, "wrong")
        line.update(words)

    @on(Input.Submitted)
    def entered(self, event: Input.Submitted) -> None:
        """Go on to the next cell, or into a new row."""
        cells = list(self.query(Cell))
        if event.input is cells[-1]:
            self._add_row()
        else:
            self.focus_next(Cell)

    def action_row(self, by: int) -> None:
        cells = list(self.query(Cell))
        if self.focused not in cells:
            return
        place = cells.index(self.focused) + by * len(_HEADS)
        if place >= len(cells):
            self._add_row(place % len(_HEADS))
        elif place >= 0:
            cells[place].focus()

    def _add_row(self, column: int = 0) -> None:
        if len(self.query(Row)) >= MOST_LINES:
            return
        row = Row()
        self.query_one("#rows").mount(row)
        self.call_after_refresh(lambda: row.query(Cell)[column].focus())

    async def action_turn(self) -> None:
        if self._text.strip() and self._beams is None:
            return
        beams = self._beams or ()
        if self._in_table:
            self.query_one(TextArea).text = "\n".join(one.written() for one in beams)
        else:
            rows = [Row(_cells(one)) for one in beams]
            rows += [Row() for _ in range(_LEAST_ROWS - len(rows))]
            box = self.query_one("#rows")
            await box.remove_children()
            await box.mount_all(rows)
        self.toggle_class("table")
        self._begin()

    @on(Button.Pressed, "#answer")
    def action_give(self) -> None:
        if self._beams is not None:
            self.dismiss(self._beams)
        elif not self._text.strip():
            self.dismiss(())


def _cells(line: BeamLine) -> tuple[str, ...]:
    """Return a line as a row of the table, each length exact, in typed form."""
    length = "" if line.length is None else feet_and_inches(line.length)
    width, height = ("" if one is None else f'{mixed(one)}"' for one in (line.width, line.height))
    room = f"{line.room} sloped {line.pitch}" if line.pitch else line.room
    return room, str(line.count), length, width, height


def _told(beams: Beams, step: Step) -> str:
    """Return the parsed beams of a list, in a few lines."""
    lines = []
    for one in beams[:_MOST_TOLD]:
        parts = [f"{one.room}: {many(one.count, 'beam')}"]
        if one.length is not None:
            parts.append(f"{show_length(one.length, step, feet=not step.mm)} long")
        if one.width is not None and one.height is not None:
            wide, high = (with_unit(part, step) for part in (one.width, one.height))
            parts.append(f"{wide} wide, sides {high} high")
        if one.pitch:
            parts.append(f"ceiling sloped {one.pitch}")
        lines.append(plain(", ".join(parts)))
    total = sum(one.count for one in beams)
    left = len(beams) - _MOST_TOLD
    more = f"; {many(left, 'more line')}" if left > 0 else ""
    lines.append(f"{many(total, 'beam')} in all{more}.")
    return "\n".join(lines)
