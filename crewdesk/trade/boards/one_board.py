"""Cut all pieces of a beam from one clear stretch of one board, for the least money.

The pieces of a beam are cut as one block: sections along the board, in each the pieces side by
side, crosscut at the longest of them, ripped, and each trimmed to its length. For every width of
board the shortest block is found by trying all ways to share the pieces among sections; blocks are
then cut from boards as pieces are.
"""

from fractions import Fraction
from functools import cache

from crewdesk.errors import BadInput
from crewdesk.trade.boards.cutting_plan import CuttingPlan, Tell, cheapest_plan
from crewdesk.trade.boards.problem import (
    Board,
    Clear,
    Cut,
    Limit,
    Model,
    Part,
    Problem,
    Section,
    Strip,
    TimeLimit,
    clear_wood,
    length_unit,
    money_unit,
)
from crewdesk.trade.boards.stock import NONE, Need, Saws, Stock

MOST_OF_A_BEAM = 12
"""The most parts of one beam; more would have too many arrangements."""

Block = tuple[tuple[Need, ...], ...]
"""A block's sections, longest first."""


def shortest_block(
    pieces: tuple[Need, ...], across: Fraction, kerf: Fraction, rip_kerf: Fraction
) -> Block | None:
    """Return the block that takes the least length of a board `across` inches wide between its
    trimmed edges; or None if a piece is wider than that."""
    order = sorted(pieces, key=lambda one: (-one.length, -one.width, one.name))

    def side_by_side(mask: int) -> tuple[Need, ...]:
        return tuple(one for place, one in enumerate(order) if mask >> place & 1)

    def fits(section: tuple[Need, ...]) -> bool:
        wide = sum((one.width for one in section), rip_kerf * (len(section) - 1))
        return wide <= across

    @cache
    def best(mask: int) -> tuple[Fraction, tuple[int, ...]] | None:
        if not mask:
            return NONE, ()
        longest = mask & -mask
        rest, part, found = mask ^ longest, mask ^ longest, None
        while True:
            section = side_by_side(part | longest)
            if fits(section) and (after := best(rest ^ part)) is not None:
                long = section[0].length + kerf + after[0]
                if found is None or long < found[0]:
                    found = (long, (part | longest, *after[1]))
            if not part:
                return found
            part = (part - 1) & rest

    found = best((1 << len(order)) - 1)
    return None if found is None else tuple(side_by_side(mask) for mask in found[1])


def one_board_plan(
    stocks: tuple[Stock, ...],
    beams: tuple[tuple[Need, ...], ...],
    saws: Saws,
    *,
    limit: TimeLimit | None = None,
    tell: Tell = lambda progress: None,
) -> CuttingPlan:
    """Return the cheapest boards for beams, each a tuple of its pieces, with unique names. No plan
    of such blocks costs less than the plan's bound.

    Raises `BadInput` if no board holds a beam's pieces, if boards run out, and if no plan is found
    in the time given.
    """
    model = _model(clear_wood(stocks, saws), beams, saws)
    return cheapest_plan(model, saws, NONE, limit or TimeLimit(), tell)


def _model(wood: tuple[Clear, ...], beams: tuple[tuple[Need, ...], ...], saws: Saws) -> Model:
    kerf = saws.kerf
    across = [saws.clear_width(one.stock.width) for one in wood]
    blocks: dict[tuple[int, Fraction], Block] = {}
    for beam, pieces in enumerate(beams):
        for width in dict.fromkeys(across):
            if len(pieces) <= MOST_OF_A_BEAM and (
                block := shortest_block(pieces, width, kerf, saws.rip_kerf)
            ):
                blocks[beam, width] = block
    # One kerf is added to each block, and to each board.
    long = {
        key: sum((section[0].length + kerf for section in block), NONE)
        for key, block in blocks.items()
    }
    rooms = [one.stretch.length + kerf for one in wood]
    for beam, pieces in enumerate(beams):
        if not any(
            (beam, width) in long and long[beam, width] <= room
            for width, room in zip(across, rooms, strict=True)
        ):
            raise BadInput(
                "No board is long and wide enough for {piece} together. Use a larger "
                "board, or don't ask for one board for that beam.",
                piece=", ".join(one.name for one in pieces),
            )
    unit, money = length_unit([*long.values(), *rooms]), money_unit(one.stock.price for one in wood)
    keys = list(blocks)
    problem = Problem(
        (1,) * len(beams),
        tuple(Cut(int(length / unit), ((beam, 1),)) for (beam, _), length in long.items()),
        tuple(
            Strip(int(room / unit), tuple(n for n, (_, wide) in enumerate(keys) if wide == width))
            for width, room in zip(across, rooms, strict=True)
        ),
        tuple(Board(int(one.stock.price / money), ((n, 1),)) for n, one in enumerate(wood)),
        tuple(
            Limit((n,), one.stock.most) for n, one in enumerate(wood) if one.stock.most is not None
        ),
    )

    def sections(cut: int, found: list[int]) -> list[Section]:
        block = blocks[keys[cut]] if found else ()
        return [
            (section[0].length, sorted(((one.width, one) for one in section), key=_widest_first))
            for section in block
        ]

    return Model(
        problem,
        money,
        (problem,),
        wood,
        tuple(((n, width),) for n, width in enumerate(across)),
        frozenset(range(len(wood))),
        tuple((beam,) for beam in range(len(beams))),
        tuple(pieces[0].name for pieces in beams),
        sections,
    )


def _widest_first(part: Part) -> Fraction:
    return -part[0]
