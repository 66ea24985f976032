"""The section of a beam, true to scale with its numbers, whatever its form."""

from fractions import Fraction
from math import ceil

from crewdesk.job.beam import Beam
from crewdesk.job.forms import shapes
from crewdesk.paper.lengths import with_unit
from crewdesk.screens.canvas import CELL, Canvas, Scale, true_scale
from crewdesk.trade.cuts.profile import WALL
from crewdesk.trade.cuts.section import cleat_line
from crewdesk.trade.length import Length, Step

_NUMBERS = 24
"""Columns for the numbers beside the section."""
_SMALLEST = 0.5
"""Rows per inch below which a section is not worth drawing."""


def section_picture(beam: Beam, step: Step, columns: int, rows: int) -> Canvas | None:
    """The section looking from end 2 to end 1; None where there is no room for one."""
    section = beam.section
    drawn = shapes(beam.form.id, section, beam.height_b)
    wide = section.width + (WALL if drawn.walls else 0)
    per_inch = true_scale(float(wide), float(drawn.height), columns - _NUMBERS - 1, rows - 2)
    if per_inch < _SMALLEST:
        return None
    rows = ceil(per_inch * float(drawn.height)) + 2
    scale = Scale(CELL * per_inch, per_inch, column=1, row=rows - 1)
    canvas = Canvas(columns, rows)
    for ink, every in (
        ("wall", drawn.walls),
        ("bottom", (drawn.bottom, *drawn.tops)),
        ("cleat", drawn.cleats),
        ("board", drawn.sides),
    ):
        for shape in every:
            canvas.fill(scale.shape(shape), ink)
    middle, top = scale.at(section.width / 2, drawn.height)
    canvas.centred(middle, max(0, int(top) - 1), with_unit(section.width, step))
    lefts = (Fraction(0), section.width - section.side_thickness)
    for name, left, _ in zip("AB", lefts, drawn.sides, strict=False):
        column, row = scale.at(left + section.side_thickness / 2, section.height / 2)
        canvas.write(int(column), int(row), name)
    if drawn.walls:
        column, row = scale.at(section.width, section.height / 2)
        canvas.write(int(column) + 1, int(row), "wall")
    _numbers(canvas, _heights(beam), step, scale, int(scale.at(wide, 0)[0]) + 2)
    bottom = with_unit(beam.boards["bottom"].width, step)
    canvas.centred(middle, rows - 1, f"bottom {bottom} wide, to scale", "hint")
    return canvas


def _heights(beam: Beam) -> list[tuple[Length, str]]:
    """Heights over the bottom edge and what stands there, from below."""
    section, board = beam.section, beam.boards["bottom"]
    if board.first_edge == "mitre":
        low = [(board.thickness, f"mitred {float(board.first_blade):g}°")]
    else:
        low = [(section.reveal, "reveal"), (cleat_line(section), "cleat line")]
    if "B" not in beam.pieces or beam.height("B") == section.height:
        return [*low, (section.height, "side")]
    sides = sorted((beam.height(key), f"side {key}") for key in "AB")
    return [*low, *sides]


def _numbers(
    canvas: Canvas, heights: list[tuple[Length, str]], step: Step, scale: Scale, column: int
) -> None:
    """Each height beside itself or as near as there is room."""
    below = canvas.rows - 1
    for height, name in heights:
        row = min(below - 1, ceil(scale.at(0, height)[1]) - 1)
        canvas.write(column, row, f"╶ {with_unit(height, step)} {name}", "mark")
        below = row
