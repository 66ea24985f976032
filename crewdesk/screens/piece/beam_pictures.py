"""A beam to scale: its section with the numbers, and the ceiling over it with the scribe."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from crewdesk.job.beams.beam import Beam
from crewdesk.job.cuts.cleats import cleat_line_of
from crewdesk.job.cuts.section_shapes import section_shapes
from crewdesk.length import Length, Step, exact, show_length
from crewdesk.paper.lengths import (
    cell_scales,
    degrees_shown,
    enlarged,
    true_cell_scale,
    with_unit,
    with_unit_at_most,
)
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.canvas import CELL, NEARLY, TEXTURES, Canvas, Scale, true_scale
from crewdesk.screens.parts.fitted import cut_off
from crewdesk.trade.cuts.ceiling import SIDES, Scribe
from crewdesk.trade.cuts.cleat import CLEAT
from crewdesk.trade.cuts.face import ScribeShape, scribe_shape
from crewdesk.trade.cuts.forms import TO_SCRIBE
from crewdesk.trade.cuts.profile import WALL, Profile
from crewdesk.trade.cuts.side_board import Side

_BESIDE = 6
"""Columns around the section and before each number beside it."""
_AROUND = 3
"""Rows of text above and below it."""
_SMALLEST = 0.5
"""The least rows per inch for a section."""


class _Height(NamedTuple):
    """A number beside the section: its height, in inches, and its text."""

    up: Length
    text: str


def section_picture(
    beam: Beam, step: Step, columns: int, rows: int, cleat: Fraction = CLEAT
) -> Canvas | None:
    """Return the section looking from end 2 to end 1; None if there is no room for one. `cleat` is
    how far the job's cleats stand off the sides, in inches."""
    section = beam.section
    drawn = section_shapes(beam, cleat)
    wide = section.width + (WALL if drawn.walls else 0)
    heights = sorted(_heights(beam, drawn, step, cleat))
    room = columns - _BESIDE - max(len(one.text) for one in heights)
    per_inch = true_scale(float(wide), float(drawn.height), max(1, room), rows - _AROUND)
    if per_inch < _SMALLEST:
        return None
    high = ceil(per_inch * float(drawn.height) - NEARLY)
    scale = Scale(CELL * per_inch, per_inch, column=1, row=high + 1)
    canvas = Canvas(columns, high + _AROUND)
    for ink, every in (
        ("wall", drawn.walls),
        ("board", drawn.sides),
        ("bottom", (drawn.bottom, *drawn.tops)),
        ("cleat", drawn.cleats),
    ):
        for shape in every:
            canvas.fill(scale.shape(shape), ink)
    middle, top = scale.at(section.width / 2, drawn.height)
    canvas.centred(middle, max(0, int(top) - 1), with_unit(section.width, step))
    _letters(canvas, drawn, scale)
    _numbers(canvas, heights, scale, int(scale.at(wide, 0)[0]) + 2)
    canvas.write(0, canvas.rows - 2, cut_off(_bottom_text(beam, step), columns), "hint")
    true = true_cell_scale(scale.row_inches, step)
    short = true.replace(" = 2 columns", "")
    canvas.write(0, canvas.rows - 1, true if len(true) <= columns else short, "hint")
    return canvas


def _bottom_text(beam: Beam, step: Step) -> str:
    """Return the bottom's width, and its type if unusual."""
    board = beam.boards["bottom"]
    text = f"bottom {with_unit_at_most(board.width, step)} wide"
    if board.second_edge == "scribed":
        return f"{text}, {with_unit(TO_SCRIBE, step)} to scribe at edge B"
    return f"{text}, tilted {degrees_shown(abs(board.tilt))}" if board.tilt else text


def _letters(canvas: Canvas, drawn: Profile, scale: Scale) -> None:
    """Each side's name on it, and the wall's."""
    for name, shape in zip(("A", "B"), drawn.sides, strict=False):
        x, y = (sum((exact(corner[at]) for corner in shape), Fraction(0)) / 4 for at in (0, 1))
        column, row = scale.at(x, y)
        canvas.write(int(column), int(row), name)
    for shape in drawn.walls:
        column, row = scale.at(shape[0][0], (exact(shape[0][1]) + exact(shape[2][1])) / 2)
        canvas.write(int(column) + 1, int(row), "wall")


def _heights(beam: Beam, drawn: Profile, step: Step, cleat: Fraction) -> Iterator[_Height]:
    """Return the heights over each side's bottom edge, with their texts."""
    section, board = beam.section, beam.boards["bottom"]
    feet = [min(exact(y) for _, y in shape) for shape in drawn.sides]
    if board.first_edge == "mitre":
        miter = f"mitered {float(board.first_blade):g}\u00b0"
        yield _Height(board.thickness, f"{with_unit(board.thickness, step)} {miter}")
        if drawn.tops:
            yield _Height(drawn.height - board.thickness, miter)
    else:
        yield _Height(section.reveal + min(feet), f"{with_unit(section.reveal, step)} reveal")
        yield from _cleat_lines(beam, feet, step, cleat)
    names = [key for key in ("A", "B") if key in beam.pieces]
    heights = [beam.height(key) for key in names]
    if len(set(heights)) == 1 and len(set(feet)) == 1:
        yield _Height(heights[0], f"{with_unit(heights[0], step)} side")
        return
    for name, foot, height in zip(names, feet, heights, strict=True):
        yield _Height(foot + height, f"{with_unit(height, step)} side {name}")
    if max(feet):
        lower = names[feet.index(min(feet))]
        yield _Height(max(feet), f"{with_unit(max(feet), step)} {lower} lower")


