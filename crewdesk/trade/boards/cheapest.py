"""The cheapest way to cut, with a proof of how cheap it could be at all.

1. Column generation gives a bound and a first set of patterns (`relaxed`).
2. The best whole plan of those patterns is often at the bound already.
3. Otherwise every pattern is listed that a plan between the bound and some cost may
   use (`close_patterns`), and the solver decides whether there is such a plan. If
   not, the bound goes up past that cost; so until the two meet. Cuts out of the solver's
   basis (`whole_cuts`) close most gaps before it branches.
"""

from collections.abc import Callable
from dataclasses import dataclass

from crewdesk.trade.boards.close_patterns import close_patterns
from crewdesk.trade.boards.master import Master
from crewdesk.trade.boards.patience import Patience
from crewdesk.trade.boards.problem import Layout, Pattern, Problem, most_of
from crewdesk.trade.boards.relaxed import Certificate, Group, groups, relaxed
from crewdesk.trade.boards.whole import best_of

SOME, MANY = 5_000, 60_000
"""How many patterns are handed to the solver at once: first some, then many."""
GLANCE, THOROUGH = 50, 1_000_000
"""How many branches it may open: to look quickly, to prove."""


@dataclass(frozen=True)
class Answer:
    """The cheapest layout found, and the cost that no layout can be below."""

    layout: Layout
    bound: int


def cheapest(
    problem: Problem,
    start: Layout,
    patience: Patience,
    tell: Callable[[int, int], None],
) -> Answer:
    """Better `start` until it is proven cheapest or patience is over.

    `tell(cost, bound)` is called whenever either has moved. The same problem gives
    the same answer, unless patience cut it short.
    """
    search = _Search(problem, start, patience, tell)
    search.run()
    return Answer(search.best, search.bound)


class _Search:
    def __init__(
        self,
        problem: Problem,
        start: Layout,
        patience: Patience,
        tell: Callable[[int, int], None],
    ) -> None:
        self.problem, self.best, self.patience, self.tell = problem, start, patience, tell
        self.cost, self.bound = start.cost(problem), 0

    def done(self) -> bool:
        return self.bound >= self.cost or self.patience.over()

    def run(self) -> None:
        problem = self.problem
        grouped = groups(problem)
        master = Master(problem)
        master.add(p for p, _ in self.best.patterns)
        master.add(_plain_patterns(problem, grouped))
        proof = relaxed(problem, master, self.patience.over)
        self.raise_bound(proof.bound)
        if self.done():
            return
        if not self.near(grouped, proof, SOME, (0,)):
            self.search(master.patterns, GLANCE)
        for limit in (SOME, MANY):
            while not self.done():
                before = self.cost
                if self.settle(grouped, proof, limit):
                    return
                self.near(grouped, proof, limit, (2, 4, 8, 16, 0))
                if self.cost == before:
                    break

    def settle(self, grouped: list[Group], proof: Certificate, limit: int) -> bool:
        """Decide whether any plan is cheaper than the best; False where too many
        patterns are close for that."""
        cost = self.cost
        some = self.patterns_up_to(cost - 1, grouped, proof, limit)
        if some is None:
            return False
        self.raise_bound(min(self.search(some, THOROUGH), cost))
        return True

    def patterns_up_to(
        self, cost: int, grouped: list[Group], proof: Certificate, limit: int
    ) -> list[Pattern] | None:
        room = cost * proof.scale - proof.parts
        return close_patterns(self.problem, grouped, proof, room, limit, self.patience.over)

    def near(
        self, grouped: list[Group], proof: Certificate, limit: int, shares: tuple[int, ...]
    ) -> bool:
        """Look for a plan that costs little more than the bound: as much as a share of
        what lies between it and the best, the largest of `shares` (0 for none of it)
        for which few enough patterns are close. Whether there was one."""
        for share in shares:
            cost = self.bound + ((self.cost - 1 - self.bound) // share if share else 0)
            some = self.patterns_up_to(cost, grouped, proof, limit)
            if some is not None:
                self.raise_bound(min(self.search(some, GLANCE), cost + 1))
                return True
        return False

    def search(self, patterns: list[Pattern], nodes: int) -> int:
        found = best_of(self.problem, patterns, self.best, self.patience, nodes)
        if found.layout is not None and found.layout.cost(self.problem) < self.cost:
            self.best, self.cost = found.layout, found.layout.cost(self.problem)
            self.tell(self.cost, self.bound)
        return found.bound

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
