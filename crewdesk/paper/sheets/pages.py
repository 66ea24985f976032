"""Pages filled from the top down with blocks that are never split."""

from collections.abc import Callable, Iterable, Sequence, Sized
from dataclasses import dataclass, replace
from datetime import UTC, datetime

from crewdesk.paper.pdf_writer import pdf_writer
from crewdesk.paper.sheets.pen import GREY, HAIR, TYPE, PaperSize, Pen, TypeSizes, lead

MARGIN = 36.0
"""Half an inch: inside what every printer reaches, with room for tape."""
_HEAD, _FOOT = 28.0, 42.0


FACE_HIGH = 40.0
"""The largest drawn height of a bottom or top, in points."""


@dataclass(frozen=True)
class Fit:
    """How large a beam is set: its type, how high a side is drawn in points, and whether every note
    is printed in full; `flat` is how high a bottom or top is drawn, `measured` whether drawings
    have dimension lines."""

    size: TypeSizes
    drawn: float
    whole: bool
    flat: float = FACE_HIGH
    measured: bool = False


FITS = (
    Fit(TYPE, 46, True, measured=True),
    Fit(TYPE, 24, True, measured=True),
    Fit(TYPE, 16, True, measured=True),
    Fit(TYPE, 16, True),
    Fit(TYPE, 16, True, 24),
    Fit(TYPE, 12, True, 24),
    Fit(replace(TYPE, word=12), 12, True, 24),
    Fit(TYPE.times(0.93), 22, True),
    Fit(TYPE.times(0.86), 20, True),
    Fit(TYPE.times(0.78), 16, True),
    Fit(TYPE.times(0.7), 14, True),
    Fit(TYPE.times(0.7), 12, True, 24),
    Fit(TYPE.times(0.86), 20, False),
    Fit(TYPE.times(0.7), 14, False),
    Fit(TYPE.times(0.6), 12, False, 24),
    Fit(TYPE.times(0.5), 10, False, 20),
)
"""The sizes, the largest first; the first that fits on a page is used."""


@dataclass(frozen=True)
class Strip:
    """A strip of a page, full width; `draw` gets its top."""

    height: float
    draw: Callable[["Pages", float], None]


Block = Sequence[Strip]


class Pages(Pen):
    """A PDF that is filled page by page; places are points from the top left corner."""

    def __init__(self, paper: PaperSize, title: str, texts: Iterable[str], made: datetime) -> None:
        """Start a PDF; `title` is its metadata title, `texts` are all of the user's texts that may
        be printed."""
        self.paper = paper
        super().__init__(pdf_writer()(unit="pt", format=(paper.width, paper.height)), texts)
        self.pdf.set_auto_page_break(False)
        self.pdf.set_margin(0)
        self.pdf.set_creation_date(made.astimezone(UTC))
        self.pdf.set_creator("crewdesk")
        self.pdf.set_lang("en-US")
        self.pdf.set_title(self.shown(title))
        self.left, self.right = MARGIN, paper.width - MARGIN
        self.top, self.bottom = MARGIN + _HEAD, paper.height - MARGIN - _FOOT
        self.wide = self.right - self.left
        self._head, self._beside = "", ""
        self._foot: Sequence[str] = ()
        self._bare: set[int] = set()
        self.y = self.bottom

    def data(self) -> bytes:
        """Return the bytes of the PDF."""
        self._number()
        return bytes(self.pdf.output())

    def _number(self) -> None:
        """Write each page's number, once the number of pages is known."""
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
        """Begin a part on a new page, with the text above and below each of its pages."""
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
        """Begin a page without head, foot or number."""
        self.pdf.add_page()
        self._bare.add(self.pdf.page_no())

    @property
    def room(self) -> float:
        """The space left on the page."""
        return self.bottom - self.y

    @property
    def page_room(self) -> float:
        """The space of an empty page."""
        return self.bottom - self.top

    def put(self, block: Block, *, below: float = 0) -> None:
        """Put a block on this page if it fits, else on the next; leave `below` free under it."""
        if height_of(block) > self.room + HAIR and self.y > self.top:
            self.turn()
        for strip in block:
            strip.draw(self, self.y)
            self.y += strip.height
        self.y += below


def height_of(block: Block) -> float:
    """Return the height of a block."""
    return sum(strip.height for strip in block)


def gap(height: float) -> Strip:
    """Return an empty strip."""
    return Strip(height, lambda pages, y: None)


def lines_strip(
    pages: Pages, text: str, size: float, *, bold: bool = False, indent: float = 0, first: str = ""
) -> Strip:
    """Return a paragraph over the whole width, `first` before its first line; further lines are
    indented."""
    start = indent + (pages.width_of(f"{first} ", size, True) if first else 0)
    lines = pages.wrapped(text, size, pages.wide - start, bold=bold)

    def draw(pages: Pages, y: float) -> None:
        if first:
            pages.write(pages.left + indent, y, first, size, bold=True)
        for at, line in enumerate(lines):
            pages.write(pages.left + start, y + at * lead(size), line, size, bold=bold)

    return Strip(len(lines) * lead(size), draw)


def put_list(pages: Pages, head: str, lines: Sequence[str], *, first: str) -> None:
    """Put lines under a heading, which stays with the first of them."""
    title = lines_strip(pages, head, TYPE.mark, bold=True)
    strips = [lines_strip(pages, one, TYPE.word, first=first) for one in lines]
    pages.put([title, strips[0]])
    for strip in strips[1:]:
        pages.put([strip])
    pages.put([gap(8)])


Figures = list[tuple[str, str]]
"""Figures: each one's name and shown value."""
_FEWEST = 4
"""The least number of columns in a row, so that figures align."""


def figures_strip(pages: Pages, rows: list[Figures], size: TypeSizes) -> Strip:
    """Return figures in large type under their names, side by side; a long name wraps."""
    cells = [
        [(pages.wrapped(name, size.word, _column(pages, row) - 6), figure) for name, figure in row]
        for row in rows
    ]
    names = [max((len(lines) for lines, _ in row), default=0) * lead(size.word) for row in cells]

    def draw(pages: Pages, y: float) -> None:
        for row, above in zip(cells, names, strict=True):
            each = _column(pages, row)
            for at, (lines, figure) in enumerate(row):
                x, top = pages.left + at * each, y + above - len(lines) * lead(size.word)
                for number, line in enumerate(lines):
                    pages.write(x, top + number * lead(size.word), line, size.word, grey=GREY)
                fits = pages.size_for(figure, size.mark, each - 6, size.small, bold=True)
                below = y + above + 0.95 * (size.mark - fits)
                pages.write(x, below, figure, fits, bold=True)
            y += above + lead(size.mark)

    return Strip(sum(names) + len(rows) * lead(size.mark), draw)


def _column(pages: Pages, row: Sized) -> float:
    """Return the width of each figure's column, in points."""
    return pages.wide / max(len(row), _FEWEST)
