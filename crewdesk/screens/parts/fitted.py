"""Text in the room there is: cut off with an ellipsis, never in silence."""

from textwrap import wrap


def cut_off(text: str, width: int) -> str:
    """Return a text in so many columns, its end an ellipsis where it is cut."""
    return text if len(text) <= width else f"{text[: max(width - 1, 0)]}…"


def in_rows(text: str, width: int, rows: int) -> str:
    """Return a text wrapped at words in so many rows, the last one's end an ellipsis if there is
    more."""
    lines = wrap(text, max(width, 1)) or [""]
    if len(lines) > rows:
        lines[rows - 1 :] = [cut_off(" ".join(lines[rows - 1 :]), width)]
    return "\n".join(lines)
