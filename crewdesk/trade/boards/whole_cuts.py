"""Tightening the master programme: cuts that no whole plan breaks, patterns ruled out.

Rows added up with weights and divided by a whole number, every coefficient and the sum
rounded up, still hold for whole numbers (Gomory 1958, Chvatal 1973). The weights are read
off the solver's last basis; the rounding is done in whole numbers, so that a cut holds
whatever the solver rounded. Each new bound is reckoned from shadow prices in whole
numbers too, and rules out the patterns that no cheaper plan can use.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from math import floor
from typing import Any

import highspy
import numpy as np
import numpy.typing as npt

from crewdesk.trade.boards.master import Master
from crewdesk.trade.boards.problem import Layout, covers

FINE = 1 << 34
"""Shadow prices are rounded down to the dearest column's price over this."""
ROUNDS, EACH = 20, 25
"""So many rounds of cuts at the most, so many cuts in each."""
LARGEST_DIVISOR = 120
NEARLY = 1e-6
BROKEN = 1e-4
"""A cut counts as broken from here on."""

Numbers = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Tight:
    """What no whole plan of the patterns can be below, `below` at the most; and a plan
    where the last solution was one."""

    bound: int
    layout: Layout | None


def tighten(master: Master, below: int, over: Callable[[], bool]) -> Tight:
    """Raise the bound of a master by cuts, and rule columns out that no plan which costs
    less than `below` can use.

    The cuts stay in the master's solver, for a search to begin from.
    """
    work = _Work(master, below)
    for _ in range(ROUNDS):
        if over() or not master.relax():
            break
        if work.certified():
            return Tight(below, None)
        if (layout := work.whole_layout()) is not None:
            return Tight(work.bound, layout)
        if not work.cut():
            break
    return Tight(work.bound, None)


@dataclass
class _Rows:
    """The cuts so far, a row of coefficients each, and their right sides."""

    columns: int
    left: Numbers = field(init=False)
    right: Numbers = field(init=False)

    def __post_init__(self) -> None:
        self.left, self.right = np.zeros((0, self.columns)), np.zeros(0)


