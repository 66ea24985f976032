"""Wide boards, and what is wanted from them: pieces of a width, and feet of cleats."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from crewdesk.errors import BadInput
from crewdesk.trade.boards.plan import BuyLine
from crewdesk.trade.boards.ripping import RipSaw
from crewdesk.trade.boards.stock import Saw, check_offer
from crewdesk.trade.bounds import more_than_zero, zero_or_more

First = Literal["rip", "crosscut"]


@dataclass(frozen=True)
class WideStock:
    """A board to be had: true `width` and `length` in inches, price and count of it.

    Raises `BadInput`.
    """

    name: str
    width: Fraction
    length: Fraction
    price: Decimal
    count: int | None = None

    def __post_init__(self) -> None:
        more_than_zero(f"length of the board {self.name}", self.length)
        more_than_zero(f"width of the board {self.name}", self.width)
        check_offer(self.name, self.price, self.count)


@dataclass(frozen=True)
class WideNeed:
    """`count` pieces of one width and length.

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
                "Of the piece {name} {count} are wanted; it must be one or more.",
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
    shortest: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        more_than_zero("width of the cleats", self.width)
        for name in ("length", "shortest"):
            zero_or_more(f"cleats' {name}", getattr(self, name))


@dataclass(frozen=True)
class Saws:
    """The crosscut saw and the ripping saw, and which of them may come first."""

    crosscut: Saw
    rip: RipSaw
    first: tuple[First, ...] = ("rip",)


@dataclass(frozen=True)
class Placed:
    """A piece or cleat on its board: from `start` to `end` along it and from `near` to
    `far` across it, in inches from the board's first end and first edge."""

    name: str
    start: Fraction
    end: Fraction
    near: Fraction
    far: Fraction


@dataclass(frozen=True)
class RipBoard:
    """One board: which cut comes first, its pieces and the cleats beside them."""

    stock: str
    width: Fraction
    length: Fraction
    price: Decimal
    first: First
    pieces: tuple[Placed, ...]
    cleats: tuple[Placed, ...]

    @property
    def waste(self) -> Fraction:
        """Inches of a whole board of this width that become neither piece nor cleat:
        the wasted area over the width."""
        used = sum(
            ((p.end - p.start) * (p.far - p.near) for p in (*self.pieces, *self.cleats)),
            Fraction(0),
        )
        return self.length - used / self.width


@dataclass(frozen=True)
class RipPlan:
    """The boards, what they cost and the cost that no plan of its kind (see `rip_model`) can
    be below.

    Cleats in inches: what was wanted, what of it the offcuts of boards with pieces
    cover, what boards bought for cleats alone cover, and what is left over beyond it.
    `first_fit` is what cutting by eye would cost, longest pieces first, and
    `first_fit_waste` its waste in inches of board; None where that runs out of boards.
    """

    boards: tuple[RipBoard, ...]
    buy: tuple[BuyLine, ...]
    cost: Decimal
    bound: Decimal
    cleats_wanted: Fraction
    cleats_from_offcuts: Fraction
    cleats_from_boards: Fraction
    cleats_left: Fraction
    first_fit: Decimal | None = None
    first_fit_waste: Fraction | None = None

    @property
    def optimal(self) -> bool:
        """Proven: no plan of its kind costs less."""
        return self.bound >= self.cost
