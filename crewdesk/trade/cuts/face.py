"""The show faces of boards, and sides under a ceiling, as shapes for drawing."""

from dataclasses import dataclass
from fractions import Fraction

from crewdesk.length import Length, exact
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.ceiling import Scribe
from crewdesk.trade.cuts.side_board import End, Side, SideCut, ends_left_to_right

Point = tuple[Fraction, Fraction]
Four = tuple[Point, Point, Point, Point]
Three = tuple[Point, Point, Point]
Line = tuple[Point, Point]

TIMES = tuple(factor * 10**power for power in range(4) for factor in (1, 2, 5))
"""The factors by which an offset may be enlarged."""


@dataclass(frozen=True)
class Face:
    """Corners in inches, x to the right from the left end's square line, y up from the
    bottom edge, each figure from its bottom left corner on against the clock.

    `left` and `right` are the ends as they stand there. `waste` is what comes off the blank
    at each end that isn't square. `walls` holds the left and the right wall's face, each
    from the height of the bottom edge up to that of the top.
    """

    left: End
    right: End
    board: Four
    blank: Four
    waste: tuple[Three, ...]
    walls: tuple[Line, Line]
    times: int


def face(cut: SideCut, side: Side, *, times: int = 1, clear: Fraction = Fraction(0)) -> Face:
    """Return that side's face, seen from its own show face.

    The offsets are drawn `times` as large, so that they can be seen. A wall is parallel
    to the cut that follows it, and `clear` inches off the blank at the nearest point.
    """
    left, right = ends_left_to_right(side)
    ends = (cut.end1, cut.end2)
    at_left, at_right = (times * exact(ends[end - 1].offset) for end in (left, right))
    length, height, zero = exact(cut.bottom_length), cut.height, Fraction(0)
    low, high = min(zero, at_left), length + max(zero, -at_right)
    foot_left = low - clear - max(zero, at_left)
    foot_right = high + clear + max(zero, at_right)
    waste = (
        _off(zero, at_left, low, height),
        _off(length, length - at_right, high, height),
    )
    return Face(
        left,
        right,
        ((zero, zero), (length, zero), (length - at_right, height), (at_left, height)),
        ((low, zero), (high, zero), (high, height), (low, height)),
        tuple(one for one in waste if one is not None),
        (
            ((foot_left, zero), (foot_left + at_left, height)),
            ((foot_right, zero), (foot_right - at_right, height)),
        ),
        times,
    )


def _off(foot: Fraction, top: Fraction, outer: Fraction, height: Fraction) -> Three | None:
    """Return the triangle between a blank's end at `outer` and the cut from `foot` up to `top`, or
    None for a square end."""
    if foot == top:
        return None
    zero = Fraction(0)
    return ((foot, zero), (top, height), (outer, height if foot == outer else zero))


def times_drawn(cut: SideCut, largest: Fraction) -> int:
    """Return how many times the offsets may be enlarged, to at most `largest` inches.

    A round number out of `TIMES`; 1 if both ends are square or the true offset is larger already.
    """
    return times_fitting(max(cut.end1.away, cut.end2.away), largest)


def times_fitting(offset: Fraction, largest: Fraction) -> int:
    """Return the largest factor of `TIMES` that draws an offset no larger than `largest`; 1 for no
    offset or a larger one. Inches."""
    fitting = [times for times in TIMES if times * offset <= largest]
    return fitting[-1] if offset and fitting else 1


_HALF_TEETH = 4
"""The straight parts of an end drawn as a zigzag."""


@dataclass(frozen=True)
class BoardFace:
    """Corners in inches, x from the leftmost one to the right, y up from edge B to edge A.

    `outline` goes from edge B's left corner against the clock. `left` and `right` are the board's
    ends there, `known` whether each slant is known; an end of unknown slant is drawn as a zigzag,
    neither square nor slanted. Slants are drawn `times` as large.
    """

    left: End
    right: End
    outline: tuple[Point, ...]
    known: tuple[bool, bool]
    times: int

    @property
    def length(self) -> Fraction:
        """From the leftmost to the rightmost corner, in inches."""
        return max(x for x, _ in self.outline)


