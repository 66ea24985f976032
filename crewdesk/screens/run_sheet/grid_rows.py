"""The lines of the run sheet's grid, drawn: a room's rule, a closed beam, a piece."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from itertools import groupby
from typing import NamedTuple

from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

from crewdesk.job.beams.beam import Beam
from crewdesk.job.steps.run_sheet import Cell, RunSheet
from crewdesk.job.steps.stages import Stage
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.time.logged import length_read
from crewdesk.length import Step, show_length
from crewdesk.paper.lengths import steepness
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.lines import SIGNS, TICK, TallRows
from crewdesk.screens.parts.stick import MADE, Part, ruled, stick

HELD = "?"
"""The sign for a cut that needs an answer, instead of a piece's sign or after it."""
EARLY = "*"
"""The sign for a step done early, in the same places."""
LETTERS = {"A": "A", "B": "B", "bottom": "b", "cleats": "c", "top": "t"}
"""Each piece by one letter, in the order of a beam's signs."""
NARROWEST_NAME = 18
NARROWEST_CELL = 6
WIDEST_NAME = 40
PIECE_WIDTH = 8


class Line(NamedTuple):
    """A line of the grid: a room's name, a closed beam, or a piece of an open one with whether
    its beam is named on it."""

    room: str = ""
    beam: str = ""
    piece: str = ""
    first: bool = False


