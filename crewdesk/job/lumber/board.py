"""A board of a job's plan, and what is cut from it."""

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.books.amounts import read_amount
from crewdesk.job.change import Doc
from crewdesk.job.lumber.stock import LONGEST_BOARD, WIDEST_BOARD, bad_from_doc, board_label
from crewdesk.job.piece import NAME_OF
from crewdesk.job.readings import fraction
from crewdesk.job.words import brief, checked_line, checked_name
from crewdesk.job.written import read_plainly, within
from crewdesk.trade.boards.stock import First, OnBoard, Placed, Stretch, waste_of

STATES = ("to buy", "bought", "cut", "spoiled")
FIRSTS = ("rip", "crosscut")
_ROW = re.compile(r"[1-9][0-9]{0,8}")


@dataclass(frozen=True)
class CutFrom:
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


@dataclass(frozen=True)
class Board:
    """One board of a plan. `first` is the first cut; `state` one of `STATES`; `hand` the
    row of the shop's board on hand that it is, "" where it is bought; `grade` and the like
    as in the stock list."""

    row: str
    species: str
    grade: str
    size: str
    thickness: Fraction
    width: Fraction
    length: Fraction
    price: Decimal
    state: str
    first: First
    pieces: tuple[CutFrom, ...] = ()
    cleats: tuple[Placed, ...] = ()
    bad: tuple[Stretch, ...] = ()
    hand: str = ""

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

    def to_doc(self) -> Doc:
        """As JSON, exact."""
        doc: Doc = {"species": self.species, "size": self.size}
        doc |= {key: str(getattr(self, key)) for key in ("thickness", "width", "length", "price")}
        doc |= {"state": self.state, "first": self.first}
        doc |= {key: text for key in ("grade", "hand") if (text := getattr(self, key))}
        doc["pieces"] = [
            [p.beam, p.piece, p.part, p.parts, *map(str, (p.start, p.end, p.near, p.far))]
            for p in self.pieces
        ]
        if self.cleats:
            doc["cleats"] = [[str(x) for x in (c.start, c.end, c.near, c.far)] for c in self.cleats]
        if self.bad:
            doc["bad"] = [[str(one.start), str(one.end)] for one in self.bad]
        return doc

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "Board":
        """The board as it stands in the record; raises `NotAllowed`."""
        with read_plainly(f"Board {row} of the job", "a board is", ValueError):
            if doc["state"] not in STATES or doc["first"] not in FIRSTS:
                raise NotAllowed(
                    f"A board is {', '.join(STATES)} and {' or '.join(FIRSTS)} first, not "
                    f"{brief(doc['state'])} and {brief(doc['first'])}."
                )
            length = _measure(doc["length"], LONGEST_BOARD)
            board = Board(
                row,
                checked_name(doc["species"], "species"),
                checked_line(doc.get("grade", ""), "grade"),
                checked_name(doc["size"], "size of a board"),
                _measure(doc["thickness"], WIDEST_BOARD),
                _measure(doc["width"], WIDEST_BOARD),
                length,
                read_amount(doc["price"], "price of a board"),
                doc["state"],
                doc["first"],
                *_placed(doc),
                bad_from_doc(doc.get("bad", []), length),
                checked_line(doc.get("hand", ""), "board on hand"),
            )
        places = [(p.start, p.end, p.near, p.far) for p in board.pieces]
        places += [(c.start, c.end, c.near, c.far) for c in board.cleats]
        for start, end, near, far in places:
            if not 0 <= start < end <= board.length or not 0 <= near < far <= board.width:
                raise NotAllowed(f"A piece of board {row} of the job is not on that board.")
        return board


def _placed(doc: Doc) -> tuple[tuple[CutFrom, ...], tuple[Placed, ...]]:
    """The pieces and the cleats of a board's document; raises `NotAllowed` and what they raise."""
    with within("pieces"):
        pieces = tuple(_piece(one) for one in doc["pieces"])
    with within("cleats"):
        return pieces, tuple(Placed("cleat", *_places(one)) for one in doc.get("cleats", ()))


def _piece(doc: Any) -> CutFrom:
    beam, piece, part, parts, *places = doc
    if not isinstance(beam, str) or not _ROW.fullmatch(beam) or piece not in NAME_OF:
        raise TypeError
    if type(part) is not int or type(parts) is not int or not 1 <= part <= parts:
        raise TypeError
    return CutFrom(beam, piece, part, parts, *_places(places))


def _places(docs: Any) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    start, end, near, far = (fraction(one, "place on a board") for one in docs)
    return start, end, near, far


def _measure(text: Any, most: Fraction) -> Fraction:
    found = fraction(text, "measure of a board")
    if not 0 < found <= most:
        raise NotAllowed(f"A board measures more than 0 and up to {most} in, not {found}.")
    return found
