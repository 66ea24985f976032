"""Both sides of a pair under their ceiling: level line, scribe line, tape, what comes off."""

from fractions import Fraction

from crewdesk.paper.lengths import with_unit
from crewdesk.paper.plain import plain
from crewdesk.screens.canvas import Canvas, Scale
from crewdesk.trade.cuts.ceiling import SIDES, Scribe
from crewdesk.trade.cuts.scribe_shape import ScribeShape, scribe_shape
from crewdesk.trade.cuts.side_board import Side
from crewdesk.trade.length import Step, show_length

_FEWEST_ROWS = 12
_AROUND = 3
"""Rows of words round each side's drawing."""


def ceiling_picture(
    made: Scribe,
    length: Fraction,
    tape: Fraction,
    walls: tuple[str, str],
    step: Step,
    columns: int,
    rows: int,
) -> Canvas | None:
    """Side A above side B, each as seen from its own show face; None without room.

    Only the top of each board is drawn, heights larger than lengths, which it tells.
    """
    if rows < _FEWEST_ROWS:
        return None
    canvas = Canvas(columns, rows - rows % 2)
    each = canvas.rows // 2
    for place, side in enumerate(SIDES):
        shape = scribe_shape(made, side, length)
        scale = _scale(made, length, tape, columns, each, place * each)
        _fill(canvas, shape, scale, tape)
        _words(canvas, made, shape, side, scale, step, place * each, each)
        _names(canvas, shape, walls, (place + 1) * each - 1)
    return canvas


def _scale(
    made: Scribe, length: Fraction, tape: Fraction, columns: int, rows: int, first: int
) -> Scale:
    """All of the gap above, and below whatever is deeper, the scribe or the tape."""
    high = max(mark.gap for mark in made.marks) + made.setting / 4
    low = max(made.setting, tape) + made.setting / 4
    drawn = rows - _AROUND
    per_inch = drawn / float(high + low)
    return Scale(columns / float(length), per_inch, row=first + 1 + drawn, y=-float(low))


def _fill(canvas: Canvas, shape: ScribeShape, scale: Scale, tape: Fraction) -> None:
    """The ceiling, under it the board, and between them what the scribe takes off."""
    length = shape.ceiling[-1][0]
    bottom = int(scale.row)
    level = scale.shape([(0, 0), (length, 0)])
    canvas.fill([*level, *reversed(scale.shape(shape.scribe))], "waste")
    canvas.above(scale.shape(shape.ceiling), bottom - (canvas.rows // 2 - _AROUND), "wall")
    canvas.below(scale.shape(shape.scribe), bottom, "board")
    canvas.across(round(level[0][1]) - 1, "▁", over_edges=False)
    edge = int(scale.at(0, -tape)[1])
    canvas.across(edge, "┈")
    canvas.write(2, edge, " tape's edge ")


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
    times = round(scale.rows_per_inch * 2 / scale.columns_per_inch)
    told = f"side {side}, scriber set to {with_unit(made.setting, step)}"
    canvas.write(0, first, told, "mark")
    aside = f"heights drawn {times} x"
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


def _names(canvas: Canvas, shape: ScribeShape, walls: tuple[str, str], row: int) -> None:
    left, right = (f"end {n} {plain(walls[n - 1])}".rstrip() for n in (shape.left, shape.right))
    room = canvas.columns // 2 - 8
    canvas.write(0, row, left[:room])
    right = right[:room]
    canvas.write(canvas.columns - len(right), row, right)
    canvas.centred(canvas.columns / 2, row, "▁ level line   ░ off   ↓ by", "hint")
