"""First fit decreasing: how one would cut by eye, longest pieces first.

The plan to compare with, and a first plan for the solver to better.
"""

from collections.abc import Callable
from dataclasses import dataclass

from crewdesk.trade.boards.problem import Layout, Pattern, Problem


@dataclass
class _Open:
    strip: int
    left: int
    cuts: dict[int, int]


def first_fit(problem: Problem) -> Layout | None:
    """The cheaper of two such plans, or None where both run out of boards.

    Each piece goes on the first open strip that has room; where there is none, a
    board is opened: the cheapest that holds the piece, or the cheapest for its
    length. At the end each board gives way to the cheapest that holds its pieces.
    """
    ways: tuple[Callable[[int], float], ...] = (
        lambda board: float(problem.boards[board].price),
        lambda board: problem.boards[board].price / max(1, _holds(problem, board)),
    )
    plans = [p for p in (_fit(problem, way) for way in ways) if p is not None]
    return min(plans, key=lambda p: p.cost(problem)) if plans else None


def _holds(problem: Problem, board: int) -> int:
    return sum(n * problem.strips[s].capacity for s, n in problem.boards[board].strips)


def _fit(problem: Problem, worse: Callable[[int], float]) -> Layout | None:
    order = sorted(range(len(problem.boards)), key=lambda b: (worse(b), b))
    used = [0] * len(problem.boards)
    opened: list[tuple[int, list[_Open]]] = []
    strips: list[_Open] = []
    wanted = list(problem.demands)
    cuts = {cut for strip in problem.strips for cut in strip.cuts}
    for cut in sorted(cuts, key=lambda c: _by_length(problem, c)):
        one = problem.cuts[cut]
        at = 0  # a strip that had no room for this cut has none for the next such cut
        while any(wanted[row] > 0 for row, _ in one.covers):
            while at < len(strips) and not _fits(problem, strips[at], cut):
                at += 1
            if at == len(strips):
                board = next(
                    (b for b in order if _good(problem, b, cut) and _may(problem, used, b)), None
                )
                if board is None:
                    break
                used[board] += 1
                opened.append((board, _strips(problem, board)))
                strips += opened[-1][1]
                continue
            place = strips[at]
            place.left -= one.size
            place.cuts[cut] = place.cuts.get(cut, 0) + 1
            for row, times in one.covers:
                wanted[row] -= times
    if any(w > 0 for w in wanted):
        return None
    return _layout(problem, [_cheapest(problem, used, b, ss) for b, ss in opened])


def _by_length(problem: Problem, cut: int) -> tuple[bool, int, int]:
    """Pieces longest first, then what is counted by its length."""
    one = problem.cuts[cut]
    return max(times for _, times in one.covers) > 1, -one.size, cut


def _may(problem: Problem, used: list[int], board: int) -> bool:
    limit = problem.limit_of.get(board)
    if limit is None:
        return True
    return sum(used[b] for b in problem.limits[limit].boards) < problem.limits[limit].most


def _good(problem: Problem, board: int, cut: int) -> bool:
    size = problem.cuts[cut].size
    return any(
        cut in problem.suits[strip] and size <= problem.strips[strip].capacity
        for strip, _ in problem.boards[board].strips
    )


def _fits(problem: Problem, strip: _Open, cut: int) -> bool:
    return problem.cuts[cut].size <= strip.left and cut in problem.suits[strip.strip]


def _strips(problem: Problem, board: int) -> list[_Open]:
    return [
        _Open(s, problem.strips[s].capacity, {})
        for s, n in problem.boards[board].strips
        for _ in range(n)
    ]


def _cheapest(
    problem: Problem, used: list[int], board: int, strips: list[_Open]
) -> tuple[int, list[_Open]]:
    """The board, changed for a cheaper one of one strip if that holds the same cuts."""
    if len(strips) > 1:
        return board, strips
    held = strips[0]
    need = sum(problem.cuts[c].size * n for c, n in held.cuts.items())
    for other in sorted(range(len(problem.boards)), key=lambda b: (problem.boards[b].price, b)):
        if problem.boards[other].price >= problem.boards[board].price:
            break
        new = _strips(problem, other)
        if (
            len(new) == 1
            and new[0].left >= need
            and _may(problem, used, other)
            and all(c in problem.suits[new[0].strip] for c in held.cuts)
        ):
            used[board] -= 1
            used[other] += 1
            return other, [_Open(new[0].strip, new[0].left - need, held.cuts)]
    return board, strips


def _layout(problem: Problem, opened: list[tuple[int, list[_Open]]]) -> Layout:
    boards = [0] * len(problem.boards)
    patterns: dict[Pattern, int] = {}
    for board, strips in opened:
        boards[board] += 1
        for strip in strips:
            if strip.cuts:
                pattern = Pattern(strip.strip, tuple(sorted(strip.cuts.items())))
                patterns[pattern] = patterns.get(pattern, 0) + 1
    return Layout(tuple(boards), tuple(sorted(patterns.items())))
