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

from crewdesk.errors import BadInput
from crewdesk.trade.bounds import more_than_zero, zero_or_more


def check_offer(name: str, price: Decimal, count: int | None) -> None:
    """What a dealer offers: a price of zero or more, and a count of zero or more or none.

    Raises `BadInput`.
    """
    if not price.is_finite() or price < 0:
        raise BadInput(
            "The board {name} has the price {price}; it must be zero or more.",
            name=name,
            price=price,
        )
    if count is not None and count < 0:
        raise BadInput(
            "Of the board {name} there are {count}; it must be zero or more.",
            name=name,
            count=count,
        )


@dataclass(frozen=True)
class Stock:
    """A board to be had: `length` in inches, `price` of one, and how many there are
    at most (`count`, None for as many as one likes).

    Raises `BadInput`.
    """

    name: str
    length: Fraction
    price: Decimal
    count: int | None = None

    def __post_init__(self) -> None:
        more_than_zero(f"length of the board {self.name}", self.length)
        check_offer(self.name, self.price, self.count)


@dataclass(frozen=True)
class BadStretch:
    """Wood to cut round, from `start` to `end` inches from the board's first end."""

    start: Fraction
    end: Fraction


@dataclass(frozen=True)
class OnHand:
    """A board that is there already and costs nothing more, with its bad stretches.

    Raises `BadInput`.
    """

    name: str
    length: Fraction
    bad: tuple[BadStretch, ...] = ()

    def __post_init__(self) -> None:
        more_than_zero(f"length of the board {self.name}", self.length)
        for bad in self.bad:
            if not 0 <= bad.start <= bad.end <= self.length:
                raise BadInput(
                    "The bad stretch from {start} in to {end} in is not on the board "
                    "{name}, which is {length} in long; give where it begins, then where "
                    "it ends.",
                    name=self.name,
                    start=bad.start,
                    end=bad.end,
                    length=self.length,
                )


@dataclass(frozen=True)
class Need:
    """`count` pieces of one `length`.

    Raises `BadInput`.
    """

    name: str
    length: Fraction
    count: int = 1

    def __post_init__(self) -> None:
        more_than_zero(f"length of the piece {self.name}", self.length)
        if self.count <= 0:
            raise BadInput(
                "Of the piece {name} {count} are wanted; it must be one or more.",
                name=self.name,
                count=self.count,
            )


@dataclass(frozen=True)
class Saw:
    """`kerf` is the blade's width; `end_trim` goes off each end of every board first,
    its own cut counted in.

    Raises `BadInput`.
    """

    kerf: Fraction
    end_trim: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        zero_or_more("kerf", self.kerf)
        zero_or_more("trim off each end", self.end_trim)


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
