"""First fit decreasing: how one would cut by eye, longest pieces first.

The plan to compare with, and a first plan for the solver to better.
"""

from collections import Counter
from dataclasses import dataclass, field

from crewdesk.trade.boards.problem import Layout, Pattern, Problem


@dataclass
class _Open:
    """A strip that is being cut."""

    strip: int
    left: int
    cuts: Counter[int] = field(default_factory=Counter)


def first_fit(problem: Problem) -> Layout | None:
    """Return the cheaper of two such plans, or None where both run out of boards.

    Each piece goes on the first open strip that has room; where there is none, a
    board is opened: the cheapest that holds the piece, or the cheapest for its
    length. At the end each board gives way to the cheapest that holds its pieces.
    """
    price = [float(board.price) for board in problem.boards]
    holds = [
        sum(n * problem.strips[s].capacity for s, n in board.strips) for board in problem.boards
    ]
    by_length = [each / max(1, room) for each, room in zip(price, holds, strict=True)]
    plans = [_Fit(problem, worth).layout() for worth in (price, by_length)]
    return min((p for p in plans if p), key=lambda p: p.cost(problem), default=None)


class _Fit:
    """Boards are opened in the order of their `worth`, the least first."""

    def __init__(self, problem: Problem, worth: list[float]) -> None:
        self.problem = problem
        self.order = sorted(range(len(problem.boards)), key=lambda b: (worth[b], b))
        self.cheapest_first = sorted(self.order, key=lambda b: (problem.boards[b].price, b))
        self.used: Counter[int] = Counter()
        self.opened: list[tuple[int, list[_Open]]] = []

    def layout(self) -> Layout | None:
        """The plan; None where it runs out of boards."""
        problem, wanted = self.problem, list(self.problem.demands)
        strips: list[_Open] = []
        cuts = {cut for strip in problem.strips for cut in strip.cuts}
        for cut in sorted(cuts, key=self._longest_first):
            one = problem.cuts[cut]
            at = 0  # a strip that had no room for this cut has none for the next such cut
            while any(wanted[row] > 0 for row, _ in one.covers):
                while at < len(strips) and not self._fits(strips[at], cut):
                    at += 1
                if at == len(strips):
                    if (board := self._board_for(cut)) is None:
                        break
                    self.used[board] += 1
                    new = [
                        _Open(strip, problem.strips[strip].capacity)
                        for strip, number in problem.boards[board].strips
                        for _ in range(number)
                    ]
                    self.opened.append((board, new))
                    strips += new
                    continue
                strips[at].left -= one.size
                strips[at].cuts[cut] += 1
                for row, times in one.covers:
                    wanted[row] -= times
        if any(w > 0 for w in wanted):
            return None
        boards: Counter[int] = Counter()
        patterns: Counter[Pattern] = Counter()
        for board, opened in self.opened:
            number, held = self._cheapest(board, opened)
            boards[number] += 1
            patterns.update(Pattern(h.strip, tuple(sorted(h.cuts.items()))) for h in held if h.cuts)
        every = tuple(boards[number] for number in range(len(problem.boards)))
        return Layout(every, tuple(sorted(patterns.items())))

    def _longest_first(self, cut: int) -> tuple[bool, int, int]:
        """Pieces longest first, then what is counted by its length."""
        one = self.problem.cuts[cut]
        return max(times for _, times in one.covers) > 1, -one.size, cut

    def _board_for(self, cut: int) -> int | None:
        size, suits = self.problem.cuts[cut].size, self.problem.suits
        strips, boards = self.problem.strips, self.problem.boards
        for board in self.order:
            if self._may(board) and any(
                size <= strips[s].capacity and cut in suits[s] for s, _ in boards[board].strips
            ):
                return board
        return None

    def _may(self, board: int) -> bool:
        """Whether there is one more of a board."""
        if (number := self.problem.limit_of.get(board)) is None:
            return True
        limit = self.problem.limits[number]
        return sum(self.used[b] for b in limit.boards) < limit.most

    def _fits(self, strip: _Open, cut: int) -> bool:
        return self.problem.cuts[cut].size <= strip.left and cut in self.problem.suits[strip.strip]

    def _cheapest(self, board: int, held: list[_Open]) -> tuple[int, list[_Open]]:
        """The board, changed for a cheaper one of one strip if that holds the same cuts."""
        problem, cuts = self.problem, held[0].cuts
        need = sum(problem.cuts[c].size * n for c, n in cuts.items())
        for other in self.cheapest_first:
            one = problem.boards[other]
            if len(held) > 1 or one.price >= problem.boards[board].price:
                break
            strip, number = one.strips[0]
            if (
                (number, len(one.strips)) == (1, 1)
                and problem.strips[strip].capacity >= need
                and self._may(other)
                and problem.suits[strip].issuperset(cuts)
            ):
                self.used[board] -= 1
                self.used[other] += 1
                return other, [_Open(strip, 0, cuts)]
        return board, held
