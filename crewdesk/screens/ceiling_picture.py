"""The sides of a beam under their ceiling: level line, scribe line, tape, what comes off."""

from collections.abc import Sequence
from fractions import Fraction

from crewdesk.length import Step, show_length
from crewdesk.paper.lengths import with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.scale_text import cell_scales, enlarged
from crewdesk.screens.canvas import CELL, TEXTURES, Canvas, Scale
from crewdesk.trade.cuts.ceiling import SIDES, Scribe
from crewdesk.trade.cuts.scribe_shape import ScribeShape, scribe_shape
from crewdesk.trade.cuts.side_board import Side

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
    """One side above the other, each as seen from its own show face; None without room.

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
    """The scale between a row of the ceiling and one of the board, in which the scriber's
    setting takes a row at least; and whether there is room for the level line and, further
    down, for the tape's edge."""
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
    told = f"side {side}, scriber set to {with_unit(made.setting, step)}"
    canvas.write(0, first, told, "mark")
    times = enlarged("heights", round(CELL * scale.rows_per_inch / scale.columns_per_inch))
    scales = cell_scales(scale.column_inches, scale.row_inches, step, across="high")
    texts = (*(f"{one}, {times}" for one in scales if times), *scales)
    room = canvas.columns - len(told) - 2
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
    canvas.write(0, row, left[:room])
    right = right[:room]
    canvas.write(canvas.columns - len(right), row, right)
    canvas.centred(canvas.columns / 2, row, legend, "hint")
