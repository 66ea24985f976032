"""A letter to a customer: its parts, the same for the screen and for paper."""

from dataclasses import dataclass
from decimal import Decimal
from textwrap import wrap

from crewdesk.job.books.trail import Letterhead
from crewdesk.paper.plain import plain


@dataclass(frozen=True)
class Row:
    """A line of a letter; `amount` is money already written, or a few words, or nothing."""

    text: str
    amount: str = ""
    strong: bool = False


@dataclass(frozen=True)
class Part:
    """Rows under a heading of their own."""

    heading: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Letter:
    """`title` says what it is; `facts` stand beside the customer's address; `totals` close
    the parts; `notes` are paragraphs below. `stamp` is a word across, as PREVIEW."""

    head: Letterhead
    customer: str
    title: str
    facts: tuple[tuple[str, str], ...]
    parts: tuple[Part, ...]
    totals: tuple[Row, ...]
    notes: tuple[str, ...] = ()
    stamp: str = ""
    signing: bool = False


def money(value: Decimal) -> str:
    """An amount as it is shown: ``$1,250.00``, ``-$40.00``."""
    return f"-${-value:,.2f}" if value < 0 else f"${value:,.2f}"


def address_lines(text: str) -> tuple[str, ...]:
    """The lines of an address, each harmless, without empty ones."""
    return tuple(plain(line) for line in text.splitlines() if line.strip())


def head_lines(head: Letterhead) -> tuple[str, ...]:
    """What stands under the shop's name."""
    licence = f"Licence {plain(head.licence)}" if head.licence else ""
    reach = "   ".join(plain(one) for one in (head.phone, head.email) if one)
    return tuple(line for line in (*address_lines(head.address), reach, licence) if line)


WIDE = 72


def letter_lines(letter: Letter) -> tuple[str, ...]:
    """The letter as plain text, amounts in one column."""
    head = letter.head
    lines = [plain(head.name) or "(no name of the shop is set)", *head_lines(head), ""]
    title = plain(letter.title)
    lines += [f"{title}  ({letter.stamp})" if letter.stamp else title, ""]
    lines += [f"{label + ':':<14}{plain(text)}" for label, text in letter.facts]
    lines += ["", plain(letter.customer) or "(no customer named)"]
    lines += address_lines(head.customer_address)
    for part in letter.parts:
        lines += ["", *([plain(part.heading)] if part.heading else [])]
        lines += [line for row in part.rows for line in _row_lines(row)]
    if letter.totals:
        lines += ["-" * WIDE, *(line for row in letter.totals for line in _row_lines(row))]
    for note in letter.notes:
        lines += ["", *(one for line in note.splitlines() for one in wrap(plain(line), WIDE))]
    if letter.signing:
        lines += ["", "Accepted by: ______________________________   Date: ________________"]
    return tuple(lines)


def _row_lines(row: Row) -> list[str]:
    room = WIDE - 16
    texts = wrap(plain(row.text), room) or [""]
    return [*texts[:-1], f"{texts[-1]:<{room}}{row.amount:>16}".rstrip()]
