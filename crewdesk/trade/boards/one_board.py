"""All pieces of a beam from one clear stretch of one board, for the least money.

The pieces of a beam are cut as one block: sections along the board, in each the pieces
that lie side by side, crosscut at the longest of them, ripped, and each trimmed to its
length. For every width of board the shortest block is found by trying all ways to share
the pieces among sections; blocks are then cut from boards as pieces are.
"""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache

from crewdesk.errors import BadInput
from crewdesk.trade.boards.contents import contents
from crewdesk.trade.boards.cutting_plan import Progress
from crewdesk.trade.boards.first_fit import first_fit
from crewdesk.trade.boards.patience import Patience
from crewdesk.trade.boards.problem import Board, Cut, Layout, Limit, Problem, Strip
from crewdesk.trade.boards.rip_stock import Placed, RipBoard, Saws, WideNeed, WideStock
from crewdesk.trade.boards.ripping import RipSaw, clear_width
from crewdesk.trade.boards.short_of_boards import plan_within
from crewdesk.trade.boards.whole_units import length_unit, money_unit

MOST_OF_A_BEAM = 12
"""More parts of one beam than this would take too many ways to try."""

Section = tuple[WideNeed, ...]


@dataclass(frozen=True)
class OneBoardPlan:
    """The boards, what they cost and the cost that no plan of such blocks can be below;
    `first_fit` as in `RipPlan`."""

    boards: tuple[RipBoard, ...]
    cost: Decimal
    bound: Decimal
    first_fit: Decimal | None
    first_fit_waste: Fraction | None


def shortest_block(
    pieces: tuple[WideNeed, ...], across: Fraction, kerf: Fraction, rip: RipSaw
) -> tuple[Section, ...] | None:
    """The sections, longest first, that take the least length of a board `across` inches
    wide between its trimmed edges; None where a piece is wider than that."""
    order = sorted(pieces, key=lambda one: (-one.length, -one.width, one.name))

    def side_by_side(mask: int) -> Section:
        return tuple(one for place, one in enumerate(order) if mask >> place & 1)

    def fits(section: Section) -> bool:
        wide = sum((one.width for one in section), rip.kerf * (len(section) - 1))
        return wide <= across

    @cache
    def best(mask: int) -> tuple[Fraction, tuple[int, ...]] | None:
        if not mask:
            return Fraction(0), ()
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
    stocks: tuple[WideStock, ...],
    beams: tuple[tuple[WideNeed, ...], ...],
    saws: Saws,
    *,
    seconds: float = 30.0,
    stop: Callable[[], bool] = lambda: False,
    tell: Callable[[Progress], None] = lambda progress: None,
) -> OneBoardPlan:
    """The cheapest boards for beams, each a tuple of its pieces; a piece's name is its own.

    Raises `BadInput` where no board holds a beam's pieces,
    where boards run out, and where no plan is found in the time given.
    """
    kerf, trim = saws.crosscut.kerf, saws.crosscut.end_trim
    widths = [clear_width(one.width, saws.rip) for one in stocks]
    blocks = {
        (beam, across): shortest_block(pieces, across, kerf, saws.rip)
        for beam, pieces in enumerate(beams)
        for across in set(widths)
        if len(pieces) <= MOST_OF_A_BEAM
    }
    long = {
        key: sum((section[0].length for section in block), kerf * (len(block) - 1))
        for key, block in blocks.items()
        if block is not None
    }
    clear = [max(Fraction(0), one.length - 2 * trim) for one in stocks]
    for beam, pieces in enumerate(beams):
        holds = (
            long.get((beam, across), room + 1) <= room
            for across, room in zip(widths, clear, strict=True)
        )
        if not any(holds):
            named = ", ".join(one.name for one in pieces)
            raise BadInput(
                "No board is long and wide enough for {piece} together; a larger board, or "
                "not asking for one board for that beam, would help.",
                piece=named,
            )
    unit = length_unit([kerf, *long.values(), *clear])
    cuts = {key: place for place, key in enumerate(long)}
    strips = tuple(
        Strip(
            int((room + kerf) / unit),
            tuple(place for (_, wide), place in cuts.items() if wide == across),
        )
        for room, across in zip(clear, widths, strict=True)
    )
    money = money_unit(one.price for one in stocks)
    problem = Problem(
        (1,) * len(beams),
        tuple(Cut(int((length + kerf) / unit), ((beam, 1),)) for (beam, _), length in long.items()),
        strips,
        tuple(Board(int(s.price / money), ((place, 1),)) for place, s in enumerate(stocks)),
        tuple(Limit((n,), s.count) for n, s in enumerate(stocks) if s.count is not None),
    )
    patience = Patience(seconds, stop)
    by_eye = first_fit(problem)
    start = by_eye or _any_plan(problem, beams, patience)

    from crewdesk.trade.boards.cheapest import cheapest

    answer = cheapest(
        problem, start, patience, lambda cost, bound: tell(Progress(cost * money, bound * money))
    )
    keys = list(long)

    def laid(layout: Layout) -> tuple[RipBoard, ...]:
        filled = contents(problem, layout, [[beam] for beam in range(len(beams))])
        boards = []
        for place, every in filled.items():
            for content in every:
                found = [blocks[keys[cut]] for cut, beam in content if beam]
                if found:
                    boards.append(_board(stocks[place], [b for b in found if b], saws))
        boards.sort(key=lambda b: (-b.width, -b.length, b.stock, [p.name for p in b.pieces]))
        return tuple(boards)

    boards = laid(answer.layout)
    cost = sum((one.price for one in boards), Decimal(0))
    eye = () if by_eye is None else laid(by_eye)
    return OneBoardPlan(
        boards,
        cost,
        min(cost, answer.bound * money + 0 * cost),
        None if by_eye is None else sum((one.price for one in eye), Decimal(0)),
        None if by_eye is None else sum((one.waste for one in eye), Fraction(0)),
    )


def _board(stock: WideStock, blocks: list[tuple[Section, ...]], saws: Saws) -> RipBoard:
    placed: list[Placed] = []
    at = saws.crosscut.end_trim
    for section in (section for block in blocks for section in block):
        near = saws.rip.edge_trim
        for one in section:
            placed.append(Placed(one.name, at, at + one.length, near, near + one.width))
            near += one.width + saws.rip.kerf
        at += section[0].length + saws.crosscut.kerf
    return RipBoard(
        stock.name, stock.width, stock.length, stock.price, "crosscut", tuple(placed), ()
    )


def _any_plan(
    problem: Problem, beams: tuple[tuple[WideNeed, ...], ...], patience: Patience
) -> Layout:
    found = plan_within(problem, tuple(b.strips for b in problem.boards), patience)
    if isinstance(found, Layout):
        return found
    if not found.more:
        raise BadInput(
            "No plan was found in the time given that keeps to the boards at hand; more time "
            "or {more} more boards would help.",
            more=found.found,
        )
    raise BadInput(
        "There are too few boards for the piece {piece} and the rest; at least {more} more "
        "would help.",
        piece=beams[found.row][0].name,
        more=found.more,
    )
