"""The rows of a drawing that the strips of a ripped board take, each at least one."""

from collections.abc import Iterable
from fractions import Fraction
from itertools import pairwise

Strip = tuple[Fraction, Fraction]
"""Where a strip begins and ends, in inches from the board's first edge."""


def strip_rows(strips: Iterable[Strip], width: Fraction, rows: int) -> dict[Strip, tuple[int, int]]:
    """Return for each strip its first row, counted up from the board's first edge, and the
    row after its last one.

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
