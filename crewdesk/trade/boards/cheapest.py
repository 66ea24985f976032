"""The cheapest way to cut, with a proof of how cheap it could be at all.

1. Column generation gives a bound and a first set of patterns (`column_generation`).
2. The best whole plan of those patterns is often at the bound already.
3. Otherwise every pattern is listed that a plan between the bound and some cost may
   use (`close_patterns`), and the solver decides whether there is such a plan. If
   not, the bound goes up past that cost; so until the two meet.
"""

from collections.abc import Callable

from crewdesk.trade.boards.close_patterns import close_patterns
from crewdesk.trade.boards.column_generation import Certificate, Group, generate, groups
from crewdesk.trade.boards.problem import Layout, Pattern, Problem, TimeLimit, most_of
from crewdesk.trade.boards.restricted_master import RestrictedMaster, best_of

MOST_PATTERNS = 20_000
"""So many patterns are handed to the solver at once at the most."""
GLANCE, THOROUGH = 50, 1_000_000
"""How many branches it may open: to look quickly, to prove."""
SMALLEST_SHARE = 16
"""Where too many patterns are close, plans are sought that cost at most the bound and a share of
what lies between it and the best plan: a half, a quarter, and so on to one of so many parts."""


def cheapest(
    problem: Problem, start: Layout, limit: TimeLimit, tell: Callable[[int, int], None]
) -> tuple[Layout, int]:
    """Better `start` until it is proven cheapest or the time limit is over; return the cheapest
    layout found, and the cost that no layout can be below.

    `tell(cost, bound)` is called whenever either has moved. The same problem gives
    the same answer, unless the time limit cut it short.
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
        """Look for a plan of at most a cost, to the end where that is all that could be cheaper;
        return False where too many patterns are close for that."""
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
    """As many as fit of one cut, for each strip and each cut that gives one kind of piece."""
    return [
        Pattern(strip, ((cut, most),))
        for group in grouped
        for strip in group.strips
        for cut in group.cuts
        if len(problem.cuts[cut].covers) == 1
        and (most := most_of(problem, cut, problem.strips[strip].capacity))
    ]
