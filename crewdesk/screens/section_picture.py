"""The section of a beam, and that of its bottom board alone, true to scale with numbers."""

from math import ceil

from crewdesk.paper.lengths import with_unit
from crewdesk.screens.canvas import CELL, Canvas, Scale, true_scale
from crewdesk.trade.cuts.profile import bottom_profile, profile
from crewdesk.trade.cuts.section import Section, bottom_back_width, bottom_width, cleat_line
from crewdesk.trade.length import Step

_NUMBERS = 24
"""Columns for the numbers beside the section."""
_SMALLEST = 0.5
"""Rows per inch below which a section is not worth drawing."""


def section_picture(section: Section, step: Step, columns: int, rows: int) -> Canvas | None:
    """The section looking from end 2 to end 1; None where there is no room for one."""
    per_inch = true_scale(
        float(section.width), float(section.height), columns - _NUMBERS - 1, rows - 2
    )
    if per_inch < _SMALLEST:
        return None
    rows = ceil(per_inch * float(section.height)) + 2
    scale = Scale(CELL * per_inch, per_inch, column=1, row=rows - 1)
    canvas = Canvas(columns, rows)
    drawn = profile(section)
    for ink, shapes in (
        ("bottom", [drawn.bottom]),
        ("cleat", drawn.cleats),
        ("board", drawn.sides),
    ):
        for shape in shapes:
            canvas.fill(scale.shape(shape), ink)
    middle, top = scale.at(section.width / 2, section.height)
    canvas.centred(middle, max(0, int(top) - 1), with_unit(section.width, step))
    for name, left in (("A", 0), ("B", section.width - section.side_thickness)):
        column, row = scale.at(left + section.side_thickness / 2, section.height / 2)
        canvas.write(int(column), int(row), name)
    _numbers(canvas, section, step, scale, int(scale.at(section.width, 0)[0]) + 2)
    bottom = with_unit(bottom_width(section), step)
    canvas.centred(middle, rows - 1, f"bottom {bottom} wide, to scale", "hint")
    return canvas


def _numbers(canvas: Canvas, section: Section, step: Step, scale: Scale, column: int) -> None:
    """Heights over the bottom edge, each beside its height or as near as there is room."""
    below = canvas.rows - 1
    for height, name in (
        (section.reveal, "reveal"),
        (cleat_line(section), "cleat line"),
        (section.height, "side"),
    ):
        row = min(below - 1, ceil(scale.at(0, height)[1]) - 1)
        canvas.write(column, row, f"╶ {with_unit(height, step)} {name}", "mark")
        below = row


def bottom_picture(section: Section, step: Step, columns: int, rows: int) -> Canvas | None:
    """The bottom board's section, show face down; None where there is no room for one."""
    wide, thick = float(bottom_width(section)), float(section.bottom_thickness)
    per_inch = true_scale(wide, thick, columns - _NUMBERS, rows - 2)
    if per_inch * thick < 1:
        return None
    rows = ceil(per_inch * thick) + 2
    canvas = Canvas(columns, rows)
    scale = Scale(CELL * per_inch, per_inch, column=1, row=rows - 1)
    canvas.fill(scale.shape(bottom_profile(section)), "board")
    middle, top = scale.at(wide / 2, thick)
    above = int(top) - 1
    canvas.centred(middle, above, f"back {with_unit(bottom_back_width(section), step)}")
    canvas.centred(middle, rows - 1, f"show face {with_unit(bottom_width(section), step)}")
    column = int(scale.at(wide, 0)[0]) + 2
    canvas.write(column, rows - 2, f"╶ {with_unit(section.flat, step)} flat", "mark")
    if rows - 3 > above:
        canvas.write(column, rows - 3, f"╶ {float(section.bevel):g}° relief", "mark")
    return canvas