class GridRows(TallRows):
    """The drawn lines; `RunGrid` defines them and the cursor."""

    sheet: RunSheet
    lines: list[Line]
    row: int
    column: int
    _order: tuple[str, ...]
    _lit: tuple[Spot, int] | None

    @property
    def stages(self) -> tuple[Stage, ...]:
        """The columns."""
        return self.sheet.record.stages.stages

    def meant(self, row: str) -> str:
        """Return the key of the piece that a closed beam's cell is about."""
        raise NotImplementedError

    @property
    def cell_width(self) -> int:
        """The width of a stage's column."""
        return _cell_width(self.size.width, len(self.stages))

    @property
    def _narrowest(self) -> int:
        """The least width of the names: less if all stages wouldn't fit beside them."""
        return _narrowest(self.size.width, len(self.stages))

    @property
    def name_width(self) -> int:
        """The width of the names at the left."""
        left = self.size.width - self.cell_width * len(self.stages) - 1
        return min(max(left, self._narrowest), WIDEST_NAME)

    @property
    def _gap(self) -> str:
        """The text between the signs of a closed beam's cell."""
        return " " if self.cell_width >= 2 * len(self._order) + 1 else ""

    def heads(
        self, ready: Mapping[str, int], first: str, second: str, third: str
    ) -> list[list[Part]]:
        """Return three lines over the columns: the stages' names, a stick of each with how
        far it is done, and the number of pieces that are ready in it. `first`, `second` and
        `third` begin the lines."""
        width, stick_width = self.cell_width, max(self.cell_width - 2, 2)
        names: list[Part] = [(self._aside(first), "head")]
        sticks: list[Part] = [(self._aside(second), "muted")]
        counts: list[Part] = [(self._aside(third), "muted")]
        for stage, total in zip(self.stages, self.sheet.totals(), strict=True):
            names.append((f" {_short(plain(stage.name), width - 1)}".ljust(width), "head"))
            of = total.steps or 1
            made = [(" ", "muted"), *stick(total.behind, of, of, stick_width), (" ", "muted")]
            sticks += made if total.steps else [(" " * width, "muted")]
            count = f" {SIGNS['ready']} {ready[stage.id]}" if stage.id in ready else ""
            counts.append((count.ljust(width), "strong" if count else "muted"))
        return [names, sticks, counts]

    def _aside(self, text: str) -> str:
        return text[: self.name_width - 1].ljust(self.name_width)

    def row_strip(self, at: int) -> Strip:
        """Return one line of the grid."""
        line = self.lines[at]
        if not line.beam:
            return self._rule(line.room)
        here = at == self.row
        ground = self.ground + self._style("line") if here else self.ground
        beam = self.sheet.record.beam(line.beam)
        cells = self.sheet.cells(beam)
        segments = list(self._names(line, beam, ground))
        cursor = self.column if here and self.has_focus else None
        for column in range(len(self.stages)):
            style = ground
            if column == cursor:
                style = style + self._style("cursor")
            if self._lit is not None and self._is_lit(line, column):
                style = self._style("flash")
            if line.piece:
                signs = self._cell(cells[line.piece][column], here=column == cursor)
            else:
                meant = self.meant(line.beam) if column == cursor else ""
                signs = self._signs({key: one[column] for key, one in cells.items()}, meant)
            segments += self._cell_drawn(signs, style, cursor=column == cursor)
        return self._strip(_fewer(segments), ground)

    def _rule(self, room: str) -> Strip:
        """Return a room's name in a rule."""
        parts = ruled(plain(room), self.name_width + self.cell_width * len(self.stages))
        names = {"head": "room"}
        return self._strip(
            [Segment(text, self.ground + self._style(names.get(ink, ink))) for text, ink in parts],
            self.ground,
        )

    def _names(self, line: Line, beam: Beam, ground: Style) -> Iterator[Segment]:
        """Return the left part of a line: the beam's name, and the piece's."""
        width = self.name_width - (PIECE_WIDTH if line.piece else 0)
        name = f"   {plain(beam.name) if line.first else ''}"
        name = name if len(name) < width else f"{name[: width - 2]}…"
        yield Segment(name, ground + self._style("name"))
        shown = _measured(beam, self.sheet.record.job.step, width - len(name)) if line.first else []
        for text, ink in shown or [(" " * (width - len(name)), "unread")]:
            yield Segment(text, ground + self._style(ink))
        if line.piece:
            piece = beam.piece(line.piece).name.ljust(PIECE_WIDTH)
            yield Segment(piece, ground + self._style("piece"))

    def _is_lit(self, line: Line, column: int) -> bool:
        assert self._lit is not None
        spot, lit = self._lit
        return column == lit and line.beam == spot.beam and line.piece in (spot.piece, "")

    def _signs(self, cells: Mapping[str, Cell], meant: str) -> list[Part]:
        """Return the signs of a closed beam's cell, one for each piece that has a step in the
        stage; one quiet line where all of them are done. `meant` is the piece to underline."""
        states = {one.state for one in cells.values()} - {"none"}
        whole = not any(one.held or one.overridden for one in cells.values())
        gap = self._gap
        if whole and len(states) == 1 and states <= {"done", "skipped"}:
            [state] = states
            sign = MADE if state == "done" else SIGNS[state]
            first, last = (
                [at for at, key in enumerate(self._order) if _has(cells, key)][end]
                for end in (0, -1)
            )
            step = 1 + len(gap)
            return [(" " * step * first, ""), (sign * (step * (last - first) + 1), state)]
        parts: list[Part] = []
        for key in self._order:
            sign, ink = _sign(cells[key]) if _has(cells, key) else (" ", "")
            if key == meant:
                ink = f"{_now(ink)} meant"
            parts += [(sign, ink), (gap, "")]
        runs = groupby((one for one in parts if one[0]), key=lambda one: one[1])
        return [("".join(text for text, _ in run), ink) for ink, run in runs]

    def _cell(self, cell: Cell, *, here: bool) -> list[Part]:
        """Return the sign of one piece and, where it has several steps and some are done, how many;
        `here` of the cell under the cursor."""
        star = HELD if cell.held else EARLY if cell.overridden else ""
        text = _told(cell)
        if len(text) + len(star) > self.cell_width - 1:
            text = text.replace(" ", "")
        ink = "part" if cell.state == "not ready" and cell.behind else cell.state
        return [(text, _now(ink) if here else ink), (star, "held" if cell.held else "override")]

    def _cell_drawn(
        self, signs: Sequence[Part], style: Style, *, cursor: bool
    ) -> Iterator[Segment]:
        """Return a cell, with the pencil mark before its signs if the cursor is on it."""
        yield Segment(TICK if cursor else " ", style + self._style("name") if cursor else style)
        lit = style is self._style("flash")
        used = 0
        for text, ink in signs:
            if not text:
                continue
            state = ink.removesuffix(" meant")
            part = style + self._style(state.replace(" ", "-")) if state and not lit else style
            if ink.endswith(" meant"):
                part = part + Style(underline=True)
            used += len(text)
            yield Segment(text, part)
        rest = self.cell_width - 1 - used
        if rest > 0:
            yield Segment(" " * rest, style)

    def _strip(self, segments: list[Segment], ground: Style) -> Strip:
        return Strip(segments).adjust_cell_length(self.size.width, ground)

    def _style(self, name: str) -> Style:
        return self.style_of(f"run-grid--{name}")


