"""The cutting problem in whole numbers, as the solver sees it.

A *board* is bought and yields one or more *strips*; a strip is cut into *cuts*; a cut
covers *rows* of demand: one row once where it is a piece, more where it will be ripped
into several, or where its length is what counts. A board that is only crosscut yields
one strip.
"""

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise


@dataclass
class TimeLimit:
    """`seconds` from now (a stopwatch, not a calendar clock), or until `stop()` is true."""

    seconds: float = 30.0
    stop: Callable[[], bool] = lambda: False
    _began: float = field(default_factory=lambda: time.monotonic())

    def left(self) -> float:
        """Return the seconds that are left."""
        return max(0.0, self._began + self.seconds - time.monotonic())

    def over(self) -> bool:
        """Whether the search must end."""
        return self.left() <= 0 or self.stop()


@dataclass(frozen=True)
class Cut:
    """What is cut off a strip: `size` along it, kerf included, and how often it covers
    which demand, as (row, times) pairs."""

    size: int
    covers: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Strip:
    """A kind of strip: how much it holds, and which cuts (their indices) it is good for."""

    capacity: int
    cuts: tuple[int, ...]


@dataclass(frozen=True)
class Board:
    """A kind of board: its price, and how many it yields of which strip, as (strip,
    number) pairs."""

    price: int
    strips: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Limit:
    """Of these boards no more than `most` together: one board ripped this way or that."""

    boards: tuple[int, ...]
    most: int


@dataclass(frozen=True)
class Problem:
    """Cover every demand at the least price.

    `chains` are rows, longest piece first. A piece of one row may be cut down to one of
    a row behind it, so a piece too many of a row counts for the next one.

    `next_longer` gives for a cut the next longer one that may stand in for it: it is good for
    the same strips and gives the same pieces or, by the chains, ones that count for them.
    """

    demands: tuple[int, ...]
    cuts: tuple[Cut, ...]
    strips: tuple[Strip, ...]
    boards: tuple[Board, ...]
    limits: tuple[Limit, ...] = ()
    chains: tuple[tuple[int, ...], ...] = ()
    next_longer: Mapping[int, int] = field(default_factory=dict, compare=False)

    @cached_property
    def suits(self) -> tuple[frozenset[int], ...]:
        """The cuts that each strip is good for."""
        return tuple(frozenset(strip.cuts) for strip in self.strips)

    @cached_property
    def limit_of(self) -> dict[int, int]:
        """The limit that a board is under; at most one."""
        return {board: n for n, limit in enumerate(self.limits) for board in limit.boards}

    @cached_property
    def shorter(self) -> dict[int, int]:
        """The row that is next behind a row in its chain."""
        return {a: b for chain in self.chains for a, b in pairwise(chain)}


@dataclass(frozen=True, order=True)
class Pattern:
    """One way to cut a strip: (cut, number) pairs in the order of the cuts."""

    strip: int
    cuts: tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Layout:
    """An answer: how many of each board, and how often each pattern is cut."""

    boards: tuple[int, ...]
    patterns: tuple[tuple[Pattern, int], ...]

    def cost(self, problem: Problem) -> int:
        return sum(n * b.price for n, b in zip(self.boards, problem.boards, strict=True))


def most_of(problem: Problem, cut: int, capacity: int) -> int:
    """How many of a cut a strip can hold and a demand can use."""
    one = problem.cuts[cut]
    useful = max(-(-problem.demands[row] // times) for row, times in one.covers)
    return min(capacity // one.size, useful)


def _made_by(problem: Problem, layout: Layout) -> list[int]:
    """How many of each demand a layout gives, a piece too many cut down to one behind it."""
    made = [0] * len(problem.demands)
    for pattern, number in layout.patterns:
        for cut, times in pattern.cuts:
            for row, each in problem.cuts[cut].covers:
                made[row] += number * times * each
    for chain in problem.chains:
        for row, behind in pairwise(chain):
            spare = max(0, made[row] - problem.demands[row])
            made[row] -= spare
            made[behind] += spare
    return made


def covers(problem: Problem, layout: Layout) -> bool:
    """Whether a layout truly covers every demand with the boards that there are."""
    left = [0] * len(problem.strips)
    for number, board in zip(layout.boards, problem.boards, strict=True):
        for strip, each in board.strips:
            left[strip] += number * each
    for pattern, number in layout.patterns:
        left[pattern.strip] -= number
        size = sum(problem.cuts[cut].size * times for cut, times in pattern.cuts)
        if number < 0 or size > problem.strips[pattern.strip].capacity:
            return False
    return (
        min((*left, *layout.boards)) >= 0
        and all(m >= d for m, d in zip(_made_by(problem, layout), problem.demands, strict=True))
        and all(sum(layout.boards[b] for b in x.boards) <= x.most for x in problem.limits)
    )
