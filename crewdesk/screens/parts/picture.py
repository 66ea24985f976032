"""A picture on the screen, redrawn when its content, its size or its colors change."""

from collections.abc import Callable
from typing import ClassVar

from rich.text import Text
from textual.widget import Widget

from crewdesk.screens.parts.canvas import INKS, Canvas

Draw = Callable[[int, int], Canvas | None]


class Picture(Widget):
    """Draws its function's picture for the current size; nothing if it returns None."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"picture--{ink}" for ink in INKS}
    DEFAULT_CSS = """
    Picture { height: 1fr; padding: 0 1; }
    Picture > .picture--board { color: $board; }
    Picture > .picture--bottom { color: $secondary; }
    Picture > .picture--cleat { color: $board; }
    Picture > .picture--waste { color: $waste; }
    Picture > .picture--wall { color: $wall; }
    Picture > .picture--mark { color: $dimension; text-style: bold; }
    Picture > .picture--word { color: $foreground; }
    Picture > .picture--hint { color: $muted; }
    Picture > .picture--set { color: $ready; text-style: bold; }
    Picture > .picture--dimension { color: $dimension; text-style: bold; }
    """

    def __init__(self, *, most_rows: int = 16, id: str | None = None) -> None:
        super().__init__(id=id)
        self._draw: Draw | None = None
        self._most_rows = most_rows

    def show(self, draw: Draw | None) -> None:
        """Show what `draw` returns for columns and rows; None clears the picture."""
        self._draw = draw
        self.refresh()

    def render(self) -> Text:
        """Return the picture for the current size."""
        columns, rows = self.content_size.width, min(self.content_size.height, self._most_rows)
        canvas = None if self._draw is None or rows < 1 else self._draw(columns, rows)
        if canvas is None:
            return Text("")
        return canvas.text(
            {ink: self.get_component_rich_style(f"picture--{ink}", partial=True) for ink in INKS}
        )
