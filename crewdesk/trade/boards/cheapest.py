"""The cheapest way to cut, with a proof of how cheap it could be at all.

1. Column generation gives a bound and a first set of patterns (`relaxed`).
2. The best whole plan of those patterns is often at the bound already.
3. Otherwise every pattern is listed that a plan between the bound and some cost may
   use (`close_patterns`), and the solver decides whether there is such a plan. If
   not, the bound goes up past that cost; so until the two meet.
"""

from collections.abc import Callable
from dataclasses import dataclass

from crewdesk.trade.boards.close_patterns import close_patterns
from crewdesk.trade.boards.master import Master
from crewdesk.trade.boards.patience import Patience
from crewdesk.trade.boards.problem import Layout, Pattern, Problem, most_of
from crewdesk.trade.boards.relaxed import Certificate, Group, groups, relaxed
from crewdesk.trade.boards.whole import best_of

FEW, MORE, MANY = 1_500, 10_000, 150_000
"""How many patterns are handed to the solver at once: first few, then more."""
GLANCE, BRANCHES, THOROUGH = 50, 2_000, 1_000_000
"""How many branches it may open: to look quickly, to better a plan, to prove one."""


@dataclass(frozen=True)
class Answer:
    """The cheapest layout found, and the cost that no layout can be below."""

    layout: Layout
    bound: int


def cheapest(
    problem: Problem, start: Layout, patience: Patience, tell: Callable[[int, int], None]
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
        if not self.decide(grouped, proof, FEW, 0, GLANCE):
            self.search(master.patterns, BRANCHES)
        for limit, fractions in ((FEW, (1, 2, 4, 8)), (MORE, (1, 2)), (MANY, (1,))):
            while not self.done() and self.decide(
                grouped, proof, limit, self.cost - 1 - self.bound, THOROUGH
            ):
                pass
            for fraction in fractions:
                if self.done():
                    return
                room = (self.cost - 1) * proof.scale - proof.parts
                some = close_patterns(problem, grouped, proof, room // fraction, limit)
                if some is not None:
                    self.search(some, BRANCHES)
                    break

    def decide(
        self, grouped: list[Group], proof: Certificate, limit: int, above: int, nodes: int
    ) -> bool:
        """Find a plan of at most some cost, or prove that there is none; whether either
        came of it. The cost is the highest below the best for which few enough
        patterns are close."""
        before = self.cost, self.bound
        while True:
            room = (self.bound + above) * proof.scale - proof.parts
            some = close_patterns(self.problem, grouped, proof, room, limit)
            if some is not None:
                break
            if above == 0:
                return False
            above //= 4
        cost = self.bound + above
        self.raise_bound(min(self.search(some, nodes), cost + 1))
        return (self.cost, self.bound) != before

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
    """As many as fit of one cut, for each strip and cut."""
    return [
        Pattern(strip, ((cut, most),))
        for group in grouped
        for strip in group.strips
        for cut in group.cuts
        if (most := most_of(problem, cut, problem.strips[strip].capacity))
    ]
