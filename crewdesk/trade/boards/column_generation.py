"""Column generation: the least cost if boards could be bought in parts, and a safe bound.

Each round solves the restricted master program and looks for patterns that are worth more than
their strip by its shadow prices (Gilmore and Gomory 1961). The bound is computed in whole numbers
from rounded shadow prices, so that no rounding of the linear solver can make it too high (Neumaier
and Shcherbina 2004, in spirit).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from crewdesk.trade.boards.problem import Pattern, Problem, most_of
from crewdesk.trade.boards.restricted_master import RestrictedMaster

Whole = npt.NDArray[np.int64]

FINE = 1 << 40
"""The divisor of the highest board price that shadow prices are rounded down to."""
MOST_CELLS = 6_000_000
"""The most cells of a table (48 MB)."""
AT_ONCE = 8
"""So many patterns of a strip are added in a round at most."""


@dataclass(frozen=True, eq=False)
class Group:
    """The strips that are good for the same cuts, and the data of their table.

    `sizes` and `most` are those of each cut; `place` is each cut's row in the table. That is its
    own, or, if there are very many cuts, one for all cuts of a size. `unit` is what the table
    measures lengths in: 1, or more where the table would have too many cells; the cuts are then
    rounded down, so that no strip's worth is underestimated. `covers` has the row, the times and
    the cut of all that the cuts cover.
    """

    strips: tuple[int, ...]
    cuts: tuple[int, ...]
    sizes: Whole
    most: Whole
    place: Whole
    unit: int
    longest: int
    covers: Whole


def groups(problem: Problem) -> list[Group]:
    """Return the strips by the cuts that they are good for.

    The cuts come longest first, those that may replace one another together; if there are very
    many, all of a size together.
    """
    by_cuts: dict[tuple[int, ...], list[int]] = {}
    for number, strip in enumerate(problem.strips):
        by_cuts.setdefault(strip.cuts, []).append(number)
    found = []
    for cuts, strips in by_cuts.items():
        longest = max(problem.strips[s].capacity for s in strips)
        order = sorted(
            (c for c in cuts if problem.cuts[c].size <= longest),
            key=lambda c: (-problem.cuts[c].size, c),
        )
        many = (longest + 1) * (len(order) + 1) > MOST_CELLS
        if not many:
            order = _together(order, problem.next_longer)
        sizes = np.array([problem.cuts[c].size for c in order], dtype=np.int64)
        place = np.arange(len(order))
        if many:
            place = np.unique(-sizes, return_inverse=True)[1].reshape(-1)
        places = int(place.max(initial=-1)) + 1
        found.append(
            Group(
                tuple(strips),
                tuple(order),
                sizes,
                np.array([most_of(problem, c, longest) for c in order], dtype=np.int64),
                place,
                -(-(longest + 1) * (places + 1) // MOST_CELLS),
                longest,
                np.array(
                    [(row, n, k) for k, c in enumerate(order) for row, n in problem.cuts[c].covers],
                    dtype=np.int64,
                ).reshape(-1, 3),
            )
        )
    return found


def _together(order: list[int], next_longer: Mapping[int, int]) -> list[int]:
    """Return cuts ordered so that those that may replace one another are together."""
    chains: dict[int, list[int]] = {}
    head: dict[int, int] = {}
    for cut in order:
        head[cut] = head.get(next_longer.get(cut, cut), cut)
        chains.setdefault(head[cut], []).append(cut)
    return [cut for chain in chains.values() for cut in chain]


class Table:
    """The greatest value of a group's cuts for each remaining length of a strip and each tail of
    the table's rows: a bounded knapsack by dynamic programming.

    `worth` is that of each cut by the shadow prices of the demands; `best` is the cut of the
    greatest worth in each row.
    """

    def __init__(self, group: Group, demand: list[int]) -> None:
        self.group = group
        row, times, cut = group.covers.T
        worth = np.zeros(len(group.cuts), dtype=np.int64)
        np.add.at(worth, cut, np.array(demand, dtype=np.int64)[row] * times)
        self.worth: Whole = worth
        places = int(group.place.max(initial=-1)) + 1
        order = np.lexsort((-worth, group.place))
        self.best: Whole = order[np.searchsorted(group.place[order], np.arange(places))]
        self.most = np.bincount(group.place, group.most, places).astype(np.int64)
        cells = group.longest // group.unit + 1
        self.rows: Whole = np.zeros((places + 1, cells), dtype=np.int64)
        for k in range(places - 1, -1, -1):
            size, gain = int(group.sizes[self.best[k]]) // group.unit, int(worth[self.best[k]])
            here, after = self.rows[k], self.rows[k + 1]
            here[:] = after
            for n in range(
                1, min(int(self.most[k]), (cells - 1) // max(1, size)) + 1 if gain else 1
            ):
                part = here[n * size :]
                np.maximum(part, after[: cells - n * size] + n * gain, out=part)

    def most_worth(self, k: Any, left: Any) -> Any:
        """Return the greatest value of the rows from the k-th on in `left`, one or many."""
        return self.rows[k, left // self.group.unit]

    def pattern(self, left: int, k: int = 0) -> list[tuple[int, int]]:
        """Return the (row, number) pairs of a best pattern with rows from the k-th on."""
        found: list[tuple[int, int]] = []
        while k < len(self.best):
            # Values only fall down the column, so the equal ones are at its top.
            column = self.rows[k:, left // self.group.unit]
            if column[0] <= 0:
                break
            k += int(np.searchsorted(-column, -column[0], side="right")) - 1
            cut = self.best[k]
            size = int(self.group.sizes[cut])
            numbers = np.arange(min(int(self.most[k]), left // size) + 1)
            worths = numbers * self.worth[cut] + self.most_worth(k + 1, left - numbers * size)
            if number := int(np.argmax(worths)):
                found.append((k, number))
                left -= number * size
            k += 1
        return found


@dataclass(frozen=True)
class Certificate:
    """Whole shadow prices that prove a bound: `bound` = `parts` / `scale`.

    Any plan's cost, times `scale`, is at least `parts` plus `strip[s]` less the worth
    of its cuts for each pattern it uses, plus `slack[b]` for each board.
    """

    scale: int
    parts: int
    strip: tuple[int, ...]
    slack: tuple[int, ...]
    tables: tuple[Table, ...]

    @property
    def bound(self) -> int:
        return max(0, -(-self.parts // self.scale))


def generate(
    problem: Problem, grouped: list[Group], master: RestrictedMaster, over: Callable[[], bool]
) -> Certificate:
    """Generate patterns until none would lower the cost; if stopped early by `over`, return the
    bound of the last shadow prices.

    The master's patterns must be able to cover the demands.
    """
    scale = max(1, FINE // max(1, *(board.price for board in problem.boards)))
    while True:
        solved = master.relax()
        of_demand, of_strip = master.prices()
        demand = [max(0, int(y * scale)) for y in of_demand]
        if not solved or over():
            break
        new = [
            pattern
            for group in grouped
            for table in (Table(group, demand),)
            for strip in group.strips
            for pattern in _worthwhile(problem, table, strip, int(of_strip[strip] * scale))
        ]
        if not master.add(new):
            break
    return _certify(problem, grouped, scale, demand)


def _worthwhile(problem: Problem, table: Table, strip: int, price: int) -> list[Pattern]:
    """Yield patterns worth more than the strip costs: the best, the best without that one's longest
    cut and longer ones, and so on."""
    capacity = problem.strips[strip].capacity
    least = price + max(1, price >> 28)
    found: list[Pattern] = []
    k = 0
    while len(found) < AT_ONCE and k < len(table.best):
        chosen = table.pattern(capacity, k)
        cuts = [(int(table.best[row]), n) for row, n in chosen]
        if sum(n * int(table.worth[cut]) for cut, n in cuts) <= least:
            break
        found.append(Pattern(strip, tuple(sorted((table.group.cuts[c], n) for c, n in cuts))))
        k = chosen[0][0] + 1
    return found


def _certify(problem: Problem, grouped: list[Group], scale: int, demand: list[int]) -> Certificate:
    """Return the bound that shadow prices for the demands prove, after scaling them down until no
    strip is worth more than its board costs.

    For demands d, prices y and limits of n boards, y.d - sum of n x (the most that the
    strips of a board under that limit are worth over its price) is a bound by linear
    duality.
    """
    for longer, shorter in problem.shorter.items():
        demand[shorter] = min(demand[shorter], demand[longer])
    tables, worth = _worth_of_strips(problem, grouped, demand)
    top, bottom = 1, 1
    for number, board in enumerate(problem.boards):
        value = sum(times * worth[s] for s, times in board.strips)
        if number not in problem.limit_of and value * bottom > board.price * scale * top:
            top, bottom = board.price * scale, value
    if top < bottom:
        # Each price is rounded down, so one shrinking is enough.
        demand = [y * top // bottom for y in demand]
        tables, worth = _worth_of_strips(problem, grouped, demand)
    parts = sum(y * d for y, d in zip(demand, problem.demands, strict=True))
    slack = [b.price * scale - sum(n * worth[s] for s, n in b.strips) for b in problem.boards]
    for limit in problem.limits:
        short = max(0, -min(slack[under] for under in limit.boards))
        parts -= short * limit.most
        for under in limit.boards:
            slack[under] += short
    return Certificate(scale, parts, tuple(worth), tuple(slack), tables)


def _worth_of_strips(
    problem: Problem, grouped: list[Group], demand: list[int]
) -> tuple[tuple[Table, ...], list[int]]:
    tables = tuple(Table(group, demand) for group in grouped)
    worth = [0] * len(problem.strips)
    for table in tables:
        for strip in table.group.strips:
            worth[strip] = int(table.most_worth(0, problem.strips[strip].capacity))
    return tables, worth
