"""Nominal sizes of lumber and their true sizes, and board feet as lumber is sold."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from crewdesk.errors import BadInput
from crewdesk.length import INCHES_PER_FOOT
from crewdesk.trade.books.money import cents
from crewdesk.trade.bounds import more_than_zero, zero_or_more

PricePer = Literal["piece", "foot", "board foot"]

_TABLES = "printed lumber tables after the American Softwood Lumber Standard, PS 20"
_MEMORY = "American Softwood Lumber Standard, PS 20, from memory"
_S2S = "printed table of hardwood thicknesses, surfaced two sides"


@dataclass(frozen=True)
class Measure:
    """A dressed size in inches, and its source."""

    inches: Fraction
    source: str


SOFTWOOD_THICKNESS = {
    "1": Measure(Fraction(3, 4), _TABLES),
    "5/4": Measure(Fraction(1), _MEMORY),
    "6/4": Measure(Fraction(5, 4), _MEMORY),
    "2": Measure(Fraction(3, 2), _TABLES),
}
SOFTWOOD_WIDTH = {
    "2": Measure(Fraction(3, 2), _MEMORY),
    "3": Measure(Fraction(5, 2), _MEMORY),
    "4": Measure(Fraction(7, 2), _TABLES),
    "5": Measure(Fraction(9, 2), _MEMORY),
    "6": Measure(Fraction(11, 2), _TABLES),
    "8": Measure(Fraction(29, 4), _TABLES),
    "10": Measure(Fraction(37, 4), _TABLES),
    "12": Measure(Fraction(45, 4), _TABLES),
}
"""Boards dressed dry. Some dealers' charts print 7-1/2 for an 8; the tables say 7-1/4."""
HARDWOOD_THICKNESS = {
    "4/4": Measure(Fraction(13, 16), _S2S),
    "5/4": Measure(Fraction(17, 16), _S2S),
    "6/4": Measure(Fraction(21, 16), _S2S),
    "8/4": Measure(Fraction(7, 4), _S2S),
    "12/4": Measure(Fraction(11, 4), _S2S),
    "16/4": Measure(Fraction(15, 4), _S2S),
}
"""Hardwood comes in random widths. Some dealers' charts print 11/16 for a 5/4, which means
1-1/16."""

_SIZE = re.compile(r"(\d+(?:/4)?) ?[xX\u00d7] ?(\d+)")


@dataclass(frozen=True)
class Dressed:
    """A softwood board's true `thickness` and `width` in inches."""

    nominal: str
    thickness: Fraction
    width: Fraction


def dressed(nominal: str) -> Dressed:
    """Return the true size of a nominal one, such as ``1x6`` or ``5/4 x 8``.

    Raises `BadInput`, with the thicknesses and widths that are known.
    """
    found = _SIZE.fullmatch(nominal.strip())
    if found is None or found[1] not in SOFTWOOD_THICKNESS or found[2] not in SOFTWOOD_WIDTH:
        raise BadInput(
            "{text} isn't a known size. Thicknesses are {thicknesses} and widths "
            "{widths}, for example 1x6.",
            text=nominal.strip()[:20],
            thicknesses=", ".join(SOFTWOOD_THICKNESS),
            widths=", ".join(SOFTWOOD_WIDTH),
        )
    return Dressed(
        f"{found[1]}x{found[2]}",
        SOFTWOOD_THICKNESS[found[1]].inches,
        SOFTWOOD_WIDTH[found[2]].inches,
    )


def hardwood_thickness(quarters: str) -> Fraction:
    """Return the inches that a rough thickness such as ``5/4`` keeps, surfaced two sides.

    Raises `BadInput`, with those that are known.
    """
    found = HARDWOOD_THICKNESS.get(quarters.strip())
    if found is None:
        raise BadInput(
            "{text} isn't a known thickness. Known are {known}.",
            text=quarters.strip()[:20],
            known=", ".join(HARDWOOD_THICKNESS),
        )
    return found.inches


@dataclass(frozen=True)
class Sawn:
    """A hardwood board as counted: nominal `thickness` and `width` in inches, `feet` long.

    Raises `BadInput`.
    """

    thickness: Fraction
    width: Fraction
    feet: int

    def __post_init__(self) -> None:
        for name in ("thickness", "width", "feet"):
            more_than_zero(f"board's {name}", getattr(self, name), "")


def surface_measure(board: Sawn, *, half_up: bool = True) -> int:
    """Return the square feet of a board's face, to a whole number: width x feet / 12.

    National Hardwood Lumber Association, quoted by the American Hardwood Information Center: round
    to the nearest. An exact half goes up for one board and down for the next: `half_up` says which.
    """
    exact = board.width * board.feet / INCHES_PER_FOOT
    whole, part = divmod(exact, 1)
    return int(whole) + (part > Fraction(1, 2) or (part == Fraction(1, 2) and half_up))


def board_feet(board: Sawn, *, half_up: bool = True) -> Fraction:
    """Return surface measure times thickness; below one inch it counts as one inch.

    National Hardwood Lumber Association; the rule for thin lumber from memory.
    """
    return surface_measure(board, half_up=half_up) * max(board.thickness, Fraction(1))


def tally(boards: Iterable[Sawn]) -> Fraction:
    """Return the board feet of a pile, in order: exact halves go up, down, up, down."""
    total, up = Fraction(0), True
    for board in boards:
        total += board_feet(board, half_up=up)
        if board.width * board.feet / INCHES_PER_FOOT % 1 == Fraction(1, 2):
            up = not up
    return total


def unrounded_board_feet(thickness: Fraction, width: Fraction, length: Fraction) -> Fraction:
    """Return nominal thickness x width x length, all in inches, / 144: how softwood is counted."""
    return thickness * width * length / 144


def price_of_board(
    price: Decimal, per: PricePer, length: Fraction, feet_of_board: Fraction = Fraction(0)
) -> Decimal:
    """Return the price of one board of `length` inches, to the cent, half up.

    `feet_of_board` are its board feet, where it is sold by them.
    Raises `BadInput`.
    """
    zero_or_more("price", price, "")
    if per == "piece":
        return cents(price)
    if per == "foot":
        return cents(Fraction(price) * length / INCHES_PER_FOOT)
    if per == "board foot":
        return cents(Fraction(price) * feet_of_board)
    raise BadInput(
        "A price can't be per {text}. Type it per piece, per foot or per board foot.", text=per
    )
