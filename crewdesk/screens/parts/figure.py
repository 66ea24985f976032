"""Tall figures, readable from a step away, and setting blocks made of them."""

from collections.abc import Sequence
from typing import NamedTuple

from rich.text import Text
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.paper.plain import plain
from crewdesk.screens.parts.fitted import cut_off

_DOTS = {
    "0": "### #.# #.# #.# ###",
    "1": ".#. ##. .#. .#. ###",
    "2": "### ..# ### #.. ###",
    "3": "### ..# ### ..# ###",
    "4": "#.# #.# ### ..# ..#",
    "5": "### #.. ### ..# ###",
    "6": "### #.. ### #.# ###",
    "7": "### ..# ..# ..# ..#",
    "8": "### #.# ### #.# ###",
    "9": "### #.# ### ..# ###",
    "/": "..# ..# .#. #.. #..",
    "'": "# # . . .",
    '"': "#.# #.# ... ... ...",
    "-": "... ... ### ... ...",
    "+": "... .#. ### .#. ...",
    ".": ". . . . #",
    ",": ".. .. .. .# #.",
    " ": ".. .. .. .. ..",
    "m": "#...# ##.## #.#.# #...# #...#",
    "c": "### #.. #.. #.. ###",
    "f": "### #.. ##. #.. #..",
    "t": "### .#. .#. .#. .#.",
    "i": "### .#. .#. .#. ###",
    "n": "##. #.# #.# #.# #.#",
    "o": "### #.# #.# #.# ###",
    "u": "#.# #.# #.# #.# ###",
    "\u00b0": "## ## .. .. ..",
    "$": ".## ##. .## ##. .#.",
    ":": ". # . # .",
    "h": "#.. #.. ### #.# #.#",
    "a": ".#. #.# ### #.# #.#",
    "b": "##. #.# ##. #.# ##.",
    "d": "##. #.# #.# #.# ##.",
    "e": "### #.. ##. #.. ###",
    "g": "### #.. #.# #.# ###",
    "j": "..# ..# ..# #.# ###",
    "k": "#.# #.# ##. #.# #.#",
    "l": "#.. #.. #.. #.. ###",
    "p": "### #.# ### #.. #..",
    "q": "### #.# #.# ### ..#",
    "r": "##. #.# ##. #.# #.#",
    "s": "### #.. ### ..# ###",
    "v": "#.# #.# #.# #.# .#.",
    "w": "#.#.# #.#.# #.#.# #.#.# .#.#.",
    "x": "#.# #.# .#. #.# #.#",
    "y": "#.# #.# .#. .#. .#.",
    "z": "### ..# .#. #.. ###",
}
"""Each character in five rows of dots, as wide as needed."""
ROWS = 5
SCALES = ((6, 2), (4, 2), (3, 1), (2, 1), (1, 1))
"""Columns and rows per dot; below the smallest, two dots share one row."""
_HALVES = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def dots(text: str) -> list[str]:
    """Return a text's rows of dots, ``#`` for ink, a column between two characters."""
    signs = [_DOTS.get(sign, _DOTS["-"]).split(" ") for sign in text.lower()]
    return [".".join(sign[row] for sign in signs) for row in range(ROWS)]


def big(text: str, columns: int, rows: int) -> list[str]:
    """Return a text in lines of blocks, as large as fits; the text itself if none fits, or if a
    letter has no dots."""
    if not all(sign in _DOTS or sign.isascii() for sign in text.lower()):
        return [cut_off(text, columns)]
    drawn = dots(text)
    wide = len(drawn[0])
    for across, down in SCALES:
        if wide * across <= columns and ROWS * down <= rows:
            lines = ["".join((" ", "█")[dot == "#"] * across for dot in row) for row in drawn]
            return [line for line in lines for _ in range(down)]
    if wide <= columns and rows >= (ROWS + 1) // 2:
        pairs = zip(drawn[::2], [*drawn[1::2], "." * wide], strict=True)
        return [
            "".join(_HALVES[a == "#", b == "#"] for a, b in zip(upper, lower, strict=True))
            for upper, lower in pairs
        ]
    return [cut_off(text, columns)]


class BigFigures(Widget):
    """A text in large figures."""

    DEFAULT_CSS = """
    BigFigures { height: 5; }
    """

    def __init__(self, text: str = "", *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._text = text

    @property
    def text(self) -> str:
        """The shown text."""
        return self._text

    def show(self, text: str) -> None:
        """Show another text."""
        if text != self._text:
            self._text = text
            self.refresh()

    def render(self) -> Text:
        """Return the figures in the room there is."""
        lines = big(self._text, self.content_size.width, self.content_size.height)
        return Text("\n".join(lines), no_wrap=True)


class Figure(NamedTuple):
    """A figure to set or to mark: its name, its shown value, and a note."""

    name: str
    value: str
    note: str = ""


class SettingBlock(Vertical):
    """One figure to set a machine to, or to mark a board with: its name above, the figure tall in
    the bright ink, a note below."""

    DEFAULT_CSS = """
    SettingBlock { width: auto; height: auto; margin-right: 2; }
    SettingBlock > .name { color: $muted; height: 1; width: 100%; text-wrap: nowrap;
                           text-overflow: ellipsis; }
    SettingBlock > BigFigures { color: $ready; height: 3; width: 100%; }
    SettingBlock > .note { color: $muted; height: 1; width: 100%; text-wrap: nowrap;
                           text-overflow: ellipsis; }
    """

    def __init__(self, figure: Figure) -> None:
        super().__init__()
        self.figure = figure

    def compose(self) -> ComposeResult:
        name, value, note = map(plain, self.figure)
        yield Static(name, classes="name", markup=False)
        yield BigFigures(value)
        if note:
            yield Static(note, classes="note", markup=False)

    def on_mount(self) -> None:
        """Make it as wide as the widest of its three lines."""
        name, value, note = map(plain, self.figure)
        self.styles.width = max(len(name), len(dots(value)[0]), len(note))


class SettingBlocks(Horizontal):
    """The figures of one setting, side by side."""

    DEFAULT_CSS = """
    SettingBlocks { height: auto; padding: 0 1; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self.figures: tuple[Figure, ...] = ()

    async def show(self, figures: Sequence[Figure]) -> None:
        """Show other figures."""
        if tuple(figures) != self.figures:
            self.figures = tuple(figures)
            await self.remove_children()
            await self.mount_all(SettingBlock(one) for one in self.figures)
