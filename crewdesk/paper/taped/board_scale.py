"""To which scale a beam's boards are drawn on paper."""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from crewdesk.job.cuts.marks import BottomMarks, Marks, SideMarks
from crewdesk.length import Length, exact
from crewdesk.paper.taped.pen import HAIR
from crewdesk.paper.taped.type_sizes import INCH
from crewdesk.trade.cuts.side_board import SideCut

ENDS = 40.0
"""Left free for a wall and an enlarged offset at either end of a drawing, in points."""
LARGEST_OFFSET = 14.0
"""How far an enlarged offset may go, in points."""


@dataclass(frozen=True)
class BoardScale:
    """The scales along a board and across it, the same for all boards of a beam: one inch on
    paper is `length` inches along the board and `width` inches across it."""

    length: int
    width: int

    @property
    def along(self) -> float:
        """Points to the inch along a board."""
        return INCH / self.length

    @property
    def up(self) -> float:
        """Points to the inch across it."""
        return INCH / self.width

    def text(self, what: str = "", times: int = 1) -> str:
        """Both scales in words, and how many times larger `what` is drawn, if it is."""
        enlarged = f", {what} {times} x" if times > 1 else ""
        return f"length 1 : {self.length}, width 1 : {self.width}{enlarged}"

    def for_width(self, width: Length, high: float) -> "BoardScale":
        """The same along a board, and across it the largest whole one at which a board
        `width` inches wide is no more than `high` points high."""
        return BoardScale(self.length, whole_scale(width, high))


def whole_scale(inches: Length, points: float) -> int:
    """The n of the largest scale 1 : n, n whole, at which so many inches fit into so many
    points."""
    return max(1, ceil(float(inches) * INCH / points - HAIR))


def board_scale(made: list[Marks], wide: float, high: float) -> BoardScale | None:
    """The whole scales at which the longest board of a beam fits into `wide` points and its
    widest side into `high`; None if no length is known yet."""
    lengths = [length for one in made if (length := _length(one))]
    heights = [one.height for one in made if isinstance(one, SideMarks)]
    if not lengths or not heights:
        return None
    return BoardScale(whole_scale(max(lengths), wide - 2 * ENDS), whole_scale(max(heights), high))


def _length(made: Marks) -> Length | None:
    if isinstance(made, SideMarks) and made.cut is not None:
        return _longest(made.cut)
    return made.length if isinstance(made, BottomMarks) else None


def _longest(cut: SideCut) -> Fraction:
    return max(exact(cut.bottom_length), exact(cut.blank))
