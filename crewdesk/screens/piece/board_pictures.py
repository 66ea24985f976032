"""A side or bottom board with its marks at both ends, between its walls."""

from fractions import Fraction
from math import ceil

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.as_built import board_as_cut
from crewdesk.job.cuts.mark_list import end_mark
from crewdesk.job.cuts.marks import BottomMarks
from crewdesk.job.lumber.spliced import Spliced
from crewdesk.length import Step, exact
from crewdesk.paper.lengths import (
    READ_THE_SQUARE,
    cell_scales,
    degrees_shown,
    enlarged,
    true_cell_scale,
    with_unit,
    with_unit_at_most,
)
from crewdesk.paper.plain import plain
from crewdesk.paper.text.mark_text import figure_of
from crewdesk.screens.parts.canvas import CELL, NEARLY, Canvas, Scale, true_scale
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.face import BoardFace, Face, cut_face, face, times_drawn
from crewdesk.trade.cuts.profile import bottom_profile
from crewdesk.trade.cuts.side_board import EndCut, Side, SideCut

_WALL = 2
"""Columns of a wall."""
_ROOMY = 76
_OFFSET = 16
"""The largest offset takes one column in so many."""
_FEWEST_ROWS = 4
_ROWS_FOR_ALL = 4
"""Rows of the board from which face and scales have each a row."""
_LABELED = 3
"""Rows of the board from which its splices are labeled on the second of them."""


def board_picture(
    cut: SideCut,
    side: Side,
    walls: tuple[str, str],
    step: Step,
    columns: int,
    rows: int,
    spliced: Spliced | None = None,
) -> Canvas | None:
    """The face filling `columns` by `rows` cells; `walls` names the walls at end 1 and 2.

    Length, width and offsets each have a scale of their own, which the picture states.
    None where there is no room for that.
    """
    if rows < _FEWEST_ROWS:
        return None
    canvas = Canvas(columns, rows)
    drawn = _fitted(cut, side, columns)
    first = min(x for x, _ in drawn.walls[0])
    last = max(x for x, _ in drawn.walls[1])
    scale = Scale(
        (columns - 2 * _WALL) / float(last - first),
        (rows - 2) / float(cut.height),
        column=_WALL,
        row=rows - 1,
        x=float(first),
    )
    for waste in drawn.waste:
        canvas.fill(scale.shape(waste), "waste")
    canvas.fill(scale.shape(drawn.board), "board")
    for wall, outward in zip(drawn.walls, (-_WALL, _WALL), strict=True):
        low, high = scale.shape(wall)
        far = [(column + outward, row) for column, row in (high, low)]
        canvas.fill([low, high, *far], "wall")
    _square_lines(canvas, drawn, cut, scale)
    if spliced is not None:
        left, right = (scale.at(x, 0)[0] for x, _ in drawn.blank[:2])
        ends = (left, right) if drawn.left == 1 else (right, left)
        splice_marks(canvas, spliced, *ends, (1, rows - 2), step)
    scales = cell_scales(scale.column_inches, scale.row_inches, step)
    on_board = _on_board(canvas, drawn, cut, scale, step, scales, free=spliced is None)
    _ends(canvas, drawn, cut, scale, step)
    _names(canvas, drawn, walls, () if on_board else scales)
    return canvas


def _fitted(cut: SideCut, side: Side, columns: int) -> Face:
    """The face with its offsets as large as there is room for."""
    inch = exact(cut.bottom_length) / columns
    times = times_drawn(cut, inch * Fraction(columns, _OFFSET))
    return face(cut, side, times=times, clear=inch)


def _seen(drawn: Face, cut: SideCut) -> tuple[EndCut, EndCut]:
    ends = (cut.end1, cut.end2)
    return ends[drawn.left - 1], ends[drawn.right - 1]


def _square_lines(canvas: Canvas, drawn: Face, cut: SideCut, scale: Scale) -> None:
    left, right = _seen(drawn, cut)
    if left.offset:
        canvas.down(int(scale.at(0, 0)[0]), 1, canvas.rows - 2)
    if right.offset:
        canvas.down(ceil(scale.at(cut.bottom_length, 0)[0]) - 1, 1, canvas.rows - 2)


