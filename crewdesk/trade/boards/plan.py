"""A cutting plan as it is handed on: which boards, and what is cut where on each."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from crewdesk.trade.boards.stock import Stretch


@dataclass(frozen=True)
class CutPiece:
    """A piece on its board, from `start` to `end` inches from the board's first end."""

    name: str
    start: Fraction
    end: Fraction

    @property
    def length(self) -> Fraction:
        return self.end - self.start


@dataclass(frozen=True)
class CutBoard:
    """One board with its pieces in the order in which they lie.

    `left` are the whole stretches that remain beside the pieces, the kerfs taken off.
    """

    stock: str
    length: Fraction
    price: Decimal
    on_hand: bool
    pieces: tuple[CutPiece, ...]
    left: tuple[Stretch, ...]

    @property
    def waste(self) -> Fraction:
        """All of the board that becomes no piece: kerfs, trim, bad wood and what is left."""
        return self.length - sum((p.length for p in self.pieces), Fraction(0))


@dataclass(frozen=True)
class BuyLine:
    """`count` boards of one stock, and what they cost together."""

    stock: str
    length: Fraction
    count: int
    cost: Decimal


@dataclass(frozen=True)
class CuttingPlan:
    """The boards, what they cost, and the cost that no plan can be below.

    `first_fit` is what cutting by eye would cost, longest pieces first, or None where
    that runs out of boards; `first_fit_waste` is that plan's waste in inches.
    """

    boards: tuple[CutBoard, ...]
    buy: tuple[BuyLine, ...]
    cost: Decimal
    bound: Decimal
    first_fit: Decimal | None = None
    first_fit_waste: Fraction | None = None

    @property
    def optimal(self) -> bool:
        """Proven: no plan costs less."""
        return self.bound >= self.cost

    @property
    def gap(self) -> Decimal:
        """By how much a cheaper plan could still undercut this one, at the most."""
        return max(Decimal(0), self.cost - self.bound)

    @property
    def waste(self) -> Fraction:
        """Inches of all these boards that become no piece."""
        return sum((b.waste for b in self.boards), Fraction(0))


def buying_list(boards: tuple[CutBoard, ...]) -> tuple[BuyLine, ...]:
    """The boards to buy, counted by stock, longest first."""
    lines: dict[tuple[str, Fraction, Decimal], int] = {}
    for board in boards:
        if not board.on_hand:
            key = (board.stock, board.length, board.price)
            lines[key] = lines.get(key, 0) + 1
    return tuple(
        BuyLine(name, length, count, price * count)
        for (name, length, price), count in sorted(
            lines.items(), key=lambda item: (-item[0][1], item[0][0])
        )
    )
