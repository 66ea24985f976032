"""Column generation: the least cost if boards could be had in parts, and a sure bound.

The bound is reckoned in whole numbers from rounded shadow prices, so that no rounding
of the linear solver can make it too high (Neumaier and Shcherbina 2004, in spirit).
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from itertools import count

import numpy as np

from crewdesk.trade.boards.best_strip import ROOM_FOR_TABLE, Shelf, Table, Whole, table
from crewdesk.trade.boards.master import Master
from crewdesk.trade.boards.problem import Pattern, Problem, most_of

FINE = 1 << 40
"""Shadow prices are rounded down to the dearest board's price over this."""


@dataclass(frozen=True)
class Group:
    """The strips that are good for the same cuts share one table.

    `sizes` and `most` are those of each cut; `place` is each cut's place on the shelf.
    That is its own, or, where there are very many cuts, one for all cuts of a size: the
    most that a strip can be worth is then not underestimated.

    `unit` is what lengths in the shelf are measured in: 1, or more where the cuts are
    rounded up and the strips down to a coarser one, so that what fits there fits.
    """

    strips: tuple[int, ...]
    cuts: tuple[int, ...]
    sizes: tuple[int, ...]
    most: tuple[int, ...]
    place: tuple[int, ...]
    shelf: Shelf
    longest: int
    covers: "Covers" = field(compare=False)
    unit: int = 1


@dataclass(frozen=True)
class Covers:
    """What some cuts cover, one cut after another: the rows, how often each is covered, and
    where each cut's part begins."""

    rows: Whole
    times: Whole
    starts: Whole

    def worth(self, demand: list[int]) -> list[int]:
        """What each cut is worth by the shadow prices of the rows."""
        prices = np.array(demand, dtype=np.int64)[self.rows] * self.times
        found: list[int] = np.add.reduceat(prices, self.starts).tolist() if prices.size else []
        return found


@dataclass(frozen=True)
class Priced:
    """A group at given shadow prices: what each of its cuts is worth, the best cut of each
    place on the shelf, and the table over those."""

    worth: tuple[int, ...]
    best: tuple[int, ...]
    table: Table


