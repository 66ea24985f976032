"""The shop's boards: stock sizes with prices, and boards on hand."""

import re
from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from typing import Any, get_args

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.change import Doc
from crewdesk.job.parsing import fraction
from crewdesk.job.row import (
    LINE,
    MONEY,
    NAME,
    SHORT,
    Kind,
    TableRow,
    field,
    many,
    one_of,
    up_to,
)
from crewdesk.job.text_limits import brief
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
"""The separator between a thickness and a width."""
_QUARTERS = re.compile(r"(\d+)/4")
PERS: tuple[str, ...] = get_args(PricePer)
MOST_BOARDS = 1_000
LONGEST_BOARD = Fraction(40 * 12)
WIDEST_BOARD = Fraction(60)


def board_feet_of(
    size: str, thickness: Fraction, width: Fraction, lengths: Iterable[Fraction]
) -> Fraction:
    """Return the board feet of boards of one size, in order.

    Softwood counts by its nominal size; hardwood by the surface measure of its true width, so that
    halves round up and down in turn, and by its rough thickness. `thickness`, `width` and `lengths`
    in inches.
    """
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
    """Return a board's species, grade and size as shown, without empty ones."""
    return " ".join(part for part in named if part)


def bad_stretch(start: Fraction, end: Fraction, length: Fraction) -> Stretch:
    """Return a defect in a board of a length, all in inches; raises `NotAllowed`."""
    if not 0 <= start <= end <= length:
        raise NotAllowed(
            "A defect from {start} in to {end} in isn't on a board of {length} in. "
            "Type where it begins, then where it ends.",
            start=start,
            end=end,
            length=length,
        )
    return Stretch(start, end)


def _bad(doc: Any, what: str) -> Stretch:
    start, end = doc
    return Stretch(fraction(start, what), fraction(end, what))


BAD = Kind(_bad, lambda one: [str(one.start), str(one.end)], "`[start, end]`")


def check_bad(stretches: Iterable[Stretch], length: Fraction) -> None:
    """Raise `NotAllowed` if a defect isn't on a board of a length, in inches."""
    for one in stretches:
        bad_stretch(one.start, one.end, length)


def _length(doc: Doc, what: str) -> tuple[Fraction, int | None]:
    count = doc.get("count")
    if count is not None and (type(count) is not int or not 0 <= count <= MOST_BOARDS):
        raise NotAllowed(
            f"The number of boards of a length must be from 0 to {MOST_BOARDS}, not {brief(count)}."
        )
    return up_to(LONGEST_BOARD).read(doc["length"], what), count


def _length_doc(one: tuple[Fraction, int | None]) -> Doc:
    length, count = one
    return {"length": str(length), **({} if count is None else {"count": count})}


LENGTHS = many(Kind(_length, _length_doc, "object of `length` and `count`"), "length")


class StockLine(TableRow, noun="stock"):
    """A size of board that can be had: `lengths` in inches, each with how many there are (None for
    no limit); `thickness` and `width` are true, in inches; `size` is its trade name; `price` is per
    piece, foot or board foot."""

    species: str = field(NAME, "species")
    grade: str = field(SHORT, "grade", absent="")
    size: str = field(NAME, "board's size")
    thickness: Fraction = field(up_to(WIDEST_BOARD), "board's thickness")
    width: Fraction = field(up_to(WIDEST_BOARD), "board's width")
    lengths: tuple[tuple[Fraction, int | None], ...] = field(LENGTHS, "board's length")
    price: Decimal = field(MONEY, "board's price")
    per: PricePer = field(one_of(PERS), "unit of a price")

    @property
    def label(self) -> str:
        """Species, grade and size, as shown."""
        return board_label(self.species, self.grade, self.size)

    def price_of(self, length: Fraction) -> Decimal:
        """Return the cost of one board of a length, to the cent."""
        return price_of_board(self.price, self.per, length, self.board_feet(length))

    def board_feet(self, length: Fraction) -> Fraction:
        """Return its board feet: softwood by its nominal size, hardwood by the surface measure of
        its true width."""
        return board_feet_of(self.size, self.thickness, self.width, (length,))

    def check(self) -> None:
        """Raise `NotAllowed` if it has no length."""
        if not self.lengths:
            raise NotAllowed("A board you can buy needs at least one length.")


class HandBoard(
    TableRow,
    noun="board on hand",
    first=("species", "size", "thickness", "width", "length", "grade", "of", "job", "begun"),
):
    """A board on hand, with its defects.

    `of` is the name of the job it is left over from. `job` is the id at that time of the job that
    set it aside, `begun` that job's permanent id, "" if an older crewdesk set it aside (see
    `is_for`).
    """

    species: str = field(NAME, "species")
    grade: str = field(SHORT, "grade", absent="")
    size: str = field(NAME, "board's size")
    thickness: Fraction = field(up_to(WIDEST_BOARD), "board's thickness")
    width: Fraction = field(up_to(WIDEST_BOARD), "board's width")
    length: Fraction = field(up_to(LONGEST_BOARD), "board's length")
    bad: tuple[Stretch, ...] = field(many(BAD), "defect", default=())
    of: str = field(LINE, "the board's job", default="")
    job: str = field(LINE, "the board's job", default="")
    begun: str = field(LINE, "beginning of the board's job", default="")

    @property
    def free(self) -> bool:
        """Whether no job has set it aside."""
        return not self.job

    def is_for(self, job: str, begun: str) -> bool:
        """Return whether it is set aside for the job with that id and beginning. The id decides
        only if no beginning is known: a folder can be renamed, its name pass to another job."""
        return self.begun == begun if self.begun else bool(self.job) and self.job == job

    @property
    def label(self) -> str:
        """Species, grade and size, as shown."""
        return board_label(self.species, self.grade, self.size)

    def check(self) -> None:
        """Raise `NotAllowed` if a defect isn't on it."""
        check_bad(self.bad, self.length)
