"""Boards that were cut before and are cut again: what is done on them already.

A board that is ripped again keeps its eased bottom edge, the cleat line inside and its ends,
where only its top edge loses wood.
"""

from fractions import Fraction
from typing import Literal

from crewdesk.job.beam import Beam
from crewdesk.job.cut import in_words
from crewdesk.job.marks import SideMarks, marks
from crewdesk.job.piece import Piece
from crewdesk.length import HIDDEN_AT_MOST, Length, Step, exact
from crewdesk.trade.cuts.side_board import SideCut

AGAIN = ("ease", "sand", "cleat-line")
"""The usual steps that a board which is ripped again along its top edge has behind it."""
CHECK_OFF = "done on this board before: check it, then check it off"
ENDS_STAY = (
    "Both ends are cut already and stay as they are, a narrower board's too: check them and check "
    "this off."
)


def figure_before(piece: Piece, step_id: str, name: str) -> Fraction | None:
    """Return a figure, in inches, that this very board was cut to before its cut was opened
    again; None where it wasn't."""
    mark = piece.before.get(step_id)
    figure = None if mark is None or mark.cut is None else mark.cut.figures.get(name)
    return None if figure is None else figure.exact


def done_before(beam: Beam, piece: Piece, step_id: str) -> bool:
    """Return whether a step that a rip along the top edge leaves alone was done on this very
    board before: its bottom edge eased, its face sanded, its cleat line where it is today."""
    if step_id not in AGAIN or step_id not in piece.before or piece.kind != "side":
        return False
    if step_id != "cleat-line":
        return True
    made = marks(beam, piece, projection=beam.habits.cleat)
    line = made.cleat_line if isinstance(made, SideMarks) else None
    was = figure_before(piece, step_id, "cleat_line")
    return line is not None and was is not None and abs(exact(line) - was) <= HIDDEN_AT_MOST


def rip_again(piece: Piece, width: Length, step: Step) -> str:
    """Return how a side that was ripped before is ripped to another width, in words; "" where
    it wasn't ripped yet."""
    was = figure_before(piece, "rip-side", "height")
    if was is None:
        return ""
    if exact(width) > was:
        return (
            f"ripped to {in_words(was, step)} before, too narrow for {in_words(width, step)}: "
            "take a new board"
        )
    done = [what for id_, what in _AT_BOTTOM if id_ in piece.before]
    edge = f"the bottom edge ({' and '.join(done)})" if done else "the bottom edge"
    return (
        f"ripped to {in_words(was, step)} before: run {edge} along the fence, so that the waste, "
        f"{in_words(was - exact(width), step)}, comes off the top edge"
    )


_AT_BOTTOM = (("ease", "eased"), ("cleat-line", "cleat line inside"))


def ends_before(piece: Piece, cut: SideCut, step: Step) -> Literal["", "stay", "short", "recut"]:
    """Return whether a side's ends, cut before its rip was opened again, `stay`, the board is
    too `short` for its cut of today, or must be `recut`; "" where its ends aren't cut."""
    bottom = figure_before(piece, "cut-side", "bottom_length")
    if bottom is None:
        return ""
    more = exact(cut.bottom_length) - bottom
    if more > step.size / 2:
        return "short"
    high = _height_then(piece)
    if high is None:
        return "recut"
    apart = [abs(more)]
    for end, now in (("end1_offset", cut.end1), ("end2_offset", cut.end2)):
        was = figure_before(piece, "cut-side", end)
        assert was is not None
        apart.append(abs(was / high * cut.height - exact(now.offset)))
    return "stay" if max(apart) <= step.size / 2 else "recut"


def _height_then(piece: Piece) -> Fraction | None:
    """How wide a side was when its ends were cut; None along a ridge, where that follows from
    the slopes."""
    cut = piece.before["cut-side"].cut
    if cut is None or cut.settings.get("form") == "ridge":
        return None
    own = cut.settings.get("height_b") if piece.key == "B" else None
    return Fraction(own or cut.section["height"])


def too_short(piece: Piece, cut: SideCut, step: Step) -> str:
    """Return the sentence for a board that was cut shorter before than it must be now."""
    was = figure_before(piece, "cut-side", "bottom_length")
    assert was is not None
    return (
        f"Cut to {in_words(was, step)} along the bottom edge before, and now "
        f"{in_words(cut.bottom_length, step)} is needed: take a new board."
    )
