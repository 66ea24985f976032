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
class Piece:
    """One thing to cut: a piece, or several of one match that lie side by side.

    `parts` are names and lengths in the order in which they are cut.
    """

    length: Fraction
    parts: tuple[tuple[str, Fraction], ...]


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
    pieces: tuple[tuple[Piece, ...], ...]
    sources: tuple[Source, ...]
    stretch_of: tuple[Stretch, ...]
    money: Decimal


def pieces_of(needs: tuple[Need, ...], saw: Saw, together: bool) -> list[Piece]:
    """The things to cut; with `together`, the pieces of one match are one of them."""
    pieces: list[Piece] = []
    matches: dict[str, list[tuple[str, Fraction]]] = {}
    for need in needs:
        parts = [(need.name, need.length)] * need.count
        if together and need.match:
            matches.setdefault(need.match, []).extend(parts)
        else:
            pieces += [Piece(need.length, (part,)) for part in parts]
    for found in matches.values():
        found.sort(key=lambda part: (-part[1], part[0]))
        total = sum((length for _, length in found), saw.kerf * (len(found) - 1))
        pieces.append(Piece(total, tuple(found)))
    return pieces


def put(
    stocks: tuple[Stock, ...], on_hand: tuple[OnHand, ...], pieces: list[Piece], saw: Saw
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

    rows: dict[tuple[Fraction, bool], list[Piece]] = {}
    for piece in pieces:
        rows.setdefault((piece.length, len(piece.parts) > 1), []).append(piece)
    keys = sorted(rows, key=lambda key: (-key[0], key[1]))
    unit = length_unit(
        [saw.kerf, *(k[0] for k in keys), *(s.length for one in sources for s in one.stretches)]
    )
    money = money_unit(s.price for s in sources)

    cuts = tuple(
        Cut(int((length + saw.kerf) / unit), ((row, 1),)) for row, (length, _) in enumerate(keys)
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
        tuple(len(rows[key]) for key in keys),
        cuts,
        tuple(strips),
        tuple(boards),
        tuple(Limit((n,), count) for n, count in enumerate(counts) if count is not None),
        (tuple(row for row, (_, several) in enumerate(keys) if not several),),
    )
    named = tuple(tuple(sorted(rows[key], key=lambda p: p.parts)) for key in keys)
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
    task: OneWay, source: Source, filled: dict[int, list[Piece]], strips: list[int], saw: Saw
) -> CutBoard:
    pieces: list[CutPiece] = []
    left: list[Stretch] = []
    for strip in strips:
        place = task.stretch_of[strip]
        at = place.start
        for piece in sorted(filled.get(strip, []), key=lambda p: (-p.length, p.parts)):
            for name, length in piece.parts:
                pieces.append(CutPiece(name, at, at + length))
                at += length + saw.kerf
        if at < place.end:
            left.append(Stretch(at, place.end))
    return CutBoard(
        source.name, source.length, source.price, source.on_hand, tuple(pieces), tuple(left)
    )
