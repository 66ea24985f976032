"""A rip plan's problem with what its numbers stand for, and its answer laid out."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from crewdesk.trade.boards.contents import contents
from crewdesk.trade.boards.problem import Layout, Problem
from crewdesk.trade.boards.rip_stock import First, Placed, RipBoard, Saws, WideStock


@dataclass(frozen=True)
class WidePiece:
    name: str
    width: Fraction
    length: Fraction


@dataclass(frozen=True)
class TwoWays:
    """The problem in whole numbers, and what they stand for.

    `pieces` by row; `stock` and `way` (the widths, widest first) by board, the way empty
    where the board is crosscut first; `strips` maps (length, width) to a strip;
    `section` is the length and the way of each cut; `cleat` is the cleats' width.
    """

    problem: Problem
    first: First
    money: Decimal
    pieces: tuple[tuple[WidePiece, ...], ...]
    stock: tuple[WideStock, ...]
    way: tuple[tuple[Fraction, ...], ...]
    strips: dict[tuple[Fraction, Fraction], int]
    section: tuple[tuple[Fraction, tuple[Fraction, ...]], ...]
    cleat: Fraction | None


_Filled = dict[int, list[list[tuple[int, list[WidePiece]]]]]


def lay_out(task: TwoWays, layout: Layout, saws: Saws) -> tuple[RipBoard, ...]:
    """Every board of a layout with its pieces and cleats in place."""
    filled = contents(task.problem, layout, [list(pieces) for pieces in task.pieces])
    place = _ripped if task.first == "rip" else _crosscut
    boards = [
        board
        for number, times in enumerate(layout.boards)
        for board in (place(task, number, filled, saws) for _ in range(times))
        if board.pieces or board.cleats
    ]
    boards.sort(key=lambda b: (-b.width, -b.length, b.stock, [p.name for p in b.pieces]))
    return tuple(boards)


def _ripped(task: TwoWays, number: int, filled: _Filled, saws: Saws) -> RipBoard:
    stock, trim = task.stock[number], saws.crosscut.end_trim
    along = stock.length - 2 * trim
    pieces: list[Placed] = []
    cleats: list[Placed] = []
    near = saws.rip.edge_trim
    for width in task.way[number]:
        waiting = filled[task.strips[along, width]]
        at = trim
        for _, found in sorted(waiting.pop(), key=lambda cut: cut[0]) if waiting else ():
            for piece in found:
                pieces.append(Placed(piece.name, at, at + piece.length, near, near + width))
                at += piece.length + saws.crosscut.kerf
        if width == task.cleat:
            cleats.append(Placed("cleat", trim, trim + along, near, near + width))
        near += width + saws.rip.kerf
    return _board(stock, "rip", pieces, cleats)


def _crosscut(task: TwoWays, number: int, filled: _Filled, saws: Saws) -> RipBoard:
    stock = task.stock[number]
    waiting = filled[task.problem.boards[number].strips[0][0]]
    pieces: list[Placed] = []
    cleats: list[Placed] = []
    at = saws.crosscut.end_trim
    for cut, found in waiting.pop() if waiting else ():
        length, way = task.section[cut]
        here = list(found)
        near = saws.rip.edge_trim
        for width in way:
            if width == task.cleat:
                cleats.append(Placed("cleat", at, at + length, near, near + width))
            piece = next((p for p in here if p.width == width), None)
            if piece is not None:
                here.remove(piece)
                pieces.append(Placed(piece.name, at, at + length, near, near + width))
            near += width + saws.rip.kerf
        at += length + saws.crosscut.kerf
    return _board(stock, "crosscut", pieces, cleats)


def _board(stock: WideStock, first: First, pieces: list[Placed], cleats: list[Placed]) -> RipBoard:
    return RipBoard(
        stock.name, stock.width, stock.length, stock.price, first, tuple(pieces), tuple(cleats)
    )
