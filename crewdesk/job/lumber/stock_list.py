"""Add, change and remove the shop's boards from typed text, and import a list."""

import re
from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from typing import Any

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import ABSENT, Change, Doc, edit
from crewdesk.job.lumber.stock import MOST_BOARDS, TIMES, HandBoard, StockLine, bad_stretch
from crewdesk.job.text_limits import (
    LONGEST_NAME,
    LONGEST_NOTE,
    brief,
    checked_line,
    checked_name,
    quoted,
)
from crewdesk.length import feet_and_inches, show_length
from crewdesk.trade.boards.lumber import (
    SOFTWOOD_THICKNESS,
    dressed,
    hardwood_thickness,
)
from crewdesk.trade.boards.stock import Stretch
from crewdesk.trade.books.money import read_money
from crewdesk.trade.read_length import read_length

_COUNTED = re.compile(r"(.*?)(?: ?[xX\u00d7*] ?(\d{1,4}))?")


def typed_stock(
    books: ShopRecord, typed: Mapping[str, str], now: datetime, *, row: str = ""
) -> Change:
    """Return the change that adds a size of board as typed, or changes the one in `row`.

    `typed` has species, grade, size (``1x12``, ``5/4 x 8``, ``4/4 x 9-1/2``), true (its true size,
    empty if the size's name gives it), lengths (``8', 10' x 4, 12'``), price and per. Raises
    `NotAllowed` or `BadInput`.
    """
    thickness, width = true_size(typed["size"], typed.get("true", ""))
    per = " ".join(typed.get("per", "").split()) or "piece"
    lengths = checked_line(typed["lengths"], "list of lengths", most=LONGEST_NOTE)
    doc: Doc = {
        "species": checked_name(typed["species"], "species"),
        "size": _size_named(typed["size"]),
        "thickness": str(thickness),
        "width": str(width),
        "lengths": _length_docs([part for part in lengths.split(",") if part.strip()]),
        "price": str(read_money(typed["price"])),
        "per": {"bf": "board foot", "ft": "foot", "each": "piece"}.get(per, per),
    }
    if grade := checked_line(typed.get("grade", ""), "grade", most=LONGEST_NAME):
        doc["grade"] = grade
    if row and row not in books.tables.get("stock", {}):
        raise NotAllowed("That board isn't in the stock list. Nothing was changed.")
    at = ("stock", row or books.new_row("stock"))
    line = StockLine.from_doc(at[1], doc)
    what = f"{'changed' if row else 'added'} {line.label} in the stock list"
    return Change(what, (edit(books.tables, at, doc),), now)


def shown_stock(line: StockLine) -> dict[str, str]:
    """Return a line as typed."""
    lengths = ", ".join(
        feet_and_inches(length).removesuffix(' 0"') + (f" x {count}" if count is not None else "")
        for length, count in line.lengths
    )
    return {
        "species": line.species,
        "grade": line.grade,
        "size": line.size,
        "true": f"{show_length(line.thickness)} x {show_length(line.width)}",
        "lengths": lengths,
        "price": str(line.price),
        "per": line.per,
    }


def typed_hand(books: ShopRecord, typed: Mapping[str, str], now: datetime) -> Change:
    """Return the change that adds a board on hand as typed: species, grade, size, true, length and
    bad (``40..43, 90..92``, inches from one end). Raises `NotAllowed` or `BadInput`."""
    thickness, width = true_size(typed["size"], typed.get("true", ""))
    length = read_length(typed["length"])
    board = HandBoard(
        books.new_row("on_hand"),
        checked_name(typed["species"], "species"),
        checked_line(typed.get("grade", ""), "grade", most=LONGEST_NAME),
        _size_named(typed["size"]),
        thickness,
        width,
        length,
        typed_bad(typed.get("bad", ""), length),
    )
    doc = board.to_doc()
    HandBoard.from_doc(board.row, doc)
    put = edit(books.tables, ("on_hand", board.row), doc)
    return Change(f"added {board.label}, {feet_and_inches(length)}, on hand", (put,), now)


def remove_from(books: ShopRecord, table: str, row: str, now: datetime) -> Change:
    """Return the change that removes a line of the stock list, or a board on hand."""
    line: StockLine | HandBoard
    if table == "stock":
        line = books.view("stock", row)
    else:
        line = books.view("on_hand", row)
    gone = edit(books.tables, (table, row), ABSENT)
    where = "from the stock list" if table == "stock" else "from the boards on hand"
    return Change(f"removed {line.label} {where}", (gone,), now)


