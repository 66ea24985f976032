"""What of a cut board is worth keeping: whole rectangles beside and behind its pieces."""

from collections.abc import Iterable
from fractions import Fraction

from crewdesk.trade.boards.rip_stock import Placed, RipBoard, Saws
from crewdesk.trade.boards.strips import sections_of, strips_of

_Rectangle = tuple[Fraction, Fraction, Fraction, Fraction]
"""From where to where along the board, and across it."""


def leftovers(
    board: RipBoard, saws: Saws, shortest: Fraction, narrowest: Fraction
) -> tuple[Placed, ...]:
    """Return the rectangles of at least `shortest` x `narrowest` that the saws leave whole.

    Ripped first, a board leaves the width beside its strips; crosscut first, it is one strip.
    A strip leaves its end, a section the width beside its pieces and what is trimmed off
    them. Each kerf is taken off. A board with nothing on it is left whole.
    """
    on_it = (*board.pieces, *board.cleats)
    found: list[_Rectangle] = []
    if not on_it:
        found = [(Fraction(0), board.length, Fraction(0), board.width)]
    elif board.first == "crosscut":
        found = list(_of_strip(board.length, on_it, Fraction(0), board.width, saws))
    else:
        edge = Fraction(0)
        for strip in strips_of(on_it):
            near, far = min(one.near for one in strip), max(one.far for one in strip)
            found.append((Fraction(0), board.length, edge, near - saws.rip.kerf))
            found += _of_strip(board.length, strip, near, far, saws)
            edge = far + saws.rip.kerf
        found.append((Fraction(0), board.length, edge, board.width))
    return tuple(
        Placed("leftover", *one)
        for one in found
        if one[1] - one[0] >= shortest and one[3] - one[2] >= narrowest
    )


def _of_strip(
    length: Fraction, strip: tuple[Placed, ...], near: Fraction, far: Fraction, saws: Saws
) -> Iterable[_Rectangle]:
    """What a strip from `near` to `far` leaves."""
    at, kerf = Fraction(0), saws.crosscut.kerf
    for section in sections_of(strip):
        start, end = min(one.start for one in section), max(one.end for one in section)
        yield at, start - kerf, near, far
        edge = near
        for one in sorted(section, key=lambda one: one.near):
            yield start, end, edge, one.near - saws.rip.kerf
            yield one.end + kerf, end, one.near, one.far
            edge = one.far + saws.rip.kerf
        yield start, end, edge, far
        at = end + kerf
    yield at, length, near, far
