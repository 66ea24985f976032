"""A board of the plan to scale: its pieces and cleats, the kerfs between them, the waste."""

from fractions import Fraction
from math import ceil

from crewdesk.job.lumber.board import Board, CutFrom
from crewdesk.paper.board_bar import splice_ends
from crewdesk.paper.lengths import with_unit
from crewdesk.paper.plain import plain
from crewdesk.screens.canvas import Canvas, Scale
from crewdesk.trade.boards.rip_stock import Placed
from crewdesk.trade.length import Step

_LEAST = 3
"""Fewer rows than this are too few to draw in."""


def cut_board_picture(
    board: Board,
    names: dict[CutFrom, str],
    step: Step,
    columns: int,
    rows: int,
    *,
    scarfs: bool = False,
) -> Canvas | None:
    """The whole board filling `columns` by `rows`; length and width have scales of their own.

    Waste is stippled, pieces are solid with their names on them, cleats dense, bad wood
    hatched; every cut is a line, with `scarfs` a slanted one where parts are spliced. None
    where there is no room.
    """
    if rows < _LEAST or columns < 20:
        return None
    canvas = Canvas(columns, rows)
    scale = Scale(columns / float(board.length), rows / float(board.width), row=rows)
    canvas.fill([(0, 0), (columns, 0), (columns, rows), (0, rows)], "waste")
    for piece in board.pieces:
        _fill(canvas, scale, piece, "board")
    for bad in board.bad:
        whole = Placed("", bad.start, bad.end, Fraction(0), board.width)
        _fill(canvas, scale, whole, "wall")
    for cleat in board.cleats:
        _fill(canvas, scale, cleat, "cleat")
    slanted = splice_ends(board) if scarfs else set()
    every: tuple[CutFrom | Placed, ...] = (*board.pieces, *board.cleats)
    for one in every:
        _cuts(canvas, scale, one, slanted)
    for piece in board.pieces:
        _name(canvas, scale, piece, plain(names[piece]), with_unit(piece.length, step))
    for cleat in board.cleats:
        told = f" cleat {with_unit(cleat.end - cleat.start, step)} "
        _write(canvas, scale, cleat, (told, " cleat "))
    return canvas


def _fill(canvas: Canvas, scale: Scale, one: CutFrom | Placed, ink: str) -> None:
    """Fill a piece in whole rows, and along the board to half a column."""
    _, _, high, low = _box(scale, one, canvas.rows)
    left, right = (scale.at(x, 0)[0] for x in (one.start, one.end))
    canvas.fill([(left, high), (right, high), (right, low + 1), (left, low + 1)], ink)


def _box(scale: Scale, one: CutFrom | Placed, rows: int) -> tuple[int, int, int, int]:
    """First and last column, top and bottom row of a piece, each at least one wide."""
    left, bottom = scale.at(one.start, one.near)
    right, top = scale.at(one.end, one.far)
    first, last = int(left), ceil(right) - 1
    high = min(rows - 1, round(top))
    low = max(high, min(rows - 1, round(bottom) - 1))
    return first, last, high, low


def _cuts(
    canvas: Canvas, scale: Scale, one: CutFrom | Placed, slanted: set[tuple[Fraction, Fraction]]
) -> None:
    first, last, high, low = _box(scale, one, canvas.rows)
    for column, end in ((first, one.start), (last, one.end)):
        canvas.down(column, high, low, "╱" if (end, one.near) in slanted else "│")


def _name(canvas: Canvas, scale: Scale, one: CutFrom, name: str, length: str) -> None:
    _write(canvas, scale, one, (f" {name} {length} ", f" {length} ", length))


def _write(canvas: Canvas, scale: Scale, one: CutFrom | Placed, texts: tuple[str, ...]) -> None:
    """The first of some texts that there is room for, in a piece's middle."""
    first, last, high, low = _box(scale, one, canvas.rows)
    for text in texts:
        if len(text) <= last - first - 1:
            canvas.centred((first + last + 1) / 2, (high + low) // 2, text)
            return
