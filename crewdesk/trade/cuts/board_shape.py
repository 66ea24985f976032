"""The show face of a board that lies flat between two walls, for drawing it."""

from dataclasses import dataclass
from fractions import Fraction

from crewdesk.length import Length, exact
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.face import times_fitting
from crewdesk.trade.cuts.side_board import End

Point = tuple[Fraction, Fraction]
_HALF_TEETH = 4
"""Straight parts of an end drawn broken."""


@dataclass(frozen=True)
class BoardFace:
    """Corners in inches, x from the leftmost one to the right, y up from edge B to edge A.

    `outline` goes from edge B's left corner against the clock. `left` and `right` are the
    board's ends there, `known` whether the slant of each is known; an end whose slant is
    unknown is drawn broken, neither square nor slanted. Slants are drawn `times` as large.
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

    edges: the lengths of edge A and edge B. offsets: how far edge A runs past edge B at
    end 1 and at end 2 (negative: edge B past edge A), None where that is unknown. tooth: how
    deep a broken end is drawn. All in inches. Halfway between its edges the board is as
    long as it truly is, whatever `times` is.
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

    largest: how far a slant may be drawn out, in inches. tooth: how deep an end of unknown slant
    is broken, in inches.
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
    """The points of an end from edge B up to edge A, its middle at x = `at`."""
    if offset is None:
        return [
            (at - outward * tooth * (part % 2), high * part / _HALF_TEETH)
            for part in range(_HALF_TEETH + 1)
        ]
    out = outward * times * exact(offset) / 2
    return [(at - out, Fraction(0)), (at + out, high)]
