"""The cutting problem in whole numbers for the solver, the meaning of its numbers, and its answer
laid out in inches.

A *board* is bought and yields one or more *strips*; a strip is cut into *cuts*; a cut covers *rows*
of demand: one row once if it is a piece, more if it will be ripped into several, or if only its
length counts. A board that is only crosscut yields one strip.
"""

import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from itertools import pairwise, zip_longest
from math import gcd, lcm
from typing import Any

from crewdesk.trade.boards.stock import NONE, CutBoard, First, Need, Placed, Saws, Stock, Stretch


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
        """Return whether the search must end."""
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

    `chains` are rows, longest piece first. A piece of one row may be cut down to one of a row
    behind it, so an extra piece of a row counts for the next one.

    `next_longer` gives for a cut the next longer one that may replace it: it is good for the same
    strips and gives the same pieces or, by the chains, ones that count for them.
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
        """Return the limit that a board is under; at most one."""
        return {board: n for n, limit in enumerate(self.limits) for board in limit.boards}

    @cached_property
    def shorter(self) -> dict[int, int]:
        """The row after each row in its chain."""
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
    """Return how many of a cut a strip can hold and a demand can use."""
    one = problem.cuts[cut]
    useful = max(-(-problem.demands[row] // times) for row, times in one.covers)
    return min(capacity // one.size, useful)


def _made_by(problem: Problem, layout: Layout) -> list[int]:
    """Return how many of each demand a layout gives, an extra piece cut down to one after it."""
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
    """Return whether a layout covers every demand with the available boards."""
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


CLEAT = "cleat"

Way = tuple[Fraction, ...]
"""Widths side by side, the widest first."""


@dataclass(frozen=True)
class Clear:
    """A clear stretch of a kind of board, the `number`-th one."""

    number: int
    stock: Stock
    stretch: Stretch


Part = tuple[Fraction, Need | None]
"""A width in a section, and the piece in it; None for a cleat."""
Section = tuple[Fraction, list[Part]]
"""A section's length, and its pieces and cleats side by side, the widest first."""


@dataclass(frozen=True)
class Model:
    """The problem in whole numbers, and the meaning of its numbers.

    `money` is the unit of its prices; `by_eye` has the problem with the cuts alone that are made
    by eye. By board, `wood` is what it is cut from and `strips` are its strips with their
    widths, in their order across it; `uncut` are the boards that are not ripped first.
    `waiting` are the pieces of each demand, `names` what to call one, and `sections` says what
    a cut with some of those pieces gives.
    """

    problem: Problem
    money: Decimal
    by_eye: tuple[Problem, ...]
    wood: tuple[Clear, ...]
    strips: tuple[tuple[tuple[int, Fraction], ...], ...]
    uncut: frozenset[int]
    waiting: tuple[tuple[Any, ...], ...]
    names: tuple[str, ...]
    sections: Callable[[int, list[Any]], list[Section]]


def clear_wood(stocks: Iterable[Stock], saws: Saws) -> tuple[Clear, ...]:
    """Return every clear stretch of every kind of board."""
    return tuple(
        Clear(number, stock, stretch)
        for number, stock in enumerate(stocks)
        for stretch in saws.clear_stretches(stock.length, stock.bad)
    )


def length_unit(lengths: Iterable[Fraction]) -> Fraction:
    """Return the greatest length of which every one of these is a whole number; 1 for none."""
    given = [x for x in lengths if x]
    if not given:
        return Fraction(1)
    below = lcm(*(x.denominator for x in given))
    return Fraction(gcd(*(int(x * below) for x in given)), below)


def money_unit(prices: Iterable[Decimal]) -> Decimal:
    """Return the greatest sum of which every one of these is a whole number; 1 for none."""
    unit = length_unit(Fraction(p) for p in prices)
    return Decimal(unit.numerator) / Decimal(unit.denominator)


def side_by_side(ways: Iterable[Way]) -> Way:
    """Return the strips that hold each of some ways: the widest first pieces, the widest
    second ..."""
    return tuple(max(widths) for widths in zip_longest(*ways, fillvalue=NONE))


def contents(
    problem: Problem, layout: Layout, waiting: Sequence[Sequence[Any]]
) -> dict[int, list[list[tuple[int, list[Any]]]]]:
    """Return, for each strip, every one that is cut: its cuts, each with its pieces.

    `waiting` are the pieces of each demand; demands after its end are not pieces. A cut that its
    own demand doesn't need takes the longest shorter piece that is left, as `Problem.chains` allow,
    or none. Every piece is cut once.
    """
    left = [list(pieces) for pieces in waiting]
    cut: dict[int, list[list[tuple[int, list[Any]]]]] = {s: [] for s in range(len(problem.strips))}
    slots: list[tuple[int, list[Any]]] = []
    for pattern, times in layout.patterns:
        for _ in range(times):
            filled: list[tuple[int, list[Any]]] = []
            cut[pattern.strip].append(filled)
            for one, number in pattern.cuts:
                for _ in range(number):
                    pieces: list[Any] = []
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


def lay_out(model: Model, layout: Layout, saws: Saws, cleats: Fraction) -> tuple[CutBoard, ...]:
    """Return every board that something is cut from: those on hand, then the widest and longest.

    A strip is only as wide as what comes from it, and a section only as long. A board that
    is crosscut first is ripped first instead where its pieces lie in strips all the same.
    No more cleats are ripped than `cleats` inches. What comes from several stretches of a
    board on hand is one board.
    """
    waiting = contents(model.problem, layout, model.waiting)
    boards: list[CutBoard] = []
    there: dict[int, CutBoard] = {}
    for number, times in enumerate(layout.boards):
        wood = model.wood[number]
        for _ in range(times):
            strips = []
            for strip, width in model.strips[number]:
                cuts = waiting[strip].pop() if waiting[strip] else []
                found = [some for cut, pieces in cuts if (some := model.sections(cut, pieces))]
                found.sort(key=lambda some: -some[0][0])
                strips.append((width, [section for some in found for section in some]))
            board = _board(wood, strips, saws, crosscut=number in model.uncut)
            if not wood.stock.on_hand:
                boards.append(board)
            elif wood.number in there:
                there[wood.number] = _joined(there[wood.number], board)
            else:
                there[wood.number] = board
    return tuple(sorted(_without_needless([*there.values(), *boards], cleats), key=_order))


def _order(board: CutBoard) -> tuple[Any, ...]:
    stock = board.stock
    names = [piece.name for piece in board.pieces]
    return (not stock.on_hand, -stock.width, -stock.length, stock.name, names)


def _joined(one: CutBoard, other: CutBoard) -> CutBoard:
    first: First = "rip" if "rip" in (one.first, other.first) else "crosscut"
    return CutBoard(one.stock, first, one.pieces + other.pieces, one.cleats + other.cleats)


def _board(
    wood: Clear, strips: list[tuple[Fraction, list[Section]]], saws: Saws, *, crosscut: bool
) -> CutBoard:
    """Return one board, its pieces laid one after another."""
    if crosscut and (slots := _slots(strips[0][1], wood.stock.width, saws)) is not None:
        strips, crosscut = slots, False
    pieces: list[Placed] = []
    cleats: list[Placed] = []
    near = saws.edge_trim
    for _, sections in strips:
        at, after = wood.stretch.start, near
        for length, parts in sections:
            edge, end = near, at
            for wide, piece in parts:
                long = length if piece is None else piece.length
                name = CLEAT if piece is None else piece.name
                (cleats if piece is None else pieces).append(
                    Placed(name, at, at + long, edge, edge + wide)
                )
                edge, end = edge + wide + saws.rip_kerf, max(end, at + long)
            at, after = end + saws.kerf, max(after, edge)
        near = after
    first: First = "crosscut" if crosscut else "rip"
    return CutBoard(wood.stock, first, tuple(pieces), tuple(cleats))


def _slots(
    sections: list[Section], width: Fraction, saws: Saws
) -> list[tuple[Fraction, list[Section]]] | None:
    """Return sections across the board as strips along it; None if they are too wide for that, or
    boards may not be ripped first."""
    widest = side_by_side(tuple(width for width, _ in parts) for _, parts in sections)
    room = saws.clear_width(width)
    if "rip" not in saws.first or sum(widest, saws.rip_kerf * (len(widest) - 1)) > room:
        return None
    return [
        (width, [(length, [parts[n]]) for length, parts in sections if n < len(parts)])
        for n, width in enumerate(widest)
    ]


def _without_needless(boards: list[CutBoard], wanted: Fraction) -> list[CutBoard]:
    """Return boards without unneeded cleats: those on boards without pieces go first, then the
    shortest and the outermost. Empty boards go too."""
    spare = sum((c.end - c.start for b in boards for c in b.cleats), -wanted)
    every = sorted(
        (bool(board.pieces), cleat.end - cleat.start, -cleat.near, number, place)
        for number, board in enumerate(boards)
        for place, cleat in enumerate(board.cleats)
    )
    gone: set[tuple[int, int]] = set()
    for _, long, _, number, place in every:
        if long <= spare:
            spare -= long
            gone.add((number, place))
    left = (
        replace(
            board,
            cleats=tuple(c for place, c in enumerate(board.cleats) if (number, place) not in gone),
        )
        for number, board in enumerate(boards)
    )
    return [board for board in left if board.pieces or board.cleats]
