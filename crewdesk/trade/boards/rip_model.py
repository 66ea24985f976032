"""Ripping and crosscutting in whole numbers: every board is cut one way or the other.

Ripped first, a board becomes strips, each as wide as one of the pieces or as a cleat.
Crosscut first, it stays one strip of its whole width. Either way a strip is crosscut into
sections, each as long as one of the pieces, and a section is ripped into pieces side by
side and cleats beside them; a piece may be shorter than its section and is then trimmed.
So one problem holds the plans with boards of both kinds, and a narrow piece may come out
of a wide strip.
"""

from bisect import bisect_right
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from itertools import accumulate, zip_longest

from crewdesk.trade.boards.problem import Board, Cut, Limit, Pattern, Problem, Strip
from crewdesk.trade.boards.rip_stock import Cleats, Saws, WideNeed, WideStock
from crewdesk.trade.boards.ripping import clear_width, ways_to_rip
from crewdesk.trade.boards.whole_units import length_unit, money_unit

Way = tuple[Fraction, ...]
"""Widths side by side, the widest first."""


@dataclass(frozen=True)
class WidePiece:
    """One piece to cut, lengths in inches."""

    name: str
    width: Fraction
    length: Fraction


@dataclass(frozen=True)
class Section:
    """What one crosscut of a strip gives: `length` inches, ripped into a `way`. `plain` where
    it is one piece that needs no trimming, or a cleat; `exact` where none of its pieces
    needs to be trimmed to its length."""

    length: Fraction
    way: Way
    plain: bool
    exact: bool


@dataclass(frozen=True)
class RipModel:
    """The problem in whole numbers, and what its numbers stand for.

    `pieces` by row of demand; `stock` and `way` (the strips, widest first) by board;
    `uncut` are the boards that are not ripped first and `whole` the strips as wide as their
    boards, where these may be crosscut first; `strip` gives the strip of a length and width;
    `section` by cut; `cleat` is the cleats' width.
    """

    problem: Problem
    money: Decimal
    pieces: tuple[tuple[WidePiece, ...], ...]
    stock: tuple[WideStock, ...]
    way: tuple[Way, ...]
    uncut: frozenset[int]
    whole: frozenset[int]
    strip: dict[tuple[Fraction, Fraction], int]
    section: tuple[Section, ...]
    cleat: Fraction | None

    @cached_property
    def by_eye(self) -> tuple[Problem, ...]:
        """The problem with those sections alone that are cut by eye: one piece or cleat
        across each strip, or, where boards are crosscut first, pieces of one length."""
        ripped = {
            strip
            for board, one in enumerate(self.problem.boards)
            if board not in self.uncut
            for strip, _ in one.strips
        }
        found = []
        for wanted, good in (
            (set(self.whole), lambda one: one.exact),
            (ripped, lambda one: one.plain),
        ):
            if wanted:
                found.append(self._only(wanted, good))
        return tuple(found)

    def _only(self, wanted: set[int], good: Callable[[Section], bool]) -> Problem:
        one = self.problem
        strips = tuple(
            Strip(
                strip.capacity,
                tuple(c for c in strip.cuts if number in wanted and good(self.section[c])),
            )
            for number, strip in enumerate(one.strips)
        )
        return replace(one, strips=strips)


