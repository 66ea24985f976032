"""The one mark that a reading leads to, in words and figures, to be put on the board at once."""

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.readings import READING_KINDS
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import BottomMarks, Marks, SideMarks
from crewdesk.length import Step, show_length
from crewdesk.paper.board_marks import lines_of_marks, mark_words


def one_mark(made: Marks, key: str, what: str, step: Step) -> tuple[str, str] | None:
    """Return the words and the figures of a reading's mark, for example ``("bottom edge",
    "147 5/16")``; None until it is known."""
    id_ = READING_KINDS[what].mark
    mark = next((one for one in mark_list(made, key) if id_ and one.id == id_), None)
    if mark is None:
        return None
    if mark.value is None:
        return f"{mark.name} end: {mark.note}", "0"
    name, _, rest = mark_words(mark._replace(end=0, deg=None), ("", ""), step)
    never = "bottom board, never over" if isinstance(made, BottomMarks) else name
    words = f"{never} {rest}".strip() if mark.end or mark.kept else never
    return words, show_length(mark.value, step, way=mark.way)


def other_marks(made: Marks, beam: Beam, key: str, step: Step) -> list[str]:
    """Return all marks of a side in short lines, as seen from its show face; of a bottom none."""
    if not isinstance(made, SideMarks) or made.cut is None:
        return []
    marks = [one for one in mark_list(made, key) if one.row != "section"]
    walls = (beam.ends[0] or "end 1", beam.ends[1] or "end 2")
    return lines_of_marks(marks, walls, step)
