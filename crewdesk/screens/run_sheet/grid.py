"""The grid of the run sheet: pieces down, stages across, drawn line by line.

Only the lines in sight are drawn, and after a change only those of the beams that
changed, so that a job of hundreds of beams is as quick as one of three.
"""

from collections.abc import Iterable, Mapping
from typing import ClassVar, NamedTuple

from rich.segment import Segment
from rich.style import Style
from textual import on
from textual.binding import Binding, BindingType
from textual.events import Click, Resize
from textual.message import Message
from textual.strip import Strip

from crewdesk.job.steps.run_sheet import Cell, RunSheet
from crewdesk.job.steps.stages import Stage, Step
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.lines import SIGNS, TallRows
from crewdesk.screens.parts.program import ChangedRows

HELD = "?"
"""Behind a cell with a cut that waits for an answer."""
NARROWEST_NAME = 20
NARROWEST_CELL = 6
WIDEST_NAME = 40
PIECE_WIDTH = 8


class Line(NamedTuple):
    """A line of the grid: a room's name, or a piece with whether its beam is told on it."""

    room: str = ""
    beam: str = ""
    piece: str = ""
    first: bool = False


class RunGrid(TallRows, can_focus=True):
    """The grid; the cursor stands on one piece and one stage."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "run-grid--room",
        "run-grid--name",
        "run-grid--cursor",
        "run-grid--line",
        *(f"run-grid--{state.replace(' ', '-')}" for state in SIGNS),
        "run-grid--part",
        "run-grid--override",
        "run-grid--held",
    }
    DEFAULT_CSS = """
    RunGrid { height: 1fr; background: $background; overflow-x: hidden;
              scrollbar-size-vertical: 1; }
    RunGrid > .run-grid--room { color: $secondary; text-style: bold; }
    RunGrid > .run-grid--name { color: $foreground; }
    RunGrid > .run-grid--line { background: $panel; }
    RunGrid > .run-grid--cursor { background: $ready; color: $background; text-style: bold; }
    RunGrid > .run-grid--done { color: $done; }
    RunGrid > .run-grid--ready { color: $ready; text-style: bold; }
    RunGrid > .run-grid--part { color: $part; }
    RunGrid > .run-grid--not-ready { color: $waiting; }
    RunGrid > .run-grid--blocked { color: $blocked; text-style: bold; }
    RunGrid > .run-grid--skipped { color: $skipped; }
    RunGrid > .run-grid--override { color: $override; text-style: bold; }
    RunGrid > .run-grid--held { color: $blocked; text-style: bold; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1, 0)", show=False),
        Binding("down", "move(1, 0)", show=False),
        Binding("left", "move(0, -1)", show=False),
        Binding("right", "move(0, 1)", show=False),
        Binding("pageup", "page(-1)", show=False),
        Binding("pagedown", "page(1)", show=False),
        Binding("home", "move(0, -99)", show=False),
        Binding("end", "move(0, 99)", show=False),
        Binding("ctrl+home", "move(-99999, 0)", show=False),
        Binding("ctrl+end", "move(99999, 0)", show=False),
    ]

    class Moved(Message):
        """The cursor stands elsewhere; `show_cursor` draws it, last of all that the move
        changes, so that one frame shows it with what is told of it."""

    class Opened(Message):
        """The name of a piece was clicked."""

    def __init__(self, sheet: RunSheet) -> None:
        super().__init__()
        self.sheet = sheet
        self.lines: list[Line] = []
        self.row = 0
        self.column = 0
        self._left: int | None = None

    def on_mount(self) -> None:
        """Lay the lines out."""
        self.lay_out()

    # What stands where

    @property
    def stages(self) -> tuple[Stage, ...]:
        """The columns."""
        return self.sheet.record.stages.stages

    @property
    def spot(self) -> Spot | None:
        """The piece under the cursor."""
        if self.row >= len(self.lines) or not self.lines[self.row].beam:
            return None
        return Spot(self.lines[self.row].beam, self.lines[self.row].piece)

    @property
    def stage(self) -> Stage:
        """The stage under the cursor."""
        return self.stages[min(self.column, len(self.stages) - 1)]

    @property
    def cell(self) -> Cell | None:
        """The cell under the cursor."""
        if (spot := self.spot) is None:
            return None
        cells = self.sheet.cells(self.sheet.record.beam(spot.beam)).get(spot.piece)
        return cells[min(self.column, len(self.stages) - 1)] if cells else None

    @property
    def step(self) -> Step | None:
        """The step that comes next in the cell under the cursor."""
        return self.cell.next if self.cell else None

    def lay_out(self) -> None:
        """Lay the lines out anew, the cursor on the same piece where it is still there."""
        kept = self.spot
        self.lines = []
        for room, row, pieces in self.sheet.record.outline():
            if not self.lines or self.lines[-1].room != room:
                self.lines.append(Line(room=room))
            self.lines += [Line(room, row, key, not at) for at, key in enumerate(pieces)]
        at = [i for i, one in enumerate(self.lines) if kept and Spot(one.beam, one.piece) == kept]
        self.row = at[0] if at else min(max(self.row, 1), max(len(self.lines) - 1, 0))
        self.column = min(self.column, len(self.stages) - 1)
        self.lay_out_rows()

    @property
    def row_count(self) -> int:
        """The lines."""
        return len(self.lines)

    @on(Resize)
    def resized(self) -> None:
        """Fit the columns to the new width; keep the cursor in sight."""
        self.lay_out_rows()
        if self.lines:
            self.call_after_refresh(self.show_cursor)

    def changed(self, rows: ChangedRows) -> None:
        """Draw the lines of changed beams anew; all where beams or the job itself changed."""
        beams = {row for table, row in rows if table == "beams"}
        known = {line.beam for line in self.lines}
        here = set(self.sheet.record.tables.get("beams", {}))
        names = any(table == "job" for table, _ in rows)
        other = not beams <= known or not known - {""} <= here
        if not rows or names or other or self._renamed() or self._other_pieces(beams & here):
            self.lay_out()
            return
        for y, line in enumerate(self.lines):
            if line.beam in beams:
                self.redraw_row(y)

    def _other_pieces(self, beams: Iterable[str]) -> bool:
        """Whether one of these beams has other pieces than its lines, as by another type."""
        stand: dict[str, list[str]] = {}
        for line in self.lines:
            stand.setdefault(line.beam, []).append(line.piece)
        return any(stand[row] != list(self.sheet.record.beam(row).pieces) for row in beams)

    def _renamed(self) -> bool:
        return any(
            line.first and self.sheet.record.beam(line.beam).room != line.room
            for line in self.lines
        )

    # The cursor

    def action_move(self, down: int, right: int) -> None:
        """Move the cursor by lines and columns; lines of rooms are passed over."""
        row = min(max(self.row + down, 0), max(len(self.lines) - 1, 0))
        if self.lines and not self.lines[row].beam:
            row += 1 if down >= 0 or row == 0 else -1
        self.go(row, min(max(self.column + right, 0), len(self.stages) - 1))

    def action_page(self, way: int) -> None:
        """Move the cursor by a screenful."""
        self.action_move(way * max(self.size.height // self.row_height - 2, 1), 0)

    def go(self, row: int, column: int) -> None:
        """Put the cursor on a line and a column."""
        self._left = self.row if self._left is None else self._left
        self.row, self.column = row, column
        self.post_message(self.Moved())

    def show_cursor(self) -> None:
        """Draw the cursor where it now stands, in sight."""
        left, self._left = self._left, None
        self.redraw_row(self.row if left is None else left)
        self.redraw_row(self.row)
        top = self.row - 1 if self.row and not self.lines[self.row - 1].beam else self.row
        self.show_rows(top, self.row)

    def go_to(self, spot: Spot, stage_id: str) -> None:
        """Put the cursor on a piece and a stage."""
        for row, line in enumerate(self.lines):
            if (line.beam, line.piece) == (spot.beam, spot.piece):
                self.go(row, [stage.id for stage in self.stages].index(stage_id))
                return

    @on(Click)
    def clicked(self, event: Click) -> None:
        """Put the cursor there; on a name, open the piece."""
        row = self.row_at(event.y)
        if row >= len(self.lines) or not self.lines[row].beam:
            return
        if event.x < self.name_width:
            self.go(row, self.column)
            self.post_message(self.Opened())
        else:
            self.go(row, min((event.x - self.name_width) // self.cell_width, len(self.stages) - 1))

    # Drawing

    @property
    def cell_width(self) -> int:
        """The width of a stage's column."""
        room = self.size.width - self._narrowest - 1
        return min(max(room // max(len(self.stages), 1), NARROWEST_CELL), 14)

    @property
    def _narrowest(self) -> int:
        """What the names get at the least: less where all stages would not go beside them."""
        stages = NARROWEST_CELL * len(self.stages)
        return max(min(NARROWEST_NAME, self.size.width - stages - 1), 2 * PIECE_WIDTH)

    @property
    def name_width(self) -> int:
        """The width of the names at the left."""
        left = self.size.width - self.cell_width * len(self.stages) - 1
        return min(max(left, self._narrowest), WIDEST_NAME)

    def heads(self, under: Mapping[str, str], aside: tuple[str, str]) -> tuple[str, str]:
        """The stages' names over their columns, and under each what `under` tells of it;
        `aside` stands at the left of the two lines."""
        width = self.cell_width
        names = (_short(plain(stage.name), width - 1).ljust(width) for stage in self.stages)
        told = (under.get(stage.id, "").ljust(width) for stage in self.stages)
        first, second = (one[: self.name_width - 1].ljust(self.name_width) for one in aside)
        return first + "".join(names), second + "".join(told)

    def row_strip(self, at: int) -> Strip:
        """One line of the grid."""
        line = self.lines[at]
        if not line.beam:
            room = self.ground + self._style("room")
            return self._strip([Segment(f" {plain(line.room)}", room)], self.ground)
        here = at == self.row
        ground = self.ground + self._style("line") if here else self.ground
        beam = self.sheet.record.beam(line.beam)
        name = f"   {plain(beam.name) if line.first else ''}"
        piece = beam.piece(line.piece).name
        width = self.name_width - PIECE_WIDTH
        left = name[: width - 1].ljust(width) + piece.ljust(PIECE_WIDTH)
        segments = [Segment(left, ground + self._style("name"))]
        cursor = self.column if here and self.has_focus else None
        width = self.cell_width
        for column, cell in enumerate(self.sheet.cells(beam)[line.piece]):
            segments += self._cell(cell, width, ground, cursor=column == cursor)
        return self._strip(segments, ground)

    def _cell(self, cell: Cell, width: int, ground: Style, *, cursor: bool) -> list[Segment]:
        told = _told(cell)
        state = "part" if cell.state == "not ready" and cell.behind else cell.state
        style = ground + self._style(state.replace(" ", "-"))
        star = HELD if cell.held else "*" if cell.overridden else ""
        room = width - len(told) - len(star)
        if cursor:
            text = f"{told}{star}".ljust(width - 1)
            return [Segment(text, self._style("cursor")), Segment(" ", ground)]
        if not star:
            return [Segment(told.ljust(width), style if told else ground)]
        behind = ground + self._style("held" if cell.held else "override")
        return [Segment(told, style), Segment(star.ljust(room + 1), behind)]

    def _strip(self, segments: list[Segment], ground: Style) -> Strip:
        return Strip(segments).adjust_cell_length(self.size.width, ground)

    def _style(self, name: str) -> Style:
        return self.style_of(f"run-grid--{name}")

    def on_focus(self) -> None:
        """Show the cursor."""
        self.redraw_row(self.row)

    def on_blur(self) -> None:
        """Show that keys go elsewhere."""
        self.redraw_row(self.row)


def _short(name: str, width: int) -> str:
    """A name in `width` columns; where it is too long, its first words by their initials,
    close to the last one where need be, or its last word alone, or as much of it as goes in."""
    words = name.split()
    while len(" ".join(words)) > width and any(len(word) > 2 for word in words[:-1]):
        place = next(i for i, word in enumerate(words[:-1]) if len(word) > 2)
        words[place] = f"{words[place][0]}."
    if len(" ".join(words)) > width:
        words = ["".join(words)] if len("".join(words)) <= width else words[-1:]
    told = " ".join(words)
    return told if len(told) <= width else f"{told[: width - 1]}…"


def _told(cell: Cell) -> str:
    """A cell's sign and, where it has several steps and some are behind, how many."""
    sign = SIGNS[cell.state]
    if cell.steps > 1 and cell.state not in ("done", "skipped") and cell.behind:
        return f"{sign} {cell.behind}/{cell.steps}"
    return sign
