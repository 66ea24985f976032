"""Boards to cut from, the pieces and cleats needed, the saws; and a cut board: its strips, and its
cutoffs.

How a cut is counted, here and in every plan: between two pieces the blade takes one kerf.
After the last piece no cut is needed if nothing is left over; if less than a kerf is left
over, the blade turns all of it into dust. So n pieces fit into a clear length S exactly where
sum of lengths + (n - 1) x kerf <= S, or, one kerf added on both sides, where
sum of (length + kerf) <= S + kerf. Across a board's width it is the same.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Literal, Protocol, TypeVar

from crewdesk.errors import BadInput
from crewdesk.trade.bounds import more_than_zero, zero_or_more

First = Literal["rip", "crosscut"]
NONE = Fraction(0)


@dataclass(frozen=True)
class Stretch:
    """A part of a board, clear or bad, from `start` to `end` inches from its first end."""

    start: Fraction
    end: Fraction

    @property
    def length(self) -> Fraction:
        return self.end - self.start


@dataclass(frozen=True)
class Saws:
    """How boards are cut, in inches, and which cuts may come `first`.

    `kerf` is the crosscut blade's width and `rip_kerf` the ripping blade's. `end_trim` goes off
    each end of every board before anything else and `edge_trim` off each edge, the trimming
    cut counted in.

    Raises `BadInput`.
    """

    kerf: Fraction
    end_trim: Fraction = NONE
    rip_kerf: Fraction = NONE
    edge_trim: Fraction = NONE
    first: tuple[First, ...] = ("crosscut",)

    def __post_init__(self) -> None:
        zero_or_more("kerf", self.kerf)
        zero_or_more("trim off each end", self.end_trim)
        zero_or_more("kerf of the rip", self.rip_kerf)
        zero_or_more("trim off each edge", self.edge_trim)

    def clear_width(self, width: Fraction) -> Fraction:
        """Return what both trimmed edges leave of a board's width; never below zero."""
        return max(NONE, width - 2 * self.edge_trim)

    def clear_stretches(self, length: Fraction, bad: Iterable[Stretch] = ()) -> tuple[Stretch, ...]:
        """Return what is left of a board between its trimmed ends and its defects.

        The cuts at a defect lie in it. One that is narrower than the kerf takes a whole kerf all
        the same, measured from its start.
        """
        start, stop = self.end_trim, length - self.end_trim
        found = []
        for one in sorted(bad, key=lambda b: (b.start, b.end)):
            if min(one.start, stop) > start:
                found.append(Stretch(start, min(one.start, stop)))
            start = max(start, one.end, min(one.start + self.kerf, length))
        if stop > start:
            found.append(Stretch(start, stop))
        return tuple(found)


@dataclass(frozen=True)
class Stock:
    """A kind of board: true `width` and `length` in inches, the `price` of one, and how many there
    are at most (`count`, None for no limit).

    One that is `on_hand` is a single board that costs nothing more, with its `bad` stretches.

    Raises `BadInput`.
    """

    name: str
    width: Fraction
    length: Fraction
    price: Decimal = Decimal(0)
    count: int | None = None
    bad: tuple[Stretch, ...] = ()
    on_hand: bool = False

    def __post_init__(self) -> None:
        more_than_zero(f"length of the board {self.name}", self.length)
        more_than_zero(f"width of the board {self.name}", self.width)
        if not self.price.is_finite() or self.price < 0:
            raise BadInput(
                "The board {name} costs {price}; a price must be zero or more.",
                name=self.name,
                price=self.price,
            )
        if self.count is not None and self.count < 0:
            raise BadInput(
                "There are {count} of the board {name}; the number must be zero or more.",
                name=self.name,
                count=self.count,
            )
        for bad in self.bad:
            if not 0 <= bad.start <= bad.end <= self.length:
                raise BadInput(
                    "The defect from {start} in to {end} in isn't on the board {name}, "
                    "which is {length} in long. Type where it begins, then where it "
                    "ends.",
                    name=self.name,
                    start=bad.start,
                    end=bad.end,
                    length=self.length,
                )

    @property
    def most(self) -> int | None:
        """How many there are; None for no limit."""
        return 1 if self.on_hand else self.count


@dataclass(frozen=True)
class Need:
    """`count` pieces of one width and length, in inches.

    Raises `BadInput`.
    """

    name: str
    width: Fraction
    length: Fraction
    count: int = 1

    def __post_init__(self) -> None:
        more_than_zero(f"length of the piece {self.name}", self.length)
        more_than_zero(f"width of the piece {self.name}", self.width)
        if self.count <= 0:
            raise BadInput(
                "The piece {name} is needed {count} times; the number must be one or more.",
                name=self.name,
                count=self.count,
            )


@dataclass(frozen=True)
class Cleats:
    """Cleats of one `width`, butted end to end to `length` inches in all; a strip
    shorter than `shortest` is none.

    Raises `BadInput`.
    """

    width: Fraction
    length: Fraction
    shortest: Fraction = NONE

    def __post_init__(self) -> None:
        more_than_zero("width of the cleats", self.width)
        for name in ("length", "shortest"):
            zero_or_more(f"cleats' {name}", getattr(self, name))


class OnBoard(Protocol):
    """Anything with a place on a board: from `start` to `end` along it, from `near` to `far` across
    it, in inches from the board's first end and first edge."""

    @property
    def start(self) -> Fraction: ...
    @property
    def end(self) -> Fraction: ...
    @property
    def near(self) -> Fraction: ...
    @property
    def far(self) -> Fraction: ...


