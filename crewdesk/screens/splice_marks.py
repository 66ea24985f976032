"""A board's splices in a picture of its face."""

from crewdesk.job.lumber.spliced import Spliced
from crewdesk.length import Step
from crewdesk.paper.lengths import with_unit
from crewdesk.screens.canvas import Canvas


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
