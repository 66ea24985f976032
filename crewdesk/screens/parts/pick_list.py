"""A list to pick from, with the pencil mark at the row where the cursor is."""

from rich.segment import Segment
from textual.strip import Strip
from textual.widgets import OptionList

from crewdesk.screens.parts.lines import ticked


class PickList(OptionList):
    """An option list whose cursor reads without color: its row has a mark at the left."""

    def render_line(self, y: int) -> Strip:
        """Return one line; the first of the row under the cursor has the mark."""
        strip = super().render_line(y)
        if not self.has_focus or self._row_of(strip) != self.highlighted:
            return strip
        above = super().render_line(y - 1) if y else None
        if above is not None and self._row_of(above) == self.highlighted:
            return strip
        first = next(iter(strip), Segment(" "))
        return ticked(strip, first.style) if first.style else strip

    @staticmethod
    def _row_of(strip: Strip) -> int | None:
        """Return the index of a line's row, from its style's metadata."""
        for one in strip:
            if one.style and one.style.meta and "option" in one.style.meta:
                return int(one.style.meta["option"])
        return None
