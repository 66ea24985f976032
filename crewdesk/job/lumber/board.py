"""A board of a job's plan, and what is cut from it."""

import re
from decimal import Decimal
from fractions import Fraction
from typing import Any, NamedTuple

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.piece import NAME_OF
from crewdesk.job.lumber.stock import BAD, LONGEST_BOARD, WIDEST_BOARD, board_label, check_bad
from crewdesk.job.parsing import fraction
from crewdesk.job.row import LINE, MONEY, NAME, Kind, TableRow, field, many, one_of, up_to
from crewdesk.trade.boards.stock import First, OnBoard, Placed, Stretch, waste_of

STATES = ("to buy", "bought", "cut", "spoiled")
FIRSTS = ("rip", "crosscut")
_ROW = re.compile(r"[1-9][0-9]{0,8}")


class CutFrom(NamedTuple):
    """A piece on its board: which it is, and where it lies, in inches from the board's
    first end (`start`, `end`) and first edge (`near`, `far`)."""

    beam: str
    piece: str
    part: int
    parts: int
    start: Fraction
    end: Fraction
    near: Fraction
    far: Fraction

    @property
    def key(self) -> tuple[str, str, int, int]:
        """What says which piece it is."""
        return (self.beam, self.piece, self.part, self.parts)

    @property
    def length(self) -> Fraction:
        return self.end - self.start

    @property
    def width(self) -> Fraction:
        return self.far - self.near


def _piece(doc: Any, _what: str) -> CutFrom:
    beam, piece, part, parts, *places = doc
    if not isinstance(beam, str) or not _ROW.fullmatch(beam) or piece not in NAME_OF:
        raise TypeError
    if type(part) is not int or type(parts) is not int or not 1 <= part <= parts:
        raise TypeError
    return CutFrom(beam, piece, part, parts, *_places(places))


def _places(
    docs: Any, what: str = "place on a board"
) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    start, end, near, far = (fraction(one, what) for one in docs)
    return start, end, near, far


def _cleat(doc: Any, what: str) -> Placed:
    return Placed("cleat", *_places(doc, what))


PIECE = Kind(_piece, lambda one: [*one[:4], *map(str, one[4:])], "list")
CLEAT = Kind(_cleat, lambda one: [str(x) for x in (one.start, one.end, one.near, one.far)], "list")
"""`[start, end, near, far]`, and before them for a piece `[beam's row, piece, part, parts]`."""


class Board(
    TableRow,
    noun="board",
    first=(
        *("species", "size", "thickness", "width", "length", "price", "state", "first"),
        *("grade", "hand"),
    ),
):
    """One board of a plan. `first` is the first cut; `state` one of `STATES`; `hand` the
    row of the shop's board on hand that it is, "" where it is bought; `grade` and the like
    as in the stock list."""

    species: str = field(NAME, "species")
    grade: str = field(LINE, absent="")
    size: str = field(NAME, "board's size")
    thickness: Fraction = field(up_to(WIDEST_BOARD))
    width: Fraction = field(up_to(WIDEST_BOARD))
    length: Fraction = field(up_to(LONGEST_BOARD))
    price: Decimal = field(MONEY)
    state: str = field(one_of(STATES))
    first: First = field(one_of(FIRSTS), "board's first cut")
    pieces: tuple[CutFrom, ...] = field(many(PIECE, "piece"), default=(), always=True)
    cleats: tuple[Placed, ...] = field(many(CLEAT, "cleat"), "place on a board", default=())
    bad: tuple[Stretch, ...] = field(many(BAD), "defect", default=())
    hand: str = field(LINE, "board on hand", default="")

    @property
    def label(self) -> str:
        """Species, grade and size together, as told."""
        return board_label(self.species, self.grade, self.size)

    @property
    def on_it(self) -> tuple[OnBoard, ...]:
        """All that is cut from it: its pieces and its cleats."""
        return (*self.pieces, *self.cleats)

    @property
    def waste(self) -> Fraction:
        """Inches of board that become neither piece nor cleat; all of a spoiled one."""
        return waste_of(self.length, self.width, () if self.state == "spoiled" else self.on_it)

    def check(self) -> None:
        """Raise `NotAllowed` where something isn't on the board."""
        check_bad(self.bad, self.length)
        for one in self.on_it:
            along = 0 <= one.start < one.end <= self.length
            if not along or not 0 <= one.near < one.far <= self.width:
                raise NotAllowed(f"A piece of board {self.row} of the job is not on that board.")
