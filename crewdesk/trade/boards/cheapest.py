"""The cheapest way to cut, with a proof of how cheap it could be at all.

1. Column generation gives a bound and a first set of patterns (`column_generation`).
2. The best whole plan of those patterns is often at the bound already.
3. Otherwise every pattern is listed that a plan between the bound and some cost may
   use (`close_patterns`), and the solver decides whether there is such a plan. If
   not, the bound goes up past that cost; so until the two meet.

With a certificate of the bound, a plan that costs less than the best known one can't
use a pattern whose own loss is more than what lies between the two. What is left is
often few enough to be handed to the solver whole, and then its answer is proven.
"""

from collections.abc import Callable
from typing import Any

import numpy as np

from crewdesk.trade.boards.column_generation import Certificate, Group, Table, generate, groups
from crewdesk.trade.boards.problem import Layout, Pattern, Problem, TimeLimit, most_of
from crewdesk.trade.boards.restricted_master import RestrictedMaster, best_of

UNFINISHED = 20
"""Give up if the unfinished patterns are this many times the limit."""


def close_patterns(
    problem: Problem, proof: Certificate, room: int, limit: int, over: Callable[[], bool]
) -> list[Pattern] | None:
    """Return the patterns that lose no more than `room`, or None if there are more than `limit` or
    `over()` became true first.

    A plan of at most cost c uses no others if room is c x the proof's scale - its parts.

    Only patterns to which no cut can be added are listed, since cutting more than needed does no
    harm.
    """
    found: list[Pattern] = []
    slack: dict[int, int] = {}
    for board, spare in zip(problem.boards, proof.slack, strict=True):
        slack |= {strip: min(spare, slack.get(strip, spare)) for strip, _ in board.strips}
    for table in proof.tables:
        for strip in table.group.strips:
            if strip in slack:
                need = proof.strip[strip] + slack[strip] - room
                some = _strip_patterns(problem, table, strip, need, limit - len(found), over)
                if some is None:
                    return None
                found += some
    return found


