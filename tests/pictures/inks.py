"""Which of a theme's colours stand on which, on pages as they are drawn: by their names.

A theme in which no two colours are alike tells the names; what a page draws in a colour that
is none of the theme's, as a tint would be, is told by its number.
"""

from typing import Any

from textual.screen import Screen
from textual.theme import Theme

from crewdesk.screens.themes import COLORS, themed
from tests.pictures.walked import text_pairs

_UNLIKE = {
    name: f"#{0x18 + 9 * at:02x}{0xD0 - 7 * at:02x}{0x30 + 53 * at % 160:02x}"
    for at, name in enumerate(COLORS)
}
_NAMES = {color: name for name, color in _UNLIKE.items()}


def unlike() -> Theme:
    """The theme in which no two colours are alike."""
    return themed("unlike", True, _UNLIKE)


def named_pairs(screen: Screen[Any]) -> set[tuple[str, str]]:
    """What is read on a screen that is shown in `unlike`: names of ink and ground."""
    return {
        (_NAMES.get(ink, ink), _NAMES.get(ground, ground)) for ink, ground in text_pairs(screen)
    }
