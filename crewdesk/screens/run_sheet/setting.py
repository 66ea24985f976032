"""The figures of a group's setting, tall, side by side."""

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.widgets import Static

from crewdesk.paper.plain import plain
from crewdesk.screens.parts.figure import Figure, SettingBlock, SettingBlocks, dots

_GAP = 4
"""Columns between two figures if there is room."""


class Setting(SettingBlocks):
    """The figures of the group under the cursor; a word, as which face is down, is a line."""

    DEFAULT_CSS = """
    Setting { width: auto; height: 5; padding: 0 1; }
    """

    async def lay_out(self, figures: Sequence[Figure], room: int) -> None:
        """Show other figures, twice as large where they go into that many columns so. Where they
        don't go into the window, a word is left out: the notes say it, too."""
        if across(figures, 1) > self.screen.size.width:
            figures = [one for one in figures if not one.value.isalpha()]
        if tuple(figures) != self.figures:
            self.figures = tuple(figures)
            await self.remove_children()
            await self.mount_all(
                SettingWord(one) if one.value.isalpha() else SettingBlock(one)
                for one in self.figures
            )
        twice = across(self.figures, 2) <= room
        close = across(self.figures, 1) > self.screen.size.width
        for block in self.query(SettingBlock):
            block.styles.width = _wide(block.figure, 1 + twice)
            block.styles.margin = (0, 2 if close else _GAP, 0, 0)


def _wide(figure: Figure, scale: int) -> int:
    """Return the columns of a figure whose dots are `scale` columns wide."""
    name, value, note = map(plain, figure)
    across = 0 if value.isalpha() else scale * len(dots(value)[0])
    return max(len(name), len(value), across, len(note))


def across(figures: Sequence[Figure], scale: int) -> int:
    """Return the columns of figures side by side."""
    return sum(_wide(one, scale) + _GAP for one in figures) + 2


class SettingWord(SettingBlock):
    """A block whose figure is a word."""

    DEFAULT_CSS = """
    SettingWord > .word { color: $ready; text-style: bold; height: 3; width: 100%;
                          content-align: left middle; }
    """

    def compose(self) -> ComposeResult:
        name, value, note = map(plain, self.figure)
        yield Static(name, classes="name", markup=False)
        yield Static(value, classes="word", markup=False)
        if note:
            yield Static(note, classes="note", markup=False)


def ordered(figures: Sequence[Figure]) -> list[Figure]:
    """Return a setting's figures in the order in which they are set: the fence or stop, then the
    blade, then how the board lies."""

    def turn(one: Figure) -> int:
        return 2 if one.value.isalpha() else 0 if one.note.startswith(("in", "mm")) else 1

    return sorted(figures, key=turn)
