"""A setting drawn: blade, fence or stop, and the board at them."""

from collections.abc import Callable, Sequence
from fractions import Fraction
from math import ceil, radians, tan
from typing import ClassVar

from rich.text import Text
from textual.widget import Widget

from crewdesk.job.cuts.batches import Group
from crewdesk.job.cuts.cut import BLADE, MITER, Lies
from crewdesk.length import mixed
from crewdesk.screens.parts.canvas import CELL, INKS, Canvas, Place
from crewdesk.screens.parts.stick import dimension

_SCALES = tuple(
    Fraction(one) for one in ("1/8", "3/16", "1/4", "3/8", "1/2", "3/4", "1", "3/2", "2", "3", "4")
)
"""Inches to a row."""
_KERF = Fraction(1, 8)
"""The width of a kerf, in inches (common practice, no source)."""
_FENCE = 3
"""Columns of a fence or stop."""
_BREAK = 3
"""Columns between the fence and the mark where a board is cut short."""
_WASTE = 7
"""Columns of the cutoff."""
_NARROWEST, _LOWEST = 22, 6
_LEAN = {"left": "\u2572", "right": "\u2571", "": "\u2503"}


class SawDrawing(Widget):
    """A group's setting as seen by the person at the saw."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        f"saw-drawing--{ink}" for ink in (*INKS, "dimension", "blade")
    }
    DEFAULT_CSS = """
    SawDrawing { width: 1fr; height: 7; }
    SawDrawing > .saw-drawing--board { color: $board; }
    SawDrawing > .saw-drawing--waste { color: $muted; }
    SawDrawing > .saw-drawing--wall { color: $wall; }
    SawDrawing > .saw-drawing--word { color: $foreground; }
    SawDrawing > .saw-drawing--hint { color: $muted; }
    SawDrawing > .saw-drawing--dimension { color: $dimension; }
    SawDrawing > .saw-drawing--blade { color: $foreground; text-style: bold; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._group: Group | None = None
        self._value = ""

    def show(self, group: Group, value: str) -> None:
        """Show a group's setting; `value` is its fence's or stop's figure as shown."""
        self._group, self._value = group, value
        self.refresh()

    def render(self) -> Text:
        """Return the drawing in the room there is, or nothing."""
        canvas = None
        if self._group is not None:
            canvas = drawn(self._group, self._value, *self.content_size)
        if canvas is None:
            return Text("")
        inks = (*INKS, "dimension", "blade")
        return canvas.text(
            {
                ink: self.get_component_rich_style(f"saw-drawing--{ink}", partial=True)
                for ink in inks
            }
        )


def drawn(group: Group, value: str, columns: int, rows: int) -> Canvas | None:
    """Return a group's setting drawn in that much room; or None if it isn't known how the board
    lies, or if there is no room."""
    lies = group.lies
    if lies is None or columns < _NARROWEST or rows < _LOWEST or lies.wide <= 0:
        return None
    return (_front if lies.view == "front" else _above)(group, lies, value, columns, rows)


def _front(group: Group, lies: Lies, value: str, columns: int, rows: int) -> Canvas:
    """Return a table saw from the front: the board between blade and fence, what is past the blade,
    and the fence's distance at the table."""
    setting = dict(group.setting)
    fence, tilt = group.setting[-1][1], tan(radians(float(setting.get(BLADE, 0))))
    scale = _scale(lies.thick, rows - 4)
    per = float(CELL / scale)
    thick, table = float(lies.thick), rows - 3
    at_right = lies.side != "left"
    turn = _turned(columns, at_right)
    blade = float(min(columns - _FENCE - 6, max(_WASTE + 2, columns * 0.4)))
    at_fence = columns - _FENCE
    broken = float(fence) * per > at_fence - blade
    blade = blade if broken else at_fence - float(fence) * per
    # The edge along the fence isn't drawn if an earlier pass beveled it.
    board_end = at_fence - _BREAK if broken and group.order > 2 else at_fence
    grows = tilt if lies.leans and (lies.leans == "left") == at_right else -tilt

    def out(height: float) -> float:
        """Return how far the cut is past its place at the table, away from the fence, in inches."""
        past = height * grows
        return past if lies.whole else min(past, float(lies.wide - fence))

    canvas = Canvas(columns, rows)
    heights = [thick * part / 16 for part in range(17)]

    def shape(near: Callable[[float], float], far: Callable[[float], float], ink: str) -> None:
        """Fill between two edges, each given by its column at a height."""
        up = [(near(one), table - one * per / CELL) for one in heights]
        down = [(far(one), table - one * per / CELL) for one in reversed(heights)]
        canvas.fill([turn(*one) for one in (*up, *down)], ink)

    shape(lambda h: blade - out(h) * per, lambda _: board_end, "board")
    if lies.whole:
        kerf = max(float(_KERF) * per, 1.0)
        shape(
            lambda h: blade - out(h) * per - kerf - _WASTE,
            lambda h: blade - out(h) * per - kerf,
            "waste",
        )
    corners = ((columns - _FENCE, 1), (columns, 1), (columns, table), (columns - _FENCE, table))
    canvas.fill([turn(*one) for one in corners], "wall")
    if broken:
        mark, _ = turn(at_fence - _BREAK, 0)
        for row in range(max(round(table - thick * per / CELL), 0), table):
            canvas.write(int(mark) - (not at_right), row, "\u250a", "word")
    canvas.across(table, "\u2594", "hint")
    sign = _LEAN[lies.leans if tilt else ""]
    for row in range(1, table):
        height = (table - row - 0.5) * CELL / per
        column, _ = turn(blade - height * grows * per - 0.5, row)
        canvas.write(int(column), row, sign, "blade")
    column, _ = turn(blade, 0)
    canvas.centred(column, 0, "blade", "hint")
    canvas.centred(turn(columns - 2.5, 0)[0], 0, "fence", "hint")
    if lies.down and table > 3:
        middle, _ = turn((blade + columns - _FENCE) / 2, 0)
        up = "show face" if lies.down == "back" else "back"
        canvas.centred(middle, max(round(table - thick * per / CELL), 1), up, "word")
    start, end = sorted((turn(blade, 0)[0], turn(columns - _FENCE, 0)[0]))
    canvas.write(round(start), table + 1, dimension(value, round(end) - round(start)), "dimension")
    short = ", drawing shortened" if broken else ", true to scale"
    _captioned(canvas, columns, rows, f"front, 1 row = {mixed(scale)} in{short}")
    return canvas


def _above(group: Group, lies: Lies, value: str, columns: int, rows: int) -> Canvas:
    """Return a miter saw from above: the fence far away, the board along it, the cut and the
    stop."""
    scale = _scale(lies.wide, rows - 3 - bool(value))
    per = float(CELL / scale)
    wide = float(lies.wide)
    high = wide * per / CELL
    slant = tan(radians(float(dict(group.setting).get(MITER, 0)))) * wide * per
    lean = slant / 2 if lies.long_point == "fence" else -slant / 2 if lies.long_point else 0.0
    begin = float(_FENCE if value else 0)
    cut = float(columns - _WASTE - 3 - abs(slant) / 2)
    canvas = Canvas(columns, rows)
    canvas.across(0, "\u2581", "hint")
    edge = ((cut + lean, 1.0), (cut - lean, 1.0 + high))
    turn = _turned(columns, lies.side == "left")

    def fill(places: Sequence[Place], ink: str) -> None:
        canvas.fill([turn(*one) for one in places], ink)

    fill(((begin, 1.0), edge[0], edge[1], (begin, 1.0 + high)), "board")
    if lies.whole:
        past = max(float(_KERF) * per, 1.0)
        fill(
            (
                (edge[0][0] + past, 1.0),
                (float(columns), 1.0),
                (float(columns), 1.0 + high),
                (edge[1][0] + past, 1.0 + high),
            ),
            "waste",
        )
    way = 0 if abs(slant) < 0.5 else lean * (1 if lies.side == "left" else -1)
    sign = _LEAN["" if not way else "right" if way > 0 else "left"]
    for row in range(1, min(round(1 + high), rows - 1)):
        part = (row - 0.5) / high
        column, _ = turn(edge[0][0] + (edge[1][0] - edge[0][0]) * part + 0.5, 0)
        canvas.write(int(column), row, sign, "blade")
    mark, _ = turn(begin + _BREAK, 0)
    for row in range(1, min(round(1 + high), rows - 1)):
        canvas.write(int(mark), row, "\u250a", "word")
    if value:
        fill(((0.0, 1.0), (begin, 1.0), (begin, 2.0), (0.0, 2.0)), "wall")
        start, end = sorted((turn(begin, 0)[0], turn(edge[0][0], 0)[0]))
        row = min(ceil(1 + high), rows - 2)
        canvas.write(round(start), row, dimension(value, round(end) - round(start)), "dimension")
    _captioned(canvas, columns, rows, f"from above, 1 row = {mixed(scale)} in, drawing shortened")
    return canvas


def _turned(columns: int, as_is: bool) -> Callable[[float, float], Place]:
    """Return a function that mirrors a place left to right, or leaves it `as_is`."""
    return (lambda x, y: (x, y)) if as_is else (lambda x, y: (columns - x, y))


def _scale(size: Fraction, rows: int) -> Fraction:
    """Return the inches per row at which a size fits into `rows`."""
    return next((one for one in _SCALES if size <= rows * one), _SCALES[-1])


def _captioned(canvas: Canvas, columns: int, rows: int, text: str) -> None:
    """Write the view and the scale into the lowest row."""
    shorter = text.rpartition(", ")[0]
    for line in (text, shorter, shorter.partition(", ")[2]):
        if len(line) <= columns:
            canvas.centred(columns / 2, rows - 1, line, "hint")
            return
