"""Lines of inked parts that stay in sight above or below a list."""

from collections.abc import Iterable, Sequence

from textual.content import Content
from textual.widgets import Static

from crewdesk.paper.plain import plain
from crewdesk.screens.parts.stick import Part

INKS = {
    "head": "$secondary bold",
    "rule": "$muted",
    "set": "$ready bold",
    "strong": "$foreground bold",
    "text": "$foreground",
    "muted": "$muted",
    "made": "$done",
    "over": "$over bold",
    "wrong": "$error bold",
    "running": "$part bold",
    "key": "$key bold",
    "dimension": "$dimension",
    "board": "$board",
    "wall": "$wall",
}
"""The inks of `Lines`, each as a style that goes with the theme."""


def inked(lines: Iterable[Sequence[Part]]) -> Content:
    """Return lines of parts, each a text and one of the inks of `Lines`, for a `Static`."""
    return Content("\n").join(
        Content.assemble(*((plain(text), INKS[ink]) for text, ink in parts)) for parts in lines
    )


class Band(Static):
    """Lines that stay in sight while the list beside them scrolls; none is broken."""

    DEFAULT_CSS = """
    Band { height: auto; padding: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id, markup=False)

    def tell(self, lines: Iterable[Sequence[Part]]) -> None:
        """Show other lines; without any it takes no space."""
        shown = tuple(tuple(line) for line in lines)
        self.display = bool(shown)
        self.update(inked(shown))