class _Demand:
    """The demands: a row for each width and length, and one for all cleats together."""

    def __init__(
        self, needs: tuple[WideNeed, ...], cleats: Cleats | None, lengths: Iterable[Fraction]
    ) -> None:
        pieces: dict[tuple[Fraction, Fraction], list[str]] = {}
        for need in needs:
            pieces.setdefault((need.width, need.length), []).extend([need.name] * need.count)
        keys = sorted(pieces, key=lambda key: (-key[0], -key[1]))
        self.row = {key: row for row, key in enumerate(keys)}
        self.pieces = tuple(
            tuple(WidePiece(name, *key) for name in sorted(pieces[key])) for key in keys
        )
        self.counts = [len(pieces[key]) for key in keys]
        self.widths = sorted({width for width, _ in keys}, reverse=True)
        self.lengths_of = {
            width: sorted(length for wide, length in keys if wide == width) for width in self.widths
        }
        self.sums_of = {
            width: list(accumulate((len(pieces[width, one]) for one in short), initial=0))
            for width, short in self.lengths_of.items()
        }
        self.cleats = cleats if cleats is not None and cleats.length else None
        if self.cleats is not None:
            # Every section's length is a whole number of these, so rounding up loses nothing.
            self.foot = length_unit(x for x in lengths if x >= self.cleats.shortest)
            self.counts.append(int(-(-self.cleats.length // self.foot)))

    @property
    def chains(self) -> tuple[tuple[int, ...], ...]:
        """The rows of each width, longest first: each may be cut down to the next."""
        return tuple(
            tuple(self.row[width, length] for length in reversed(lengths))
            for width, lengths in self.lengths_of.items()
        )

    def number_up_to(self, width: Fraction, length: Fraction) -> int:
        """How many pieces of a width are no longer than `length`."""
        return self.sums_of[width][bisect_right(self.lengths_of[width], length)]

    def strips_in(self, across: Fraction, along: Fraction) -> dict[Fraction, int]:
        """The widths worth ripping a board into, and how many of each at the most."""
        numbers = {width: self.number_up_to(width, along) for width in self.widths}
        found = {
            width: sum(number for other, number in numbers.items() if other <= width)
            for width, number in numbers.items()
        }
        return found | self._cleats_in(across, along)

    def pieces_in(self, across: Fraction, length: Fraction) -> dict[Fraction, int]:
        """The widths worth ripping a section into, and how many of each at the most."""
        return {
            width: number
            for width in self.widths
            if width <= across and (number := self.number_up_to(width, length))
        } | self._cleats_in(across, length)

    def _cleats_in(self, across: Fraction, length: Fraction) -> dict[Fraction, int]:
        if self.cleats is None or length < self.cleats.shortest:
            return {}
        return {self.cleats.width: int(across // self.cleats.width)}

    def cover(self, way: Way, length: Fraction) -> tuple[tuple[tuple[int, int], ...], bool, bool]:
        """What a section covers, and whether any and whether all of its pieces are as long
        as it is. A shorter one counts as the longest that it could be."""
        beside = Counter(way)
        cleats = 0 if self.cleats is None else beside.pop(self.cleats.width, 0)
        covers, exact = [], []
        for width, number in beside.items():
            short = self.lengths_of[width]
            longest = short[bisect_right(short, length) - 1]
            covers.append((self.row[width, longest], number))
            exact.append(longest == length)
        if self.cleats is not None and cleats:
            covers.append((len(self.pieces), cleats * int(length / self.foot)))
        return tuple(covers), any(exact) or bool(cleats), all(exact)


def rip_model(
    stocks: tuple[WideStock, ...],
    needs: tuple[WideNeed, ...],
    saws: Saws,
    cleats: Cleats | None,
) -> RipModel:
    """The problem of cutting `needs` and `cleats` out of `stocks` for the least money, each
    board with one of the first cuts that the saws allow."""
    trim, kerf = saws.crosscut.end_trim, saws.crosscut.kerf
    clear = [max(Fraction(0), s.length - 2 * trim) for s in stocks]
    lengths = sorted({n.length for n in needs}, reverse=True)
    demand = _Demand(needs, cleats, {*clear, *lengths})
    unit = length_unit([kerf, *lengths, *clear])
    every_length = sorted({*lengths, *clear} if demand.cleats else lengths, reverse=True)
    cuts: list[Cut] = []
    sections: list[Section] = []
    good_for: dict[Fraction, list[int]] = {}

    def cuts_of(width: Fraction) -> list[int]:
        """The sections that a strip of a width may be crosscut into."""
        if width in good_for:
            return good_for[width]
        good_for[width] = []
        for length in every_length:
            if demand.cleats and width == demand.cleats.width and length not in clear:
                continue  # a strip of cleats is one cleat
            for way in ways_to_rip(width, demand.pieces_in(width, length), saws.rip):
                covers, useful, exact = demand.cover(way, length)
                if useful:
                    good_for[width].append(len(cuts))
                    cuts.append(Cut(int((length + kerf) / unit), covers))
                    sections.append(Section(length, way, exact and way == (width,), exact))
        return good_for[width]

    strips: list[Strip] = []
    strip_of: dict[tuple[Fraction, Fraction], int] = {}

    def strip(along: Fraction, width: Fraction) -> int:
        if (along, width) not in strip_of:
            strip_of[along, width] = len(strips)
            strips.append(Strip(int((along + kerf) / unit), tuple(cuts_of(width))))
        return strip_of[along, width]

    rows: list[tuple[WideStock, Way]] = []
    uncut: dict[int, tuple[Fraction, Fraction]] = {}
    ways: dict[tuple[Fraction, Fraction], list[Way]] = {}
    yields: list[tuple[tuple[int, int], ...]] = []
    for stock, along in zip(stocks, clear, strict=True):
        across = clear_width(stock.width, saws.rip)
        if "rip" in saws.first:
            found = ways_to_rip(across, demand.strips_in(across, along), saws.rip)
            ways[across, along] = list(found)
            rows += [(stock, way) for way in found]
        if "crosscut" in saws.first and (across,) not in ways.get((across, along), ()):
            uncut[len(rows)] = across, along
            rows.append((stock, (across,)))
        for _, way in rows[len(yields) :]:
            made = Counter(strip(along, width) for width in way)
            yields.append(tuple(sorted(made.items())))
    money = money_unit(stock.price for stock in stocks)
    counted: dict[WideStock, list[int]] = {}
    for board, (stock, _) in enumerate(rows):
        if stock.count is not None:
            counted.setdefault(stock, []).append(board)
    ways_of = {
        strip_of[along, across]: ways.get((across, along), []) for across, along in uncut.values()
    }
    whole = {
        strip_of[along, across]
        for stock, along in zip(stocks, clear, strict=True)
        if (along, (across := clear_width(stock.width, saws.rip))) in strip_of
        and "crosscut" in saws.first
    }
    problem = Problem(
        tuple(demand.counts),
        tuple(cuts),
        tuple(strips),
        tuple(
            Board(int(stock.price / money), made)
            for (stock, _), made in zip(rows, yields, strict=True)
        ),
        tuple(Limit(tuple(boards), s.count or 0) for s, boards in counted.items()),
        demand.chains,
        _next_longer(sections, good_for),
        _ripping_does(ways_of, sections, strip_of, saws),
    )
    return RipModel(
        problem,
        money,
        demand.pieces,
        tuple(stock for stock, _ in rows),
        tuple(way for _, way in rows),
        frozenset(uncut),
        frozenset(whole),
        strip_of,
        tuple(sections),
        None if demand.cleats is None else demand.cleats.width,
    )


def _next_longer(sections: list[Section], good_for: dict[Fraction, list[int]]) -> dict[int, int]:
    """Of the sections of a strip that are ripped the same way, each with the next longer."""
    found: dict[int, int] = {}
    for cuts in good_for.values():
        last: dict[Way, int] = {}
        for cut in cuts:  # the longest first
            way = sections[cut].way
            if way in last:
                found[cut] = last[way]
            last[way] = cut
    return found


def _ripping_does(
    ways_of: dict[int, list[Way]],
    sections: list[Section],
    strip_of: dict[tuple[Fraction, Fraction], int],
    saws: Saws,
) -> Callable[[Pattern], bool]:
    """Whether narrower strips do as well as one that is ripped again: all of its sections fit
    side by side into them. Of a board that is crosscut first they must be those of one way."""
    width_of = {strip: width for (_, width), strip in strip_of.items()}

    def dominated(pattern: Pattern) -> bool:
        widest = side_by_side(sections[cut].way for cut, _ in pattern.cuts)
        if pattern.strip in ways_of:
            return any(_fits(widest, way) for way in ways_of[pattern.strip])
        width = width_of[pattern.strip]
        return widest[0] < width and sum(widest, saws.rip.kerf * (len(widest) - 1)) <= width

    return dominated


def side_by_side(ways: Iterable[Way]) -> Way:
    """The strips that hold each of some ways: the widest first pieces, the widest second ..."""
    return tuple(max(widths) for widths in zip_longest(*ways, fillvalue=Fraction(0)))


def _fits(widths: Way, way: Way) -> bool:
    """Whether strips as wide as `widths` lie in those of a way; both widest first."""
    return len(widths) <= len(way) and all(a <= b for a, b in zip(widths, way, strict=False))