def _on_board(
    canvas: Canvas,
    drawn: Face,
    cut: SideCut,
    scale: Scale,
    step: Step,
    scales: tuple[str, ...],
    *,
    free: bool,
) -> bool:
    """Write on the board: its edges' lengths, which face it is, and the scales. Return
    whether there was a row for the scales; `free` is whether no splice is labeled."""
    middle = scale.at(cut.bottom_length / 2, 0)[0]
    high = canvas.rows - 2
    face_of = f"show face of side {'A' if drawn.left == 1 else 'B'}"
    if high >= _LABELED:
        canvas.centred(middle, 1, f" top edge {with_unit_at_most(cut.top_length, step)} ")
    canvas.centred(middle, high, f" bottom edge {with_unit_at_most(cut.bottom_length, step)} ")
    row = 1 + (high - 1) // 2
    if high >= (_ROWS_FOR_ALL if free else _ROWS_FOR_ALL + 1):
        canvas.centred(middle, row, f" {face_of} ")
        row += 1
    elif high >= _ROWS_FOR_ALL:
        row = high - 1
    elif not free:
        return False
    elif high >= _LABELED:
        row, scales = 2, (f"{face_of}, {scales[0]}", *scales)
    else:
        row = 1
    room = min(x for x, _ in scale.shape(drawn.board[1:3])) - max(
        x for x, _ in scale.shape((drawn.board[0], drawn.board[3]))
    )
    canvas.centred(middle, row, f" {_fitting(scales, int(room) - 2)} ")
    return True


def _fitting(texts: tuple[str, ...], room: int) -> str:
    """The first text that fits, else the last one."""
    return next((one for one in texts if len(one) <= room), texts[-1])


def _ends(canvas: Canvas, drawn: Face, cut: SideCut, scale: Scale, step: Step) -> None:
    """What to mark at either end, above it."""
    left, right = _seen(drawn, cut)
    start = int(scale.at(drawn.blank[0][0], 0)[0])
    stop = ceil(scale.at(drawn.blank[1][0], 0)[0])
    words = [_marked(end, step) for end in (left, right)]
    if sum(map(len, words)) + 2 > stop - start:
        words = [_marked(end, step, brief=True) for end in (left, right)]
    canvas.write(start, 0, words[0], "mark")
    canvas.write(stop - len(words[1]), 0, words[1], "mark")


def _marked(end: EndCut, step: Step, *, brief: bool = False) -> str:
    if not end.offset:
        return "square"
    way = "back" if end.offset > 0 else "out"
    told = f"{figure_of(end_mark(end, '', 1), step)} {way}"
    return told if brief else f"{told}, {degrees_shown(abs(end.angle_deg))}"


