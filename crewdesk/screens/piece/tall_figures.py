"""The figures of a piece as large as there is room for: the next step's settings in the bright ink,
the others in the usual one, in lines if tall ones don't fit."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import ClassVar, NamedTuple

from rich.style import Style
from rich.text import Text
from textual.geometry import Size
from textual.widget import Widget

from crewdesk.screens.parts.figure import ROWS, big, dots

Part = tuple[str, str]
"""A text and its ink: name, set, made or text."""
Line = list[Part]
_SMALL = (ROWS + 1) // 2
"""Rows of a figure in half blocks."""
_LARGER = ((4, 2), (2, 1))
"""Columns and rows per dot of larger figures, the largest first."""
_GAP = 2
"""Columns between two figures."""
_AFTER, _BETWEEN = 3, 5
"""Columns after a figure that the next step is set to; and for each of its dots' between two of
the same size, so that they aren't read as one: a space in a figure takes four."""
_APART = 3
"""Columns between two figures in a line of text."""
_NOW = "□ "
"""The sign before the name of the next step's setting, readable without color."""


class Tall(NamedTuple):
    """A figure: its name, its value as shown, how far it can be off and what more to know of it,
    each "" if there is nothing; `now` is whether the next step is set to it; `later` is the figure
    in a few words where a later step is set to it, which is never tall."""

    name: str
    value: str
    off: str = ""
    more: str = ""
    now: bool = False
    large: bool = False
    later: str = ""

    @property
    def across(self) -> int:
        """The columns of its dots."""
        return len(dots(self.value)[0])

    @property
    def head(self) -> str:
        """Its name and uncertainty, shown above."""
        sign, off = _NOW if self.now else "", f" ±{self.off}" if self.off else ""
        return f"{sign}{self.name}{off}"

    @property
    def told(self) -> str:
        """The figure in one line of text."""
        return " ".join(filter(None, (self.name, self.value, self.off and f"±{self.off}")))


class _Block(NamedTuple):
    """A figure as it is drawn."""

    figure: Tall
    lines: list[str]
    dot: int = 1
    """Columns to a dot."""

    @property
    def width(self) -> int:
        return max(len(self.figure.head), *map(len, self.lines))

    def room(self, following: "_Block") -> int:
        """Return the columns that it takes with those before the `following` one: enough that their
        figures are never read as one."""
        bright = self.figure.now or self.figure.large
        apart = _BETWEEN * self.dot if self.dot == following.dot else _AFTER
        apart = apart if bright else _GAP
        return max(len(self.figure.head) + _GAP, max(map(len, self.lines)) + apart)


def laid(figures: Sequence[Tall], width: int, most: int) -> list[Line]:
    """Return the figures in lines of parts, in `most` rows if that can be: those that the next step
    is set to as large as fits, the others tall, from the last on in text; last, in a line of text,
    those of a later step."""
    later = [one for one in figures if one.later]
    figures = [one for one in figures if not one.later]
    main = [one for one in figures if one.now or one.large]
    widest = max((one.across for one in main), default=0)
    scales = [one for one in _LARGER if one[0] * widest <= width]
    tall = len(figures)
    ways: list[tuple[tuple[int, int] | None, int]] = [(scale, tall) for scale in scales]
    ways += [(scale, n) for scale in scales[-1:] for n in range(tall - 1, len(main) - 1, -1)]
    ways += [(None, n) for n in range(tall, 0, -1)]
    for scale, tall in ways:
        blocks = [_block(one, scale if one in main else None) for one in figures[:tall]]
        rows = [*_rows(blocks, width), *texts([*figures[tall:], *later], width)]
        if len(rows) <= most:
            return rows
    return texts([*figures, *later], width)


def texts(figures: Iterable[Tall], width: int) -> list[Line]:
    """Return the figures in lines of text, several to a line."""
    lines: list[Line] = []
    used = width
    for one in figures:
        parts = _text(one)
        size = sum(len(text) for text, _ in parts)
        if used + _APART + size > width:
            lines.append(parts)
            used = size
        else:
            lines[-1] += [(" " * _APART, "text"), *parts]
            used += _APART + size
    return lines


