"""A side or bottom board with its marks at both ends, between its walls."""

from fractions import Fraction
from math import ceil

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.as_built import board_as_cut
from crewdesk.job.cuts.mark_list import end_mark
from crewdesk.job.cuts.marks import BottomMarks
from crewdesk.job.lumber.spliced import Spliced
from crewdesk.length import Length, Step, exact
from crewdesk.paper.lengths import (
    READ_THE_SQUARE,
    cell_scales,
    enlarged,
    true_cell_scale,
    with_unit,
    with_unit_at_most,
)
from crewdesk.paper.plain import plain
from crewdesk.paper.text.mark_text import figure_of
from crewdesk.screens.parts.canvas import CELL, NEARLY, Canvas, Scale, true_scale
from crewdesk.screens.parts.fitted import cut_off
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.face import BoardFace, Face, cut_face, face, times_drawn
from crewdesk.trade.cuts.profile import bottom_profile
from crewdesk.trade.cuts.side_board import EndCut, Side, SideCut

_WALL = 2
"""Columns of a wall."""
_WALLS = 8
"""Columns of both walls, slanted."""
_ROOMY = 76
_OFFSET = 16
"""The largest offset takes one column in this many."""
_AROUND = 3
"""Rows around a board: a dimension line above and below it, and its ends' names."""
_SCALES_FROM = 6
"""Rows from which on the scales have one of their own under the ends' names; with fewer they are
on the board."""
_STRETCHED = 3
"""The largest vertical enlargement of a drawn board."""


def board_picture(
    cut: SideCut,
    side: Side,
    walls: tuple[str, str],
    step: Step,
    columns: int,
    rows: int,
    spliced: Spliced | None = None,
) -> Canvas | None:
    """Return the face as wide as `columns` cells, in `rows` at most; `walls` names the walls at end
    1 and 2. Dimension lines over and under it end at its edges' corners.

    Length, width and offsets each have a scale of their own, which the picture states. None if
    there is no room for that.
    """
    if rows <= _AROUND:
        return None
    drawn = _fitted(cut, side, columns)
    first = min(x for x, _ in drawn.walls[0])
    last = max(x for x, _ in drawn.walls[1])
    along = (columns - 2 * _WALL) / float(last - first)
    own = rows >= _SCALES_FROM
    high = board_rows(along, cut.height, rows - _AROUND - own)
    canvas = Canvas(columns, high + _AROUND + own)
    scale = Scale(along, high / float(cut.height), column=_WALL, row=high + 1, x=float(first))
    scales = cell_scales(scale.column_inches, scale.row_inches, step)
    if not own and len(scales[-1]) > columns - _WALLS:
        return None
    for waste in drawn.waste:
        canvas.fill(scale.shape(waste), "waste")
    canvas.fill(scale.shape(drawn.board), "board")
    for wall, outward in zip(drawn.walls, (-_WALL, _WALL), strict=True):
        foot, head = scale.shape(wall)
        far = [(column + outward, row) for column, row in (head, foot)]
        canvas.fill([foot, head, *far], "wall")
    _square_lines(canvas, drawn, cut, scale, high)
    if spliced is not None:
        left, right = (scale.at(x, 0)[0] for x, _ in drawn.blank[:2])
        ends = (left, right) if drawn.left == 1 else (right, left)
        splice_marks(canvas, spliced, *ends, (1, high), step)
    low_left, low_right, top_right, top_left = (at for at, _ in scale.shape(drawn.board))
    top = f"top edge {with_unit_at_most(cut.top_length, step)}"
    canvas.measured(top_left, top_right, 0, top)
    bottom = f"bottom edge {with_unit_at_most(cut.bottom_length, step)}"
    canvas.measured(low_left, low_right, high + 1, bottom)
    text = _told(scales, drawn)
    if own:
        canvas.centred(columns / 2, high + 3, _fitting(text, columns), "hint")
    else:
        room = int(min(low_right, top_right) - max(low_left, top_left)) - 2
        row = 1 if spliced is not None else high
        canvas.centred(columns / 2, row, f" {_fitting(scales, room)} ")
    _names(canvas, drawn, cut, walls, step, high + 2, whole=own)
    return canvas


def board_rows(columns_per_inch: float, width: Length, most: int) -> int:
    """Return rows for a board's width: as many as there are, at most enlarged `_STRETCHED`
    times."""
    return max(1, min(most, int(_STRETCHED * float(width) * columns_per_inch / CELL)))


def _fitted(cut: SideCut, side: Side, columns: int) -> Face:
    """Return the face with its offsets as large as possible."""
    inch = exact(cut.bottom_length) / columns
    times = times_drawn(cut, inch * Fraction(columns, _OFFSET))
    return face(cut, side, times=times, clear=inch)


def _seen(drawn: Face, cut: SideCut) -> tuple[EndCut, EndCut]:
    ends = (cut.end1, cut.end2)
    return ends[drawn.left - 1], ends[drawn.right - 1]


