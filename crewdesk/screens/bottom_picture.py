"""A bottom or top board: its show face with its edges' lengths, and its section."""

from fractions import Fraction
from math import ceil

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.as_built import board_as_cut
from crewdesk.job.cuts.marks import BottomMarks
from crewdesk.job.lumber.spliced import Spliced
from crewdesk.length import Step, exact
from crewdesk.paper.lengths import with_unit, with_unit_at_most
from crewdesk.paper.plain import plain
from crewdesk.paper.scale_text import READ_THE_SQUARE, cell_scales, enlarged, true_cell_scale
from crewdesk.screens.board_picture import splice_marks
from crewdesk.screens.canvas import CELL, NEARLY, Canvas, Scale, true_scale
from crewdesk.trade.cuts.board_shape import BoardFace, board_face
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.face import times_fitting
from crewdesk.trade.cuts.profile import bottom_profile

_NUMBERS = 24
"""Columns for the numbers beside the section."""
_FACE = 5
"""Rows of the show face, its ends' names under it."""
_OFFSET = 16
"""The largest slant takes one column in so many."""
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
        drawn = _shape(cut, wide, top=self._top)
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


def _shape(cut: BottomCut, columns: int, *, top: bool) -> BoardFace:
    """The face with its slants as large as there is room for."""
    inch = exact(max(cut.edge_a, cut.edge_b)) / columns
    offsets = (cut.ends[0].offset, cut.ends[1].offset)
    largest = max((abs(exact(one)) for one in offsets if one is not None), default=Fraction(0))
    return board_face(
        (cut.edge_a, cut.edge_b),
        cut.width,
        offsets,
        left=2 if top else 1,
        times=times_fitting(largest, inch * Fraction(columns, _OFFSET)),
        tooth=_TOOTH * inch,
    )
