"""The lines of the material: the buying list by size, and each board with its cuts to scale."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from math import ceil
from textwrap import wrap
from typing import NamedTuple

from crewdesk.job.lumber.buying_list import Buy
from crewdesk.job.lumber.kept import label_of
from crewdesk.job.lumber.takeoff import Board, CutFrom
from crewdesk.job.record import Record
from crewdesk.length import SIXTY_FOURTH, Step
from crewdesk.paper.documents.letter import money
from crewdesk.paper.lengths import board_length, cell_scales, with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.text.plan_summary import rows_of, scarfed, splice_ends
from crewdesk.paper.text.takeoff import buy_besides, buy_total
from crewdesk.screens.parts.canvas import CELL, TEXTURES, Canvas, Points, Scale
from crewdesk.screens.parts.lines import Row
from crewdesk.screens.parts.list_page import fit
from crewdesk.screens.parts.stick import Part, dimension, place, ruled, stick
from crewdesk.trade.boards.stock import OnBoard, Placed, Saws, Stretch, Strip, leftovers, strip_rows

_SIGNS = {"to buy": "□", "bought": "◪", "cut": "✓", "spoiled": "x"}


_WIDE = 70
"""The columns from which there is room for the stick, and for the unit price."""
_BOUGHT = 7, 12
"""The columns of the stick of bought boards."""
_ROOMY = 78
"""The columns from which there is room for the stick, and for the unit price."""


def buy_rows(buy: tuple[Buy, ...], width: int, cost: Decimal) -> list[Row]:
    """Return a line for each size and length, with how many are bought, and the total; `cost` is in
    sight above them."""
    spare = "  +1 a spare" if any(one.spare for one in buy) else ""
    rows = [Row(*ruled(f"Buy: □ to buy  ◪ some bought  ✓ all bought{spare}", width))]
    most = max((one.count for one in buy), default=1)
    roomy = width >= _WIDE
    drawn = _BOUGHT[width >= _ROOMY]
    room = min(max(width - (44 + drawn if roomy else 30), 8), 40)
    for one in buy:
        sign = "□" if not one.bought else "◪" if one.left else "✓"
        ink = "muted" if not one.left else "strong"
        more = f"+{one.spare}" if one.spare else ""
        rows.append(
            Row(
                (f" {sign} {one.count:>3}{more:<3}x {board_length(one.length):<7} ", ink),
                (fit(one.label, room), "muted" if not one.left else "text"),
                (" ", "text"),
                *(stick(_bought(one, most, drawn), one.count, most, drawn) if roomy else ()),
                *([(f"{money(one.each):>9} each", "muted")] if roomy else []),
                (f"{money(one.cost):>11}", ink),
                key=f"buy:{','.join(one.rows)}",
            )
        )
    same = sum((one.cost for one in buy), Decimal(0)) == cost
    total = buy_besides(buy) if same else buy_total(buy)
    rows += [Row((f" {line}", "text")) for line in wrap(total, width - 2)]
    return rows


def _bought(one: Buy, most: int, width: int) -> Fraction:
    """Return how many of a line are drawn as bought: short of the notch by a column at least while
    there are some left to buy."""
    bought = Fraction(one.bought)
    if not one.left or not bought:
        return bought
    return max(min(bought, one.count - Fraction(3 * most, 2 * width)), Fraction(1, 100))


_HEAD = 21
"""The columns of a board's sign, number, size and length."""


def board_rows(
    record: Record, boards: Sequence[Board], width: int, *, whole: bool = False
) -> list[Row]:
    """Return each board to one scale with its cuts, and pieces' names if they fit; with `whole` all
    its strips, else the one with the longest pieces."""
    scarfs = scarfed(record, boards)
    longest = max((one.length for one in boards), default=Fraction(1))
    columns = max(12, width - _HEAD - 1)
    scale = cell_scales(float(longest) / columns, 1.0, record.job.step)[-1].partition(",")[0]
    signs = f"Boards, {scale}: ━ piece  ┄ cleat  ░ waste  x defect" + "  ╱ scarf" * scarfs
    rows = [Row(), Row(*ruled(signs, width))]
    for one in boards:
        rows += _strips(record, one, columns, longest, scarfs=scarfs, whole=whole)
    return rows


def _strips(
    record: Record,
    one: Board,
    columns: int,
    longest: Fraction,
    *,
    scarfs: bool,
    whole: bool,
) -> list[Row]:
    """Return a board's line, and one more for each further strip that is shown."""
    sign = "◨" if one.hand and one.state == "bought" else _SIGNS[one.state]
    ink = "muted" if one.state in ("cut", "spoiled") else "text"
    head = f" {sign} {one.row:>3} {fit(one.size, 6)} {board_length(one.length):<8}"
    key = f"board:{one.row}"
    if one.state == "spoiled":
        return [Row((head, ink), ("ruined", ink), key=key)]
    strips = [strip for _, strip in rows_of(one)] or [[]]
    if not whole:
        strips = [max(strips, key=lambda strip: sum(_long(each) for each in strip))]
    rows = []
    for at, strip in enumerate(strips):
        drawn = board_stick(record, one, strip, columns, longest, scarfs=scarfs)
        rows.append(Row((head if not at else " " * _HEAD, ink), *drawn, key="" if at else key))
    return rows


