"""Parts of rows, each a text and its ink, as one text for a widget that isn't `Lines`."""

from collections.abc import Iterable, Sequence

from textual.content import Content

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
    "running": "$part bold",
    "key": "$key bold",
    "dimension": "$dimension",
    "board": "$board",
    "wall": "$wall",
}
"""How the inks of a row's parts are named in a text that isn't one of `Lines`."""


def inked(lines: Iterable[Sequence[Part]]) -> Content:
    """Return lines of parts, each a text and its ink, as one text."""
    parts: list[tuple[str, str] | str] = []
    for line in lines:
        parts += ["\n"] if parts else []
        parts += [(text, INKS.get(ink, "")) for text, ink in line]
    return Content.assemble(*parts)
