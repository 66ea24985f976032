"""A board of the plan, drawn to scale: its pieces and cleats, the cuts and the waste."""

from collections.abc import Mapping
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from crewdesk.job.lumber.board import Board, CutFrom
from crewdesk.length import SIXTY_FOURTH, Step
from crewdesk.paper.board_bar import splice_ends
from crewdesk.paper.lengths import with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.scale_text import cell_scales
from crewdesk.screens.canvas import TEXTURES, Canvas, Points, Scale
from crewdesk.trade.boards.cut_board import Strip, leftovers, strip_rows
from crewdesk.trade.boards.stock import OnBoard, Placed, Saws, Stretch

_LEAST = 4
"""Fewer rows than this are too few to draw in."""
_LEGEND = "   ".join(
    f"{TEXTURES[ink]} {name}"
    for ink, name in (("waste", "waste"), ("cleat", "cleat"), ("wall", "defect"))
)


def cut_board_picture(
    board: Board,
    names: dict[CutFrom, str],
    saws: Saws,
    step: Step,
    columns: int,
    rows: int,
    *,
    scarfs: bool = False,
) -> Canvas | None:
    """The whole board, `columns` by `rows` cells with the line that states its scales.

    Length and width have scales of their own. Waste is stippled, pieces are solid with
    their names on them, cleats dense, defects hatched. Every cut is a line, with `scarfs`
    a slanted one where parts are spliced. `saws` say what the kerfs take of the waste.
    None where there is no room.
    """
    if rows < _LEAST or columns < 20:
        return None
    high = rows - 1
    every, whole = board.on_it, Stretch(Fraction(0), board.length)
    drawn = _Drawn(
        Canvas(columns, rows),
        Scale(columns / float(board.length), high / float(board.width), row=high),
        strip_rows([(one.near, one.far) for one in every], board.width, high),
    )
    canvas, scale = drawn.canvas, drawn.scale
    canvas.fill([(0, 0), (columns, 0), (columns, high), (0, high)], "waste")
    for one in leftovers(whole, board.width, board.first, every, saws, SIXTY_FOURTH, SIXTY_FOURTH):
        canvas.fill(scale.shape(_corners(one)), "waste")
    for piece in board.pieces:
        drawn.fill(piece, "board")
    for bad in board.bad:
        defect = Placed("", bad.start, bad.end, Fraction(0), board.width)
        canvas.fill(scale.shape(_corners(defect)), "wall")
    for cleat in board.cleats:
        drawn.fill(cleat, "cleat")
    slanted = splice_ends(board) if scarfs else set()
    for at in every:
        drawn.cuts(at, slanted)
    for piece in board.pieces:
        name, length = plain(names[piece]), with_unit(piece.length, step)
        drawn.write(piece, (f" {name} {length} ", f" {length} ", length))
    for cleat in board.cleats:
        drawn.write(cleat, (f" cleat {with_unit(cleat.end - cleat.start, step)} ", " cleat "))
    scales = cell_scales(scale.column_inches, scale.row_inches, step)
    if any(at.far - at.near < scale.row_inches for at in every):
        scales = (*(f"{one}, a strip at least 1" for one in scales), scales[-1])
    texts = (f"{scales[0]}   {_LEGEND}", *scales)
    canvas.write(0, high, next((text for text in texts if len(text) <= columns), ""), "hint")
    return canvas


def _corners(one: Placed) -> Points:
    return (
        (one.start, one.near),
        (one.end, one.near),
        (one.end, one.far),
        (one.start, one.far),
    )


class _Drawn(NamedTuple):
    """A board's drawing; `strips` are the rows of each strip, counted from below."""

    canvas: Canvas
    scale: Scale
    strips: Mapping[Strip, tuple[int, int]]

    def fill(self, one: OnBoard, ink: str) -> None:
        """Fill a piece in whole rows, and along the board to half a column."""
        _, _, high, low = self._box(one)
        left, right = (self.scale.at(x, 0)[0] for x in (one.start, one.end))
        self.canvas.fill([(left, high), (right, high), (right, low + 1), (left, low + 1)], ink)

    def _box(self, one: OnBoard) -> tuple[int, int, int, int]:
        """First and last column, top and bottom row of a piece, each at least one wide."""
        first, after = self.strips[one.near, one.far]
        foot = int(self.scale.row)
        left, right = (self.scale.at(x, 0)[0] for x in (one.start, one.end))
        return int(left), ceil(right) - 1, foot - after, foot - first - 1

    def cuts(self, one: OnBoard, slanted: set[tuple[Fraction, Fraction]]) -> None:
        """A line at both ends of a piece, a slanted one at a scarf."""
        first, last, high, low = self._box(one)
        for column, end in ((first, one.start), (last, one.end)):
            self.canvas.down(column, high, low, "╱" if (end, one.near) in slanted else "│")

    def write(self, one: OnBoard, texts: tuple[str, ...]) -> None:
        """The first of some texts that there is room for, in a piece's middle."""
        first, last, high, low = self._box(one)
        for text in texts:
            if len(text) <= last - first - 1:
                self.canvas.centred((first + last + 1) / 2, (high + low) // 2, text)
                return
