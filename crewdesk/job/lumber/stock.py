"""The shop's boards: those that can be had, with their prices, and those on hand."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any, get_args

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.books.amounts import read_amount
from crewdesk.job.change import Doc
from crewdesk.job.readings import fraction
from crewdesk.job.words import LONGEST_NAME, brief, checked_line, checked_name
from crewdesk.job.written import read_plainly
from crewdesk.length import INCHES_PER_FOOT
from crewdesk.trade.boards.lumber import (
    PricePer,
    Sawn,
    dressed,
    price_of_board,
    tally,
    unrounded_board_feet,
)
from crewdesk.trade.boards.stock import Stretch

TIMES = re.compile(r" ?[xX\u00d7*] ?")
"""What stands between a thickness and a width."""
_QUARTERS = re.compile(r"(\d+)/4")
PERS: tuple[str, ...] = get_args(PricePer)
MOST_BOARDS = 1_000
LONGEST_BOARD = Fraction(40 * 12)
WIDEST_BOARD = Fraction(60)


def board_feet_of(
    size: str, thickness: Fraction, width: Fraction, lengths: Iterable[Fraction]
) -> Fraction:
    """Board feet of boards of one size, in their order: softwood by its nominal size;
    hardwood by the surface measure of its true width, so that halves go up and down in
    turn, and by its rough thickness. `thickness`, `width` and `lengths` in inches."""
    try:
        dressed(size)
    except BadInput:
        quarters = _QUARTERS.match(size)
        rough = Fraction(int(quarters[1]), 4) if quarters else thickness
        feet = (int(length // INCHES_PER_FOOT) for length in lengths)
        return tally(Sawn(rough, width, whole) for whole in feet if whole)
    thick, wide = TIMES.split(size, maxsplit=1)
    return sum(
        (unrounded_board_feet(Fraction(thick), Fraction(wide), length) for length in lengths),
        Fraction(0),
    )


def board_label(*named: str) -> str:
    """A board's species, grade and size together, as told; what is empty is left out."""
    return " ".join(part for part in named if part)


@dataclass(frozen=True)
class StockLine:
    """A size of board that can be had: `lengths` in inches, each with how many there are
    (None for as many as one likes); `thickness` and `width` are true, in inches; `size` is
    how it is named where it is sold; `price` is per piece, foot or board foot."""

    row: str
    species: str
    grade: str
    size: str
    thickness: Fraction
    width: Fraction
    lengths: tuple[tuple[Fraction, int | None], ...]
    price: Decimal
    per: PricePer

    @property
    def label(self) -> str:
        """Species, grade and size together, as told."""
        return board_label(self.species, self.grade, self.size)

    def price_of(self, length: Fraction) -> Decimal:
        """What one board of a length costs, to the cent."""
        return price_of_board(self.price, self.per, length, self.board_feet(length))

    def board_feet(self, length: Fraction) -> Fraction:
        """Softwood by its nominal size, hardwood by the surface measure of its true width."""
        return board_feet_of(self.size, self.thickness, self.width, (length,))

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "StockLine":
        """The line as it stands in the shop's record; raises `NotAllowed`."""
        with read_plainly(f"Stock {row} of the shop", "stock is"):
            if doc["per"] not in PERS:
                raise NotAllowed(f"A price is per {', '.join(PERS)}, not per {brief(doc['per'])}.")
            lengths = tuple(_length_from_doc(one) for one in doc["lengths"])
            if not lengths:
                raise NotAllowed("A board that can be had has at least one length.")
            return StockLine(
                row,
                checked_name(doc["species"], "species"),
                checked_line(doc.get("grade", ""), "grade", most=LONGEST_NAME),
                checked_name(doc["size"], "size of a board"),
                _measure(doc["thickness"], "thickness of a board", WIDEST_BOARD),
                _measure(doc["width"], "width of a board", WIDEST_BOARD),
                lengths,
                read_amount(doc["price"], "price of a board"),
                doc["per"],
            )


@dataclass(frozen=True)
class HandBoard:
    """A board that lies there, with its bad stretches. `of` is the job that it is left over
    from, `job` the id of the job that means to use it."""

    row: str
    species: str
    grade: str
    size: str
    thickness: Fraction
    width: Fraction
    length: Fraction
    bad: tuple[Stretch, ...] = ()
    of: str = ""
    job: str = ""

    @property
    def label(self) -> str:
        """Species, grade and size together, as told."""
        return board_label(self.species, self.grade, self.size)

    def to_doc(self) -> Doc:
        """As JSON, without what is empty."""
        doc: Doc = {"species": self.species, "size": self.size}
        doc |= {key: str(getattr(self, key)) for key in ("thickness", "width", "length")}
        doc |= {key: text for key in ("grade", "of", "job") if (text := getattr(self, key))}
        if self.bad:
            doc["bad"] = [[str(one.start), str(one.end)] for one in self.bad]
        return doc

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "HandBoard":
        """The board as it stands in the shop's record; raises `NotAllowed`."""
        with read_plainly(f"Board {row} on hand", "a board is", ValueError):
            length = _measure(doc["length"], "length of a board", LONGEST_BOARD)
            return HandBoard(
                row,
                checked_name(doc["species"], "species"),
                checked_line(doc.get("grade", ""), "grade", most=LONGEST_NAME),
                checked_name(doc["size"], "size of a board"),
                _measure(doc["thickness"], "thickness of a board", WIDEST_BOARD),
                _measure(doc["width"], "width of a board", WIDEST_BOARD),
                length,
                bad_from_doc(doc.get("bad", []), length),
                checked_line(doc.get("of", ""), "job of a board"),
                checked_line(doc.get("job", ""), "job of a board"),
            )


def _length_from_doc(doc: Doc) -> tuple[Fraction, int | None]:
    count = doc.get("count")
    if count is not None and (type(count) is not int or not 0 <= count <= MOST_BOARDS):
        raise NotAllowed(
            f"There are from 0 to {MOST_BOARDS} boards of a length, not {brief(count)}."
        )
    return _measure(doc["length"], "length of a board", LONGEST_BOARD), count


def bad_from_doc(docs: Any, length: Fraction) -> tuple[Stretch, ...]:
    """Bad stretches out of the record; raises `NotAllowed`."""
    return tuple(
        bad_stretch(fraction(start, "bad stretch"), fraction(end, "bad stretch"), length)
        for start, end in docs
    )


def bad_stretch(start: Fraction, end: Fraction, length: Fraction) -> Stretch:
    """Bad wood in a board of a length, all in inches; raises `NotAllowed`."""
    if not 0 <= start <= end <= length:
        raise NotAllowed(
            "A bad stretch from {start} in to {end} in is not on a board of {length} in; give "
            "where it begins, then where it ends.",
            start=start,
            end=end,
            length=length,
        )
    return Stretch(start, end)


def _measure(text: Any, what: str, most: Fraction) -> Fraction:
    found = fraction(text, what)
    if not 0 < found <= most:
        raise NotAllowed(
            "The {what} is {found} in; it must be more than 0 and at most {most} in.",
            what=what,
            found=found,
            most=most,
        )
    return found
