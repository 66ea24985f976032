"""A document for a customer: its parts, for screen and paper alike, and its PDF, on one page if
possible."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from textwrap import wrap

from crewdesk.job.books.ledger import Letterhead
from crewdesk.paper.pdf_writer import Lettering, pdf_writer
from crewdesk.paper.plain import plain


@dataclass(frozen=True)
class Row:
    """A line of a document; `amount` is formatted money, a few words, or ""."""

    text: str
    amount: str = ""
    strong: bool = False


@dataclass(frozen=True)
class Part:
    """Rows under a heading."""

    heading: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Letter:
    """A document.

    `title` is its kind; `facts` are beside the customer's address; `totals` close the parts;
    `notes` are paragraphs below. `stamp` is a word across the page, such as PREVIEW. `due` is the
    amount to pay and by when, below the title; "" for none. `due` is the amount to pay and by when,
    below the title; "" for none.
    """

    head: Letterhead
    customer: str
    title: str
    facts: tuple[tuple[str, str], ...]
    parts: tuple[Part, ...]
    totals: tuple[Row, ...]
    notes: tuple[str, ...] = ()
    stamp: str = ""
    signing: bool = False
    due: str = ""


def money(value: Decimal) -> str:
    """Return an amount as shown: ``$1,250.00``, ``-$40.00``."""
    return f"-${-value:,.2f}" if value < 0 else f"${value:,.2f}"


def address_lines(text: str) -> tuple[str, ...]:
    """Return the lines of an address, made plain, without empty ones."""
    return tuple(plain(line) for line in text.splitlines() if line.strip())


def head_lines(head: Letterhead) -> tuple[str, ...]:
    """Return the lines under the business's name."""
    licence = f"License {plain(head.licence)}" if head.licence else ""
    reach = "   ".join(plain(one) for one in (head.phone, head.email) if one)
    return tuple(line for line in (*address_lines(head.address), reach, licence) if line)


WIDE = 72
"""The usual width of a document as plain text, in columns."""
NO_NAME = "(no business name is set)"
"""Shown if the business has no name yet."""
_NARROWEST, _MONEY, _LABEL = 34, 16, 14
_BY, _ON = "Accepted by: ", "   Date: "


def letter_lines(letter: Letter, wide: int = WIDE) -> tuple[str, ...]:
    """Return the document as plain text in `width` columns, amounts right-aligned."""
    wide = max(wide, _NARROWEST)
    head = letter.head
    title = plain(letter.title)
    facts = [f"{label + ':':<{_LABEL}}{plain(text)}" for label, text in letter.facts]
    lines = [
        *_wrapped((plain(head.name) or NO_NAME, *head_lines(head)), wide),
        "",
        f"{title}  ({letter.stamp})" if letter.stamp else title,
        *([plain(letter.due)] if letter.due else []),
        "",
        *_wrapped(facts, wide, _LABEL),
        "",
        *_wrapped(
            (
                plain(letter.customer) or "(no customer)",
                *address_lines(head.customer_address),
            ),
            wide,
        ),
    ]
    for part in letter.parts:
        lines += ["", *([plain(part.heading)] if part.heading else [])]
        lines += [line for row in part.rows for line in _row_lines(row, wide)]
    if letter.totals:
        lines += ["-" * wide, *(line for row in letter.totals for line in _row_lines(row, wide))]
    for note in letter.notes:
        lines += ["", *_wrapped((plain(line) for line in note.splitlines()), wide)]
    if letter.signing:
        room = min(wide, WIDE) - len(_BY) - len(_ON)
        lines += ["", f"{_BY}{'_' * (room * 2 // 3)}{_ON}{'_' * (room - room * 2 // 3)}"]
    return tuple(lines)


def _wrapped(lines: Iterable[str], wide: int, indent: int = 0) -> list[str]:
    return [one for line in lines for one in wrap(line, wide, subsequent_indent=" " * indent)]


def _row_lines(row: Row, wide: int) -> list[str]:
    room = wide - max(_MONEY, len(row.amount) + 1)
    texts = wrap(plain(row.text), room) or [""]
    return [*texts[:-1], f"{texts[-1]:<{room}}{row.amount:>{wide - room}}".rstrip()]


INK, SOFT, RULE, TINT = (30, 34, 38), (104, 110, 116), (176, 160, 136), (246, 242, 235)
MARGIN, AMOUNT = 20.0, 38.0


