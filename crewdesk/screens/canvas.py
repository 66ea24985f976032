"""A small canvas of characters: shapes given in inches, scaled and drawn in quarter cells.

Each ink has a texture of its own, so that a picture reads without colour.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby, pairwise
from math import ceil

from rich.style import Style
from rich.text import Text

Place = tuple[float, float]
Points = Sequence[tuple[Fraction | float, Fraction | float]]

TEXTURES = {"board": "█", "bottom": "▓", "cleat": "▒", "waste": "░", "wall": "╱", "tape": "▒"}
INKS = (*TEXTURES, "mark", "word", "hint")
_QUARTERS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
_SOLID = "█"
_EIGHTHS = " ▁▂▃▄▅▆▇"
CELL = 2
"""How many times as high as wide a cell of a terminal is taken to be."""


@dataclass(frozen=True)
class Scale:
    """From inches to cells: the point (`x`, `y`) in inches stands at (`column`, `row`);
    y goes up, rows go down."""

    columns_per_inch: float
    rows_per_inch: float
    column: float = 0
    row: float = 0
    x: float = 0
    y: float = 0

    def at(self, x: Fraction | float, y: Fraction | float) -> Place:
        """The place of a point, in columns and rows from the top left corner."""
        return (
            self.column + (float(x) - self.x) * self.columns_per_inch,
            self.row - (float(y) - self.y) * self.rows_per_inch,
        )

    def shape(self, points: Points) -> list[Place]:
        """The places of a shape's corners."""
        return [self.at(x, y) for x, y in points]


def true_scale(width: float, height: float, columns: int, rows: int) -> float:
    """Rows per inch at which so many inches fit, as high as they are wide; columns per
    inch are `CELL` times as many. The width comes to whole columns, so that
    what is symmetrical is drawn so."""
    return int(CELL * width * min(columns / CELL / width, rows / height)) / (CELL * width)


class Canvas:
    """`columns` by `rows` cells, each of two by two dots that hold an ink or none."""

    def __init__(self, columns: int, rows: int) -> None:
        self.columns, self.rows = columns, rows
        self._dots = [[""] * (2 * columns) for _ in range(2 * rows)]
        self._sharp: dict[tuple[int, int], tuple[str, str, bool]] = {}
        self._words: dict[tuple[int, int], tuple[str, str]] = {}

    def fill(self, places: Sequence[Place], ink: str) -> None:
        """Fill a shape; a dot belongs to it where its middle lies inside (even-odd)."""
        edges = list(pairwise([*places, places[0]]))
        for at, dots in enumerate(self._dots):
            row = (at + 0.5) / 2
            crossed = sorted(
                x1 + (row - y1) * (x2 - x1) / (y2 - y1)
                for (x1, y1), (x2, y2) in edges
                if (y1 <= row) != (y2 <= row)
            )
            for start, end in zip(crossed[::2], crossed[1::2], strict=True):
                first, after = (
                    min(2 * self.columns, max(0, ceil(2 * x - 0.5))) for x in (start, end)
                )
                dots[first:after] = [ink] * (after - first)

    def below(self, line: Sequence[Place], bottom: int, ink: str) -> None:
        """Solid from a line, which goes from left to right, down to a row, that row not
        taken in; sharp to an eighth of a cell."""
        for column, top in enumerate(self._rows_of(line)):
            whole, eighths = divmod(round(8 * (bottom - top)), 8)
            for row in range(bottom - whole, bottom):
                self._sharp[column, row] = (_SOLID, ink, False)
            if eighths > 0:
                self._sharp[column, bottom - whole - 1] = (_EIGHTHS[eighths], ink, False)

    def above(self, line: Sequence[Place], top: int, ink: str) -> None:
        """Solid from a row down to a line, sharp likewise."""
        for column, bottom in enumerate(self._rows_of(line)):
            whole, eighths = divmod(round(8 * (bottom - top)), 8)
            for row in range(top, top + whole):
                self._sharp[column, row] = (_SOLID, ink, False)
            if eighths > 0:
                self._sharp[column, top + whole] = (_EIGHTHS[8 - eighths], ink, True)

    def _rows_of(self, line: Sequence[Place]) -> list[float]:
        """Where the middle of each column meets a line, in rows."""
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

    def down(self, column: int, top: int, bottom: int, sign: str = "┊", ink: str = "mark") -> None:
        """A line down a column, from one row to another."""
        for row in range(top, bottom + 1):
            self.write(column, row, sign, ink)

    def across(
        self, row: int, sign: str = "┄", ink: str = "mark", *, over_edges: bool = True
    ) -> None:
        """A line along a row; without `over_edges`, only where nothing sharp is drawn."""
        for column in range(self.columns):
            if over_edges or (column, row) not in self._sharp:
                self.write(column, row, sign, ink)

    def text(self, styles: Mapping[str, Style] | None = None) -> Text:
        """The picture; `styles` gives each ink its colour."""
        styles = styles or {}
        text = Text(no_wrap=True, end="")
        for row in range(self.rows):
            if row:
                text.append("\n")
            cells = [self._cell(column, row, styles) for column in range(self.columns)]
            for style, run in groupby(cells, key=lambda cell: cell[1]):
                text.append("".join(sign for sign, _ in run), style)
        return text

    def _cell(self, column: int, row: int, styles: Mapping[str, Style]) -> tuple[str, Style]:
        if (sharp := self._sharp.get((column, row))) is not None:
            return self._sharp_cell(*sharp, self._words.get((column, row)), styles)
        upper, lower = self._dots[2 * row], self._dots[2 * row + 1]
        dots = (*upper[2 * column : 2 * column + 2], *lower[2 * column : 2 * column + 2])
        if (column, row) not in self._words and len(set(dots)) == 1:
            return TEXTURES.get(dots[0], " "), styles.get(dots[0], Style.null())
        counts = Counter(dots)
        main = max(counts, key=lambda ink: (counts[ink], ink))
        if (column, row) in self._words:
            sign, ink = self._words[column, row]
            if TEXTURES.get(main) == _SOLID:
                return sign, styles.get(main, Style.null()) + Style(reverse=True)
            return sign, styles.get(ink, Style.null())
        solid = [ink for ink in counts if TEXTURES.get(ink) == _SOLID]
        if len(counts) > 1 and solid:
            mask = sum(1 << at for at, ink in enumerate(dots) if ink in solid)
            return _QUARTERS[mask], styles.get(solid[0], Style.null())
        shown = main or max(counts, key=lambda ink: (counts[ink], ink))
        return TEXTURES.get(shown, " "), styles.get(shown, Style.null())

    def _sharp_cell(
        self,
        sign: str,
        ink: str,
        reverse: bool,
        word: tuple[str, str] | None,
        styles: Mapping[str, Style],
    ) -> tuple[str, Style]:
        style = styles.get(ink, Style.null())
        if word is not None:
            turned = sign == _SOLID
            return word[0], style + Style(reverse=True) if turned else styles.get(word[1], style)
        return sign, style + Style(reverse=True) if reverse else style
