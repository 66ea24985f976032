"""How a piece's page shares its rows and columns between readings, figures and drawing."""

from typing import NamedTuple

from textual.geometry import Size

_WIDE, _TALL = 110, 30
"""The columns and rows from which there is room for the list of steps and the section."""
_LOW = 23
"""The rows below which the figures are lines of text."""
_EDGES = 3
"""Rows of the page's own lines: place, message, keys."""
_DRAWN, _DRAWN_LOW, _DRAWN_WIDE = 6, 5, 13
"""Rows for the drawing: usually, on a low screen, and on a tall and wide one."""
_DRAWN_CLEATS = 9
"""Rows for the drawing of the cleats, with the section beside the figures."""
_SIDES = 3
"""Columns at both sides, and of the scrollbar, so that nothing wraps."""
_RIGHT = 42
"""Columns of the section and the list of steps beside the figures."""
_PADDING = 2
"""Rows around the figures on a tall and wide screen."""


class Room(NamedTuple):
    """The space on a page: whether it is `tall`, and `wide` too; the `columns` of a line; the
    `rows` above the drawing; and the rows for readings, figures and lines."""

    tall: bool
    wide: bool
    columns: int
    rows: int
    inside: int


SECTION = 36
"""Columns of the section beside the figures on a screen that isn't wide."""
_BESIDE_FROM = 79
"""Columns from which on there is room for it."""


def section_beside(size: Size, kind: str) -> bool:
    """Return whether the section is beside the figures of a piece of a kind on a screen that isn't
    wide: the cleats', which are where the section shows them."""
    wide = size.height >= _TALL and size.width >= _WIDE
    return kind == "cleats" and not wide and size.width >= _BESIDE_FROM and size.height >= _LOW


def room_of(size: Size, *, drawn: bool = True, section: bool = False) -> Room:
    """Return the space on a page of a size; `drawn` is whether it has a drawing."""
    tall = size.height >= _TALL
    wide = tall and size.width >= _WIDE
    kept = _DRAWN_WIDE if wide else _DRAWN_LOW if size.height < _LOW else _DRAWN
    kept = _DRAWN_CLEATS if section else kept
    signs = 1 if tall and not wide else 0
    rows = max(size.height - _EDGES - signs - (kept if drawn else 0), 1)
    columns = size.width - (_RIGHT if wide else SECTION if section else 0) - _SIDES
    return Room(tall, wide, columns, rows, rows - (_PADDING if wide else 0))


def hint_rows(size: Size, *, instructs: bool) -> int:
    """Return the most rows of the hint; the details have the rest."""
    return 1 if size.height < _LOW and not instructs else 2
