"""Where to measure, drawn before it is known: the spots under a ceiling, the square at a wall,
the wedge in a gap."""

from collections.abc import Sequence

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
) -> Canvas | None:
    """The beam under the ceiling with the spots to measure at, end 1 at the left; `measured`
    says of each place whether it has its heights. None without room or a length."""
    if rows < _FEWEST or not places or not max(places):
        return None
    canvas = Canvas(columns, min(rows, _FEWEST + len(sides) + 2))
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
    following = next((at for at, one in enumerate(measured) if not one), None)
    for at, (place, known) in enumerate(zip(places, measured, strict=True)):
        column = min(round(scale.at(place, 0)[0]), columns - 1)
        canvas.write(column, 1, "↑", "dimension")
        canvas.down(column, 2, laser - 1, "│", "dimension")
        if known:
            canvas.write(column, laser, "■", "word")
        words = show_length(place, step)
        start = max(0, min(column - len(words) // 2, columns - len(words)))
        canvas.write(start, laser + 1, words, "dimension")
        if at == following:
            right = column + 2 + len(_HERE) <= columns
            canvas.write(column + 2 if right else column - 1 - len(_HERE), 2, _HERE, "set")
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
    """A side between its walls with what to measure of it: its length, then either wall's gap;
    `ends` and `walls` are those at the left and at the right, `unread` says which of the three
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


_SLANT = 8
"""Columns that a wall out of square slants by, whatever its gap."""
_DEEP = 3
"""Rows of a beam from above."""


def walls_in_plan(
    gaps: tuple[str, str], longer: tuple[str, str], walls: tuple[str, str], columns: int
) -> str:
    """The beam from above between its walls, the square's leg at each; `gaps` and `longer` are as
    typed, "" where nothing is. A slant shows which side runs longer, not by how much."""
    middle = max(columns - 2 * (_SLANT + 3), 12)
    lines = []
    for row in range(_DEEP):
        outs = [_out(gap, side, row) for gap, side in zip(gaps, longer, strict=True)]
        first, last = (
            _beside(gap, out, row == (0 if side == "A" else _DEEP - 1))
            for gap, out, side in zip(gaps, outs, longer, strict=True)
        )
        left, right = _wall(longer[0], outs[0]), _wall(longer[1], outs[1], at_right=True)
        before = f"{first[0]:>{_SLANT - outs[0]}}{left}{first[1]:^{outs[0]}}"
        after = f"{last[1]:^{outs[1]}}{right}{last[0]}"
        lines.append(f"{before}│{_board(row, walls, middle)}│{after}".rstrip())
    lines.append("from above: │ the leg, ╱ the wall, not to scale")
    return "\n".join(lines)


def _beside(gap: str, out: int, shown: bool) -> tuple[str, str]:
    """What is written beyond a wall, and between it and the leg, `out` columns from it: the gap
    where it is `shown`, a question where none is known."""
    if not shown:
        return "", ""
    if not gap:
        return " gap? ", ""
    return "", cut_off(gap, out) if out else ""


def _board(row: int, walls: tuple[str, str], columns: int) -> str:
    """A row of the beam, with its side's name, or in the middle those of its ends."""
    sign = TEXTURES["board"]
    if row != _DEEP // 2:
        return f" side {'A' if row < _DEEP // 2 else 'B'} ".center(columns, sign)
    names = [f" end {n} {plain(wall)}".rstrip() for n, wall in zip((1, 2), walls, strict=True)]
    left, right = (f"{cut_off(one, columns // 2 - 3)} " for one in names)
    return f"{left}{sign * (columns - len(left) - len(right))}{right}"


def _out(gap: str, longer: str, row: int) -> int:
    """How many columns the wall is off the leg in a row, side A's first."""
    if not gap or gap.strip("0/ .") == "" or longer not in ("A", "B"):
        return 0
    part = row if longer == "B" else _DEEP - 1 - row
    return part * _SLANT // (_DEEP - 1)


def _wall(longer: str, out: int, *, at_right: bool = False) -> str:
    """The wall's sign in a row, as it slants."""
    if not out:
        return "┃"
    return "╲" if (longer == "A") != at_right else "╱"


_GAP = 16
"""Columns of a gap."""
_WEDGE = (16, 11, 6)
"""Columns of the wedge, row by row."""


def wedge_in_gap(gap: Gap, step: Step) -> str:
    """The gap with what closes it: a wedge between wall and board, or caulk."""
    wedge = gap.cure == "wedge"
    wall, board = TEXTURES["wall"] * 6, TEXTURES["board"] * 6
    width = with_unit(gap.width, step)
    across = cell_scales(float(gap.width) / _GAP, 1, step)[2].partition(",")[0]
    beside = "wall" if gap.where.startswith("end") else gap.where
    notes = (
        f"{beside}, {'wedge' if wedge else 'caulk'}, board",
        f"across: {across}",
        "depth not to scale",
    )
    lines = [f"{' ' * 6}{dimension(width, _GAP)}"]
    for wide, note in zip(_WEDGE, notes, strict=True):
        fill = TEXTURES["cleat"] * wide if wedge else TEXTURES["waste"] * _GAP
        lines.append(f"{wall}{fill.ljust(_GAP)}{board}  {note}")
    return "\n".join(lines)