def groups(problem: Problem) -> list[Group]:
    """The strips by the cuts that they are good for.

    The cuts come longest first, those that may stand in for one another together; where
    there are very many, all of a size together.
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
        many = (longest + 1) * (len(order) + 1) > ROOM_FOR_TABLE
        if not many:
            order = _together(order, problem.next_longer)
        sizes = tuple(problem.cuts[c].size for c in order)
        most = tuple(most_of(problem, c, longest) for c in order)
        place, shelf = tuple(range(len(order))), Shelf(sizes, most)
        if many:
            place, shelf = _by_size(sizes, most, longest)
        covers = _covers(problem, order)
        found.append(Group(tuple(strips), tuple(order), sizes, most, place, shelf, longest, covers))
    return found


def _together(order: list[int], next_longer: Mapping[int, int]) -> list[int]:
    """Cuts with those that may stand in for one another after each other."""
    chains: dict[int, list[int]] = {}
    head: dict[int, int] = {}
    for cut in order:
        head[cut] = head.get(next_longer.get(cut, cut), cut)
        chains.setdefault(head[cut], []).append(cut)
    return [cut for chain in chains.values() for cut in chain]


def _by_size(
    sizes: tuple[int, ...], most: tuple[int, ...], longest: int
) -> tuple[tuple[int, ...], Shelf]:
    """Each cut's place on a shelf with one place for all cuts of a size, and the shelf."""
    alone = tuple(dict.fromkeys(sizes))
    at = {size: place for place, size in enumerate(alone)}
    sums = [0] * len(alone)
    for size, number in zip(sizes, most, strict=True):
        sums[at[size]] = min(longest // size, sums[at[size]] + number)
    return tuple(at[size] for size in sizes), Shelf(alone, tuple(sums))


def _covers(problem: Problem, order: list[int]) -> Covers:
    every = [cover for cut in order for cover in problem.cuts[cut].covers]
    counts = [len(problem.cuts[cut].covers) for cut in order]
    return Covers(
        np.array([row for row, _ in every], dtype=np.int64),
        np.array([times for _, times in every], dtype=np.int64),
        np.cumsum(np.array([0, *counts[:-1]], dtype=np.int64)),
    )


def coarser(group: Group) -> Group:
    """The group in a unit so coarse that a full table is quick; itself if it is so."""
    places = len(group.shelf.sizes) + 1
    unit = -(-(group.longest + 1) // max(1, ROOM_FOR_TABLE // 4 // places))
    if unit == 1 or (group.longest + 1) * places <= ROOM_FOR_TABLE:
        return group
    sizes = tuple(-(-size // unit) for size in group.shelf.sizes)
    return replace(
        group, shelf=replace(group.shelf, sizes=sizes), longest=group.longest // unit, unit=unit
    )


@dataclass(frozen=True)
class Certificate:
    """Whole shadow prices that prove a bound: `bound` = `parts` / `scale`.

    Any plan's cost, times `scale`, is at least `parts` plus `strip[s]` less the worth
    of its cuts for each pattern it uses, plus `slack[b]` for each board.
    """

    scale: int
    parts: int
    demand: tuple[int, ...]
    strip: tuple[int, ...]
    slack: tuple[int, ...]
    priced: tuple[Priced, ...]

    @property
    def bound(self) -> int:
        return max(0, -(-self.parts // self.scale))


def certify(
    problem: Problem, grouped: list[Group], scale: int, demand: list[int], hint: list[int]
) -> Certificate:
    """The bound that shadow prices for the demands prove, after shrinking them until
    no strip is worth more than its board costs.

    For demands d, prices y and limits of n boards, y.d - sum of n x (the most that the
    strips of a board under that limit are worth over its price) is a bound by linear
    duality.
    """
    for longer, shorter in problem.shorter.items():
        demand[shorter] = min(demand[shorter], demand[longer])
    prices = [_price(g, demand) for g in grouped]
    worth = _strips_worth(problem, grouped, prices)
    top, bottom = 1, 1
    for number, board in enumerate(problem.boards):
        value = sum(times * worth[s] for s, times in board.strips)
        limited = number in problem.limit_of
        if not limited and value * bottom > board.price * scale * top:
            top, bottom = board.price * scale, value
    if top < bottom:
        # Each price is rounded down, so one shrinking is enough.
        demand = [y * top // bottom for y in demand]
        prices = [_price(g, demand) for g in grouped]
        worth = _strips_worth(problem, grouped, prices)
    worth = [max(w, hint[s]) if s in problem.sole else w for s, w in enumerate(worth)]
    lifted = [max(w, h) for w, h in zip(worth, hint, strict=True)]
    if all(
        number in problem.limit_of
        or sum(n * lifted[s] for s, n in board.strips) <= board.price * scale
        for number, board in enumerate(problem.boards)
    ):
        worth = lifted
    parts = sum(y * d for y, d in zip(demand, problem.demands, strict=True))
    slack = [b.price * scale - sum(n * worth[s] for s, n in b.strips) for b in problem.boards]
    for limit in problem.limits:
        short = max(0, -min(slack[under] for under in limit.boards))
        parts -= short * limit.most
        for under in limit.boards:
            slack[under] += short
    return Certificate(scale, parts, tuple(demand), tuple(worth), tuple(slack), tuple(prices))


def _price(group: Group, demand: list[int]) -> Priced:
    worth = group.covers.worth(demand)
    best: dict[int, int] = {}
    for k, place in enumerate(group.place):
        if place not in best or worth[k] > worth[best[place]]:
            best[place] = k
    chosen = tuple(best[place] for place in range(len(best)))
    made = table(group.shelf, [worth[k] for k in chosen], group.longest)
    return Priced(tuple(worth), chosen, made)


def _strips_worth(problem: Problem, grouped: list[Group], prices: list[Priced]) -> list[int]:
    worth = [0] * len(problem.strips)
    for group, priced in zip(grouped, prices, strict=True):
        for strip in group.strips:
            worth[strip] = int(priced.table.best(0, problem.strips[strip].capacity))
    return worth


def relaxed(problem: Problem, master: Master, over: Callable[[], bool]) -> Certificate:
    """Generate patterns until none would lower the cost; stopped early by `over`, what the
    last shadow prices prove.

    The master's patterns must be able to cover the demands.
    """
    grouped = groups(problem)
    used = [coarser(g) for g in grouped]
    dearest = max(b.price for b in problem.boards)
    scale = max(1, FINE // max(1, dearest))
    for _ in count():
        solved = master.relax()
        prices = master.prices()
        demand = [max(0, int(y * scale)) for y in prices.demand]
        hint = [max(0, int(y * scale)) for y in prices.strip]
        if solved and not over():
            new: list[Pattern] = []
            for group in used:
                priced = _price(group, demand)
                for strip in group.strips:
                    new += _worthwhile(problem, group, priced, strip, hint[strip])
            if master.add(new):
                continue
            if used != grouped:
                used = grouped
                continue
        break
    return certify(problem, grouped, scale, demand, hint)


def _worthwhile(
    problem: Problem, group: Group, priced: Priced, strip: int, price: int
) -> list[Pattern]:
    """Patterns worth more than the strip costs: the best, the best without that one's
    longest cut and those longer, and so on, at most eight."""
    capacity = problem.strips[strip].capacity // group.unit
    least = price + max(1, price >> 28)
    found: list[Pattern] = []
    k = 0
    while len(found) < 8 and priced.table.best(k, capacity) > least:
        cuts = priced.table.pattern(capacity, k)
        made = sorted((group.cuts[priced.best[place]], n) for place, n in cuts)
        found.append(Pattern(strip, tuple(made)))
        k = cuts[0][0] + 1
    return found
