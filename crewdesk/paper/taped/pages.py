"""Pages that fill from the top down with blocks, none of which is split over two."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache

from crewdesk.paper.lettering import Lettering
from crewdesk.paper.pdf_writer import pdf_writer
from crewdesk.paper.taped.type_sizes import LEAD, TYPE, PaperSize

MARGIN = 36.0
"""Half an inch: inside what every printer reaches, with room for tape."""
_HEAD, _FOOT = 28.0, 42.0
BLACK, GREY, SOFT, BOARD = 0, 90, 150, 232
"""Shades of grey, from 0, black, to 255, white."""
_CUT_OFF = "..."
_HAIR = 0.01
"""A text that is wider than its room by so little fits all the same, in points."""

Place = tuple[float, float]


@dataclass(frozen=True)
class Strip:
    """So much of a page, from side to side; `draw` is given its top."""

    height: float
    draw: Callable[["Pages", float], None]


Block = Sequence[Strip]


def lead(size: float) -> float:
    """From a line of that size to the next."""
    return size * LEAD


class Pages:
    """A PDF that is filled page by page; places are points from the top left corner."""

    def __init__(self, paper: PaperSize, title: str, texts: Iterable[str], made: datetime) -> None:
        """`title` is what a reader calls the file, `texts` are all that the user wrote and
        that may stand on it."""
        self.paper = paper
        self.pdf = pdf_writer()(unit="pt", format=(paper.width, paper.height))
        self.pdf.set_auto_page_break(False)
        self.pdf.set_margin(0)
        self.pdf.set_creation_date(made.astimezone(UTC))
        self.pdf.set_creator("crewdesk")
        self.pdf.set_lang("en-US")
        self._lettering = Lettering(self.pdf, texts)
        self.pdf.set_title(self._lettering.shown(title))
        self.shown = cache(self._lettering.shown)
        self._widths = self._lettering.widths(self.pdf)
        self._ems = cache(self._ems_of)
        self.left, self.right = MARGIN, paper.width - MARGIN
        self.top, self.bottom = MARGIN + _HEAD, paper.height - MARGIN - _FOOT
        self.wide = self.right - self.left
        self._head, self._beside = "", ""
        self._foot: Sequence[str] = ()
        self._bare: set[int] = set()
        self.y = self.bottom

    def data(self) -> bytes:
        """The bytes of the PDF."""
        self._number()
        return bytes(self.pdf.output())

    def _number(self) -> None:
        """Put the page's number on each page, now that it is known how many there are."""
        size, every = TYPE.small, self.pdf.page_no()
        for number in range(1, every + 1):
            if number in self._bare:
                continue
            self.pdf.page = number
            self.pdf.current_font_is_set_on_page = False
            y = MARGIN + 0.95 * (TYPE.word - size)
            self.write(self.right, y, f"{number} of {every}", size, align="R", grey=GREY)

    # Pages

    def part(self, head: str, beside: str, foot: Sequence[str]) -> None:
        """Begin a part on a page of its own: what stands over and under each page of it."""
        self._head, self._beside, self._foot = head, beside, foot
        self.turn()

    def turn(self) -> None:
        """Begin a page."""
        self.pdf.add_page()
        self.y = self.top
        size = TYPE.word
        end = self.right - self.width_of("0000 of 0000", TYPE.small) - 8
        room = 0.55 * self.wide
        start = self.left + 14
        start += self.write(self.left, MARGIN, self._head, size, bold=True, room=room)
        self.write(end, MARGIN, self._beside, size, align="R", room=end - start)
        self.line((self.left, self.top - 8), (self.right, self.top - 8), thick=1)
        y = self.paper.height - MARGIN - len(self._foot) * lead(TYPE.small)
        for line in self._foot:
            self.write(self.left, y, line, TYPE.small, room=self.wide)
            y += lead(TYPE.small)

    def turn_bare(self) -> None:
        """Begin a page with nothing over or under what is put on it, nor a number."""
        self.pdf.add_page()
        self._bare.add(self.pdf.page_no())

    @property
    def room(self) -> float:
        """What is left of the page."""
        return self.bottom - self.y

    @property
    def page_room(self) -> float:
        """What a fresh page holds."""
        return self.bottom - self.top

    def put(self, block: Block, *, below: float = 0) -> None:
        """A block, on this page where it fits and else on the next; `below` it so much
        is left free."""
        if height_of(block) > self.room + _HAIR and self.y > self.top:
            self.turn()
        for strip in block:
            strip.draw(self, self.y)
            self.y += strip.height
        self.y += below

    # Letters

    def width_of(self, text: str, size: float, bold: bool = False) -> float:
        """How wide a line is in that size."""
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
        """One line whose top is `y`, from, about or up to `x`; cut off where it is wider
        than `room`. Gives its width."""
        if room is not None:
            text = self.fitted(text, size, room, bold)
        wide = self.width_of(text, size, bold)
        self.pdf.set_font(self._lettering.font, "B" if bold else "", size)
        self.pdf.set_text_color(grey)
        start = x - {"L": 0, "C": wide / 2, "R": wide}[align]
        self.pdf.text(start, y + 0.95 * size, self.shown(text))
        return wide

    def fitted(self, text: str, size: float, room: float, bold: bool = False) -> str:
        """The text, or its beginning with dots behind it, no wider than `room`."""
        if self.width_of(text, size, bold) <= room + _HAIR:
            return text
        dots = self.width_of(_CUT_OFF, size, bold)
        return text[: self._beginning(text, size, room - dots, bold)].rstrip() + _CUT_OFF

    def size_for(
        self, text: str, size: float, room: float, least: float, *, bold: bool = False
    ) -> float:
        """The size, or the largest below it in which a line fits, but no less than `least`."""
        wide = self.width_of(text, size, bold)
        return size if wide <= room else max(least, size * room / wide)

    def wrapped(self, text: str, size: float, room: float, *, bold: bool = False) -> list[str]:
        """The text in lines no wider than `room`; a word that is wider is broken."""
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
        """How many of its letters fit into the room, at least one."""
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
        """A straight line, dashed where `dash` is told."""
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
        """A closed shape, filled with a shade of grey where one is told, outlined where it
        is `thick`."""
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
        """A rectangle with its top left corner at (`x`, `y`); `how` as for a shape."""
        corners = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
        self.shape(corners, **how)  # type: ignore[arg-type]

    def hatch(self, corners: Sequence[Place], *, every: float = 4) -> None:
        """Slanted lines over an upright four-sided shape, told from its top left corner on
        with the clock."""
        (x1, y1), (x2, _), (x3, y3), (x4, _) = corners
        self._pen(0.5, GREY)
        count = int((y3 - y1) / every)
        for at in range(1, count + 1):
            y = y1 + at * every
            part, above = (y - y1) / (y3 - y1), max(y - 6, y1)
            over = (above - y1) / (y3 - y1)
            self.pdf.line(x1 + (x4 - x1) * part, y, x2 + (x3 - x2) * over, above)

    def box(self, x: float, y: float, size: float, *, ticked: bool = False) -> None:
        """A box to tick, as high as capitals of that size of type; ticked where it is done."""
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

    def _pen(self, thick: float, grey: int) -> None:
        self.pdf.set_line_width(thick)
        self.pdf.set_draw_color(grey)


def height_of(block: Block) -> float:
    """How high a block is."""
    return sum(strip.height for strip in block)


def gap(height: float) -> Strip:
    """Free room."""
    return Strip(height, lambda pages, y: None)
