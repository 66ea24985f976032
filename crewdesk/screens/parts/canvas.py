"""A small canvas of characters: shapes given in inches, scaled and drawn in quarter cells.

Each ink has its own texture, so that a picture reads without color. A filled shape, however small,
keeps at least one cell for its texture, so a drawing never loses a part.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby, pairwise
from math import ceil, floor

from rich.style import Style
from rich.text import Text

from crewdesk.screens.parts.stick import dimension

Place = tuple[float, float]
Cell = tuple[int, int]
"""A column and a row."""
Points = Sequence[tuple[Fraction | float, Fraction | float]]

TEXTURES = {"board": "█", "bottom": "▓", "cleat": "▒", "waste": "░", "wall": "╱"}
INKS = (*TEXTURES, "mark", "word", "hint", "dimension", "set")
_QUARTERS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
_SOLID = "█"
_EIGHTHS = " ▁▂▃▄▅▆▇"
_TIE = 1e-9
"""The floating-point error, in dots."""
NEARLY = 0.1
"""Heights this close to whole rows count as whole rows."""
_SMALLER = 0.8
_SLIVER = 0.1
"""The least part of a cell's height that gets its own texture."""
_FINE = 8
"""The number of lines, less one, to test a shape without a dot."""
_NOTHING = 1e-9
"""Smaller areas, in cells, are rounding errors."""
CELL = 2
"""The assumed height of a terminal's cell over its width."""


@dataclass(frozen=True)
class Scale:
    """From inches to cells: the point (`x`, `y`) in inches is at (`column`, `row`); y goes up, rows
    go down."""

    columns_per_inch: float
    rows_per_inch: float
    column: float = 0
    row: float = 0
    x: float = 0
    y: float = 0

    def at(self, x: Fraction | float, y: Fraction | float) -> Place:
        """Return the place of a point, in columns and rows from the top left corner."""
        return (
            self.column + (float(x) - self.x) * self.columns_per_inch,
            self.row - (float(y) - self.y) * self.rows_per_inch,
        )

    def shape(self, points: Points) -> list[Place]:
        """Return the places of a shape's corners."""
        return [self.at(x, y) for x, y in points]

    @property
    def column_inches(self) -> float:
        """Inches along the drawing that one column shows."""
        return 1 / self.columns_per_inch

    @property
    def row_inches(self) -> float:
        """Inches up the drawing that one row shows."""
        return 1 / self.rows_per_inch


def true_scale(width: float, height: float, columns: int, rows: int) -> float:
    """Return rows per inch at which so many inches fit, as high as they are wide; columns per inch
    are `CELL` times as many. The width comes to whole columns, so that what is symmetrical is drawn
    so, and if a little smaller will do it, the height to whole rows."""
    most = int(CELL * width * min(columns / CELL / width, rows / height))
    for across in range(most, int(_SMALLER * most) - 1, -1):
        high = height * across / (CELL * width)
        if across and abs(high - round(high)) <= NEARLY:
            return across / (CELL * width)
    return most / (CELL * width)


