"""The lines of the material: what to buy by size, and each board with its cuts to scale."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from crewdesk.job.lumber.buying_list import Buy
from crewdesk.job.lumber.kept import label_of
from crewdesk.job.lumber.takeoff import Board, CutFrom
from crewdesk.job.record import Record
from crewdesk.length import SIXTY_FOURTH, Step
from crewdesk.paper.lengths import board_length, cell_scales, with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.text.plan_summary import bar, rows_of, scarfed, splice_ends
from crewdesk.paper.text.takeoff import buy_head, buy_total
from crewdesk.screens.parts.canvas import TEXTURES, Canvas, Points, Scale
from crewdesk.screens.parts.lines import Row
from crewdesk.sentence import many
from crewdesk.trade.boards.stock import OnBoard, Placed, Saws, Stretch, Strip, leftovers, strip_rows

_SIGNS = {"to buy": "□", "bought": "◪", "cut": "✓", "spoiled": "x"}


def buy_rows(buy: tuple[Buy, ...]) -> list[Row]:
    """A head for each size, a line for each length, and the total."""
    rows = [Row((" Buy", "head"), ("   □ to buy  ◪ some bought  ✓ all bought", "muted"))]
    head = ""
    for one in buy:
        if buy_head(one) != head:
            head = buy_head(one)
            rows.append(Row((f" {head}", "strong")))
        sign = "✓" if one.bought == one.count else "◪" if one.bought else "□"
        more = f"  {one.bought} bought" if 0 < one.bought < one.count else ""
        more += f"  and {one.spare} spare" if one.spare else ""
        told = f"  {sign} {one.count:>3} x {board_length(one.length):<9}"
        cost = f"{one.each:>10,.2f} each{_money(one.cost):>12}"
        key = f"buy:{','.join(one.rows)}"
        rows.append(Row((told, "text"), (cost, "text"), (more, "muted"), key=key))
    rows.append(Row((f" {buy_total(buy)}", "strong")))
    return rows


def board_rows(record: Record, boards: Sequence[Board], width: int) -> list[Row]:
    """Each board: its sign and number, its bar to one scale, what is cut from it."""
    scarfs = scarfed(record, boards)
    signs = "   = piece  - cleat  | cut  . waste  x defect" + "  / scarf" * scarfs
    rows = [Row(), Row((" Boards", "head"), (signs, "muted"))]
    longest = max((one.length for one in boards), default=Fraction(1))
    columns = max(12, width // 2 - 14)
    for one in boards:
        sign = "◨" if one.hand and one.state == "bought" else _SIGNS[one.state]
        told = f" {sign} {one.row:>3} {one.size[:7]:<7} {board_length(one.length):<8}"
        row = next((r for _, r in rows_of(one)), [])
        drawn = (
            "spoiled" if one.state == "spoiled" else bar(one, row, columns, longest, scarfs=scarfs)
        )
        ink = "muted" if one.state in ("cut", "spoiled") else "text"
        rows.append(
            Row(
                (told, ink),
                (f"{drawn:<{columns}} ", ink),
                (_names(record, one), "muted"),
                key=f"board:{one.row}",
            )
        )
    return rows


def _names(record: Record, board: Board) -> str:
    if board.state == "spoiled":
        return ""
    told = [label_of(record, one) for one in board.pieces]
    if board.cleats:
        count = len(board.cleats)
        told.append(f"{many(count, 'cleat')}")
    return ", ".join(told) or "nothing is cut from it"


def text_rows(head: str, lines: Iterable[str]) -> list[Row]:
    """Lines under a head that the cursor passes over."""
    return [Row(), Row((f" {head}", "head")), *(Row((f" {one}", "text")) for one in lines)]


def _money(amount: Decimal) -> str:
    return f"{amount:,.2f}"


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
