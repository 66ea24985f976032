"""Crosscutting boards, put to the solver in whole numbers, and its answer laid out."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from crewdesk.trade.boards.contents import contents
from crewdesk.trade.boards.plan import CutBoard, CutPiece
from crewdesk.trade.boards.problem import Board, Cut, Layout, Limit, Problem, Strip
from crewdesk.trade.boards.stock import Need, OnHand, Saw, Stock, Stretch, clear_stretches
from crewdesk.trade.boards.whole_units import length_unit, money_unit


@dataclass(frozen=True)
class Source:
    """A kind of board as the solver knows it."""

    name: str
    length: Fraction
    price: Decimal
    on_hand: bool
    stretches: tuple[Stretch, ...]


@dataclass(frozen=True)
class OneWay:
    """The problem in whole numbers, and what its numbers stand for.

    `pieces` by row; `sources` by board; `stretch_of` gives each strip's place.
    """

    problem: Problem
    pieces: tuple[tuple[Need, ...], ...]
    sources: tuple[Source, ...]
    stretch_of: tuple[Stretch, ...]
    money: Decimal


def put(
    stocks: tuple[Stock, ...], on_hand: tuple[OnHand, ...], needs: tuple[Need, ...], saw: Saw
) -> OneWay:
    """The problem of cutting these pieces from these boards at the least price.

    Both a piece and a clear stretch are lengthened by one kerf (see `stock`).
    """
    sources, counts = [], []
    for stock in stocks:
        clear = clear_stretches(stock.length, saw)
        sources.append(Source(stock.name, stock.length, stock.price, False, clear))
        counts.append(stock.count)
    for board in on_hand:
        clear = clear_stretches(board.length, saw, board.bad)
        sources.append(Source(board.name, board.length, Decimal(0), True, clear))
        counts.append(1)

    rows: dict[Fraction, list[Need]] = {}
    for need in needs:
        rows.setdefault(need.length, []).extend([need] * need.count)
    lengths = sorted(rows, reverse=True)
    unit = length_unit([saw.kerf, *lengths, *(s.length for one in sources for s in one.stretches)])
    money = money_unit(s.price for s in sources)

    cuts = tuple(
        Cut(int((length + saw.kerf) / unit), ((row, 1),)) for row, length in enumerate(lengths)
    )
    every = tuple(range(len(cuts)))
    strips: list[Strip] = []
    boards: list[Board] = []
    for source in sources:
        first = len(strips)
        strips += [Strip(int((s.length + saw.kerf) / unit), every) for s in source.stretches]
        yields = tuple((strip, 1) for strip in range(first, len(strips)))
        boards.append(Board(int(source.price / money), yields))
    problem = Problem(
        tuple(len(rows[length]) for length in lengths),
        cuts,
        tuple(strips),
        tuple(boards),
        tuple(Limit((n,), count) for n, count in enumerate(counts) if count is not None),
        (tuple(range(len(lengths))),),
        {row: row - 1 for row in range(1, len(lengths))},
    )
    named = tuple(tuple(sorted(rows[length], key=lambda n: n.name)) for length in lengths)
    places = tuple(s for one in sources for s in one.stretches)
    return OneWay(problem, named, tuple(sources), places, money)


def lay_out(task: OneWay, layout: Layout, saw: Saw) -> tuple[CutBoard, ...]:
    """Every board of a layout, with its pieces in place, longest first.

    A cut that is not needed for its own piece takes the longest shorter piece that is
    still to be cut, which `Problem.chains` allows. A board left without any is not used.
    """
    cut = contents(task.problem, layout, [list(pieces) for pieces in task.pieces])
    boards: list[CutBoard] = []
    for number, source in enumerate(task.sources):
        strips = [strip for strip, _ in task.problem.boards[number].strips]
        for _ in range(layout.boards[number]):
            filled = {s: [p for _, ps in cut[s].pop() for p in ps] for s in strips if cut[s]}
            if any(filled.values()):
                boards.append(_board(task, source, filled, strips, saw))
    boards.sort(key=lambda b: (not b.on_hand, -b.length, b.stock, [_order(p) for p in b.pieces]))
    return tuple(boards)


def _order(piece: CutPiece) -> tuple[Fraction, str]:
    return (-piece.length, piece.name)


def _board(
    task: OneWay, source: Source, filled: dict[int, list[Need]], strips: list[int], saw: Saw
) -> CutBoard:
    pieces: list[CutPiece] = []
    left: list[Stretch] = []
    for strip in strips:
        place = task.stretch_of[strip]
        at = place.start
        for piece in sorted(filled.get(strip, []), key=lambda p: (-p.length, p.name)):
            pieces.append(CutPiece(piece.name, at, at + piece.length))
            at += piece.length + saw.kerf
        if at < place.end:
            left.append(Stretch(at, place.end))
    return CutBoard(
        source.name, source.length, source.price, source.on_hand, tuple(pieces), tuple(left)
    )