def _long(one: Placed) -> Fraction:
    """Return the length that a strip is chosen by: cleats count less than any piece."""
    return (one.end - one.start) / (100 if one.name else 1)


def board_stick(
    record: Record,
    board: Board,
    strip: Sequence[Placed],
    columns: int,
    longest: Fraction,
    *,
    scarfs: bool = False,
) -> list[Part]:
    """Return one strip of a board as a stick with a notch at each cut, `columns` being as long as
    `longest`; with `scarfs` a slanted one where parts are spliced. A piece that is cut is in the
    ink of what is made."""
    wide = max(2, place(board.length, longest, columns))
    made = "made" if board.state == "cut" else "text"
    cells: list[Part] = [("░", "muted")] * wide
    slanted = splice_ends(board) if scarfs else set()
    names = {(one.start, one.near): label_of(record, one) for one in board.pieces}

    def span(start: Fraction, end: Fraction) -> tuple[int, int]:
        first, last = (round(at * (wide - 1) / board.length) for at in (start, end))
        return first, last

    for bad in board.bad:
        first, last = span(bad.start, bad.end)
        cells[first : last + 1] = [("x", "over")] * (last + 1 - first)
    for one in strip:
        first, last = span(one.start, one.end)
        sign, ink = ("┄", "muted") if one.name else ("━", made)
        cells[first : last + 1] = [(sign, ink)] * (last + 1 - first)
        name = f" {plain(names.get((one.start, one.near), ''))} "
        if not one.name and len(name) <= last - first - 1:
            at = (first + last + 1 - len(name)) // 2
            cells[at : at + len(name)] = [(sign, "text") for sign in name]
    for one in strip:
        for at, end in zip(span(one.start, one.end), (one.start, one.end), strict=True):
            cells[at] = ("╱" if (end, one.near) in slanted else "┃", "strong")
    return [(sign, ink) for sign, ink in cells]


def text_rows(head: str, lines: Iterable[str], width: int) -> list[Row]:
    """Return lines under a head, skipped by the cursor."""
    return [Row(), Row(*ruled(head, width)), *(Row((f" {one}", "text")) for one in lines)]


_LEAST = 4
"""The least rows for a drawing."""
_STRETCHED = 3
"""The largest vertical enlargement of a drawn board."""
_THIN = ", thin strips 1 row"
"""What is said beside the scales where a strip is narrower than a row."""


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
    """Return the whole board, `columns` by `rows` cells with the line that states its scales.

    Length and width have scales of their own. Waste is stippled, pieces are solid with their names
    on them, cleats dense, defects hatched. Every cut is a line, with `scarfs` a slanted one where
    parts are spliced. `saws` say what the kerfs take of the waste. None if there is no room.
    """
    if rows < _LEAST or columns < 20:
        return None
    high = rows - 1 - (rows > _LEAST)  # the scales and, where there is room, the lengths
    true = CELL * float(board.length) / columns  # inches that a row shows where all is true
    high = min(high, max(_LEAST - 1, int(_STRETCHED * float(board.width) / true)))
    rows = high + 1 + (rows > _LEAST)
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
        drawn.write(piece, (f" {name} {length} ", f" {name} ", f" {length} ", length))
    for cleat in board.cleats:
        drawn.write(cleat, (f" cleat {with_unit(cleat.end - cleat.start, step)} ", " cleat "))
    scales = cell_scales(scale.column_inches, scale.row_inches, step)
    thin = any(at.far - at.near < scale.row_inches for at in every)
    signs = [("waste", "waste"), *[("cleat", "cleat")] * bool(board.cleats)]
    signs += [("wall", "defect")] * bool(board.bad)
    legend = "".join(f"   {TEXTURES[ink]} {name}" for ink, name in signs)
    noted = [f"{one}{_THIN * thin}{legend}" for one in scales]
    texts = (*noted, *(f"{one}{legend}" for one in scales), *scales)
    if rows > high + 1:
        for piece in drawn.measured(board):
            drawn.dimension(piece, with_unit(piece.length, step), high)
    canvas.write(0, rows - 1, next((text for text in texts if len(text) <= columns), ""), "hint")
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

    def measured(self, board: Board) -> list[CutFrom]:
        """Return the pieces whose lengths are marked below the board: those of its longest
        strip."""
        strips = {one.near: [p for p in board.pieces if p.near == one.near] for one in board.pieces}
        lengths = {near: sum(one.length for one in strip) for near, strip in strips.items()}
        return strips[max(lengths, key=lambda near: lengths[near])] if strips else []

    def dimension(self, one: CutFrom, text: str, row: int) -> None:
        """A dimension line below a piece, its ends at the cuts; none if there is no room."""
        first, last, _, _ = self._box(one)
        if len(text) <= last - first + 1:
            self.canvas.write(first, row, dimension(text, last - first + 1), "mark")

    def write(self, one: OnBoard, texts: tuple[str, ...]) -> None:
        """Write the first of some texts that fits, in a piece's middle."""
        first, last, high, low = self._box(one)
        for text in texts:
            if len(text) <= last - first - 1:
                self.canvas.centred((first + last + 1) / 2, (high + low) // 2, text)
                return
