"""Rows of which only the visible ones are drawn: a list to move through, or lines beside the
grid."""

from collections.abc import Sequence
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import on
from textual.binding import Binding, BindingType
from textual.events import Click, Resize
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from crewdesk.paper.plain import plain
from crewdesk.screens.parts.program import program

SIGNS = {
    "none": "",
    "done": "■",
    "skipped": "╌",
    "blocked": "✕",
    "ready": "□",
    "not ready": "·",
}
"""The sign of each state of a step."""
TALL = 3


class TallRows(ScrollView):
    """Rows drawn by `row_strip` when they become visible, and cached until they change."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._drawn: dict[int, Strip] = {}
        self._styles: dict[str, Style] = {}

    @property
    def ground(self) -> Style:
        """The style of a row if nothing is written."""
        if "" not in self._styles:
            self._styles[""] = self.rich_style
        return self._styles[""]

    def style_of(self, part: str, *, whole: bool = False) -> Style:
        """Return the style of a part, by its class in the style sheet; unset values stay open, or
        with `whole` are the ground's."""
        if part not in self._styles:
            self._styles[part] = self.get_component_rich_style(part, partial=not whole)
        return self._styles[part]

    @property
    def row_height(self) -> int:
        """The lines of a row."""
        return TALL if program(self).large else 1

    @property
    def row_count(self) -> int:
        """How many rows there are."""
        return 0

    def row_strip(self, at: int) -> Strip:
        """Return one row, drawn."""
        raise NotImplementedError

    def lay_out_rows(self) -> None:
        """Draw all rows again, in the room that there is."""
        width = self.scrollable_content_region.width
        self.virtual_size = Size(width, self.row_count * self.row_height)
        self._drawn.clear()
        self.refresh()

    def redraw_row(self, at: int) -> None:
        """Draw a row again."""
        self._drawn.pop(at, None)
        high = self.row_height
        self.refresh(Region(0, at * high - self.scroll_offset.y, self.size.width, high))

    def row_at(self, y: int) -> int:
        """Return the row in a line of the window."""
        return (y + self.scroll_offset.y) // self.row_height

    def show_rows(self, first: int, last: int) -> None:
        """Scroll so that some rows are in sight."""
        high = self.row_height
        self.scroll_to_region(
            Region(0, first * high, 1, (last - first + 1) * high),
            animate=False,
            force=True,
            immediate=True,
        )

    def render_lines(self, crop: Region) -> list[Strip]:
        """Return the visible lines as drawn. Without border and padding nothing is added, and a row
        keeps its filtered form."""
        if any(self.gutter):
            return super().render_lines(crop)
        background, filters = self.background_colors[1], self.get_line_filters()
        strips = []
        for y in crop.line_range:
            strip = self.render_line(y)
            for one in filters:
                strip = strip.apply_filter(one, background)
            strips.append(strip)
        if crop.column_span != (0, self.size.width):
            strips = [strip.crop(*crop.column_span) for strip in strips]
        return strips

    def render_line(self, y: int) -> Strip:
        """Return one line of a row; the text is in its middle line."""
        at, part = divmod(y + self.scroll_offset.y, self.row_height)
        if at >= self.row_count:
            return Strip.blank(self.size.width, self.ground)
        if at not in self._drawn:
            self._drawn[at] = self.row_strip(at)
        strip = self._drawn[at]
        if part == self.row_height // 2:
            return strip
        return Strip([Segment(" " * one.cell_length, one.style) for one in strip])

    def notify_style_update(self) -> None:
        """Draw all rows again in a new theme."""
        super().notify_style_update()
        self._drawn.clear()
        self._styles.clear()


STYLES = (
    *("head", "rule", "set", "strong", "text", "muted", "made", "over", "wrong", "running"),
    *("key", "dimension"),
)
"""The inks of a line's parts: heads of groups and their rules; what to do or set now; measured
or done values; explanations; overruns and errors; the running clock; names of keys; dimension
marks."""
TICK = ">"
"""The pencil tick at the left of the row where the cursor is."""


class Row:
    """A line: its parts, each a text and one of `STYLES`. The cursor skips a line without a key."""

    def __init__(self, *parts: tuple[str, str], key: str = "") -> None:
        self.parts, self.key = parts, key


