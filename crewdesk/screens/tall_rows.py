"""Rows that are drawn one by one, and three lines high in the large layout, to be touched."""

from typing import TYPE_CHECKING, cast

from rich.segment import Segment
from textual.geometry import Region, Size
from textual.scroll_view import ScrollView
from textual.strip import Strip

if TYPE_CHECKING:
    from crewdesk.screens.app import CrewdeskApp

TALL = 3


class TallRows(ScrollView):
    """So many rows, each drawn by `row_strip` when it comes in sight, and once only until it
    changes."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._drawn: dict[int, Strip] = {}

    @property
    def row_height(self) -> int:
        """The lines of a row."""
        return TALL if cast("CrewdeskApp", self.app).large else 1

    @property
    def row_count(self) -> int:
        """How many rows there are."""
        return 0

    def row_strip(self, at: int) -> Strip:
        """One row, drawn."""
        raise NotImplementedError

    def lay_out_rows(self) -> None:
        """Draw all rows anew, in the room that there is."""
        width = self.scrollable_content_region.width
        self.virtual_size = Size(width, self.row_count * self.row_height)
        self._drawn.clear()
        self.refresh()

    def redraw_row(self, at: int) -> None:
        """Draw a row anew."""
        self._drawn.pop(at, None)
        high = self.row_height
        self.refresh(Region(0, at * high - self.scroll_offset.y, self.size.width, high))

    def row_at(self, y: int) -> int:
        """The row in a line of the window."""
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

    def render_line(self, y: int) -> Strip:
        """One line of a row; the words stand in its middle."""
        at, part = divmod(y + self.scroll_offset.y, self.row_height)
        if at >= self.row_count:
            return Strip.blank(self.size.width, self.rich_style)
        if at not in self._drawn:
            self._drawn[at] = self.row_strip(at)
        strip = self._drawn[at]
        if part == self.row_height // 2:
            return strip
        return Strip([Segment(" " * one.cell_length, one.style) for one in strip])

    def notify_style_update(self) -> None:
        """Draw all rows anew in a new theme."""
        super().notify_style_update()
        self._drawn.clear()
