"""A letter to a customer: its parts, the same for the screen and for paper."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from textwrap import wrap

from crewdesk.job.books.ledger import Letterhead
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
    licence = f"License {plain(head.licence)}" if head.licence else ""
    reach = "   ".join(plain(one) for one in (head.phone, head.email) if one)
    return tuple(line for line in (*address_lines(head.address), reach, licence) if line)


WIDE = 72
"""Columns of a letter as plain text, where nothing says otherwise."""
_NARROWEST, _MONEY, _LABEL = 34, 16, 14
_BY, _ON = "Accepted by: ", "   Date: "


def letter_lines(letter: Letter, wide: int = WIDE) -> tuple[str, ...]:
    """The letter as plain text in so many columns, amounts in the last of them."""
    wide = max(wide, _NARROWEST)
    head = letter.head
    title = plain(letter.title)
    facts = [f"{label + ':':<{_LABEL}}{plain(text)}" for label, text in letter.facts]
    lines = [
        *_wrapped((plain(head.name) or "(no business name is set)", *head_lines(head)), wide),
        "",
        f"{title}  ({letter.stamp})" if letter.stamp else title,
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
