"""Write and draw on a page, in black and gray; places are points from its top left corner."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from crewdesk.paper.pdf_writer import Lettering

if TYPE_CHECKING:
    from fpdf import FPDF

INCH = 72.0
MM = INCH / 25.4


@dataclass(frozen=True)
class PaperSize:
    """A sheet of paper, upright; `name` as the user chooses it."""

    name: str
    width: float
    height: float


PAPERS = {
    size.name: size
    for size in (
        PaperSize("letter", 8.5 * INCH, 11 * INCH),
        PaperSize("A4", 210 * MM, 297 * MM),
    )
}
"""Letter is size A of ANSI/ASME Y14.1, A4 is of ISO 216."""


@dataclass(frozen=True)
class TypeSizes:
    """Sizes of type: `mark` for marks and settings, `head` above them, `word` for the text beside,
    `small` for secondary text."""

    head: float = 20
    mark: float = 17
    word: float = 13
    small: float = 10

    def times(self, factor: float) -> "TypeSizes":
        """Return all but the small size, scaled."""
        return TypeSizes(self.head * factor, self.mark * factor, self.word * factor, self.small)


TYPE = TypeSizes()
LEAD = 1.28
"""The line height, in sizes of the type."""


BLACK, GREY, BOARD = 0, 90, 232
"""Shades of gray, from 0, black, to 255, white."""
HAIR = 0.01
"""The excess that still counts as fitting, in points."""
_CUT_OFF = "..."
_HEAD = 6.0
"""The length of a dimension line's head, in points."""

Place = tuple[float, float]


def lead(size: float) -> float:
    """Return the line height of a size."""
    return size * LEAD


