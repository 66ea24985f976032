"""To which scale a beam's boards are drawn on paper."""

from dataclasses import dataclass
from fractions import Fraction

from crewdesk.job.marks import BottomMarks, Marks, SideMarks
from crewdesk.paper.taped.type_sizes import INCH
from crewdesk.trade.cuts.side_board import SideCut
from crewdesk.trade.length import Length, exact

ENDS = 40.0
"""Left free for a wall and an enlarged offset at either end of a drawing, in points."""
LARGEST_OFFSET = 14.0
"""How far an enlarged offset may go, in points."""


@dataclass(frozen=True)
class BoardScale:
    """Points to the inch along a board and up it, the same for all boards of a beam."""

    along: float
    up: float

    @property
    def told(self) -> str:
        """Both scales in words."""
        along, up = INCH / self.along, INCH / self.up
        return f"length 1 : {along:.0f}, height 1 : {up:.0f}"


def board_scale(made: list[Marks], wide: float, high: float) -> BoardScale | None:
    """The scale at which the longest board of a beam fills `wide` points and its highest
    side `high`; None where no length is known yet."""
    lengths = [length for one in made if (length := _length(one))]
    heights = [one.height for one in made if isinstance(one, SideMarks)]
    if not lengths or not heights:
        return None
    return BoardScale((wide - 2 * ENDS) / float(max(lengths)), high / float(max(heights)))


def _length(made: Marks) -> Length | None:
    if isinstance(made, SideMarks) and made.cut is not None:
        return _longest(made.cut)
    return made.length if isinstance(made, BottomMarks) else None


def _longest(cut: SideCut) -> Fraction:
    return max(exact(cut.bottom_length), exact(cut.blank))
