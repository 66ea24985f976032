"""The one mark that a reading leads to, in words and figures, to be put on the board at once."""

from crewdesk.job.beam import Beam
from crewdesk.job.marks import BottomMarks, Marks, SideMarks
from crewdesk.job.readings import ENDS
from crewdesk.paper.board_marks import end_told
from crewdesk.trade.cuts.side_board import ends_left_to_right
from crewdesk.trade.length import Step, show_at_most, show_length


def one_mark(made: Marks, key: str, what: str, step: Step) -> tuple[str, str] | None:
    """Words and figures, as ``("bottom edge", "147 5/16")``; None until it is known.

    Of a run the bottom edge's length, of an end what its top is off the square line, of
    the length between the walls the bottom board's, rounded down.
    """
    if isinstance(made, BottomMarks) and made.cut is not None:
        return "bottom board, never over", show_at_most(made.cut.edge_a, step)
    if not isinstance(made, SideMarks) or made.cut is None:
        return None
    if what not in ENDS:
        return "bottom edge", show_length(made.cut.bottom_length, step)
    number = ENDS.index(what) + 1
    end = (made.cut.end1, made.cut.end2)[number - 1]
    seen = ("left", "right")[ends_left_to_right("A" if key == "A" else "B").index(number)]
    if end.offset == 0:
        return f"{seen} end: square", "0"
    way = "back from" if end.offset > 0 else "out past"
    return f"{seen} end: top {way} the square line", show_length(end.away, step)


def other_marks(made: Marks, beam: Beam, key: str, step: Step) -> list[str]:
    """All marks of a side in short lines, as seen from its show face; of a bottom none more."""
    if not isinstance(made, SideMarks) or made.cut is None:
        return []
    left, right = ends_left_to_right("A" if key == "A" else "B")
    ends = (made.cut.end1, made.cut.end2)
    bottom, top = (show_length(one, step) for one in (made.cut.bottom_length, made.cut.top_length))
    return [
        f"bottom {bottom}  top {top}  blank {show_length(made.cut.blank, step)}",
        f"left  {beam.ends[left - 1] or f'end {left}'}: {end_told(ends[left - 1], step)}",
        f"right {beam.ends[right - 1] or f'end {right}'}: {end_told(ends[right - 1], step)}",
    ]