class Pen:
    """Writes on a PDF's current page."""

    def __init__(self, pdf: "FPDF", texts: Iterable[str]) -> None:
        """Set the pen up; `texts` are all of the user's texts that may be written."""
        self.pdf = pdf
        self._lettering = Lettering(pdf, texts)
        self.shown = cache(self._lettering.shown)
        self._widths = self._lettering.widths(pdf)
        self._ems = cache(self._ems_of)

    # Letters

    def width_of(self, text: str, size: float, bold: bool = False) -> float:
        """Return the width of a line in that size."""
        return self._ems(text, bold) * size / 1000

    def _ems_of(self, text: str, bold: bool) -> float:
        return self._widths[bold](self.shown(text))

    def write(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        *,
        bold: bool = False,
        grey: int = BLACK,
        align: str = "L",
        room: float | None = None,
    ) -> float:
        """Write one line whose top is `y`, from, around or up to `x`; cut off beyond `room`. Return
        its width."""
        if room is not None:
            text = self.fitted(text, size, room, bold)
        wide = self.width_of(text, size, bold)
        self.pdf.set_font(self._lettering.font, "B" if bold else "", size)
        self.pdf.set_text_color(grey)
        start = x - {"L": 0, "C": wide / 2, "R": wide}[align]
        self.pdf.text(start, y + 0.95 * size, self.shown(text))
        return wide

    def fitted(self, text: str, size: float, room: float, bold: bool = False) -> str:
        """Return the text, or its beginning with dots, no wider than `room`."""
        if self.width_of(text, size, bold) <= room + HAIR:
            return text
        dots = self.width_of(_CUT_OFF, size, bold)
        return text[: self._beginning(text, size, room - dots, bold)].rstrip() + _CUT_OFF

    def size_for(
        self, text: str, size: float, room: float, least: float, *, bold: bool = False
    ) -> float:
        """Return the size, or the largest smaller one in which a line fits, but at least
        `least`."""
        wide = self.width_of(text, size, bold)
        return size if wide <= room else max(least, size * room / wide)

    def wrapped(self, text: str, size: float, room: float, *, bold: bool = False) -> list[str]:
        """Return the text in lines no wider than `room`; a wider word is broken."""
        lines, taken = [""], 0.0
        space = self.width_of(" ", size, bold)
        for word in text.split():
            wide = self.width_of(word, size, bold)
            if not lines[-1] or taken + space + wide <= room:
                lines[-1] = f"{lines[-1]} {word}".lstrip()
                taken += wide if taken == 0 else space + wide
            else:
                lines.append(word)
                taken = wide
            while taken > room and len(lines[-1]) > 1:
                kept = self._beginning(lines[-1], size, room, bold)
                lines[-1:] = [lines[-1][:kept], lines[-1][kept:]]
                taken = self.width_of(lines[-1], size, bold)
        return lines

    def _beginning(self, text: str, size: float, room: float, bold: bool) -> int:
        """Return how many of its letters fit, at least one."""
        wide = 0.0
        for place, letter in enumerate(text):
            wide += self.width_of(letter, size, bold)
            if wide > room:
                return max(1, place)
        return len(text)

    # Lines and shapes

    def line(
        self, start: Place, end: Place, *, thick: float = 0.6, dash: float = 0, grey: int = BLACK
    ) -> None:
        """Draw a straight line, dashed if `dash` is given."""
        self._pen(thick, grey)
        if dash:
            self.pdf.set_dash_pattern(dash=dash, gap=dash)
        self.pdf.line(*start, *end)
        if dash:
            self.pdf.set_dash_pattern()

    def shape(
        self, corners: Sequence[Place], *, fill: int | None = None, thick: float = 0.9,
        dash: float = 0, grey: int = BLACK,
    ) -> None:  # fmt: skip
        """Draw a closed shape, filled with a shade of gray if given, outlined if `thick`."""
        self._pen(thick, grey)
        if fill is not None:
            self.pdf.set_fill_color(fill)
        if dash:
            self.pdf.set_dash_pattern(dash=dash, gap=dash)
        style = ("D" if thick else "") + ("" if fill is None else "F")
        self.pdf.polygon(list(corners), style=style)
        if dash:
            self.pdf.set_dash_pattern()

    def block(self, x: float, y: float, wide: float, high: float, **how: float) -> None:
        """Draw a rectangle with its top left corner at (`x`, `y`); `how` as for a shape."""
        corners = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
        self.shape(corners, **how)  # type: ignore[arg-type]

    def hatch(self, corners: Sequence[Place], *, every: float = 4) -> None:
        """Draw slanted lines over a four-sided shape, its corners clockwise from the top left."""
        (x1, y1), (x2, _), (x3, y3), (x4, _) = corners
        self._pen(0.5, GREY)
        count = int((y3 - y1) / every)
        for at in range(1, count + 1):
            y = y1 + at * every
            part, above = (y - y1) / (y3 - y1), max(y - 6, y1)
            over = (above - y1) / (y3 - y1)
            self.pdf.line(x1 + (x4 - x1) * part, y, x2 + (x3 - x2) * over, above)

    def box(self, x: float, y: float, size: float, *, ticked: bool = False) -> None:
        """Draw a check box as high as capitals of that size; checked if done."""
        side = 0.82 * size
        top = y + 0.2 * size
        self.block(x, top, side, side, thick=1.1)
        if ticked:
            self._pen(1.6, BLACK)
            self.pdf.polyline(
                [
                    (x + 0.18 * side, top + 0.52 * side),
                    (x + 0.42 * side, top + 0.78 * side),
                    (x + 0.84 * side, top + 0.2 * side),
                ]
            )

    def dimension(self, x1: float, x2: float, y: float, text: str, size: float) -> None:
        """Draw a dimension line from `x1` to `x2` at `y`, with heads and short lines across its
        ends, the text in its middle; nothing without room for the heads."""
        wide = self.width_of(text, size, True)
        middle = (x1 + x2) / 2
        left, right = middle - wide / 2 - 3, middle + wide / 2 + 3
        if left - x1 < 2 * _HEAD:
            return
        for x, inside, way in ((x1, left, 1), (x2, right, -1)):
            self.line((x, y), (inside, y), thick=0.5)
            self.line((x, y - 4), (x, y + 4), thick=0.5)
            head = ((x, y), (x + way * _HEAD, y - 2), (x + way * _HEAD, y + 2))
            self.shape(head, fill=BLACK, thick=0)
        self.write(middle, y - 0.6 * size, text, size, bold=True, align="C")

    def _pen(self, thick: float, grey: int) -> None:
        self.pdf.set_line_width(thick)
        self.pdf.set_draw_color(grey)
