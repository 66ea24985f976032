"""The grid of the run sheet: beams down, stages across, drawn line by line.

A beam is one row: under each stage a sign for each of its pieces, always in the same order.
It opens into a row for each piece. Only the lines in sight are drawn, and after a change only
those of the beams that changed, so that a job of hundreds of beams is as quick as one of three.
"""

from collections.abc import Iterable
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.events import Click, MouseMove, Resize
from textual.message import Message

from crewdesk.job.beams.piece import NAME_OF
from crewdesk.job.steps.run_sheet import Cell, RunSheet
from crewdesk.job.steps.stages import Stage, Step
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.lines import SIGNS
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.run_sheet.grid_rows import LETTERS, GridRows, Line

FEW = 3
"""The most beams of a job whose beams are all open at first."""
AIRY = 24
"""Rows of a window from which on each line of the grid takes two, if all of them fit so."""
FLASH = 0.4
"""The seconds that a checked-off cell stays highlighted."""


class RunGrid(GridRows, can_focus=True):
    """The grid; the cursor is on one beam or piece, and one stage."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "run-grid--room",
        "run-grid--rule",
        "run-grid--unread",
        "run-grid--name",
        "run-grid--piece",
        "run-grid--cursor",
        "run-grid--line",
        "run-grid--flash",
        *(f"run-grid--{state.replace(' ', '-')}" for state in SIGNS),
        "run-grid--now",
        "run-grid--part",
        "run-grid--override",
        "run-grid--held",
    }
    DEFAULT_CSS = """
    RunGrid { height: 1fr; background: $background; overflow-x: hidden;
              scrollbar-size-vertical: 1; }
    RunGrid > .run-grid--room { color: $secondary; text-style: bold; }
    RunGrid > .run-grid--rule { color: $muted; }
    RunGrid > .run-grid--unread { color: $muted; }
    RunGrid > .run-grid--name { color: $foreground; text-style: bold; }
    RunGrid > .run-grid--piece { color: $foreground; }
    RunGrid > .run-grid--line { background: $panel; }
    RunGrid > .run-grid--cursor { background: $cursor; }
    RunGrid > .run-grid--flash { background: $done; color: $background; text-style: bold; }
    RunGrid > .run-grid--done { color: $done; }
    RunGrid > .run-grid--ready { color: $foreground; text-style: bold; }
    RunGrid > .run-grid--now { color: $ready; text-style: bold; }
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
        """The cursor is elsewhere; `show_cursor` draws it last, so that one frame shows it together
        with its text."""

    class Opened(Message):
        """The name of a piece was clicked."""

    class Walked(Message):
        """The cursor was moved by a key or the mouse."""

    def __init__(self, sheet: RunSheet) -> None:
        super().__init__()
        self.sheet = sheet
        self.lines: list[Line] = []
        self.row = 0
        self.column = 0
        self.turned: set[str] = set()
        self._opened = ""
        self._few = self._airy = False
        self._order: tuple[str, ...] = ()
        self._picked: Spot | None = None
        self._lit: tuple[Spot, int] | None = None
        self._left: int | None = None

    def on_mount(self) -> None:
        """Lay the lines out."""
        self.lay_out()

    # What is where

    @property
    def spot(self) -> Spot | None:
        """The piece under the cursor; on a closed beam the cell's piece: the one that the cursor
        was sent to, otherwise the first that is ready in this stage."""
        if (line := self._line) is None:
            return None
        return Spot(line.beam, line.piece or self.meant(line.beam))

    @property
    def closed(self) -> bool:
        """Whether the cursor is on a beam that is one row."""
        return (line := self._line) is not None and not line.piece

    @property
    def _line(self) -> Line | None:
        """The line under the cursor, if it is one of a beam."""
        line = self.lines[self.row] if self.row < len(self.lines) else Line()
        return line if line.beam else None

    def meant(self, row: str) -> str:
        """Return the key of the piece that a closed beam's cell is about."""
        column = min(self.column, len(self.stages) - 1)
        beam = self.sheet.record.beam(row)
        cells = {key: cells[column] for key, cells in self.sheet.cells(beam).items()}
        picked = self._picked
        if picked is not None and picked.beam == row and picked.piece in cells:
            left = any(one.next for one in cells.values())
            if cells[picked.piece].next is not None or not left:
                return picked.piece
        for state in ("ready", "not ready", "blocked", "done", "skipped"):
            for key in self.ordered(cells):
                if cells[key].state == state:
                    return key
        return next(iter(cells))

    @staticmethod
    def ordered(keys: Iterable[str]) -> list[str]:
        """Return a beam's pieces in the order of their signs."""
        held = set(keys)
        return [key for key in LETTERS if key in held]

    @property
    def stage(self) -> Stage:
        """The stage under the cursor."""
        return self.stages[min(self.column, len(self.stages) - 1)]

    @property
    def cell(self) -> Cell | None:
        """The cell under the cursor; on a closed beam that of its piece."""
        if (spot := self.spot) is None:
            return None
        cells = self.sheet.cells(self.sheet.record.beam(spot.beam)).get(spot.piece)
        return cells[min(self.column, len(self.stages) - 1)] if cells else None

    @property
    def cells_here(self) -> tuple[Cell, ...]:
        """The cells of all pieces of the beam under the cursor, in this stage."""
        if (line := self._line) is None:
            return ()
        column = min(self.column, len(self.stages) - 1)
        cells = self.sheet.cells(self.sheet.record.beam(line.beam))
        return tuple(one[column] for one in cells.values())

    @property
    def step(self) -> Step | None:
        """The step that comes next in the cell under the cursor."""
        return self.cell.next if self.cell else None

    def is_open(self, row: str) -> bool:
        """Return whether a beam shows its pieces."""
        return (row in self.turned) != self._few

    def lay_out(self) -> None:
        """Lay the lines out again, the cursor on the same piece if it is still there."""
        kept = self._line
        outline = self.sheet.record.outline()
        self._few = len(outline) <= FEW
        self._order = tuple(self.ordered(key for _, _, keys in outline for key in keys))
        self.lines = []
        for room, row, pieces in outline:
            if not self.lines or self.lines[-1].room != room:
                self.lines.append(Line(room=room))
            if self.is_open(row):
                self.lines += [Line(room, row, key, not at) for at, key in enumerate(pieces)]
            else:
                self.lines.append(Line(room, row, first=True))
        if kept is not None:
            at = self._row_of(Spot(kept.beam, kept.piece))
            if at is None:
                at = min(max(self.row, 1), max(len(self.lines) - 1, 0))
            self.row = at
        else:
            self.row = min(max(self.row, 1), max(len(self.lines) - 1, 0))
        self.column = min(self.column, len(self.stages) - 1)
        self._space()
        self.lay_out_rows()

    def _space(self) -> None:
        """Give each line two rows if there is room for all beams so, each closed if not few:
        whatever is opened then, no line changes its height."""
        height = self.size.height
        rows = len({line.room for line in self.lines}) + len({line.beam for line in self.lines})
        self._airy = height >= AIRY and 2 * (len(self.lines) if self._few else rows) <= height

    @property
    def row_height(self) -> int:
        """The lines of a row."""
        return max(super().row_height, 2 if self._airy else 1)

    def _row_of(self, spot: Spot) -> int | None:
        """Return the row of a piece, or of its beam while that is closed."""
        rows = [at for at, one in enumerate(self.lines) if one.beam == spot.beam]
        same = [at for at in rows if self.lines[at].piece in (spot.piece, "")]
        return next(iter(same or rows), None)

    def turn_beam(self) -> None:
        """Open the beam under the cursor into its pieces, or close it; rows above it stay in place,
        and the cursor stays on its piece."""
        if (spot := self.spot) is None:
            return
        self.turned ^= {spot.beam}
        self.lay_out()
        self._picked, self._opened = spot, spot.beam
        self.row = self._row_of(spot) or 0
        self.post_message(self.Moved())

    @property
    def row_count(self) -> int:
        """The lines."""
        return len(self.lines)

    @on(Resize)
    def resized(self) -> None:
        """Fit the columns to the new width; keep the cursor in sight."""
        self._space()
        self.lay_out_rows()
        if self.lines:
            self.call_after_refresh(self.show_cursor)

    def changed(self, rows: ChangedRows) -> None:
        """Draw the lines of changed beams again; all if beams or the job itself changed."""
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
        """Return whether one of these beams has other pieces than its lines, for example after a
        change of type."""
        stand: dict[str, list[str]] = {}
        for line in self.lines:
            stand.setdefault(line.beam, []).append(line.piece)
        return any(
            stand[row] not in ([""], list(self.sheet.record.beam(row).pieces)) for row in beams
        )

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
        self.post_message(self.Walked())
        self.go(row, min(max(self.column + right, 0), len(self.stages) - 1))

    def action_page(self, way: int) -> None:
        """Move the cursor by a screenful."""
        self.action_move(way * max(self.size.height // self.row_height - 2, 1), 0)

    def go(self, row: int, column: int) -> None:
        """Put the cursor on a line and a column."""
        self._left = self.row if self._left is None else self._left
        self.row, self.column, self._picked = row, column, None
        self.post_message(self.Moved())

    def show_cursor(self) -> None:
        """Draw the cursor where it is now, in sight."""
        left, self._left = self._left, None
        self.redraw_row(self.row if left is None else left)
        self.redraw_row(self.row)
        top = self.row - 1 if self.row and not self.lines[self.row - 1].beam else self.row
        if (opened := self._opened) and (line := self._line) and line.beam == opened:
            self.show_rows(top, max(at for at, one in enumerate(self.lines) if one.beam == opened))
        self._opened = ""
        self.show_rows(top, self.row)

    def go_to(self, spot: Spot, stage_id: str) -> None:
        """Put the cursor on a piece and a stage; on a closed beam the cell is then about this
        piece."""
        if (row := self._row_of(spot)) is not None:
            self.go(row, [stage.id for stage in self.stages].index(stage_id))
            self._picked = spot

    def let_go(self) -> None:
        """Make a closed beam's cell about its next piece again."""
        self._picked = None

    def flash(self, spot: Spot, stage_id: str) -> None:
        """Highlight the cell of a piece for a moment after its check-off, unless animations are off
        (Textual's TEXTUAL_ANIMATIONS=none)."""
        if self.app.animation_level == "none" or (row := self._row_of(spot)) is None:
            return
        self._lit = spot, [stage.id for stage in self.stages].index(stage_id)
        self.redraw_row(row)
        self.set_timer(FLASH, self._unlit)

    def _unlit(self) -> None:
        if self._lit is not None:
            row, self._lit = self._row_of(self._lit[0]), None
            self.redraw_row(row or 0)

    @on(Click)
    def clicked(self, event: Click) -> None:
        """Put the cursor there; on a name, open the piece, or the beam into its pieces."""
        row = self.row_at(event.y)
        if row >= len(self.lines) or not self.lines[row].beam:
            return
        if event.x >= self.name_width:
            self.go(row, min((event.x - self.name_width) // self.cell_width, len(self.stages) - 1))
            return
        self.go(row, self.column)
        if self.lines[row].piece:
            self.post_message(self.Opened())
        else:
            self.turn_beam()

    @on(MouseMove)
    def pointed(self, event: MouseMove) -> None:
        """Say what the cell under the mouse is, in a tooltip."""
        row = self.row_at(event.y)
        column = (event.x - self.name_width) // self.cell_width
        self.tooltip = None
        if row < len(self.lines) and self.lines[row].beam and 0 <= column < len(self.stages):
            self.tooltip = self._in_words(self.lines[row], column)

    def _in_words(self, line: Line, column: int) -> str:
        """Return what the signs of a cell mean: a line for each piece."""
        beam = self.sheet.record.beam(line.beam)
        cells = self.sheet.cells(beam)
        words = [plain(f"{beam.label} · {self.stages[column].name}")]
        for key in [line.piece] if line.piece else self.ordered(cells):
            cell = cells[key][column]
            if cell.state != "none":
                state = "not yet" if cell.state == "not ready" else cell.state
                after = f": {cell.next.name}" if cell.next else ""
                words.append(plain(f"{NAME_OF[key]} {state}{after}"))
        return "\n".join(words)

    def on_focus(self) -> None:
        """Show the cursor."""
        self.redraw_row(self.row)

    def on_blur(self) -> None:
        """Show that the grid has lost the focus."""
        self.redraw_row(self.row)