def board_face(
    edges: tuple[Length, Length],
    width: Length,
    offsets: tuple[Length | None, Length | None],
    *,
    left: End = 1,
    times: int = 1,
    tooth: Fraction = Fraction(0),
) -> BoardFace:
    """Return the face of a board with edge A above and its end `left` at the left.

    edges: the lengths of edge A and edge B. offsets: how far edge A runs past edge B at end 1 and
    at end 2 (negative: edge B past edge A), or None if that is unknown. tooth: the depth of the
    zigzag. All in inches. Halfway between its edges the board is as long as it truly is, whatever
    `times` is.
    """
    right: End = 2 if left == 1 else 1
    at_left, at_right = offsets[left - 1], offsets[right - 1]
    middle, high = (exact(edges[0]) + exact(edges[1])) / 2, exact(width)
    low = _end(Fraction(0), at_left, times, high, tooth, outward=-1)
    far = _end(middle, at_right, times, high, tooth, outward=1)
    start = min(x for x, _ in low)
    outline = tuple((x - start, y) for x, y in (low[0], *far, *reversed(low[1:])))
    return BoardFace(left, right, outline, (at_left is not None, at_right is not None), times)


def cut_face(cut: BottomCut, largest: Fraction, tooth: Fraction, *, top: bool) -> BoardFace:
    """Return the face of a bottom, or of a top, with its slants as large as there is room for.

    largest: the largest drawn slant, in inches. tooth: the depth of the zigzag of an unknown slant,
    in inches.
    """
    offsets = (cut.ends[0].offset, cut.ends[1].offset)
    most = max((abs(exact(one)) for one in offsets if one is not None), default=Fraction(0))
    return board_face(
        (cut.edge_a, cut.edge_b),
        cut.width,
        offsets,
        left=2 if top else 1,
        times=times_fitting(most, largest),
        tooth=tooth,
    )


def _end(
    at: Fraction, offset: Length | None, times: int, high: Fraction, tooth: Fraction, outward: int
) -> list[Point]:
    """Return the points of an end from edge B up to edge A, its middle at x = `at`."""
    if offset is None:
        return [
            (at - outward * tooth * (part % 2), high * part / _HALF_TEETH)
            for part in range(_HALF_TEETH + 1)
        ]
    out = outward * times * exact(offset) / 2
    return [(at - out, Fraction(0)), (at + out, high)]


@dataclass(frozen=True)
class ScribeShape:
    """Lines from left to right as seen from that side's own show face, in inches: x from the left
    end, y up from the level top edge. `ceiling` is the ceiling's own line, `scribe` the scriber's
    line, `stations` the measured spots."""

    left: End
    right: End
    ceiling: tuple[Point, ...]
    scribe: tuple[Point, ...]
    stations: tuple[Fraction, ...]


def scribe_shape(made: Scribe, side: Side, length: Fraction) -> ScribeShape:
    """Return the lines of one side of a pair, over a beam `length` inches long.

    The scribe line is the ceiling's, lowered by the setting. Beyond the first and the last spot the
    ceiling is assumed to continue at their height.
    """
    marks = [mark for mark in made.marks if mark.side == side]
    left, right = ends_left_to_right(side)
    if left == 2:
        marks.reverse()
    stations = tuple(mark.at if left == 1 else length - mark.at for mark in marks)
    at = (Fraction(0), *stations, length)
    gaps = [mark.gap for mark in (marks[0], *marks, marks[-1])]
    depths = [mark.cut_depth for mark in (marks[0], *marks, marks[-1])]
    return ScribeShape(
        left,
        right,
        tuple(zip(at, gaps, strict=True)),
        tuple((x, -depth) for x, depth in zip(at, depths, strict=True)),
        stations,
    )
