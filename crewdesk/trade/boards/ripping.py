"""Ripping a board's width: which strips lie side by side.

Edges and kerfs are counted as along the board (see `stock`): strips w1 .. wn fit into
a clear width W where their sum + (n - 1) x kerf <= W.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from crewdesk.trade.bounds import zero_or_more


@dataclass(frozen=True)
class RipSaw:
    """`kerf` of the ripping blade; `edge_trim` goes off each edge of a board first, to
    have it straight, its own cut counted in.

    Raises `BadInput`.
    """

    kerf: Fraction
    edge_trim: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        zero_or_more("kerf", self.kerf)
        zero_or_more("trim off each edge", self.edge_trim)


def clear_width(width: Fraction, saw: RipSaw) -> Fraction:
    """What both trimmed edges leave of a board's width; never below zero."""
    return max(Fraction(0), width - 2 * saw.edge_trim)


def ways_to_rip(
    clear: Fraction, most: dict[Fraction, int], saw: RipSaw
) -> tuple[tuple[Fraction, ...], ...]:
    """All fullest sets of widths side by side in a clear width, widest first.

    No more than `most` of each; fullest, because a strip too many does no harm.
    """
    fit = {w: min(most[w], int((clear + saw.kerf) // (w + saw.kerf))) for w in most}
    return _fullest(clear, tuple(sorted(fit.items(), reverse=True)), saw)


@lru_cache(maxsize=512)
def _fullest(
    clear: Fraction, most: tuple[tuple[Fraction, int], ...], saw: RipSaw
) -> tuple[tuple[Fraction, ...], ...]:
    found: list[tuple[Fraction, ...]] = []

    def add(k: int, room: Fraction, chosen: tuple[Fraction, ...]) -> None:
        if k == len(most):
            free = [w for w, number in most if w <= room and chosen.count(w) < number]
            if chosen and not free:
                found.append(chosen)
            return
        width, as_many = most[k]
        for number in range(as_many, -1, -1):
            after = room - number * (width + saw.kerf)
            if after >= -saw.kerf:
                add(k + 1, after, chosen + (width,) * number)

    add(0, clear, ())
    return tuple(found)
