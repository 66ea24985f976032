"""Lengths as the planner takes them: on one grid, so that whole numbers stay small."""

from collections.abc import Iterable
from fractions import Fraction

from crewdesk.job.lumber.wanted import Wanted
from crewdesk.length import SIXTY_FOURTH, rounded_up
from crewdesk.trade.boards.rip_stock import Saws, WideNeed, WideStock
from crewdesk.trade.boards.ripping import clear_width

_GRID = 64 * 127 * 25
"""Every 1/64 in, hundredth of an inch and tenth of a millimeter is a whole number of 1 / this
in. The planner counts in a unit that every length is a multiple of: with lengths that share
none but a tiny one its numbers grow past what a solver holds."""


def to_plan(one: Wanted, stocks: Iterable[WideStock], saws: Saws) -> WideNeed:
    """Return a piece as the planner takes it, never less than it is.

    A width or length that is on the grid stays; another is rounded up to 1/64 in, but not past
    what a stock board that holds it gives.
    """
    widths = [clear_width(stock.width, saws.rip) for stock in stocks]
    lengths = [stock.length - 2 * saws.crosscut.end_trim for stock in stocks]
    return WideNeed(one.label, _on_grid(one.width, widths), _on_grid(one.length, lengths))


def _on_grid(size: Fraction, clear: Iterable[Fraction]) -> Fraction:
    if _GRID % size.denominator == 0:
        return size
    holding = [most for most in clear if most >= size]
    return min([rounded_up(size, SIXTY_FOURTH), *holding])
