"""Figures as large as the room for them allows, to be read from a ladder."""

from rich.text import Text
from textual.widget import Widget

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
    ",": ". . . # #",
    " ": ".. .. .. .. ..",
    "m": "..... ..... ##### #.#.# #.#.#",
    "c": "... ... ### #.. ###",
    "f": ".## .#. ### .#. .#.",
    "t": ".#. ### .#. .#. .##",
    "i": "# . # # #",
    "n": "... ... ### #.# #.#",
    "o": "... ... ### #.# ###",
    "u": "... ... #.# #.# ###",
}
"""Each sign in five rows of dots, as wide as it is."""
ROWS = 5
SCALES = ((6, 2), (4, 2), (3, 1), (2, 1), (1, 1))
"""Columns and rows to a dot; smaller than the last, two dots stand in one row."""
_HALVES = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def dots(text: str) -> list[str]:
    """A text's rows of dots, ``#`` where there is ink, a column between two signs."""
    signs = [_DOTS.get(sign, _DOTS["-"]).split(" ") for sign in text.lower()]
    return [".".join(sign[row] for sign in signs) for row in range(ROWS)]


def big(text: str, columns: int, rows: int) -> list[str]:
    """A text in lines of blocks, as large as fits; the text itself where nothing larger does."""
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
    return [text[:columns]]


class BigFigures(Widget):
    """A text in large figures."""

    DEFAULT_CSS = """
    BigFigures { height: 5; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._text = ""

    @property
    def text(self) -> str:
        """What is shown."""
        return self._text

    def show(self, text: str) -> None:
        """Show another text."""
        if text != self._text:
            self._text = text
            self.refresh()

    def render(self) -> Text:
        """The figures in the room there is."""
        lines = big(self._text, self.content_size.width, self.content_size.height)
        return Text("\n".join(lines), no_wrap=True)