def _fewer(segments: Iterable[Segment]) -> list[Segment]:
    """Return the segments with blanks merged into the one before, if that is invisible: a terminal
    gets each segment's style again."""
    fewer: list[Segment] = []
    for one in segments:
        last = fewer[-1] if fewer else None
        if last is not None and last.style and one.style and not last.style.underline:
            blank = not one.text.strip() and one.style.bgcolor == last.style.bgcolor
            if blank or one.style == last.style:
                fewer[-1] = Segment(last.text + one.text, last.style)
                continue
        fewer.append(one)
    return fewer


def _has(cells: Mapping[str, Cell], key: str) -> bool:
    """Return whether a piece of the beam has a step in the stage of the cells."""
    return key in cells and cells[key].state != "none"


def _now(ink: str) -> str:
    """Return the ink under the cursor: what can be done there now is the one bright thing."""
    return "now" if ink == "ready" else ink


def _measured(beam: Beam, step: Step, width: int) -> list[Part]:
    """Return a beam's slope, and its length as it was read at the right of a width, as much of
    both as goes in."""
    read = length_read(beam)
    slope = f"  {steepness(beam.pitch)}" if beam.ceiling == "sloped" and beam.pitch else ""
    long = "not measured" if read is None else show_length(read, step, feet=True)
    for one in (slope, ""):
        room = width - len(one) - 1
        if len(long) < room:
            ink = "unread" if read is None else "piece"
            return [(one, "unread"), (f"{long:>{room}} ", ink)]
    return []


def _sign(cell: Cell) -> Part:
    """Return the one sign of a piece in a stage, and its ink."""
    if cell.held:
        return HELD, "held"
    if cell.state == "done" and cell.overridden:
        return EARLY, "override"
    return SIGNS[cell.state], cell.state


def _short(name: str, width: int) -> str:
    """Return a name in `width` columns; a long one with its first words as initials, close to the
    last word if needed, or its last word alone, or as much of it as fits."""
    words = name.split()
    while len(" ".join(words)) > width and any(len(word) > 2 for word in words[:-1]):
        place = next(i for i, word in enumerate(words[:-1]) if len(word) > 2)
        words[place] = f"{words[place][0]}."
    if len(" ".join(words)) > width:
        words = ["".join(words)] if len("".join(words)) <= width else words[-1:]
    text = " ".join(words)
    return text if len(text) <= width else f"{text[: width - 1]}…"


def _told(cell: Cell) -> str:
    """Return a cell's sign and, where it has several steps and some are behind, how many."""
    sign = SIGNS[cell.state]
    if cell.steps > 1 and cell.state not in ("done", "skipped") and cell.behind:
        return f"{sign} {cell.behind}/{cell.steps}"
    return sign


@cache
def _cell_width(width: int, stages: int) -> int:
    """Return the width of a stage's column in a grid of that width."""
    room = width - _narrowest(width, stages) - 1
    return min(max(room // max(stages, 1), NARROWEST_CELL), 14)


@cache
def _narrowest(width: int, stages: int) -> int:
    """Return the least width of the names: less if all stages wouldn't fit beside them."""
    return max(min(NARROWEST_NAME, width - NARROWEST_CELL * stages - 1), 2 * PIECE_WIDTH)