def take_stock_in(books: ShopRecord, document: Any, now: datetime) -> Change:
    """Return the change that adds every board of a document `{"crewdesk": "stock", "stock": [...],
    "on_hand": [...]}`, each as typed. Raises `NotAllowed` or `BadInput`."""
    if not isinstance(document, dict) or document.get("crewdesk") != "stock":
        raise NotAllowed('That isn\'t a stock list. Its file begins {"crewdesk": "stock", ...}.')
    edits = []
    for table, read in (("stock", typed_stock), ("on_hand", typed_hand)):
        docs = document.get(table, [])
        if not isinstance(docs, list) or len(docs) > MOST_BOARDS:
            raise NotAllowed(
                f"'{table}' of a stock list must be a list of up to {MOST_BOARDS} boards."
            )
        first = int(books.new_row(table))
        for place, typed in enumerate(docs):
            if not isinstance(typed, dict) or not all(isinstance(v, str) for v in typed.values()):
                raise NotAllowed(f"A board of that stock list is damaged: {brief(typed)}.")
            try:
                (one,) = read(books, typed, now).edits
            except KeyError as lacking:
                raise NotAllowed(
                    f"Board {place + 1} of '{table}' in that stock list has no {lacking.args[0]}."
                ) from None
            edits.append(edit(books.tables, (table, str(first + place)), one.after))
    if not edits:
        raise NotAllowed("That stock list has no board.")
    return Change(f"added a stock list of {len(edits)} boards", tuple(edits), now)


def true_size(size: str, true: str) -> tuple[Fraction, Fraction]:
    """Return thickness and width in inches: as typed, or by a size's name."""
    if true.strip():
        parts = TIMES.split(true.strip(), maxsplit=1)
        if len(parts) != 2:
            raise NotAllowed(
                f"{quoted(true)} isn't a true size. Type thickness x width, for example "
                "3/4 x 11-1/4."
            )
        return read_length(parts[0]), read_length(parts[1])
    parts = TIMES.split(size.strip(), maxsplit=1)
    if len(parts) == 2 and parts[0].endswith("/4") and not _is_dressed(size):
        return hardwood_thickness(parts[0]), read_length(parts[1])
    found = dressed(size)
    return found.thickness, found.width


def _is_dressed(size: str) -> bool:
    parts = TIMES.split(size.strip(), maxsplit=1)
    if parts[0] not in SOFTWOOD_THICKNESS:
        return False
    try:
        dressed(size)
    except BadInput:
        return False
    return True


def _size_named(size: str) -> str:
    named = checked_name(size, "board's size")
    return TIMES.sub("x" if _is_dressed(named) else " x ", named, count=1)


_BARE = re.compile(r"\d+(?: ?[xX\u00d7*] ?\d{1,4})?")
_SHORTEST_BARE = Fraction(36)
"""Bare numbers below this, in inches, are feet by all that is sold (common practice, no source)."""


def _length_docs(parts: list[str]) -> list[Doc]:
    """Return the lengths of a list; raises `BadInput` where bare numbers must be feet."""
    docs = [_length_doc(part) for part in parts]
    bare = [part.strip() for part in parts if _BARE.fullmatch(part.strip())]
    if bare and all(Fraction(doc["length"]) < _SHORTEST_BARE for doc in docs):
        raise BadInput(
            "The lengths {bare} would be inches. Type feet with a mark, for example 12', 16', or "
            "inches with theirs, for example 30 in.",
            bare=", ".join(bare)[:40],
        )
    return docs


def _length_doc(part: str) -> Doc:
    found = _COUNTED.fullmatch(" ".join(part.split()))
    assert found is not None
    doc: Doc = {"length": str(read_length(found[1]))}
    if found[2]:
        doc["count"] = int(found[2])
    return doc


def typed_bad(text: str, length: Fraction) -> tuple[Stretch, ...]:
    """Return defects as typed, ``40..43, 90..92``; raises `NotAllowed` or `BadInput`."""
    found = []
    for part in checked_line(text, "list of defects", most=LONGEST_NOTE).split(","):
        if not part.strip():
            continue
        start, dots, end = part.partition("..")
        if not dots:
            raise NotAllowed(
                f"{quoted(part)} isn't a defect. Type where it begins and ends, in "
                "inches from one end, for example 40..43."
            )
        found.append(bad_stretch(read_length(start), read_length(end), length))
    return tuple(found)