@dataclass(frozen=True)
class Placed:
    """A piece or cleat on its board, as `OnBoard`."""

    name: str
    start: Fraction
    end: Fraction
    near: Fraction
    far: Fraction


@dataclass(frozen=True)
class CutBoard:
    """One board: which cut comes first, its pieces and the cleats beside them."""

    stock: Stock
    first: First
    pieces: tuple[Placed, ...]
    cleats: tuple[Placed, ...] = ()

    @property
    def waste(self) -> Fraction:
        """Inches of this board that become neither piece nor cleat, see `waste_of`."""
        return waste_of(self.stock.length, self.stock.width, (*self.pieces, *self.cleats))


def waste_of(length: Fraction, width: Fraction, used: Iterable[OnBoard]) -> Fraction:
    """Return the wasted area of a board over its width: kerfs, trim, defects, what is left."""
    area = sum(((one.end - one.start) * (one.far - one.near) for one in used), NONE)
    return length - area / width


Piece = TypeVar("Piece", bound=OnBoard)
Strip = tuple[Fraction, Fraction]
"""A strip's edges, in inches from the board's first edge."""
_Rectangle = tuple[Fraction, Fraction, Fraction, Fraction]
"""A rectangle: its extent along the board, and across it."""


def strips_of(pieces: Iterable[Piece]) -> list[tuple[Piece, ...]]:
    """Return the pieces strip by strip, from the board's first edge on: pieces that no rip from end
    to end separates are one strip."""
    return _bands(pieces, lambda one: (one.near, one.far))


def sections_of(strip: Iterable[Piece]) -> list[tuple[Piece, ...]]:
    """Return a strip's pieces section by section, from the first end on: pieces that no cut across
    the strip separates are one section."""
    return _bands(strip, lambda one: (one.start, one.end))


def _bands(
    pieces: Iterable[Piece], reach: Callable[[Piece], tuple[Fraction, Fraction]]
) -> list[tuple[Piece, ...]]:
    found: list[list[Piece]] = []
    last = NONE
    for one in sorted(pieces, key=reach):
        low, high = reach(one)
        if found and low < last:
            found[-1].append(one)
            last = max(last, high)
        else:
            found.append([one])
            last = high
    return [tuple(band) for band in found]


def leftovers(
    part: Stretch,
    width: Fraction,
    first: First,
    on_it: Sequence[OnBoard],
    saws: Saws,
    shortest: Fraction = NONE,
    narrowest: Fraction = NONE,
) -> tuple[Placed, ...]:
    """Return the rectangles of at least `shortest` x `narrowest` that the saws leave of a part of a
    board.

    Ripped first, it leaves the width beside its strips; crosscut first, it is one strip.
    A strip leaves its end, a section the width beside its pieces and what is trimmed off
    them. Each kerf is taken off. A part with nothing on it is left whole.
    """
    found: list[_Rectangle] = []
    if not on_it:
        found = [(part.start, part.end, NONE, width)]
    elif first == "crosscut":
        found = list(_of_strip(part, on_it, NONE, width, saws))
    else:
        edge = NONE
        for strip in strips_of(on_it):
            near, far = min(one.near for one in strip), max(one.far for one in strip)
            found.append((part.start, part.end, edge, near - saws.rip_kerf))
            found += _of_strip(part, strip, near, far, saws)
            edge = far + saws.rip_kerf
        found.append((part.start, part.end, edge, width))
    return tuple(
        Placed("leftover", *one)
        for one in found
        if one[1] - one[0] >= shortest and one[3] - one[2] >= narrowest
    )


def _of_strip(
    part: Stretch, strip: Iterable[OnBoard], near: Fraction, far: Fraction, saws: Saws
) -> Iterable[_Rectangle]:
    """Return the cutoffs of a strip from `near` to `far`."""
    at, kerf = part.start, saws.kerf
    for section in sections_of(strip):
        start, end = min(one.start for one in section), max(one.end for one in section)
        yield at, start - kerf, near, far
        edge = near
        for one in sorted(section, key=lambda one: one.near):
            yield start, end, edge, one.near - saws.rip_kerf
            yield one.end + kerf, end, one.near, one.far
            edge = one.far + saws.rip_kerf
        yield start, end, edge, far
        at = end + kerf
    yield at, part.end, near, far


def strip_rows(strips: Iterable[Strip], width: Fraction, rows: int) -> dict[Strip, tuple[int, int]]:
    """Return for each strip its first row in a drawing, counted up from the board's first edge,
    and the row after its last one.

    Rows are to scale where they can be, `rows` of them for `width` inches. A strip that is
    narrower than a row takes a whole one from its neighbors, so that none is hidden by
    another. Where strips overlap, as after crosscuts, or there are more strips than rows,
    each is rounded by itself.
    """
    order = sorted(set(strips))
    if len(order) > rows or any(one[1] > other[0] for one, other in pairwise(order)):
        return {one: _rounded(one, width, rows) for one in order}
    tops, top = [], 0
    for _, far in order:
        top = max(top + 1, round(far * rows / width))
        tops.append(top)
    limit = rows
    for at in range(len(tops) - 1, -1, -1):
        tops[at] = min(tops[at], limit)
        limit = tops[at] - 1
    found, below = {}, 0
    for one, top in zip(order, tops, strict=True):
        first = max(below, min(round(one[0] * rows / width), top - 1))
        found[one] = (first, top)
        below = top
    return found


def _rounded(strip: Strip, width: Fraction, rows: int) -> tuple[int, int]:
    first = min(rows - 1, round(strip[0] * rows / width))
    return first, max(first + 1, round(strip[1] * rows / width))
