"""Where the boards may not do: a plan that keeps to their counts, or how many are missing."""

from dataclasses import dataclass, replace

from crewdesk.trade.boards.first_fit import first_fit
from crewdesk.trade.boards.patience import Patience
from crewdesk.trade.boards.problem import Board, Layout, Problem


@dataclass(frozen=True)
class Shortage:
    """At least `more` boards are missing; `found` would do. `row` is a demand that the
    boards there are were not enough for."""

    more: int
    found: int
    row: int


def plan_within(
    problem: Problem, extra: tuple[tuple[tuple[int, int], ...], ...], patience: Patience
) -> Layout | Shortage:
    """Any plan within the limits, sought as the one that takes the fewest extra boards.

    `extra` are what an extra board may yield, as `Board.strips`; with them without end
    the demands must be coverable.
    """
    from crewdesk.trade.boards.cheapest import cheapest

    strips = list(problem.strips)
    boards = [replace(board, price=0) for board in problem.boards]
    for yields in extra:
        copies = []
        for strip, number in yields:
            copies.append((len(strips), number))
            strips.append(problem.strips[strip])
        boards.append(Board(1, tuple(copies)))
    helped = Problem(
        problem.demands,
        problem.cuts,
        tuple(strips),
        tuple(boards),
        problem.limits,
        problem.chains,
        problem.next_longer,
    )
    start = first_fit(helped)
    assert start is not None, "the extra boards are without end"
    answer = cheapest(helped, start, patience, lambda cost, bound: None)
    own = len(problem.boards)
    missing = sum(answer.layout.boards[own:])
    if not missing:
        return Layout(answer.layout.boards[:own], answer.layout.patterns)
    row = next(
        problem.cuts[pattern.cuts[0][0]].covers[0][0]
        for pattern, _ in answer.layout.patterns
        if pattern.strip >= len(problem.strips)
    )
    return Shortage(answer.bound, missing, row)
