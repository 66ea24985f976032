"""Every pattern that a cheaper plan could still use.

With a certificate of the bound, a plan that costs less than the best known one can't
use a pattern whose own loss is more than what lies between the two. What is left is
often few enough to be handed to the solver whole, and then its answer is proven.
"""

from collections.abc import Callable
from typing import Any

import numpy as np

from crewdesk.trade.boards.column_generation import Certificate, Table
from crewdesk.trade.boards.problem import Pattern, Problem

UNFINISHED = 20
"""Give up where the unfinished patterns are this many times the limit."""


def close_patterns(
    problem: Problem, proof: Certificate, room: int, limit: int, over: Callable[[], bool]
) -> list[Pattern] | None:
    """The patterns that lose no more than `room`, or None where they are more than
    `limit` or `over()` came true first.

    A plan of at most cost c uses no others if room is c x the proof's scale - its parts.

    Only those to which no further cut could be added, for cutting more than is needed
    does no harm.
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
    """All fullest patterns of a strip that are worth at least `need`.

    Fullest: no cut can be added, and none lengthened to the next that may stand in for it.
    Cut by cut, longest first, all unfinished patterns side by side; one is dropped
    as soon as the best of the remaining cuts can't bring it to `need`.
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
