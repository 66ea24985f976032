"""The show face of a side board as it lies before one, for drawing it."""

from dataclasses import dataclass
from fractions import Fraction

from crewdesk.length import exact
from crewdesk.trade.cuts.side_board import End, Side, SideCut, ends_left_to_right

Point = tuple[Fraction, Fraction]
Four = tuple[Point, Point, Point, Point]
Three = tuple[Point, Point, Point]
Line = tuple[Point, Point]

TIMES = tuple(factor * 10**power for power in range(4) for factor in (1, 2, 5))
"""How many times larger than true an offset may be drawn."""


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
    """The face of that side, seen from its own show face.

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
    """The triangle between a blank's end at `outer` and the cut from `foot` up to `top`,
    None for a square end."""
    if foot == top:
        return None
    zero = Fraction(0)
    return ((foot, zero), (top, height), (outer, height if foot == outer else zero))


def times_drawn(cut: SideCut, largest: Fraction) -> int:
    """How many times as large the offsets may be drawn, to come to `largest` inches at most.

    A round number out of `TIMES`; 1 where both ends are square or the true offset is
    larger already.
    """
    return times_fitting(max(cut.end1.away, cut.end2.away), largest)


def times_fitting(offset: Fraction, largest: Fraction) -> int:
    """The largest factor out of `TIMES` that draws an offset no larger than `largest`; 1 for
    no offset and for one that is larger already. Inches."""
    fitting = [times for times in TIMES if times * offset <= largest]
    return fitting[-1] if offset and fitting else 1
