"""What is told beside the grid: as the cursor moves, only the lines that differ are drawn."""

from collections.abc import Iterable

from rich.segment import Segment
from rich.style import Style
from rich.text import Text
from textual import on
from textual.events import Resize
from textual.strip import Strip

from crewdesk.screens.tall_rows import TallRows

Told = tuple[str, bool]
"""A line, and whether it heads what follows."""


class Beside(TallRows):
    """Lines, broken between words where they are too long for the room; what goes below the
    lowest row is not shown."""

    DEFAULT_CSS = """
    Beside { width: 46; height: 100%; overflow: hidden hidden; background: $surface; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._told: tuple[Told, ...] = ()
        self._rows: list[Told] = []

    @property
    def row_height(self) -> int:
        """One line, also in the large layout: these are read, not touched."""
        return 1

    @property
    def row_count(self) -> int:
        """The lines, broken."""
        return len(self._rows)

    def tell(self, lines: Iterable[Told]) -> None:
        """Tell other lines."""
        self._told, before = tuple(lines), self._rows
        self._rows = [row for line in self._told for row in self._broken(*line)]
        for at in range(max(len(before), len(self._rows))):
            if before[at : at + 1] != self._rows[at : at + 1]:
                self.redraw_row(at)

    def _broken(self, line: str, head: bool) -> list[Told]:
        parts = Text(line).wrap(self.app.console, max(self.size.width - 2, 1))
        return [(part.plain.rstrip(), head) for part in parts] or [("", head)]

    @on(Resize)
    def resized(self) -> None:
        """Break the lines for the new width."""
        self._rows = []
        self.tell(self._told)
        self.lay_out_rows()

    def row_strip(self, at: int) -> Strip:
        """One line."""
        row, head = self._rows[at]
        strip = Strip([Segment(f" {row}", self.ground + Style(bold=head))])
        return strip.adjust_cell_length(self.size.width, self.ground)