def _cleat_lines(
    beam: Beam, feet: list[Fraction], step: Step, cleat: Fraction
) -> Iterator[_Height]:
    keys: tuple[Side, Side] = ("A", "B")
    lines = [cleat_line_of(beam, key, cleat) for key in keys if key in beam.pieces]
    if len(set(lines)) == 1:
        yield _Height(lines[0] + min(feet), f"{with_unit(lines[0], step)} cleat line")
        return
    for key, foot, line in zip(keys, feet, lines, strict=True):
        yield _Height(foot + line, f"{with_unit(line, step)} cleat {key}")


def _numbers(canvas: Canvas, heights: list[_Height], scale: Scale, column: int) -> None:
    """Write each height beside its place or as near as possible, from below."""
    below = int(scale.row)
    for height in heights:
        row = min(below - 1, ceil(scale.at(0, height.up)[1]) - 1)
        canvas.write(column, row, f"\u2576 {height.text}", "mark")
        below = row


_FEWEST_ROWS = 6
"""Rows for one side: below the words the ceiling, two rows to scale, the board."""

_TAPE = " tape's edge "
_LEGEND = f"{TEXTURES['waste']} comes off, ↓ by"
_ROOMY_LEGEND = f"▁ level line   {_LEGEND}"


def ceiling_picture(
    made: Scribe,
    length: Fraction,
    tape: Fraction,
    walls: tuple[str, str],
    step: Step,
    columns: int,
    rows: int,
    sides: Sequence[Side] = SIDES,
) -> Canvas | None:
    """Return one side above the other, each as seen from its own show face; None without room.

    Only the top of each board is drawn, with heights larger than lengths. The scales are
    stated over each side. What comes off shows in every column, also where it reaches below
    the tape's edge.
    """
    each = rows // len(sides)
    if each < _FEWEST_ROWS:
        return None
    canvas = Canvas(columns, len(sides) * each)
    for place, side in enumerate(sides):
        shape = scribe_shape(made, side, length)
        first = place * each
        scale, roomy = _scale(made, length, tape, columns, each, first)
        _fill(canvas, shape, scale, first, each, roomy=roomy)
        if roomy:
            canvas.across(round(scale.at(0, 0)[1]) - 1, "▁", over_edges=False)
            edge = round(scale.at(0, -tape)[1]) - 1
            canvas.across(edge, "┈", beside="waste")
            if (column := canvas.first_free(edge, 2, len(_TAPE), "waste")) is not None:
                canvas.write(column, edge, _TAPE)
        _words(canvas, made, shape, side, scale, step, first, each)
        _names(canvas, shape, walls, first + each - 1, _ROOMY_LEGEND if roomy else _LEGEND)
    return canvas


def _scale(
    made: Scribe, length: Fraction, tape: Fraction, columns: int, each: int, first: int
) -> tuple[Scale, bool]:
    """Return the scale between a row of the ceiling and one of the board, in which the scriber's
    setting takes a row at least; and whether there is room for the level line and, further down,
    for the tape's edge."""
    drawn = each - 4
    gap = max(mark.gap for mark in made.marks)
    low = max(made.setting, tape)
    roomy = drawn * made.setting >= gap + low
    high = gap + (low if roomy else made.setting)
    return Scale(columns / float(length), drawn / float(high), row=first + 2, y=float(gap)), roomy


def _fill(
    canvas: Canvas, shape: ScribeShape, scale: Scale, first: int, each: int, *, roomy: bool
) -> None:
    """The ceiling, under it the board, and between them what the scribe takes off."""
    length = shape.ceiling[-1][0]
    zero = Fraction(0)
    ceiling, scribe = scale.shape(shape.ceiling), scale.shape(shape.scribe)
    canvas.fill([(0, first + 1), *ceiling, (canvas.columns, first + 1)], "wall")
    canvas.below(scribe, first + each - 1, "board")
    canvas.between(
        scale.shape([(zero, zero), (length, zero)]) if roomy else ceiling, scribe, "waste"
    )


def _words(
    canvas: Canvas,
    made: Scribe,
    shape: ScribeShape,
    side: Side,
    scale: Scale,
    step: Step,
    first: int,
    rows: int,
) -> None:
    text = f"side {side}, scriber set to {with_unit(made.setting, step)}"
    canvas.write(0, first, text, "mark")
    times = enlarged("heights", round(CELL * scale.rows_per_inch / scale.columns_per_inch))
    scales = cell_scales(scale.column_inches, scale.row_inches, step, across="high")
    texts = (*(f"{one}, {times}" for one in scales if times), *scales)
    room = canvas.columns - len(text) - 2
    aside = next((one for one in texts if len(one) <= room), texts[-1])
    canvas.write(canvas.columns - len(aside), first, aside, "hint")
    taken = -1
    depths = [-depth for _, depth in shape.scribe[1:-1]]
    for x, depth in zip(shape.stations, depths, strict=True):
        words = f"↓{show_length(depth, step)}"
        column = round(scale.at(x, 0)[0]) - len(words) // 2
        column = max(0, min(column, canvas.columns - len(words)))
        if column > taken:
            canvas.write(column, first + rows - 2, words, "mark")
            taken = column + len(words)


def _names(
    canvas: Canvas, shape: ScribeShape, walls: tuple[str, str], row: int, legend: str
) -> None:
    left, right = (f"end {n} {plain(walls[n - 1])}".rstrip() for n in (shape.left, shape.right))
    room = canvas.columns // 2 - 8
    canvas.write(0, row, cut_off(left, room))
    right = cut_off(right, room)
    canvas.write(canvas.columns - len(right), row, right)
    canvas.centred(canvas.columns / 2, row, legend, "hint")
