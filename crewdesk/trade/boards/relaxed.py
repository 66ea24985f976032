"""Column generation: the least cost if boards could be had in parts, and a sure bound.

The bound is reckoned in whole numbers from rounded shadow prices, so that no rounding
of the linear solver can make it too high (Neumaier and Shcherbina 2004, in spirit).
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import count

from crewdesk.trade.boards.best_strip import ROOM_FOR_TABLE, Shelf, Table, table
from crewdesk.trade.boards.master import Master
from crewdesk.trade.boards.problem import Pattern, Problem, most_of

FINE = 1 << 40
"""Shadow prices are rounded down to the dearest board's price over this."""
LOOK_EVERY = 4
"""After so many turns it is looked whether the bound is enough already."""


@dataclass(frozen=True)
class Group:
    """The strips that are good for the same cuts share one table.

    `unit` is what lengths in the shelf are measured in: 1, or more where the cuts are
    rounded up and the strips down to a coarser one, so that what fits there fits.
    """

    strips: tuple[int, ...]
    cuts: tuple[int, ...]
    shelf: Shelf
    longest: int
    unit: int = 1


def groups(problem: Problem) -> list[Group]:
    """The strips by the cuts that they are good for; cuts longest first."""
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
        shelf = Shelf(
            tuple(problem.cuts[c].size for c in order),
            tuple(most_of(problem, c, longest) for c in order),
        )
        found.append(Group(tuple(strips), tuple(order), shelf, longest))
    return found


def coarser(group: Group) -> Group:
    """The group in a unit so coarse that a full table is quick; itself if it is so."""
    cells = ROOM_FOR_TABLE // 4 // (len(group.cuts) + 1)
    unit = -(-(group.longest + 1) // max(1, cells))
    if unit == 1 or (group.longest + 1) * (len(group.cuts) + 1) <= ROOM_FOR_TABLE:
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
    tables: tuple[Table, ...]

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
    tables = [_table(problem, g, demand) for g in grouped]
    worth = _strips_worth(problem, grouped, tables)
    top, bottom = 1, 1
    for number, board in enumerate(problem.boards):
        value = sum(times * worth[s] for s, times in board.strips)
        limited = number in problem.limit_of
        if not limited and value * bottom > board.price * scale * top:
            top, bottom = board.price * scale, value
    if top < bottom:
        # Each price is rounded down, so one shrinking is enough.
        demand = [y * top // bottom for y in demand]
        tables = [_table(problem, g, demand) for g in grouped]
        worth = _strips_worth(problem, grouped, tables)
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
    return Certificate(scale, parts, tuple(demand), tuple(worth), tuple(slack), tuple(tables))


def _table(problem: Problem, group: Group, demand: list[int]) -> Table:
    worth = [sum(demand[row] * times for row, times in problem.cuts[c].covers) for c in group.cuts]
    return table(group.shelf, worth, group.longest)


def _strips_worth(problem: Problem, grouped: list[Group], tables: list[Table]) -> list[int]:
    worth = [0] * len(problem.strips)
    for group, filled in zip(grouped, tables, strict=True):
        for strip in group.strips:
            worth[strip] = int(filled.best(0, problem.strips[strip].capacity))
    return worth


def relaxed(
    problem: Problem, master: Master, over: Callable[[], bool], enough: int | None = None
) -> Certificate:
    """Generate patterns until none would lower the cost; stopped early by `over`, or once
    a bound of `enough` is sure, what the last shadow prices prove.

    The master's patterns must be able to cover the demands.
    """
    grouped = groups(problem)
    used = [coarser(g) for g in grouped]
    dearest = max(b.price for b in problem.boards)
    scale = max(1, FINE // max(1, dearest))
    for turn in count(1):
        priced = master.relax()
        prices = master.prices()
        demand = [max(0, int(y * scale)) for y in prices.demand]
        hint = [max(0, int(y * scale)) for y in prices.strip]
        if priced and not over():
            new: list[Pattern] = []
            for group in used:
                priced_cuts = _table(problem, group, demand)
                for strip in group.strips:
                    new += _worthwhile(problem, group, priced_cuts, strip, hint[strip])
            if master.add(new):
                if enough is not None and turn % LOOK_EVERY == 0:
                    sure = certify(problem, grouped, scale, list(demand), hint)
                    if sure.bound >= enough:
                        return sure
                continue
            if used != grouped:
                used = grouped
                continue
        break
    return certify(problem, grouped, scale, demand, hint)


def _worthwhile(
    problem: Problem, group: Group, cuts_table: Table, strip: int, price: int
) -> list[Pattern]:
    """Patterns worth more than the strip costs: the best, the best without that one's
    longest cut and those longer, and so on, at most eight."""
    capacity = problem.strips[strip].capacity // group.unit
    least = price + max(1, price >> 28)
    found: list[Pattern] = []
    k = 0
    while len(found) < 8 and cuts_table.best(k, capacity) > least:
        cuts = cuts_table.pattern(capacity, k)
        found.append(Pattern(strip, tuple(sorted((group.cuts[j], n) for j, n in cuts))))
        k = cuts[0][0] + 1
    return found