def _strip_patterns(
    problem: Problem, table: Table, strip: int, need: int, limit: int, over: Callable[[], bool]
) -> list[Pattern] | None:
    """Return all fullest patterns of a strip that are worth at least `need`.

    Fullest: no cut can be added, and none replaced by the next longer one. All unfinished patterns
    are extended together, cut by cut, longest first; one is dropped as soon as the best of the
    remaining cuts can't bring it to `need`.
    """
    capacity, group = problem.strips[strip].capacity, table.group
    sizes, place = group.sizes, [*group.place.tolist(), len(table.best)]
    fits = np.flatnonzero(sizes <= capacity)
    most_with = table.most_worth(0, capacity - sizes[fits]) + table.worth[fits]
    close = fits[most_with >= need].tolist()  # a pattern with any other cut is worth less
    left = np.array([capacity], dtype=np.int64)
    lack = np.array([need], dtype=np.int64)
    node = np.array([-1], dtype=np.int64)
    spare = np.array([capacity + 1], dtype=np.int64)  # with this much left it is not fullest
    ahead = np.zeros(1, dtype=np.int64)  # how many of the cut before
    total = 0
    steps: list[tuple[int, int, Any, int]] = []
    for last, k, after_k in zip((-1, *close), close, (*close[1:], len(sizes)), strict=False):
        size, gain = int(sizes[k]), int(table.worth[k])
        most = min(int(group.most[k]), capacity // size)
        longer = problem.next_longer.get(group.cuts[k])
        stands_in = k > 0 and last == k - 1 and longer == group.cuts[k - 1]
        parts = []
        for number in range(most + 1):
            after = left - number * size
            short = lack - number * gain
            keep = np.flatnonzero(after >= 0)
            keep = keep[table.most_worth(place[after_k], after[keep]) >= short[keep]]
            if number and not keep.size:
                continue
            room = spare[keep]
            if number < most:
                room = np.minimum(room, size)
            here = node[keep]
            if number:
                if stands_in:
                    may = ahead[keep] < group.most[k - 1]
                    room = np.where(may, np.minimum(room, sizes[k - 1] - size), room)
                steps.append((total, k, here, number))
                here = np.arange(total, total + keep.size, dtype=np.int64)
                total += keep.size
            parts.append((after[keep], short[keep], here, room, np.full(keep.size, number)))
        left, lack, node, spare, ahead = (np.concatenate(p) for p in zip(*parts, strict=True))
        if left.size > UNFINISHED * limit or over():
            return None
    whole = np.flatnonzero((left < spare) & (node >= 0))
    if whole.size > limit:
        return None
    firsts = np.array([s[0] for s in steps], dtype=np.int64)
    found = []
    for end in node[whole].tolist():
        cuts = []
        while end >= 0:
            step = int(np.searchsorted(firsts, end, side="right")) - 1
            first, k, before, number = steps[step]
            cuts.append((group.cuts[k], number))
            end = int(before[end - first])
        found.append(Pattern(strip, tuple(sorted(cuts))))
    return found


MOST_PATTERNS = 20_000
"""The most patterns that are handed to the solver at once at most."""
GLANCE, THOROUGH = 50, 1_000_000
"""How many branches it may open: to look quickly, to prove."""
SMALLEST_SHARE = 16
"""If too many patterns are close, the search is for plans that cost at most the bound plus a share
of the rest up to the best plan: a half, a quarter, and so on down to one of this many parts."""


def cheapest(
    problem: Problem, start: Layout, limit: TimeLimit, tell: Callable[[int, int], None]
) -> tuple[Layout, int]:
    """Improve `start` until it is proven cheapest or the time limit is over; return the cheapest
    layout found, and the lower bound of any layout's cost.

    `tell(cost, bound)` is called whenever either has changed. The same problem gives the same
    answer, unless the time limit stopped it.
    """
    search = _Search(problem, start, limit, tell)
    search.run()
    return search.best, search.bound


class _Search:
    def __init__(
        self,
        problem: Problem,
        start: Layout,
        limit: TimeLimit,
        tell: Callable[[int, int], None],
    ) -> None:
        self.problem, self.best, self.limit, self.tell = problem, start, limit, tell
        self.cost, self.bound = start.cost(problem), 0

    def done(self) -> bool:
        return self.bound >= self.cost or self.limit.over()

    def run(self) -> None:
        problem = self.problem
        grouped = groups(problem)
        first = [*(p for p, _ in self.best.patterns), *_plain_patterns(problem, grouped)]
        master = RestrictedMaster(problem, first)
        proof = generate(problem, grouped, master, self.limit.over)
        self.raise_bound(proof.bound)
        if self.done():
            return
        if not self.look(proof, self.bound):
            self.search(master.patterns, GLANCE)
        share = 1
        while not self.done() and share <= SMALLEST_SHARE:
            before = self.cost, self.bound
            self.look(proof, self.bound + (self.cost - 1 - self.bound) // share)
            share = 2 * share if (self.cost, self.bound) == before else 1

    def look(self, proof: Certificate, cost: int) -> bool:
        """Search for a plan of at most a cost, completely if only that could be cheaper; return
        False if too many patterns are close to it."""
        room = cost * proof.scale - proof.parts
        some = close_patterns(self.problem, proof, room, MOST_PATTERNS, self.limit.over)
        if some is None:
            return False
        nodes = THOROUGH if cost == self.cost - 1 else GLANCE
        self.raise_bound(min(self.search(some, nodes), cost + 1))
        return True

    def search(self, patterns: list[Pattern], nodes: int) -> int:
        layout, bound = best_of(self.problem, patterns, self.best, self.limit, nodes)
        if layout is not None and layout.cost(self.problem) < self.cost:
            self.best, self.cost = layout, layout.cost(self.problem)
            self.tell(self.cost, self.bound)
        return bound

    def raise_bound(self, bound: int) -> None:
        if bound > self.bound:
            self.bound = min(bound, self.cost)
            self.tell(self.cost, self.bound)


def _plain_patterns(problem: Problem, grouped: list[Group]) -> list[Pattern]:
    """Return patterns with as many as fit of one cut, for each strip and each cut that gives one
    kind of piece."""
    return [
        Pattern(strip, ((cut, most),))
        for group in grouped
        for strip in group.strips
        for cut in group.cuts
        if len(problem.cuts[cut].covers) == 1
        and (most := most_of(problem, cut, problem.strips[strip].capacity))
    ]