def letter_pdf(
    letter: Letter, made: datetime, *, paper: str = "letter", fonts: Path | None = None
) -> bytes:
    """Return the PDF's bytes.

    made: its creation time. paper: letter or A4. fonts: the folder of the font for non-Latin
    letters (see `Lettering`).
    """
    page = _Page(letter, made, paper, fonts)
    if page.pdf.page_no() > 1:
        closer = _Page(letter, made, paper, fonts, gap=0.5)
        page = closer if closer.pdf.page_no() < page.pdf.page_no() else page
    return bytes(page.pdf.output())


class _Page:
    """A document being laid out, from the top down."""

    def __init__(
        self, letter: Letter, made: datetime, paper: str, fonts: Path | None, *, gap: float = 1.3
    ) -> None:
        """Set the page up; `gap` is the space above and below a row, in millimeters."""
        self.letter, self.gap = letter, gap
        page = self

        class Numbered(pdf_writer()):  # type: ignore[misc]
            """Adds the page's number at the foot if there are several."""

            def footer(self) -> None:
                page.footer()

        self.pdf = Numbered(format=paper)
        lettering = Lettering(self.pdf, _texts(letter), fonts)
        self.font, self.shown = lettering.font, lettering.shown
        self.pdf.c_margin = 0
        self.pdf.set_margins(MARGIN, 18, MARGIN)
        self.pdf.set_auto_page_break(True, margin=20)
        self.pdf.set_creation_date(made.astimezone(UTC))
        self.pdf.set_title(self.shown(letter.title))
        self.pdf.set_author(self.shown(letter.head.name))
        self.pdf.set_creator("crewdesk")
        self.pdf.add_page()
        self.wide = self.pdf.epw
        self._lay()

    def put(
        self,
        text: str,
        *,
        size: float = 9.5,
        bold: bool = False,
        ink: tuple[int, int, int] = INK,
        wide: float = 0,
        align: str = "L",
        x: float | None = None,
        lead: float = 1.32,
    ) -> None:
        """Write a paragraph from `x` on; the next one goes below it."""
        self.pdf.set_font(self.font, "B" if bold else "", size)
        self.pdf.set_text_color(*ink)
        if x is not None:
            self.pdf.set_x(x)
        self.pdf.multi_cell(
            wide, size * 0.3528 * lead, self.shown(text), align=align, new_x="LMARGIN", new_y="NEXT"
        )

    def rule(self, *, thick: float = 0.25) -> None:
        """Draw a line across."""
        self.pdf.set_draw_color(*RULE)
        self.pdf.set_line_width(thick)
        y = self.pdf.get_y()
        self.pdf.line(MARGIN, y, MARGIN + self.wide, y)

    def _lay(self) -> None:
        pdf, letter = self.pdf, self.letter
        half = self.wide / 2
        top = pdf.get_y()
        if letter.head.name:
            self.put(letter.head.name, size=17, bold=True, wide=half + 15)
        else:
            self.put(NO_NAME, ink=SOFT, wide=half + 15)
        for line in head_lines(letter.head):
            self.put(line, size=8.5, ink=SOFT, wide=half + 15)
        left = pdf.get_y()
        pdf.set_y(top)
        self.put(letter.title, size=17, align="R", x=MARGIN + half + 15, wide=half - 15)
        if letter.due:
            self.put(letter.due, size=10.5, bold=True, align="R", x=MARGIN + half, wide=half)
        if letter.stamp:
            self.put(letter.stamp, size=8.5, bold=True, ink=(160, 70, 40), align="R",
                     x=MARGIN + half, wide=half)  # fmt: skip
        pdf.set_y(max(left, pdf.get_y()) + 3)
        self.rule(thick=0.6)
        pdf.set_y(pdf.get_y() + 5)
        self._customer_and_facts(half)
        for part in letter.parts:
            self._part(part)
        self._totals()
        self._notes()

    def _customer_and_facts(self, half: float) -> None:
        pdf, letter = self.pdf, self.letter
        top = pdf.get_y()
        self.put("For", size=8, ink=SOFT, wide=half)
        self.put(letter.customer or "(no customer)", size=10.5, bold=True, wide=half - 5)
        for line in address_lines(letter.head.customer_address):
            self.put(line, wide=half - 5)
        left = pdf.get_y()
        pdf.set_y(top)
        for label, text in letter.facts:
            y = pdf.get_y()
            self.put(label, size=8.5, ink=SOFT, x=MARGIN + half, wide=26, lead=1.5)
            pdf.set_y(y)
            self.put(text, size=9.5, x=MARGIN + half + 26, wide=half - 26, lead=1.35)
        pdf.set_y(max(left, pdf.get_y()) + 6)

    def _part(self, part: Part) -> None:
        pdf = self.pdf
        if part.heading:
            if pdf.will_page_break(18):
                pdf.add_page()
            self.put(part.heading, size=9, bold=True, ink=SOFT)
        pdf.set_y(pdf.get_y() + 0.8)
        self.rule()
        for row in part.rows:
            self._row(row)
        pdf.set_y(pdf.get_y() + 5)

    def _row(self, row: Row, *, size: float = 9.5) -> None:
        pdf = self.pdf
        room = self.wide - AMOUNT if row.amount else self.wide
        pdf.set_font(self.font, "B" if row.strong else "", size)
        lines = pdf.multi_cell(room, 4, self.shown(row.text), dry_run=True, output="LINES")
        assert isinstance(lines, list)
        tall = len(lines) * size * 0.3528 * 1.32 + 2 * self.gap
        if pdf.will_page_break(tall):
            pdf.add_page()
        y = pdf.get_y() + self.gap
        pdf.set_y(y)
        self.put(row.text, size=size, bold=row.strong, wide=room)
        below = pdf.get_y()
        if row.amount:
            pdf.set_y(y)
            self.put(row.amount, size=size, bold=row.strong, align="R",
                     x=MARGIN + room, wide=AMOUNT)  # fmt: skip
        pdf.set_y(max(below, y) + self.gap)
        pdf.set_draw_color(226, 220, 210)
        pdf.set_line_width(0.15)
        pdf.line(MARGIN, pdf.get_y(), MARGIN + self.wide, pdf.get_y())

    def _totals(self) -> None:
        pdf, rows = self.pdf, self.letter.totals
        if not rows:
            return
        tall = sum(7.6 if row.strong else 5.6 for row in rows)
        if pdf.will_page_break(tall + 2):
            pdf.add_page()
        from_ = MARGIN + self.wide * 0.48
        for row in rows:
            size, height = (11.0, 7.6) if row.strong else (9.5, 5.6)
            y = pdf.get_y()
            if row.strong:
                pdf.set_fill_color(*TINT)
                pdf.rect(from_ - 3, y, MARGIN + self.wide - from_ + 3, height, style="F")
            pdf.set_font(self.font, "B" if row.strong else "", size)
            pdf.set_text_color(*INK)
            pdf.set_xy(from_, y)
            pdf.cell(self.wide * 0.52 - AMOUNT, height, self.shown(row.text))
            pdf.cell(AMOUNT, height, self.shown(row.amount), align="R")
            pdf.set_y(y + height)
        pdf.set_y(pdf.get_y() + 6)

    def _notes(self) -> None:
        pdf = self.pdf
        for note in self.letter.notes:
            for line in note.splitlines():
                self.put(line, size=8.5, ink=SOFT)
            pdf.set_y(pdf.get_y() + 2)
        if self.letter.signing:
            if pdf.will_page_break(22):
                pdf.add_page()
            pdf.set_y(pdf.get_y() + 12)
            y, half = pdf.get_y(), self.wide / 2
            pdf.set_draw_color(*INK)
            pdf.set_line_width(0.2)
            pdf.line(MARGIN, y, MARGIN + half, y)
            pdf.line(MARGIN + half + 10, y, MARGIN + self.wide, y)
            pdf.set_y(y + 1)
            self.put("Accepted by", size=8, ink=SOFT, wide=half)
            pdf.set_y(y + 1)
            self.put("Date", size=8, ink=SOFT, x=MARGIN + half + 10, wide=half - 10)

    def footer(self) -> None:
        """Write the business, the title and the page's number, from the second page on."""
        if self.pdf.page_no() == 1:
            return
        self.pdf.set_y(-14)
        self.put(f"{self.letter.title}, page {self.pdf.page_no()}", size=8, ink=SOFT, align="R")


def _texts(letter: Letter) -> list[str]:
    head = letter.head
    rows = [row for part in letter.parts for row in part.rows] + list(letter.totals)
    return [
        letter.title,
        letter.due,
        letter.customer,
        head.name,
        plain(head.customer_address),
        *head_lines(head),
        *(text for _, text in letter.facts),
        *(part.heading for part in letter.parts),
        *(row.text + row.amount for row in rows),
        *(plain(note) for note in letter.notes),
    ]
