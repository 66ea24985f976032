"""A bottom board's show face on paper, and its section."""

from crewdesk.job.beam import Beam
from crewdesk.job.in_plan import slanted_ends
from crewdesk.job.lumber.spliced import Spliced
from crewdesk.job.marks import BottomMarks
from crewdesk.paper.lengths import with_unit_at_most
from crewdesk.paper.taped.board_scale import LARGEST_OFFSET, BoardScale
from crewdesk.paper.taped.pages import Pages, Strip
from crewdesk.paper.taped.pen import BOARD, Place, lead
from crewdesk.paper.taped.side_drawn import names_strip, splices_drawn
from crewdesk.paper.taped.type_sizes import INCH, TypeSizes
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.face import TIMES
from crewdesk.trade.cuts.profile import bottom_profile
from crewdesk.trade.length import Step, exact

_LINE = 10.0
_FACE = 4 * _LINE
_SECTION = 24.0
"""How high the section may be, and the face is, in points."""


def bottom_strip(
    beam: Beam, cut: BottomCut, step: Step, scale: BoardScale, size: TypeSizes,
    spliced: Spliced | None = None,
) -> Strip:  # fmt: skip
    """The face as it lies on the bench, end 1 at the left and edge A away from one: so it
    is seen from below, too, once it hangs."""
    times = slant_times(cut, scale)
    ends = slanted_ends(beam, cut)

    def draw(pages: Pages, y: float) -> None:
        middle = (pages.left + pages.right) / 2
        longest = float(max(cut.edge_a, cut.edge_b)) * scale.along
        left = middle - longest / 2
        pages.shape(_corners(cut, ends, times, left, y, longest, scale), fill=BOARD, thick=1.2)
        if spliced is not None:
            splices_drawn(pages, spliced, left, left + longest, y, y + _FACE)
        pages.write(middle, y + 1, _edge("A", cut, step), _LINE, align="C")
        told = "SHOW FACE OF THE BOTTOM"
        pages.write(middle, y + 1.35 * _LINE, told, _LINE, bold=True, align="C")
        pages.write(middle, y + _FACE - lead(_LINE), _edge("B", cut, step), _LINE, align="C")
        told = f"length 1 : {INCH / scale.along:.0f}, width not to scale"
        told += f", slant {times} x" if times > 1 else ""
        names_strip(pages, (1, 2), beam.ends, told, size, y + _FACE + 3)

    return Strip(_FACE + 3 + lead(size.word) + 2, draw)


def _edge(name: str, cut: BottomCut, step: Step) -> str:
    if cut.edge_a == cut.edge_b:
        return f"edge {name}"
    edge = cut.edge_a if name == "A" else cut.edge_b
    return f"edge {name} {with_unit_at_most(edge, step)}"


def slant_times(cut: BottomCut, scale: BoardScale) -> int:
    """How many times larger than true the difference of the two edges is drawn."""
    apart = abs(cut.edge_a - cut.edge_b)
    largest = exact(LARGEST_OFFSET / scale.along)
    fitting = [times for times in TIMES if times * apart <= largest]
    return fitting[-1] if apart and fitting else 1


def _corners(
    cut: BottomCut, ends: tuple[bool, bool], times: int, left: float, y: float, longest: float,
    scale: BoardScale,
) -> list[Place]:  # fmt: skip
    """The face from its top left corner on with the clock; the shorter edge is drawn short
    at each end that is off square, half of it at either where both are."""
    short = times * abs(float(cut.edge_a - cut.edge_b)) * scale.along / max(1, sum(ends))
    above, below = (short, 0.0) if cut.edge_a < cut.edge_b else (0.0, short)
    at_left, at_right = (1.0 if off else 0.0 for off in ends)
    right = left + longest
    return [
        (left + above * at_left, y),
        (right - above * at_right, y),
        (right - below * at_right, y + _FACE),
        (left + below * at_left, y + _FACE),
    ]


def section_drawn(beam: Beam, made: BottomMarks, pages: Pages, y: float, wide: float) -> float:
    """The board's section, show face down, true to scale at the right, `wide` points wide
    at most; gives where it begins."""
    board = beam.boards["bottom"]
    scale = min(wide / float(board.width), _SECTION / float(exact(board.thickness)))
    left, foot = pages.right - float(board.width) * scale, y + _SECTION
    corners = [
        (left + float(x) * scale, foot - float(up) * scale)
        for x, up in bottom_profile(board, made.flat)
    ]
    pages.shape(corners, fill=BOARD, thick=1)
    return left


SECTION_HIGH = _SECTION
