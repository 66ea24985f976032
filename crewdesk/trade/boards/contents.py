"""Which piece is cut where: a layout's patterns filled with the pieces that wait."""

from typing import TypeVar

from crewdesk.trade.boards.problem import Layout, Problem

Waiting = TypeVar("Waiting")


def contents(
    problem: Problem, layout: Layout, waiting: list[list[Waiting]]
) -> dict[int, list[list[tuple[int, list[Waiting]]]]]:
    """For each strip, every one that is cut: its cuts, each with the pieces it becomes.

    `waiting` are the pieces of each demand; demands beyond its end are no pieces. A cut
    that its own demand does not need takes the longest shorter piece that still waits,
    as `Problem.chains` allow, or none. Every piece is cut once.
    """
    left = [list(pieces) for pieces in waiting]
    cut: dict[int, list[list[tuple[int, list[Waiting]]]]] = {
        strip: [] for strip in range(len(problem.strips))
    }
    slots: list[tuple[int, list[Waiting]]] = []
    for pattern, times in layout.patterns:
        for _ in range(times):
            filled: list[tuple[int, list[Waiting]]] = []
            cut[pattern.strip].append(filled)
            for one, number in pattern.cuts:
                for _ in range(number):
                    pieces: list[Waiting] = []
                    filled.append((one, pieces))
                    for row, each in problem.cuts[one].covers:
                        if row < len(left):
                            slots += [(row, pieces)] * each
    behind = {row: chain[place:] for chain in problem.chains for place, row in enumerate(chain)}
    for row, pieces in sorted(slots, key=lambda slot: slot[0]):
        for other in behind.get(row, (row,)):
            if left[other]:
                pieces.append(left[other].pop(0))
                break
    assert not any(left), "a layout that covers every demand leaves no piece over"
    return cut