class _Work:
    def __init__(self, master: Master, below: int) -> None:
        self.master, self.below, self.bound = master, below, 0
        programme = master.solver.getLp()
        self.price = np.array(programme.col_cost_)
        self.need = np.array(programme.row_lower_)
        matrix = programme.a_matrix_
        starts = np.array(matrix.start_)
        self.row = np.array(matrix.index_, dtype=np.int64)
        self.column = np.repeat(np.arange(len(self.price)), np.diff(starts))
        self.value = np.array(matrix.value_)
        self.cuts = _Rows(len(self.price))
        self.open = np.full(len(self.price), True)
        self.whole = np.array(master.whole_columns(), dtype=np.int64)
        self.most = sum(master.problem.demands)
        """No column is needed more often than there are demands in all."""
        self.scale = max(1, floor(FINE / max(1.0, self.price.max(initial=0.0))))

    def _across(self, weights: Numbers) -> Numbers:
        """What the rows, weighted, add up to in every column."""
        first = len(self.need)
        return (
            np.bincount(self.column, weights[self.row] * self.value, minlength=len(self.price))
            + weights[first:] @ self.cuts.left
        )

    def certified(self) -> bool:
        """Reckon the bound of the last solution in whole numbers and rule columns out by
        it; whether no plan below is left.

        With prices y of the rows, any plan costs at least y x needs, and for each column
        that it uses what that one costs over y's worth of it besides.
        """
        dual = np.array(self.master.solver.getSolution().row_dual)
        worth = np.floor(np.maximum(dual, 0.0) * self.scale)
        slack = self.price * self.scale - self._across(worth)
        parts = int(worth @ np.concatenate((self.need, self.cuts.right)))
        parts += int(np.minimum(slack[self.open], 0.0).sum()) * self.most
        self.bound = max(self.bound, min(self.below, -(-parts // self.scale)))
        if self.bound >= self.below:
            return True
        gone = np.flatnonzero(self.open & (slack > (self.below - 1) * self.scale - parts))
        if gone.size:
            self.open[gone] = False
            none = np.zeros(gone.size)
            self.master.solver.changeColsBounds(gone.size, gone.astype(np.int32), none, none)
        return False

    def whole_layout(self) -> Layout | None:
        """The last solution, if it is whole."""
        value = np.array(self.master.solver.getSolution().col_value)[self.whole]
        if np.abs(value - np.rint(value)).max(initial=0.0) > NEARLY:
            return None
        layout = self.master.layout()
        return layout if covers(self.master.problem, layout) else None

    def cut(self) -> bool:
        """Add the cuts that the last solution breaks; whether there were any. Those that it
        does not touch go."""
        solver = self.master.solver
        solution = solver.getSolution()
        value = np.array(solution.col_value)
        made = np.array(solution.row_value)
        weights, divisor = self._weights(value, made)
        if not len(divisor):
            return False
        left = np.array([self._across(row) for row in weights]) / divisor[:, None]
        right = weights @ np.concatenate((self.need, self.cuts.right)) / divisor
        # Whole numbers over a divisor of at most 120: a thousandth off is no rounding.
        left, right = np.ceil(left - 1e-3), np.ceil(right - 1e-3)
        short = right - left @ value
        used = value > NEARLY
        depth = short / np.sqrt((left[:, used] ** 2).sum(axis=1) + NEARLY)
        best = [n for n in np.argsort(-depth, kind="stable") if short[n] > BROKEN][:EACH]
        if not best:
            return False
        first = len(self.need)
        loose = np.flatnonzero(made[first:] > self.cuts.right + NEARLY)
        if loose.size:
            solver.deleteRows(loose.size, (first + loose).astype(np.int32))
        self.cuts.left = np.vstack((np.delete(self.cuts.left, loose, axis=0), left[best]))
        self.cuts.right = np.concatenate((np.delete(self.cuts.right, loose), right[best]))
        for number in best:
            some = np.flatnonzero(left[number]).astype(np.int32)
            solver.addRow(right[number], highspy.kHighsInf, some.size, some, left[number][some])
        return True

    def _weights(self, value: Numbers, made: Numbers) -> tuple[Numbers, Numbers]:
        """Whole weights of the rows, and the divisor of each set of them: from those rows of
        the basis's inverse whose column or slack is not whole."""
        solver: Any = self.master.solver  # its types lack what reads the basis
        basic = solver.getBasicVariables()[1]
        every = np.where(basic >= 0, value[np.maximum(basic, 0)], made[np.maximum(-basic - 1, 0)])
        off = np.abs(every - np.rint(every))
        found: dict[tuple[Any, ...], None] = {}
        for place in np.argsort(-off, kind="stable")[:60]:
            if off[place] <= NEARLY:
                break
            row = solver.getBasisInverseRow(int(place))[1]
            for part in (row - np.floor(row), np.ceil(row) - row):
                found.setdefault(_fractions(part))
        found.pop((), None)
        kept = [one for one in found if any(one[1:])]
        return (
            np.array([one[1:] for one in kept], dtype=float),
            np.array([one[0] for one in kept], dtype=float),
        )


def _fractions(parts: Numbers) -> tuple[Any, ...]:
    """The least divisor that makes all of these whole numbers, and those; nothing where
    there is none up to the largest."""
    divisors = np.arange(2, LARGEST_DIVISOR + 1)
    some = parts[(parts > NEARLY) & (parts < 1 - NEARLY)]
    times = np.outer(divisors, some)
    fits = np.flatnonzero(np.abs(times - np.rint(times)).max(axis=1, initial=0.0) < 1e-5)
    if not fits.size:
        return ()
    divisor = int(divisors[fits[0]])
    return (divisor, *(int(n) % divisor for n in np.rint(parts * divisor)))
