"""What is to be bought of a takeoff, by size, with the spare boards."""

from collections import Counter
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from crewdesk.job.lumber.board import Board
from crewdesk.job.lumber.board_feet import board_feet_of
from crewdesk.job.lumber.takeoff import Takeoff
from crewdesk.trade.boards.consumables import Spare, with_spare


@dataclass(frozen=True)
class Buy:
    """`count` boards of one size and length, the `bought` ones among them, and `spare` ones
    beside them; `each` is the price of one."""

    label: str
    size: str
    thickness: Fraction
    width: Fraction
    length: Fraction
    count: int
    bought: int
    spare: int
    each: Decimal
    rows: tuple[str, ...]

    @property
    def cost(self) -> Decimal:
        """Of all but the spare ones."""
        return self.each * self.count

    @property
    def board_feet(self) -> Fraction:
        """Of all but the spare ones."""
        return board_feet_of(self.size, self.thickness, self.width, [self.length] * self.count)


def buying_list(takeoff: Takeoff, spare: Spare) -> tuple[Buy, ...]:
    """The boards to buy by size, the widest and the longest first. The spare boards of a
    size are of its longest length."""
    groups: dict[tuple[str, Fraction, Fraction, Fraction, Decimal], list[Board]] = {}
    for board in takeoff.boards:
        if not board.hand:
            key = (board.label, board.thickness, board.width, board.length, board.price)
            groups.setdefault(key, []).append(board)
    sizes = Counter((k[0], k[1], k[2]) for k, boards in groups.items() for _ in boards)
    found, had = [], set()
    for key, boards in sorted(groups.items(), key=lambda g: (-g[0][2], g[0][0], -g[0][3], g[0][4])):
        label, thickness, width, length, each = key
        size = (label, thickness, width)
        more = 0 if size in had else with_spare(sizes[size], spare) - sizes[size]
        had.add(size)
        found.append(
            Buy(
                label,
                boards[0].size,
                thickness,
                width,
                length,
                len(boards),
                sum(one.state != "to buy" for one in boards),
                more,
                each,
                tuple(one.row for one in boards),
            )
        )
    return tuple(found)