class Lines(TallRows, can_focus=True):
    """A list of lines; the cursor is on one with a key."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {
        "lines--cursor",
        "lines--here",
        *(f"lines--{name}" for name in STYLES),
    }
    DEFAULT_CSS = """
    Lines { height: 1fr; background: $background; overflow-x: hidden;
            scrollbar-size-vertical: 1; }
    Lines > .lines--cursor { background: $cursor; }
    Lines > .lines--here { background: $panel; }
    Lines > .lines--head { color: $secondary; text-style: bold; }
    Lines > .lines--rule { color: $muted; }
    Lines > .lines--set { color: $ready; text-style: bold; }
    Lines > .lines--strong { color: $foreground; text-style: bold; }
    Lines > .lines--text { color: $foreground; }
    Lines > .lines--muted { color: $muted; }
    Lines > .lines--made { color: $done; }
    Lines > .lines--over { color: $over; text-style: bold; }
    Lines > .lines--wrong { color: $error; text-style: bold; }
    Lines > .lines--running { color: $part; text-style: bold; }
    Lines > .lines--key { color: $key; text-style: bold; }
    Lines > .lines--dimension { color: $dimension; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", "Line up", show=False),
        Binding("down", "move(1)", "Line down", show=False),
        Binding("pageup", "page(-1)", "Page up", show=False),
        Binding("pagedown", "page(1)", "Page down", show=False),
        Binding("home", "move(-99999)", "First line", show=False),
        Binding("end", "move(99999)", "Last line", show=False),
    ]

    class Moved(Message):
        """The cursor moved."""

    class Chosen(Message):
        """The line under the cursor was clicked a second time."""

    def __init__(self, rows: Sequence[Row] = (), *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.rows: tuple[Row, ...] = tuple(rows)
        self.at = 0

    def on_mount(self) -> None:
        """Lay the lines out."""
        self.show(self.rows)

    @property
    def key(self) -> str:
        """The key of the line under the cursor, or "" if there is none."""
        return self.rows[self.at].key if self.at < len(self.rows) else ""

    def show(self, rows: Sequence[Row]) -> None:
        """Show other lines; keep the cursor on the same key if it is still there."""
        kept, place = self.key, self.at
        self.rows = tuple(rows)
        keys = [at for at, row in enumerate(self.rows) if row.key]
        same = [at for at in keys if self.rows[at].key == kept]
        near = [at for at in keys if at >= place] or keys[-1:] or [0]
        self.at = (same or near)[0]
        self.lay_out_rows()

    def go_to(self, key: str) -> None:
        """Put the cursor on the line of a key."""
        for at, row in enumerate(self.rows):
            if row.key == key:
                self._go(at)
                return

    @property
    def row_count(self) -> int:
        """The lines."""
        return len(self.rows)

    @on(Resize)
    def resized(self) -> None:
        """Fit the lines to the new width."""
        self.lay_out_rows()

    def action_move(self, by: int) -> None:
        """Move the cursor by lines with a key."""
        keys = [at for at, row in enumerate(self.rows) if row.key]
        if keys:
            here = keys.index(self.at) if self.at in keys else 0
            self._go(keys[min(max(here + by, 0), len(keys) - 1)])

    def action_page(self, way: int) -> None:
        """Move the cursor by a screenful."""
        self.action_move(way * max(self.size.height // self.row_height - 2, 1))

    def _go(self, at: int) -> None:
        before, self.at = self.at, at
        for one in (before, at):
            self.redraw_row(one)
        top = at
        while top and not self.rows[top - 1].key and at - top < 2:
            top -= 1
        self.show_rows(top, at)
        self.post_message(self.Moved())

    @on(Click)
    def clicked(self, event: Click) -> None:
        """Put the cursor there; a second click in a row chooses the line, in the large layout
        also a second touch later on."""
        at, before = self.row_at(event.y), self.at
        if at < len(self.rows) and self.rows[at].key:
            self._go(at)
            if event.chain > 1 or (self.row_height > 1 and at == before):
                self.post_message(self.Chosen())

    def row_strip(self, at: int) -> Strip:
        """Return one line."""
        row, ground = self.rows[at], self.ground
        here = at == self.at and bool(row.key)
        if here:
            ground = ground + self._style("cursor" if self.has_focus else "here")
        segments = [Segment(plain(text), ground + self._style(style)) for text, style in row.parts]
        strip = fitted(Strip(segments), self.scrollable_content_region.width, ground)
        return ticked(strip, ground) if here and self.has_focus else strip

    def _style(self, name: str) -> Style:
        return self.style_of(f"lines--{name}")

    def on_focus(self) -> None:
        """Show the cursor."""
        self.lay_out_rows()

    def on_blur(self) -> None:
        """Show that the list has lost the focus."""
        self.lay_out_rows()


def ticked(strip: Strip, ground: Style) -> Strip:
    """Return a line with the pencil tick at its left, if nothing is written there."""
    if not strip.text.startswith(" "):
        return strip
    tick = Segment(TICK, ground + Style(bold=True))
    return Strip([tick, *strip.crop(1, strip.cell_length)])


def fitted(strip: Strip, width: int, ground: Style) -> Strip:
    """Return a line in `width` columns; an ellipsis shows that more was cut."""
    if strip.cell_length <= width or width < 2:
        return strip.adjust_cell_length(width, ground)
    cut = strip.crop(0, width - 1)
    last = list(cut)[-1].style or ground
    return Strip([*cut, Segment("…", last)]).adjust_cell_length(width, ground)
