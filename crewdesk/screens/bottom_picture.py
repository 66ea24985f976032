"""The bottom board: its show face from below with its edges' lengths, and its section."""

from math import ceil

from crewdesk.job.beam import Beam
from crewdesk.job.in_plan import slanted_ends
from crewdesk.job.lumber.spliced import Spliced
from crewdesk.job.marks import BottomMarks
from crewdesk.paper.lengths import with_unit, with_unit_at_most
from crewdesk.paper.plain import plain
from crewdesk.screens.canvas import CELL, Canvas, Scale, true_scale
from crewdesk.screens.splice_marks import splice_marks
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.profile import bottom_profile
from crewdesk.trade.length import Step

_NUMBERS = 24
"""Columns for the numbers beside the section."""
_FACE = 5
"""Rows of the show face, its ends' names under it."""
_SLANT = 3
"""Columns by which the shorter edge is drawn short, whatever it truly is."""


def bottom_picture(
    beam: Beam,
    made: BottomMarks,
    step: Step,
    columns: int,
    rows: int,
    spliced: Spliced | None = None,
) -> Canvas | None:
    """The section, show face down, and over it the face where its length is known and there
    is room for both; the face alone where there is room for that only."""
    section = _section_rows(made, beam, columns, rows)
    if made.cut is not None and section and section + _FACE > rows:
        section = _section_rows(made, beam, columns, rows - _FACE)
    face = _FACE if made.cut is not None and section + _FACE <= rows else 0
    if not section and not face:
        return None
    canvas = Canvas(columns, face + section)
    if face and made.cut is not None:
        if spliced is None:
            _face(canvas, made.cut, beam, step)
        else:
            _face(canvas, made.cut, beam, step, told="")
            splice_marks(canvas, spliced, 0, columns, (0, _FACE - 2), step)
    if section:
        _section(canvas, made, beam, step, face)
    return canvas


def _per_inch(made: BottomMarks, beam: Beam, columns: int, rows: int) -> float:
    wide, thick = float(made.width), float(beam.boards["bottom"].thickness)
    return true_scale(wide, thick, columns - _NUMBERS, max(rows - 2, 0))


def _section_rows(made: BottomMarks, beam: Beam, columns: int, rows: int) -> int:
    """Rows that the section takes, 0 where there is no room for one."""
    thick = float(beam.boards["bottom"].thickness)
    per_inch = _per_inch(made, beam, columns, rows)
    return ceil(per_inch * thick) + 2 if per_inch * thick >= 1 else 0


def _face(
    canvas: Canvas,
    cut: BottomCut,
    beam: Beam,
    step: Step,
    *,
    told: str = "show face from below",
) -> None:
    """The show face as one looks up at it with end 1 at the left: side A is above."""
    wide = canvas.columns
    high, low = 0.0, float(_FACE - 1)
    left, right = slanted_ends(beam, cut)
    above, below = (_SLANT, 0) if cut.edge_a < cut.edge_b else (0, _SLANT)
    canvas.fill(
        [
            (above * left, high),
            (below * left, low),
            (wide - below * right, low),
            (wide - above * right, high),
        ],
        "board",
    )
    middle = wide / 2
    for row, name, edge, back in (
        (0, "edge A", cut.edge_a, cut.back_a),
        (_FACE - 2, "edge B", cut.edge_b, cut.back_b),
    ):
        at_back = f", back {with_unit_at_most(back, step)}" if back != edge else ""
        canvas.centred(middle, row, f" {name} {with_unit_at_most(edge, step)}{at_back} ")
    if cut.edge_a != cut.edge_b:
        read = beam.pair.skews is not None
        told = "slant not to scale" + ("" if read else "; the square tells which end has it")
    if told:
        canvas.centred(middle, 1, f" {told} ")
    row, room = _FACE - 1, wide // 2 - 1
    first, second = (f"end {n} {plain(beam.ends[n - 1])}".rstrip()[:room] for n in (1, 2))
    canvas.write(0, row, first)
    canvas.write(wide - len(second), row, second)


def _section(canvas: Canvas, made: BottomMarks, beam: Beam, step: Step, top: int) -> None:
    board = beam.boards["bottom"]
    per_inch = _per_inch(made, beam, canvas.columns, canvas.rows - top)
    scale = Scale(CELL * per_inch, per_inch, column=1, row=canvas.rows - 1)
    canvas.fill(scale.shape(bottom_profile(board, made.flat)), "board")
    middle, back = scale.at(made.width / 2, board.thickness)
    above = int(back) - 1
    canvas.centred(middle, above, f"back {with_unit(made.back_width, step)}")
    canvas.centred(middle, canvas.rows - 1, f"show face {with_unit(made.width, step)}")
    column = int(scale.at(made.width, 0)[0]) + 2
    marks = [
        f"╶ {with_unit(made.flat, step)} flat" if made.flat else "",
        f"╶ {float(made.bevel):g}° {'relief' if made.flat else 'mitre'}",
    ]
    for at, mark in enumerate((one for one in marks if one), 2):
        if canvas.rows - at > above:
            canvas.write(column, canvas.rows - at, mark, "mark")