def _square_lines(canvas: Canvas, drawn: Face, cut: SideCut, scale: Scale, last: int) -> None:
    left, right = _seen(drawn, cut)
    if left.offset:
        canvas.down(int(scale.at(0, 0)[0]), 1, last)
    if right.offset:
        canvas.down(ceil(scale.at(cut.bottom_length, 0)[0]) - 1, 1, last)


def _fitting(texts: tuple[str, ...], room: int) -> str:
    """Return the first text that fits, else the last one."""
    return next((one for one in texts if len(one) <= room), texts[-1])


def _marked(end: EndCut, step: Step) -> str:
    if not end.offset:
        return "square"
    way = "back" if end.offset > 0 else "out"
    return f"{figure_of(end_mark(end, '', 1), step)} {way}"


def _names(
    canvas: Canvas,
    drawn: Face,
    cut: SideCut,
    walls: tuple[str, str],
    step: Step,
    row: int,
    *,
    whole: bool,
) -> None:
    """The ends' names with their offsets under the ends, and between them which face it is, or
    how enlarged the offsets are where not the `whole` is said below."""
    columns = canvas.columns
    seen = _seen(drawn, cut)
    middles = [f"show face of side {'A' if drawn.left == 1 else 'B'}"]
    if not whole:
        middles = [enlarged("offsets", drawn.times) or middles[0]]
    elif any(end.offset for end in seen):
        middles = [f"{middles[0]}   ┊ square line", *middles, "show face"]
    names = [f"end {n} {plain(walls[n - 1])}".rstrip() for n in (drawn.left, drawn.right)]
    marked = [f"{name}, {_marked(end, step)}" for name, end in zip(names, seen, strict=True)]
    ways = [(ends, middle) for ends in (marked, names) for middle in middles]
    fitting = (way for way in ways if sum(map(len, (*way[0], way[1]))) + 4 <= columns)
    ends, middle = next(fitting, ways[-1])
    room = max(5, (columns - len(middle) - 4) // 2)
    if sum(map(len, (*ends, middle))) + 4 > columns:
        ends = [cut_off(end, room) for end in ends]
    canvas.write(0, row, ends[0])
    canvas.write(columns - len(ends[1]), row, ends[1])
    canvas.centred((len(ends[0]) + columns - len(ends[1])) / 2, row, middle, "hint")


def _told(scales: tuple[str, ...], drawn: Face) -> tuple[str, ...]:
    """Return the scales, the longest wording first, with how enlarged the offsets are."""
    offsets = enlarged("offsets", drawn.times)
    return tuple(", ".join(filter(None, (one, offsets))) for one in scales)


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
_SCALE = 40
"""Columns for the numbers and the scale beside it, if there are `_ROOMY` columns."""
_THICKEST = 5, 8
"""Rows of the section's thickness at most, under the show face and alone."""
_FACE = 2
"""The most rows of the show face before the section gets larger."""
_TOOTH = 2
"""The depth of the zigzag of an end of unknown slant, in columns."""


def bottom_picture(
    beam: Beam,
    piece: Piece,
    made: BottomMarks,
    step: Step,
    columns: int,
    rows: int,
    spliced: Spliced | None = None,
) -> Canvas | None:
    """Return the section, show face down, and over it the face if its length is known and there is
    room for both; the face alone if there is room for that only."""
    drawn = _Drawn(beam, piece, made, step)
    least = drawn.least_rows
    wanted = least + _FACE - 1 if least else 0
    section = drawn.section_rows(columns, rows)
    if section + wanted > rows:
        section = drawn.section_rows(columns, rows - wanted)
    face = drawn.face_rows(columns, rows - section)
    if not section and not face:
        return None
    canvas = Canvas(columns, face + section)
    if face and made.cut is not None:
        drawn.face(canvas, made.cut, face, spliced)
    if section:
        drawn.section(canvas, face)
    return canvas


class _Drawn:
    """The drawing of a flat board."""

    def __init__(self, beam: Beam, piece: Piece, made: BottomMarks, step: Step) -> None:
        self._beam, self._made, self._step = beam, made, step
        self._board = board_as_cut(beam, piece.key)
        self._top = piece.kind == "top"

    def _beside(self, columns: int) -> int:
        """Columns beside the section."""
        return _SCALE if columns >= _ROOMY else _NUMBERS

    def _per_inch(self, columns: int, rows: int) -> float:
        wide, thick = float(self._made.width), float(self._board.thickness)
        high = min(rows - self._words(columns), _THICKEST[self._made.cut is None])
        return true_scale(wide, thick, columns - self._beside(columns), max(high, 0))

    def _words(self, columns: int) -> int:
        """Return rows of words around the section: its scale has one of its own without room
        beside."""
        return 2 if columns >= _ROOMY else 3

    def section_rows(self, columns: int, rows: int) -> int:
        """Return rows that the section takes, 0 if there is no room for one."""
        thick = float(self._board.thickness)
        per_inch = self._per_inch(columns, rows)
        high = ceil(per_inch * thick - NEARLY)
        return high + self._words(columns) if per_inch * thick >= 1 else 0

    @property
    def least_rows(self) -> int:
        """Rows that the show face takes at least; 0 if its length isn't known."""
        cut = self._made.cut
        if cut is None:
            return 0
        return _AROUND + (1 if all(end.known for end in cut.ends) else 2)

    def face_rows(self, columns: int, rows: int) -> int:
        """Return rows that the show face takes of those there are, 0 if they are too few."""
        cut, least = self._made.cut, self.least_rows
        if cut is None or rows < least:
            return 0
        along = columns / float(max(cut.edge_a, cut.edge_b))
        return max(least, board_rows(along, cut.width, rows - _AROUND) + _AROUND)

    def face(self, canvas: Canvas, cut: BottomCut, rows: int, spliced: Spliced | None) -> None:
        """The show face with edge A above, a dimension line along either edge: a bottom's as
        one looks up at it, end 1 at the left, a top's from above, end 2 at the left."""
        wide, high = canvas.columns, rows - _AROUND
        inch = exact(max(cut.edge_a, cut.edge_b)) / wide
        drawn = cut_face(cut, inch * Fraction(wide, _OFFSET), _TOOTH * inch, top=self._top)
        scale = Scale(wide / float(drawn.length), high / float(cut.width), row=high + 1)
        outline = scale.shape(drawn.outline)
        canvas.fill(outline, "board")
        texts = [["outer face from above" if self._top else "show face from below"]]
        texts.append(list(cell_scales(scale.column_inches, scale.row_inches, self._step)))
        if not all(drawn.known):
            texts.append([READ_THE_SQUARE, READ_THE_SQUARE.partition(" to ")[0]])
        if spliced is not None:
            ends = (0, wide) if drawn.left == 1 else (wide, 0)
            splice_marks(canvas, spliced, *ends, (1, high), self._step)
            del texts[0]
        for row, y, name, edge, back in (
            (0, 1.0, "edge A", cut.edge_a, cut.back_a),
            (high + 1, float(high + 1), "edge B", cut.edge_b, cut.back_b),
        ):
            at_back = "" if back == edge else f", back {with_unit_at_most(back, self._step)}"
            long = with_unit_at_most(edge, self._step)
            corners = [column for column, at in outline if abs(at - y) < NEARLY]
            canvas.measured(min(corners), max(corners), row, f"{name} {long}{at_back}")
        for row, fitting in zip(range(high, 0, -1), reversed(texts), strict=False):
            text = next((one for one in fitting if len(one) <= wide - 6), fitting[-1])
            canvas.centred(wide / 2, row, f" {text} ")
        for column, known in ((1, drawn.known[0]), (wide - 2, drawn.known[1])):
            if not known:
                canvas.write(column, (high + 1) // 2, "?")
        self._names(canvas, drawn, high + 2)

    def _names(self, canvas: Canvas, drawn: BoardFace, row: int) -> None:
        text = enlarged("slant", drawn.times)
        room = max(5, (canvas.columns - len(text) - 4) // 2)
        left, right = (
            cut_off(f"end {n} {plain(self._beam.ends[n - 1])}".rstrip(), room)
            for n in (drawn.left, drawn.right)
        )
        canvas.write(0, row, left)
        canvas.write(canvas.columns - len(right), row, right)
        canvas.centred(canvas.columns / 2, row, text, "hint")

    def section(self, canvas: Canvas, first: int) -> None:
        """The board's section, show face down, with its numbers and its scale."""
        made, step = self._made, self._step
        narrow = self._words(canvas.columns) - 2
        per_inch = self._per_inch(canvas.columns, canvas.rows - first)
        low = canvas.rows - 1 - narrow
        scale = Scale(CELL * per_inch, per_inch, column=1, row=low)
        profile = scale.shape(bottom_profile(self._board, made.flat))
        canvas.fill(profile, "board")
        top = min(row for _, row in profile)
        above = int(top + NEARLY) - 1
        back = [column for column, row in profile if row < top + NEARLY]
        canvas.measured(
            min(back), max(back), above, f"back {with_unit_at_most(made.back_width, step)}"
        )
        face = f"{'outer' if self._top else 'show'} face {with_unit_at_most(made.width, step)}"
        right = scale.at(made.width, 0)[0]
        canvas.measured(scale.column, right, low, face)
        true = true_cell_scale(scale.row_inches, step)
        canvas.write(canvas.columns - len(true), canvas.rows - 1, true, "hint")
        column = int(right) + 2
        marks = ["╶ square edges"]
        if made.bevel:
            marks = [f"╶ {float(made.bevel):g}° {'relief' if made.flat else 'miter'}"]
        if made.flat and made.bevel:
            marks.insert(0, f"╶ {with_unit(made.flat, step)} flat")
        for at, mark in enumerate(marks, 1):
            if low - at > above:
                canvas.write(column, low - at, mark, "mark")
