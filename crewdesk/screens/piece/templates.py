"""Where to measure, drawn before it is measured: the spots under a ceiling, the square at a wall,
the wedge in a gap."""

from collections.abc import Sequence

from textual.content import Content

from crewdesk.job.beams.piece import Gap
from crewdesk.length import Length, Step, show_length
from crewdesk.paper.lengths import cell_scales, with_unit
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.canvas import TEXTURES, Canvas, Scale
from crewdesk.screens.parts.fitted import cut_off
from crewdesk.screens.parts.stick import dimension
from crewdesk.trade.cuts.side_board import Side

_FEWEST = 8
"""Rows of the ceiling's template."""
_MOST = 20
"""Rows of it at most."""
_HERE = "□ measure here"
_LASER = " laser line; heights not to scale "


def ceiling_template(
    places: Sequence[Length],
    measured: Sequence[bool],
    sides: Sequence[Side],
    walls: tuple[str, str],
    step: Step,
    columns: int,
    rows: int,
    cursor: tuple[int, Side] | None = None,
) -> Canvas | None:
    """Return the beam under the ceiling with the spots to measure at, end 1 at the left; `measured`
    says of each place whether it has its heights. `cursor` is the spot and the side whose field has
    the cursor, which is what to measure. None without room or a length."""
    if rows < _FEWEST or not places or not max(places):
        return None
    canvas = Canvas(columns, min(rows, _MOST))
    last = canvas.rows - 1
    board = last - len(sides)
    laser = board - 2
    per_inch = (columns - 1) / float(max(places))
    scale = Scale(per_inch, 1)
    canvas.fill([(0, 0), (columns, 0), (columns, 1), (0, 1)], "wall")
    canvas.across(laser, "┄", "hint")
    canvas.write(columns - len(_LASER) - 2, laser, _LASER, "hint")
    for at, side in enumerate(sides):
        row = board + at
        canvas.fill([(0, row), (columns, row), (columns, row + 1), (0, row + 1)], "board")
        canvas.centred(columns / 2, row, f" side {side} ")
    following = next((spot for spot, one in enumerate(measured) if not one), None)
    here = _HERE
    if cursor is not None:
        following, here = cursor[0], f"{_HERE}, over {cursor[1]}"
    for spot, (place, known) in enumerate(zip(places, measured, strict=True)):
        now = spot == following
        column = min(round(scale.at(place, 0)[0]), columns - 1)
        ink = "word" if now else "dimension"
        canvas.write(column, 1, "↑", ink)
        canvas.down(column, 2, laser - 1, "│", ink)
        if known:
            canvas.write(column, laser, "■", "word")
        words = show_length(place, step)
        start = max(0, min(column - len(words) // 2, columns - len(words)))
        canvas.write(start, laser + 1, words, ink)
        if now:
            right = column + 2 + len(here) <= columns
            canvas.write(column + 2 if right else column - 1 - len(here), 2, here, "set")
    along = cell_scales(1 / per_inch, 1, step)[1].partition(",")[0]
    left, right_end = (f"end {n} {plain(walls[n - 1])}".rstrip() for n in (1, 2))
    room = max(5, (columns - len(along) - 4) // 2)
    canvas.write(0, last, cut_off(left, room))
    canvas.write(columns - len(cut_off(right_end, room)), last, cut_off(right_end, room))
    canvas.centred(columns / 2, last, along, "hint")
    return canvas


_END = 5
"""Columns of a wall beside a board that isn't measured."""


def side_template(
    name: str,
    ends: tuple[int, int],
    walls: tuple[str, str],
    unread: Sequence[bool],
    columns: int,
    rows: int,
) -> Canvas | None:
    """Return a side between its walls with what to measure of it: its length, then either wall's
    gap; `ends` and `walls` are those at the left and at the right, `unread` says which of the three
    aren't measured. None without room."""
    if rows < _FEWEST:
        return None
    canvas = Canvas(columns, _FEWEST)
    last = canvas.rows - 1
    for start in (0, columns - _END):
        stop = start + _END
        canvas.fill([(start, 1), (stop, 1), (stop, last - 2), (start, last - 2)], "wall")
    right = columns - _END
    canvas.fill([(_END, 1), (right, 1), (right, last - 2), (_END, last - 2)], "board")
    canvas.centred(columns / 2, last // 2 - 1, f" show face of {name}, not to scale ")
    first = unread.index(True) if True in unread else None
    line = dimension(f"{_HERE}, wall to wall" if first == 0 else "wall to wall", right - _END)
    canvas.write(_END, last - 1, line, "dimension")
    names = [f"end {n} {plain(wall)}".rstrip() for n, wall in zip(ends, walls, strict=True)]
    left_name, right_name = (cut_off(one, columns // 2 - 2) for one in names)
    canvas.write(0, last, left_name)
    canvas.write(columns - len(right_name), last, right_name)
    for at, column in ((1, _END), (2, right)):
        words = f"{_HERE}, gap" if first == at else "gap"
        start = column if at == 1 else column - len(words)
        canvas.write(start, 0, words, "dimension")
    return canvas


_SLANT, _THICK = 8, 3
"""Columns that a wall out of square slants by, whatever its gap, and that it is thick."""
_DEEP = 3
"""Rows of a beam from above."""
_BOARD, _WALL, _DIMENSION, _HINT = "$board", "$wall", "$dimension bold", "$muted"

_LEGENDS = (
    "from above: │ leg, ╱ wall, not to scale",
    "│ leg, ╱ wall, not to scale",
    "not to scale",
)


def walls_in_plan(
    gaps: tuple[str, str], longer: tuple[str, str], walls: tuple[str, str], columns: int
) -> Content:
    """Return the beam from above between its walls, the square's leg at each; `gaps` and `longer`
    are as typed, or "" if nothing is. A slant shows which side runs longer, not by how much."""
    middle = max(columns - 2 * (_SLANT + _THICK + 1), 12)
    lines = []
    for row in range(_DEEP):
        ends = []
        for gap, side in zip(gaps, longer, strict=True):
            out = _out(gap, side, row)
            far = row == (0 if side == "A" else _DEEP - 1)
            ends.append(((TEXTURES["wall"] * (_SLANT + _THICK - out), _WALL), _gap(gap, out, far)))
        (left, first), (right, last) = ends
        name = f" side {'AB'[row // 2]} " if row != _DEEP // 2 else ""
        half = (middle - len(name)) // 2
        board = [
            (TEXTURES["board"] * half, _BOARD),
            (name, f"{_BOARD} reverse"),
            (TEXTURES["board"] * (middle - half - len(name)), _BOARD),
        ]
        lines.append(Content.assemble(left, first, "│", *board, "│", last, right))
    names = [f"end {n} {plain(wall)}".rstrip() for n, wall in zip((1, 2), walls, strict=True)]
    wide = middle + 2 * (_SLANT + _THICK + 1)
    free = wide - sum(map(len, names)) - 2
    said = next((one for one in _LEGENDS if len(one) <= free), _LEGENDS[-1])
    if len(said) > free:
        names = [cut_off(one, (wide - len(said) - 2) // 2) for one in names]
    room = wide - sum(map(len, names))
    lines.append(Content.assemble(names[0], (said.center(room), _HINT), names[1]))
    return Content("\n").join(lines)


def _gap(gap: str, out: int, far: bool) -> tuple[str, str]:
    """What is written between a wall and the leg, `out` columns from it: its dimension at the leg's
    end, which is the `far` one, or a question if none is known."""
    if far and out:
        return f"├{cut_off(gap, out - 2):─^{out - 2}}┤", _DIMENSION
    return ("gap?" if not gap and out else "").center(out), _HINT


def _out(gap: str, longer: str, row: int) -> int:
    """Return how many columns the wall is off the leg in a row, side A's first."""
    if not gap:
        return _SLANT if row == _DEEP // 2 else 0
    if gap.strip("0/ .") == "" or longer not in ("A", "B"):
        return 0
    part = row if longer == "B" else _DEEP - 1 - row
    return part * _SLANT // (_DEEP - 1)


_GAP = 16
"""Columns of a gap."""
_WEDGE = (16, 11, 6)
"""Columns of the wedge, row by row."""


def wedge_in_gap(gap: Gap | None, step: Step) -> Content:
    """Return the gap with what closes it: a wedge between wall and board, or caulk; None while its
    width isn't known."""
    wedge = gap is None or gap.cure == "wedge"
    width = "width?" if gap is None else with_unit(gap.width, step)
    closes = "wedge" if wedge else "caulk"
    notes = ["wall", closes, "board"]
    scale = "not to scale"
    if gap is not None:
        notes[0] = "wall" if gap.where.startswith("end") else gap.where or "wall"
        across = cell_scales(float(gap.width) / _GAP, 1, step)[2].partition(",")[0]
        scale = f"across: {across}"
    aside = (", ".join(notes), scale, "depth not to scale" if gap is not None else "")
    lines = [Content.styled(f"{' ' * 6}{dimension(width, _GAP)}", _DIMENSION)]
    for wide, note in zip(_WEDGE, aside, strict=True):
        fill = (TEXTURES["cleat"] * wide, _BOARD) if wedge else (TEXTURES["waste"] * _GAP, "$waste")
        lines.append(
            Content.assemble(
                (TEXTURES["wall"] * 6, _WALL),
                fill,
                " " * (_GAP - len(fill[0])),
                (TEXTURES["board"] * 6, _BOARD),
                (f"  {note}", _HINT),
            )
        )
    return Content("\n").join(lines)
