"""Rows that are drawn one by one, and three lines high in the large layout, to be touched."""

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region, Size
from textual.scroll_view import ScrollView
from textual.strip import Strip

from crewdesk.screens.program import program

TALL = 3


class TallRows(ScrollView):
    """So many rows, each drawn by `row_strip` when it comes in sight, and once only until it
    changes."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._drawn: dict[int, Strip] = {}
        self._styles: dict[str, Style] = {}

    @property
    def ground(self) -> Style:
        """The style of a row where nothing is written."""
        if "" not in self._styles:
            self._styles[""] = self.rich_style
        return self._styles[""]

    def style_of(self, part: str, *, whole: bool = False) -> Style:
        """The style of a part, by the class that the style sheet knows it by; what is not said
        of it is left open, or with `whole` as it is of the ground."""
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

    def render_lines(self, crop: Region) -> list[Strip]:
        """The lines in sight, as they were drawn: where there is no border and no padding
        round them, nothing has to be added, and a row keeps what a filter makes of it."""
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
        """One line of a row; the words stand in its middle."""
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
        """Draw all rows anew in a new theme."""
        super().notify_style_update()
        self._drawn.clear()
        self._styles.clear()