def _text(one: Tall) -> Line:
    if one.later:
        return [(one.later, "text")]
    sign, off = _NOW if one.now else "", f" ±{one.off}" if one.off else ""
    ink = "set" if one.now else "made"
    more = f" {one.more}" if one.more and not one.off else ""
    name = (f"{sign}{one.name} ", ink if one.now else "name")
    return [name, (one.value, ink), (f"{off}{more}", "name")]


def _block(one: Tall, scale: tuple[int, int] | None) -> _Block:
    """Return a figure in blocks of `scale`, columns and rows to a dot, or in half blocks."""
    if scale is not None:
        lines = big(one.value, scale[0] * one.across, scale[1] * ROWS)
        return _Block(one, lines, scale[0])
    return _Block(one, big(one.value, one.across, _SMALL))


def _rows(blocks: Sequence[_Block], width: int) -> Iterator[Line]:
    """Yield the blocks' lines, as many side by side as fit."""
    row: list[_Block] = []
    for block in blocks:
        if row and _across([*row, block]) > width:
            yield from _side_by_side(row, width)
            row = []
        row.append(block)
    if row:
        yield from _side_by_side(row, width)


def _across(row: Sequence[_Block]) -> int:
    """Return the columns of blocks side by side."""
    return sum(one.room(after) for one, after in pairwise(row)) + row[-1].width


def _side_by_side(row: Sequence[_Block], width: int) -> Iterator[Line]:
    rooms = [one.room(after) for one, after in pairwise(row)]
    rooms.append(width - sum(rooms))
    yield [part for one, room in zip(row, rooms, strict=True) for part in _head(one.figure, room)]
    for at in range(max(len(one.lines) for one in row)):
        line: Line = []
        for one, room in zip(row, rooms, strict=True):
            drawn = one.lines[at] if at < len(one.lines) else ""
            line.append((drawn[:room].ljust(room), "set" if one.figure.now else "made"))
        yield line


def _head(one: Tall, room: int) -> Line:
    """Return the name over a figure, with its note if there is room."""
    head, more = one.head, f"  {one.more}" if one.more else ""
    if len(head) > room:  # the last of a row
        head = f"{head[: room - 1]}…"
    if len(head) + len(more) > room - (_GAP - 1):
        more = ""
    name, off = (head, "") if not one.off else _parted(head)
    ink = "set" if one.now else "name"
    return [(name, ink), (f"{off}{more}".ljust(room - len(name)), "name")]


def _parted(head: str) -> tuple[str, str]:
    at = head.rfind(" ±")
    return (head[:at], head[at:]) if at >= 0 else (head, "")


class TallFigures(Widget):
    """Figures as large as there is room for."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        f"tall-figures--{ink}" for ink in ("name", "set", "made", "text")
    }
    DEFAULT_CSS = """
    TallFigures { height: auto; padding: 0 1; }
    TallFigures > .tall-figures--name { color: $muted; }
    TallFigures > .tall-figures--set { color: $ready; text-style: bold; }
    TallFigures > .tall-figures--text { color: $foreground; }
    TallFigures > .tall-figures--made { color: $foreground; text-style: bold; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.figures: tuple[Tall, ...] = ()
        self._room = (0, 0)
        self._lines: list[Line] = []

    def show(self, figures: Iterable[Tall], columns: int, rows: int) -> None:
        """Show other figures in `columns`, and if possible in those rows."""
        figures = tuple(figures)
        if (figures, (columns, rows)) == (self.figures, self._room):
            return
        self.figures, self._room = figures, (columns, rows)
        high = len(self._lines)
        self._lines = laid(figures, columns, rows) if columns > 0 else []
        self.refresh(layout=high != len(self._lines))

    @property
    def told(self) -> str:
        """The figures in words, as they are read one after the other."""
        return ", ".join(one.told for one in self.figures)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many rows as the figures take."""
        del container, viewport, width
        return len(self._lines)

    def render(self) -> Text:
        """Return the figures in the room there is."""
        styles = {
            ink: self.get_component_rich_style(f"tall-figures--{ink}", partial=True)
            for ink in ("name", "set", "made", "text")
        }
        text = Text(no_wrap=True, end="")
        for at, line in enumerate(self._lines):
            text.append("\n" if at else "")
            for part, ink in line:
                text.append(part, styles.get(ink, Style.null()))
        return text