class Canvas:
    """`columns` by `rows` cells, each of two by two dots that hold an ink or none."""

    def __init__(self, columns: int, rows: int) -> None:
        self.columns, self.rows = columns, rows
        self._dots = [[""] * (2 * columns) for _ in range(2 * rows)]
        self._shapes: list[tuple[str, set[Cell]]] = []
        self._sharp: dict[Cell, tuple[str, str]] = {}
        self._lines: dict[Cell, tuple[str, str]] = {}
        self._words: dict[Cell, tuple[str, str]] = {}

    def fill(self, places: Sequence[Place], ink: str) -> None:
        """Fill a shape; a dot belongs to it if its middle lies inside (even-odd) or at
        its left or right edge, so that what is symmetrical is drawn so.

        A shape that has a size and reaches onto the canvas shows in at least one cell,
        also where it is smaller than a dot or is covered later. So fill only what is seen.
        """
        cells: set[Cell] = set()
        for at, dots in enumerate(self._dots):
            for start, end in _crossed(places, (at + 0.5) / 2):
                first, after = (
                    min(2 * self.columns, max(0, dot))
                    for dot in (ceil(2 * start - 0.5 - _TIE), floor(2 * end + 0.5 + _TIE))
                )
                dots[first:after] = [ink] * (after - first)
                cells.update((dot // 2, at // 2) for dot in range(first, after))
        self._shapes.append((ink, cells or self._touched(places)))

    def _touched(self, places: Sequence[Place]) -> set[Cell]:
        """Return the cells that a shape without a dot touches; none if it has no size."""
        if _area(places) < _NOTHING:
            return set()
        low, high = min(y for _, y in places), max(y for _, y in places)
        lines = {low + (high - low) * part / _FINE for part in range(1, _FINE)}
        lines |= {row + 0.5 for row in range(self.rows) if low < row + 0.5 < high}
        return {
            (column, floor(row))
            for row in lines
            if 0 <= row < self.rows
            for start, end in _crossed(places, row)
            for column in range(max(0, floor(start)), min(self.columns, floor(end) + 1))
        }

    def below(self, line: Sequence[Place], bottom: int, ink: str) -> None:
        """Fill from a line, which runs left to right, down to the row `bottom` (excluded);
        the edge is sharp to an eighth of a cell."""
        for column, top in enumerate(self._rows_of(line)):
            whole, eighths = _eighths(bottom - top)
            for row in range(bottom - whole, bottom):
                self._sharp[column, row] = (_SOLID, ink)
            if eighths > 0:
                self._sharp[column, bottom - whole - 1] = (_EIGHTHS[eighths], ink)

    def between(self, upper: Sequence[Place], lower: Sequence[Place], ink: str) -> None:
        """Fill between two lines that run left to right, with the ink's texture in whole
        cells: at least one in each column where the lower line is below the upper one.

        The cell that the lower line crosses is left to what is below it, so that its edge
        stays sharp, unless it is the only one between the lines.
        """
        for column, (top, bottom) in enumerate(
            zip(self._rows_of(upper), self._rows_of(lower), strict=True)
        ):
            if bottom <= top:
                continue
            last = floor(round(8 * bottom) / 8) - 1
            if last < 0 or last + 1 - top < _SLIVER:
                last += 1
            for row in range(min(last, max(0, round(top))), min(self.rows, last + 1)):
                self._sharp[column, row] = (TEXTURES[ink], ink)

    def _rows_of(self, line: Sequence[Place]) -> list[float]:
        """Return where the middle of each column meets a line, in rows."""
        pieces = [pair for pair in pairwise(line) if pair[0][0] < pair[1][0]]
        rows = []
        for column in range(self.columns):
            x = min(max(column + 0.5, pieces[0][0][0]), pieces[-1][1][0])
            (x1, y1), (x2, y2) = next(pair for pair in pieces if x <= pair[1][0])
            rows.append(y1 + (x - x1) * (y2 - y1) / (x2 - x1))
        return rows

    def write(self, column: int, row: int, text: str, ink: str = "word") -> None:
        """Write over what is drawn; what does not fit on the canvas is left out."""
        if 0 <= row < self.rows:
            for at, sign in enumerate(text, column):
                if 0 <= at < self.columns:
                    self._words[at, row] = (sign, ink)

    def centred(self, column: float, row: int, text: str, ink: str = "word") -> None:
        """Write with the middle of the text at a column, kept on the canvas."""
        start = round(column - len(text) / 2)
        self.write(max(0, min(start, self.columns - len(text))), row, text, ink)

    def measured(self, start: float, stop: float, row: int, text: str) -> None:
        """A dimension line with its text along a row, its ends at the columns it measures."""
        first, last = round(start), max(round(stop), round(start) + 1)
        if len(text) > last - first:
            self.centred((first + last) / 2, row, text, "dimension")
        else:
            self.write(first, row, dimension(text, last - first), "dimension")

    def down(self, column: int, top: int, bottom: int, sign: str = "┊", ink: str = "mark") -> None:
        """A line down a column, from one row to another."""
        for row in range(max(0, top), min(self.rows, bottom + 1)):
            if 0 <= column < self.columns:
                self._lines[column, row] = (sign, ink)

    def across(
        self,
        row: int,
        sign: str = "┄",
        ink: str = "mark",
        *,
        over_edges: bool = True,
        beside: str = "",
    ) -> None:
        """A line along a row; without `over_edges`, only if nothing is drawn, and never over the
        ink that it goes `beside`."""
        if not 0 <= row < self.rows:
            return
        for column in range(self.columns):
            cell = (column, row)
            if beside and self._sharp.get(cell, ("", ""))[1] == beside:
                continue
            if over_edges or (cell not in self._sharp and not self._shows(cell)):
                self._lines[cell] = (sign, ink)

    def first_free(self, row: int, start: int, count: int, ink: str) -> int | None:
        """Return the first column from `start` on at which `count` cells of a row don't show an ink
        that lies between lines; or None if there is none."""
        for column in range(start, self.columns - count + 1):
            cells = ((at, row) for at in range(column, column + count))
            if all(self._sharp.get(cell, ("", ""))[1] != ink for cell in cells):
                return column
        return None

    def text(self, styles: Mapping[str, Style] | None = None) -> Text:
        """Return the picture; `styles` gives each ink its color."""
        styles = styles or {}
        kept = self._kept()
        text = Text(no_wrap=True, end="")
        for row in range(self.rows):
            if row:
                text.append("\n")
            cells = [self._cell((column, row), kept, styles) for column in range(self.columns)]
            for style, run in groupby(cells, key=lambda cell: cell[1]):
                text.append("".join(sign for sign, _ in run), style)
        return text

    def _kept(self) -> dict[Cell, str]:
        """Return the cells that are kept for a shape's own texture, by its ink.

        Small shapes choose first. Each keeps a cell that shows it anyway if it has one,
        else the cell that it covers most of, else the nearest free one. A word is never
        written over: its letters say more than a texture.
        """
        kept: dict[Cell, str] = {}
        for ink, cells in sorted(self._shapes, key=lambda shape: len(shape[1])):
            if not cells or any(kept.get(cell) == ink for cell in cells):
                continue
            if (cell := self._own_cell(ink, cells, kept)) is not None:
                kept[cell] = ink
        return kept

    def _own_cell(self, ink: str, cells: set[Cell], kept: Mapping[Cell, str]) -> Cell | None:
        free = [cell for cell in cells if cell not in kept and cell not in self._words]
        if not free:
            return self._nearest_free(cells, kept)
        for cell in free:
            if self._whole(cell) == ink and self._shows(cell) == ink:
                return cell
        shown = [cell for cell in free if self._shows(cell) == ink]
        return max(shown or free, key=lambda cell: (self._dots_of(cell).count(ink), cell))

    def _nearest_free(self, cells: set[Cell], kept: Mapping[Cell, str]) -> Cell | None:
        """Return the cell nearest to some others that neither a shape nor a word has."""
        free = [
            (column, row)
            for row in range(self.rows)
            for column in range(self.columns)
            if (column, row) not in kept and (column, row) not in self._words
        ]
        x, y = (sum(each) / len(cells) for each in zip(*cells, strict=True))
        return min(
            free,
            key=lambda one: (abs(one[0] - x) + CELL * abs(one[1] - y), one),
            default=None,
        )

    def _shows(self, cell: Cell) -> str:
        """Return the ink whose texture a cell shows, or "" if a line or nothing is in it."""
        if cell in self._lines:
            return ""
        if cell in self._sharp:
            return self._sharp[cell][1]
        return _mixed(self._dots_of(cell))[1]

    def _whole(self, cell: Cell) -> str | None:
        """Return the ink of all of a cell's dots, or None if they differ."""
        dots = self._dots_of(cell)
        return dots[0] if dots == dots[:1] * 4 else None

    def _dots_of(self, cell: Cell) -> tuple[str, ...]:
        column, row = cell
        upper, lower = self._dots[2 * row], self._dots[2 * row + 1]
        return (*upper[2 * column : 2 * column + 2], *lower[2 * column : 2 * column + 2])

    def _cell(
        self, cell: Cell, kept: Mapping[Cell, str], styles: Mapping[str, Style]
    ) -> tuple[str, Style]:
        word = self._words.get(cell)
        if word is None and cell in kept:
            ink = kept[cell]
            return TEXTURES[ink], styles.get(ink, Style.null())
        word = word or self._lines.get(cell)
        if (sharp := self._sharp.get(cell)) is not None:
            return self._sharp_cell(*sharp, word, styles)
        dots = self._dots_of(cell)
        if word is not None:
            sign, ink = word
            solid = [one for one in dots if TEXTURES.get(one) == _SOLID]
            if len(solid) >= len(dots) / 2:
                return sign, styles.get(solid[0], Style.null()) + Style(reverse=True)
            return sign, styles.get(ink, Style.null())
        sign, ink = _mixed(dots)
        return sign, styles.get(ink, Style.null())

    def _sharp_cell(
        self,
        sign: str,
        ink: str,
        word: tuple[str, str] | None,
        styles: Mapping[str, Style],
    ) -> tuple[str, Style]:
        style = styles.get(ink, Style.null())
        if word is not None:
            turned = sign == _SOLID
            return word[0], style + Style(reverse=True) if turned else styles.get(word[1], style)
        return sign, style


def _mixed(dots: tuple[str, ...]) -> tuple[str, str]:
    """Return the sign for a cell's dots, and its ink ("" for an empty cell).

    A texture fills the cell if it has half of the dots or more, a solid ink shows just its own
    dots. If both meet, the texture wins a tie: it is the smaller shape, laid over.
    """
    if dots == dots[:1] * 4:
        return TEXTURES.get(dots[0], " "), dots[0]
    counts = Counter(ink for ink in dots if ink)
    textured = {ink: many for ink, many in counts.items() if TEXTURES.get(ink) != _SOLID}
    solid = [ink for ink in counts if ink not in textured]
    most = max(textured, key=lambda ink: (textured[ink], ink), default="")
    if most and textured[most] >= len(dots) / 2:
        return TEXTURES.get(most, " "), most
    if solid:
        mask = sum(1 << at for at, ink in enumerate(dots) if ink in solid)
        return _QUARTERS[mask], solid[0]
    return (TEXTURES.get(most, " "), most) if sum(counts.values()) > 2 else (" ", "")


def _crossed(places: Sequence[Place], row: float) -> list[tuple[float, float]]:
    """Return the columns from which and to which a line along a row is inside a shape."""
    found = sorted(
        x1 + (row - y1) * (x2 - x1) / (y2 - y1)
        for (x1, y1), (x2, y2) in pairwise([*places, places[0]])
        if (y1 <= row) != (y2 <= row)
    )
    return list(zip(found[::2], found[1::2], strict=True))


def _eighths(rows: float) -> tuple[int, int]:
    """Return whole cells and eighths of one for so many rows; a little is an eighth."""
    return divmod(max(1, round(8 * rows)), 8) if rows > 0 else (0, 0)


def _area(places: Sequence[Place]) -> float:
    """Return the area inside corners, in cells (the surveyor's formula)."""
    around = pairwise([*places, places[0]])
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in around)) / 2
