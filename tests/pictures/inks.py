"""Which of a theme's colours stand on which, on pages as they are drawn: by their names.

A theme in which no two colours are alike tells the names; what a page draws in a colour that
is none of the theme's, as a tint would be, is told by its number.
"""

from collections.abc import Iterator, Mapping
from typing import Any

from textual.screen import Screen
from textual.theme import Theme

from crewdesk.screens.parts.themes import COLORS, themed
from tests.pictures.walked import cells, text_pairs

_UNLIKE = {
    name: f"#{0x18 + 8 * at:02x}{0xD0 - 7 * at:02x}{0x30 + 53 * at % 160:02x}"
    for at, name in enumerate(COLORS)
}
_NAMES = {color: name for name, color in _UNLIKE.items()}


MARKS: Mapping[str, tuple[str, ...]] = {
    "done": ("■", "━", "█"),
    "ready": ("□", "ready", "▷", "█", "▀", "▄", "BACK", "SHOW", "press ", "Set first"),
    "part": ("/", "▶", "━", "╫", "■", "□"),
    "waiting": ("·",),
    "blocked": ("✕", "blocked"),
    "skipped": ("╌",),
    "override": ("*", "past its gate"),
    "success": ("Saved", "Taken back", "Redone"),
    "warning": ("!", "Doubtful", "Not measured", "to override"),
    "error": ("!", "."),
}
"""The colours that tell a state, and the signs and words of which one tells it, too; what is
wrong is a sentence, or has its sign before it. A figure to set is told by its height, a face by its
capitals."""
_SENTENCES = ("success", "warning", "error")
"""What may go on in the next line."""


def unlike() -> Theme:
    """The theme in which no two colours are alike."""
    return themed("unlike", True, _UNLIKE)


def states_drawn(screen: Screen[Any]) -> Iterator[tuple[str, str]]:
    """What is drawn in a state's colour on a screen that is shown in `unlike`: the colour's
    name, and the text."""
    before, told = "", ""
    for text, style, _ in cells(screen):
        if not text.strip() or style is None or style.color is None:
            continue
        name = _NAMES.get(style.color.get_truecolor().hex, "")
        if name == before and name in _SENTENCES:
            told = f"{told} {text.strip()}"
            continue
        if before in MARKS:
            yield before, told
        before, told = name, text.strip()
    if before in MARKS:
        yield before, told


def by_colour_alone(drawn: tuple[str, str]) -> bool:
    """Whether only its colour tells the state of a text that is drawn."""
    state, text = drawn
    return not any(mark in text for mark in MARKS[state])


def named_pairs(screen: Screen[Any]) -> set[tuple[str, str]]:
    """What is read on a screen that is shown in `unlike`: names of ink and ground."""
    return {
        (_NAMES.get(ink, ink), _NAMES.get(ground, ground)) for ink, ground in text_pairs(screen)
    }
