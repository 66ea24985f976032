"""A board that is cut, seen from where its pieces lie: its strips, and what it leaves."""

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import TypeVar

from crewdesk.trade.boards.stock import NONE, First, OnBoard, Placed, Saws, Stretch

Piece = TypeVar("Piece", bound=OnBoard)
Strip = tuple[Fraction, Fraction]
"""Where a strip begins and ends, in inches from the board's first edge."""
_Rectangle = tuple[Fraction, Fraction, Fraction, Fraction]
"""From where to where along the board, and across it."""


def strips_of(pieces: Iterable[Piece]) -> list[tuple[Piece, ...]]:
    """Return the pieces strip by strip, from the board's first edge on: those that a rip from
    end to end does not part lie in one strip."""
    return _bands(pieces, lambda one: (one.near, one.far))


def sections_of(strip: Iterable[Piece]) -> list[tuple[Piece, ...]]:
    """Return a strip's pieces section by section, from the first end on: those that a cut
    across the strip does not part lie in one section."""
    return _bands(strip, lambda one: (one.start, one.end))


def _bands(
    pieces: Iterable[Piece], reach: Callable[[Piece], tuple[Fraction, Fraction]]
) -> list[tuple[Piece, ...]]:
    found: list[list[Piece]] = []
    last = NONE
    for one in sorted(pieces, key=reach):
        low, high = reach(one)
        if found and low < last:
            found[-1].append(one)
            last = max(last, high)
        else:
            found.append([one])
            last = high
    return [tuple(band) for band in found]


def leftovers(
    part: Stretch,
    width: Fraction,
    first: First,
    on_it: Sequence[OnBoard],
    saws: Saws,
    shortest: Fraction = NONE,
    narrowest: Fraction = NONE,
) -> tuple[Placed, ...]:
    """Return the rectangles of at least `shortest` x `narrowest` that the saws leave whole of a
    part of a board.

    Ripped first, it leaves the width beside its strips; crosscut first, it is one strip.
    A strip leaves its end, a section the width beside its pieces and what is trimmed off
    them. Each kerf is taken off. A part with nothing on it is left whole.
    """
    found: list[_Rectangle] = []
    if not on_it:
        found = [(part.start, part.end, NONE, width)]
    elif first == "crosscut":
        found = list(_of_strip(part, on_it, NONE, width, saws))
    else:
        edge = NONE
        for strip in strips_of(on_it):
            near, far = min(one.near for one in strip), max(one.far for one in strip)
            found.append((part.start, part.end, edge, near - saws.rip_kerf))
            found += _of_strip(part, strip, near, far, saws)
            edge = far + saws.rip_kerf
        found.append((part.start, part.end, edge, width))
    return tuple(
        Placed("leftover", *one)
        for one in found
        if one[1] - one[0] >= shortest and one[3] - one[2] >= narrowest
    )


def _of_strip(
    part: Stretch, strip: Iterable[OnBoard], near: Fraction, far: Fraction, saws: Saws
) -> Iterable[_Rectangle]:
    """What a strip from `near` to `far` leaves."""
    at, kerf = part.start, saws.kerf
    for section in sections_of(strip):
        start, end = min(one.start for one in section), max(one.end for one in section)
        yield at, start - kerf, near, far
        edge = near
        for one in sorted(section, key=lambda one: one.near):
            yield start, end, edge, one.near - saws.rip_kerf
            yield one.end + kerf, end, one.near, one.far
            edge = one.far + saws.rip_kerf
        yield start, end, edge, far
        at = end + kerf
    yield at, part.end, near, far


def strip_rows(strips: Iterable[Strip], width: Fraction, rows: int) -> dict[Strip, tuple[int, int]]:
    """Return for each strip its first row in a drawing, counted up from the board's first edge,
    and the row after its last one.

    Rows are to scale where they can be, `rows` of them for `width` inches. A strip that is
    narrower than a row takes a whole one from its neighbors, so that none is hidden by
    another. Where strips overlap, as after crosscuts, or there are more strips than rows,
    each is rounded by itself.
    """
    order = sorted(set(strips))
    if len(order) > rows or any(one[1] > other[0] for one, other in pairwise(order)):
        return {one: _rounded(one, width, rows) for one in order}
    tops, top = [], 0
    for _, far in order:
        top = max(top + 1, round(far * rows / width))
        tops.append(top)
    limit = rows
    for at in range(len(tops) - 1, -1, -1):
        tops[at] = min(tops[at], limit)
        limit = tops[at] - 1
    found, below = {}, 0
    for one, top in zip(order, tops, strict=True):
        first = max(below, min(round(one[0] * rows / width), top - 1))
        found[one] = (first, top)
        below = top
    return found


def _rounded(strip: Strip, width: Fraction, rows: int) -> tuple[int, int]:
    first = min(rows - 1, round(strip[0] * rows / width))
    return first, max(first + 1, round(strip[1] * rows / width))