def _names(canvas: Canvas, drawn: Face, walls: tuple[str, str], scales: tuple[str, ...]) -> None:
    """The ends' names under the ends, and between them the scales that aren't said yet."""
    row, columns = canvas.rows - 1, canvas.columns
    told = ", ".join(one for one in (*scales[-1:], enlarged("offsets", drawn.times)) if one)
    if told and columns >= _ROOMY and not scales:
        told = f"┊ square line   {told}"
    room = max(5, (columns - len(told) - 4) // 2)
    left, right = (f"end {n} {plain(walls[n - 1])}".rstrip() for n in (drawn.left, drawn.right))
    canvas.write(0, row, _cut_off(left, room))
    right = _cut_off(right, room)
    canvas.write(columns - len(right), row, right)
    canvas.centred(columns / 2, row, told, "hint")


def _cut_off(text: str, room: int) -> str:
    return text if len(text) <= room else f"{text[: room - 1]}…"


def splice_marks(
    canvas: Canvas, one: Spliced, left: float, right: float, rows: tuple[int, int], step: Step
) -> None:
    """A line down the `rows` (first and last) at each splice, and on the second of them the
    joint and how far it is from end 1; the blank's end 1 is at column `left`, its end 2 at
    `right`, whichever way it lies."""
    top, bottom = rows
    sign = "╱" if one.joint == "scarf" else "│"
    for place in one.places:
        column = left + (right - left) * float(place / one.length)
        canvas.down(int(column), top, bottom, sign)
        canvas.centred(column, min(bottom, top + 1), f" {one.joint} {with_unit(place, step)} ")


_NUMBERS = 24
"""Columns for the numbers beside the section."""
_FACE = 5
"""Rows of the show face, its ends' names under it."""
_TOOTH = 2
"""Columns that an end of unknown slant is broken by."""


def bottom_picture(
    beam: Beam,
    piece: Piece,
    made: BottomMarks,
    step: Step,
    columns: int,
    rows: int,
    spliced: Spliced | None = None,
) -> Canvas | None:
    """The section, show face down, and over it the face if its length is known and there is
    room for both; the face alone if there is room for that only."""
    drawn = _Drawn(beam, piece, made, step)
    section = drawn.section_rows(columns, rows)
    wanted, least = drawn.face_rows
    if wanted and section and section + wanted > rows:
        section = drawn.section_rows(columns, rows - wanted)
    face = min(wanted, rows - section)
    if face < least:
        face = 0
    if not section and not face:
        return None
    canvas = Canvas(columns, face + section)
    if face and made.cut is not None:
        drawn.face(canvas, made.cut, face, spliced)
    if section:
        drawn.section(canvas, face)
    return canvas


class _Drawn:
    """What is drawn of a board that lies flat."""

    def __init__(self, beam: Beam, piece: Piece, made: BottomMarks, step: Step) -> None:
        self._beam, self._made, self._step = beam, made, step
        self._board = board_as_cut(beam, piece.key)
        self._top = piece.kind == "top"

    def _per_inch(self, columns: int, rows: int) -> float:
        wide, thick = float(self._made.width), float(self._board.thickness)
        return true_scale(wide, thick, columns - _NUMBERS, max(rows - 2, 0))

    def section_rows(self, columns: int, rows: int) -> int:
        """Rows that the section takes, 0 if there is no room for one."""
        thick = float(self._board.thickness)
        per_inch = self._per_inch(columns, rows)
        return ceil(per_inch * thick - NEARLY) + 2 if per_inch * thick >= 1 else 0

    @property
    def face_rows(self) -> tuple[int, int]:
        """Rows that the show face takes with all of its words, and with those it needs; 0
        and 0 if its length isn't known."""
        cut = self._made.cut
        if cut is None:
            return 0, 0
        more = 0 if all(end.known for end in cut.ends) else 1
        return _FACE + more, _FACE - 1 + more

    def face(self, canvas: Canvas, cut: BottomCut, rows: int, spliced: Spliced | None) -> None:
        """The show face with edge A above: a bottom's as one looks up at it, end 1 at the
        left, a top's from above, end 2 at the left."""
        wide, high = canvas.columns, rows - 1
        inch = exact(max(cut.edge_a, cut.edge_b)) / wide
        drawn = cut_face(cut, inch * Fraction(wide, _OFFSET), _TOOTH * inch, top=self._top)
        scale = Scale(wide / float(drawn.length), high / float(cut.width), row=high)
        canvas.fill(scale.shape(drawn.outline), "board")
        texts = [["outer face from above" if self._top else "show face from below"]]
        texts.append(list(cell_scales(scale.column_inches, scale.row_inches, self._step)))
        if not all(drawn.known):
            texts.append([READ_THE_SQUARE, READ_THE_SQUARE.partition(" to ")[0]])
        if spliced is not None:
            ends = (0, wide) if drawn.left == 1 else (wide, 0)
            splice_marks(canvas, spliced, *ends, (0, high - 1), self._step)
            del texts[0]
        for row, name, edge, back in (
            (0, "edge A", cut.edge_a, cut.back_a),
            (high - 1, "edge B", cut.edge_b, cut.back_b),
        ):
            at_back = "" if back == edge else f", back {with_unit_at_most(back, self._step)}"
            long = with_unit_at_most(edge, self._step)
            canvas.centred(wide / 2, row, f" {name} {long}{at_back} ")
        for row, fitting in zip(range(high - 2, 0, -1), reversed(texts), strict=False):
            text = next((one for one in fitting if len(one) <= wide - 6), fitting[-1])
            canvas.centred(wide / 2, row, f" {text} ")
        for column, known in ((1, drawn.known[0]), (wide - 2, drawn.known[1])):
            if not known:
                canvas.write(column, high // 2, "?")
        self._names(canvas, drawn, high)

    def _names(self, canvas: Canvas, drawn: BoardFace, row: int) -> None:
        told = enlarged("slant", drawn.times)
        room = max(5, (canvas.columns - len(told) - 4) // 2)
        left, right = (
            f"end {n} {plain(self._beam.ends[n - 1])}".rstrip()[:room]
            for n in (drawn.left, drawn.right)
        )
        canvas.write(0, row, left)
        canvas.write(canvas.columns - len(right), row, right)
        canvas.centred(canvas.columns / 2, row, told, "hint")

    def section(self, canvas: Canvas, top: int) -> None:
        """The board's section, show face down, with its numbers and its scale."""
        made, step = self._made, self._step
        per_inch = self._per_inch(canvas.columns, canvas.rows - top)
        scale = Scale(CELL * per_inch, per_inch, column=1, row=canvas.rows - 1)
        canvas.fill(scale.shape(bottom_profile(self._board, made.flat)), "board")
        middle, back = scale.at(made.width / 2, self._board.thickness)
        above = int(back) - 1
        canvas.centred(middle, above, f"back {with_unit_at_most(made.back_width, step)}")
        face = f"{'outer' if self._top else 'show'} face {with_unit_at_most(made.width, step)}"
        true = true_cell_scale(scale.row_inches, step)
        if len(face) + len(true) + 2 <= canvas.columns:
            face = f"{face}, {true}"
        else:
            canvas.write(canvas.columns - len(true), above, true, "hint")
        canvas.centred(middle, canvas.rows - 1, face)
        column = int(scale.at(made.width, 0)[0]) + 2
        marks = ["╶ square edges"]
        if made.bevel:
            marks = [f"╶ {float(made.bevel):g}° {'relief' if made.flat else 'miter'}"]
        if made.flat and made.bevel:
            marks.insert(0, f"╶ {with_unit(made.flat, step)} flat")
        for at, mark in enumerate(marks, 2):
            if canvas.rows - at > above:
                canvas.write(column, canvas.rows - at, mark, "mark")
