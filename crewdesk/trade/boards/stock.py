"""Boards to be had, boards on hand, and the pieces that are needed from them.

How a cut is counted, here and in every plan: between two pieces the blade takes one
kerf. After the last piece no cut is needed if nothing is left over; if less than a
kerf is left over, the blade turns all of it into dust. So n pieces fit into a clear
length S exactly where sum of lengths + (n - 1) x kerf <= S, or, one kerf added on
both sides, where sum of (length + kerf) <= S + kerf.
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from crewdesk.trade.refusal import Refusal


def check_offer(name: str, price: Decimal, count: int | None) -> None:
    """What a dealer offers: a price of zero or more, and a count of zero or more or none.

    Raises `Refusal`: `stock-price-negative`, `stock-count-negative`.
    """
    if not price.is_finite() or price < 0:
        raise Refusal("stock-price-negative", name=name, price=price)
    if count is not None and count < 0:
        raise Refusal("stock-count-negative", name=name, count=count)


@dataclass(frozen=True)
class Stock:
    """A board to be had: `length` in inches, `price` of one, and how many there are
    at most (`count`, None for as many as one likes).

    Raises `Refusal`: `stock-length-not-positive`, `stock-price-negative`,
    `stock-count-negative`.
    """

    name: str
    length: Fraction
    price: Decimal
    count: int | None = None

    def __post_init__(self) -> None:
        if self.length <= 0:
            raise Refusal("stock-length-not-positive", name=self.name, length=self.length)
        check_offer(self.name, self.price, self.count)


@dataclass(frozen=True)
class BadStretch:
    """Wood to cut round, from `start` to `end` inches from the board's first end."""

    start: Fraction
    end: Fraction


@dataclass(frozen=True)
class OnHand:
    """A board that is there already and costs nothing more, with its bad stretches.

    Raises `Refusal`: `stock-length-not-positive`, `stretch-off-the-board`.
    """

    name: str
    length: Fraction
    bad: tuple[BadStretch, ...] = ()

    def __post_init__(self) -> None:
        if self.length <= 0:
            raise Refusal("stock-length-not-positive", name=self.name, length=self.length)
        for bad in self.bad:
            if not 0 <= bad.start <= bad.end <= self.length:
                raise Refusal(
                    "stretch-off-the-board",
                    name=self.name,
                    start=bad.start,
                    end=bad.end,
                    length=self.length,
                )


@dataclass(frozen=True)
class Need:
    """`count` pieces of one `length`.

    Raises `Refusal`: `need-length-not-positive`, `need-count-not-positive`.
    """

    name: str
    length: Fraction
    count: int = 1

    def __post_init__(self) -> None:
        if self.length <= 0:
            raise Refusal("need-length-not-positive", name=self.name, length=self.length)
        if self.count <= 0:
            raise Refusal("need-count-not-positive", name=self.name, count=self.count)


@dataclass(frozen=True)
class Saw:
    """`kerf` is the blade's width; `end_trim` goes off each end of every board first,
    its own cut counted in.

    Raises `Refusal`: `kerf-negative`, `end-trim-negative`.
    """

    kerf: Fraction
    end_trim: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        if self.kerf < 0:
            raise Refusal("kerf-negative", kerf=self.kerf)
        if self.end_trim < 0:
            raise Refusal("end-trim-negative", end_trim=self.end_trim)


@dataclass(frozen=True)
class Stretch:
    """Clear wood of one board, from `start` to `end` inches from its first end."""

    start: Fraction
    end: Fraction

    @property
    def length(self) -> Fraction:
        return self.end - self.start


def clear_stretches(
    length: Fraction, saw: Saw, bad: tuple[BadStretch, ...] = ()
) -> tuple[Stretch, ...]:
    """What is left of a board between its trimmed ends and its bad stretches.

    The cuts at a bad stretch lie in it. One that is narrower than the kerf takes a
    whole kerf all the same, reckoned from its start.
    """
    start, stop = saw.end_trim, length - saw.end_trim
    found = []
    for one in sorted(bad, key=lambda b: (b.start, b.end)):
        if min(one.start, stop) > start:
            found.append(Stretch(start, min(one.start, stop)))
        start = max(start, one.end, min(one.start + saw.kerf, length))
    if stop > start:
        found.append(Stretch(start, stop))
    return tuple(found)
