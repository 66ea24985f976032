"""The takeoff: every board of a job with its pieces, its cost, and the part that a job keeps."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any, NamedTuple

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.piece import NAME_OF
from crewdesk.job.lumber.cutting_rules import SAWS
from crewdesk.job.lumber.stock import BAD, LONGEST_BOARD, WIDEST_BOARD, board_label, check_bad
from crewdesk.job.parsing import fraction
from crewdesk.job.row import (
    DAY,
    EXACT,
    LINE,
    MONEY,
    NAME,
    Kind,
    Row,
    TableRow,
    Values,
    field,
    many,
    one_of,
    up_to,
)
from crewdesk.trade.boards.stock import First, OnBoard, Placed, Stretch, waste_of

STATES = ("to buy", "bought", "cut", "spoiled")
FIRSTS = ("rip", "crosscut")
_ROW = re.compile(r"[1-9][0-9]{0,8}")


class CutFrom(NamedTuple):
    """A piece on its board: its key and its place, in inches from the board's first end (`start`,
    `end`) and first edge (`near`, `far`)."""

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
        """The key of its piece."""
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
    """One board of a plan. `first` is the first cut; `state` one of `STATES`; `hand` the row of the
    board on hand, or "" for a bought one; other fields as in the stock list."""

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
        """Species, grade and size together, as shown."""
        return board_label(self.species, self.grade, self.size)

    @property
    def on_it(self) -> tuple[OnBoard, ...]:
        """Everything cut from it: pieces and cleats."""
        return (*self.pieces, *self.cleats)

    @property
    def waste(self) -> Fraction:
        """Inches of board that become neither piece nor cleat; all of a ruined one."""
        return waste_of(self.length, self.width, () if self.state == "spoiled" else self.on_it)

    def check(self) -> None:
        """Raise `NotAllowed` if a piece isn't on the board."""
        check_bad(self.bad, self.length)
        for one in self.on_it:
            along = 0 <= one.start < one.end <= self.length
            if not along or not 0 <= one.near < one.far <= self.width:
                raise NotAllowed(f"A piece of board {self.row} of the job is not on that board.")


NOTHING = Decimal(0)


class Matching(Values):
    """The cost of matching (one board per beam), and its least and most possible values."""

    price: Decimal
    at_least: Decimal
    at_most: Decimal


_PRICES = many(MONEY, least=3, most=3)


def _matching(value: Any, what: str) -> Matching:
    return Matching(*_PRICES.read(value, what))


class KeptPlan(Row, noun="plan"):
    """A kept plan without its boards; `closed` is the day its cutoffs went into the stock, `saws`
    the job's rule at planning time, or "" if unknown."""

    bound: Decimal = field(MONEY)
    saws: str = field(one_of(("", *SAWS)), "plan's first cut", absent="", given=lambda _: True)
    first_fit: Decimal | None = field(MONEY, "cost by eye", default=None)
    first_fit_waste: Fraction | None = field(EXACT, "waste", default=None)
    matching: Matching | None = field(
        Kind(_matching, lambda one: _PRICES.write(one._asdict().values()), "list of three prices"),
        "price of matching",
        default=None,
        lax=True,
    )
    closed: date | None = field(DAY, default=None)


@dataclass(frozen=True)
class Takeoff:
    """`boards` with all that is cut; `cost` of them all, bought or to buy, and `bound`, the cost
    that no plan of the compared kind, around what is cut, can be below. `first_fit` and its waste
    in inches of board as in `RipPlan`, or None if there is no such comparison.

    `saws` is the job's rule when it was planned: the plans compared are those whose boards are
    first cut so (see `rip_model` in the trade); or "" if that is not known. `left_out` are pieces
    that no board gives, each by its label, and `unmeasured` beams that it is without, as nothing is
    known of their length. `changed` is whether the job has changed since, so that the boards don't
    fit what it takes now.
    """

    boards: tuple[Board, ...]
    cost: Decimal
    bound: Decimal
    first_fit: Decimal | None
    first_fit_waste: Fraction | None
    cleats_wanted: Fraction
    matching: Matching | None = None
    saws: str = ""
    left_out: tuple[str, ...] = ()
    changed: bool = False
    unmeasured: tuple[str, ...] = ()

    @property
    def comparable(self) -> bool:
        """Whether the plan is everything that the job needs, so that its bound is meaningful."""
        whole = not self.left_out and not self.unmeasured
        return bool(self.saws) and whole and not self.changed

    @property
    def optimal(self) -> bool:
        """Proven: no plan of the compared kind costs less."""
        return self.comparable and self.bound >= self.cost

    @property
    def gap(self) -> Decimal:
        """The most by which a cheaper plan could undercut this one."""
        return max(NOTHING, self.cost - self.bound)

    @property
    def waste(self) -> Fraction:
        """Inches of board that become neither piece nor cleat."""
        return sum((one.waste for one in self.boards), Fraction(0))

    @property
    def length(self) -> Fraction:
        """Inches of board in all."""
        return sum((one.length for one in self.boards), Fraction(0))

    @property
    def wasted_money(self) -> Decimal:
        """The cost of the wasted wood, at each board's own price."""
        share = sum((Fraction(b.price) * b.waste / b.length for b in self.boards), Fraction(0))
        return Decimal(round(share * 100)).scaleb(-2)

    @property
    def cleats_from_offcuts(self) -> Fraction:
        """Inches of wanted cleats from cutoffs beside pieces."""
        return min(self.cleats_wanted, _cleats(b for b in self.boards if b.pieces))

    @property
    def cleats_from_boards(self) -> Fraction:
        """Inches of wanted cleats from boards with nothing else."""
        alone = _cleats(b for b in self.boards if not b.pieces)
        return min(self.cleats_wanted - self.cleats_from_offcuts, alone)

    @property
    def cleats_left(self) -> Fraction:
        """Inches of cleats beyond those wanted."""
        return max(Fraction(0), _cleats(self.boards) - self.cleats_wanted)


def _cleats(boards: Iterable[Board]) -> Fraction:
    return sum(
        (c.end - c.start for b in boards if b.state != "spoiled" for c in b.cleats), Fraction(0)
    )
