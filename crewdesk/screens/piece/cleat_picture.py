"""The cleats of a beam along their sides, each with a dimension line as long as it."""

from crewdesk.job.beams.beam import Beam
from crewdesk.job.cuts.marks import CleatMarks, SideMarks, marks
from crewdesk.length import Length, Step
from crewdesk.paper.lengths import cell_scales, with_unit_at_most
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.canvas import Canvas, Scale

_EACH = 4
"""Rows for a cleat: its dimension line, itself, and the board that it is on."""
_ROUND = 1
"""Columns at either side."""


def cleats_picture(
    beam: Beam, made: CleatMarks, step: Step, columns: int, rows: int
) -> Canvas | None:
    """Return each cleat over the bottom edge of its side, end 1 at the left; lengths to scale,
    heights not. None if no length is known or there is no room."""
    runs = [(one, _run(beam, one.on)) for one in made.cleats]
    known = [(one, run) for one, run in runs if run is not None and one.length is not None]
    if not known or rows < _EACH * len(known) + 1:
        return None
    low = min(float(one.start or 0) for one, _ in known)
    low = min(low, 0.0)
    high = max(
        max(float(run), float(one.start or 0) + float(one.length or 0)) for one, run in known
    )
    per_inch = (columns - 2 * _ROUND) / (high - low)
    canvas = Canvas(columns, _EACH * len(known) + 1)
    for place, (one, run) in enumerate(known):
        assert one.length is not None
        top = place * _EACH
        scale = Scale(per_inch, 1, column=_ROUND, row=top + _EACH, x=low)
        start = float(one.start or 0)
        stop = start + float(one.length)
        canvas.fill(scale.shape([(0, 0), (run, 0), (run, 2), (0, 2)]), "board")
        canvas.fill(scale.shape([(start, 2), (stop, 2), (stop, 3), (start, 3)]), "cleat")
        first, last = scale.at(start, 0)[0], scale.at(stop, 0)[0]
        what = "wall" if one.on == "wall" else f"side {one.on}"
        text = f"cleat on {what} {with_unit_at_most(one.length, step)}"
        canvas.measured(first, last, top, text)
        canvas.centred(columns / 2, top + 2, f" inside of {what} " if what != "wall" else " wall ")
    left, right = (f"end {n} {plain(beam.ends[n - 1])}".rstrip() for n in (1, 2))
    row = canvas.rows - 1
    room = columns - len(left) - len(right) - 4
    scales = [
        f"{one.partition(',')[0]}, heights not to scale"
        for one in cell_scales(1 / per_inch, 1, step)
    ]
    along = next((one for one in scales if len(one) <= room), scales[-1])
    canvas.write(0, row, left)
    canvas.write(columns - len(right), row, right)
    middle = (len(left) + columns - len(right)) / 2
    canvas.centred(middle, row, along, "hint")
    return canvas


def _run(beam: Beam, on: str) -> Length | None:
    """Return the bottom edge of the side that a cleat is on, side A's for one on the wall."""
    made = marks(beam, beam.piece("A" if on == "wall" else on))
    return made.cut.bottom_length if isinstance(made, SideMarks) and made.cut else None
