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
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate

from crewdesk.trade.boards.problem import (
    CLEAT,
    Board,
    Clear,
    Cut,
    Limit,
    Model,
    Part,
    Problem,
    Section,
    Strip,
    Way,
    length_unit,
    money_unit,
)
from crewdesk.trade.boards.stock import Cleats, Need, Saws


def ways_to_rip(clear: Fraction, most: dict[Fraction, int], kerf: Fraction) -> tuple[Way, ...]:
    """Return all fullest sets of widths side by side in a clear width, widest first.

    No more than `most` of each; fullest, since an extra strip does no harm.
    """
    fit = {w: min(most[w], int((clear + kerf) // (w + kerf))) for w in most}
    return _fullest(clear, tuple(sorted(fit.items(), reverse=True)), kerf)


@lru_cache(maxsize=512)
def _fullest(
    clear: Fraction, most: tuple[tuple[Fraction, int], ...], kerf: Fraction
) -> tuple[Way, ...]:
    found: list[Way] = []

    def add(k: int, room: Fraction, chosen: Way) -> None:
        if k == len(most):
            free = [w for w, number in most if w <= room and chosen.count(w) < number]
            if chosen and not free:
                found.append(chosen)
            return
        width, as_many = most[k]
        for number in range(as_many, -1, -1):
            after = room - number * (width + kerf)
            if after >= -kerf:
                add(k + 1, after, chosen + (width,) * number)

    add(0, clear, ())
    return tuple(found)


class _Demand:
    """The demands: a row for each width and length, and one for all cleats together."""

    def __init__(
        self, needs: tuple[Need, ...], cleats: Cleats | None, lengths: Iterable[Fraction]
    ) -> None:
        pieces: dict[tuple[Fraction, Fraction], list[str]] = {}
        for need in needs:
            pieces.setdefault((need.width, need.length), []).extend([need.name] * need.count)
        keys = sorted(pieces, key=lambda key: (-key[0], -key[1]))
        self.row = {key: row for row, key in enumerate(keys)}
        self.pieces = tuple(tuple(Need(name, *key) for name in sorted(pieces[key])) for key in keys)
        self.counts = [len(pieces[key]) for key in keys]
        self.names = [pieces[key][0] for key in keys]
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
            self.names.append(CLEAT)

    @property
    def chains(self) -> tuple[tuple[int, ...], ...]:
        """Return the rows of each width, longest first: each may be cut down to the next."""
        return tuple(
            tuple(self.row[width, length] for length in reversed(lengths))
            for width, lengths in self.lengths_of.items()
        )

    def in_section(self, across: Fraction, length: Fraction) -> dict[Fraction, int]:
        """Return the widths worth ripping a section into, and the most of each."""
        found = {
            width: number
            for width in self.widths
            if width <= across
            and (number := self.sums_of[width][bisect_right(self.lengths_of[width], length)])
        }
        if self.cleats is not None and length >= self.cleats.shortest:
            found[self.cleats.width] = int(across // self.cleats.width)
        return found

    def in_board(self, across: Fraction, along: Fraction) -> dict[Fraction, int]:
        """Return the widths worth ripping a board into, and the most of each: a piece may come from
        any wider strip."""
        found = self.in_section(across, along)
        pieces = {width: number for width, number in found.items() if width in self.lengths_of}
        return found | {
            width: sum(number for other, number in pieces.items() if other <= width)
            for width in pieces
        }

    def cover(self, way: Way, length: Fraction) -> tuple[tuple[tuple[int, int], ...], bool, bool]:
        """Return the demands a section covers, and whether any and whether all of its pieces are as
        long as it. A shorter one counts as the longest that it could be."""
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


@dataclass(frozen=True)
class _Cross:
    """The result of one crosscut of a strip: `length` inches, ripped into a `way`. `plain`: one
    piece that needs no trimming, or a cleat. `exact`: none of its pieces needs trimming to its
    length."""

    length: Fraction
    way: Way
    plain: bool
    exact: bool


class _Work:
    """The problem under construction."""

    def __init__(
        self, wood: tuple[Clear, ...], needs: tuple[Need, ...], saws: Saws, cleats: Cleats | None
    ) -> None:
        self.saws = saws
        clear = {one.stretch.length for one in wood}
        lengths = {need.length for need in needs}
        self.demand = _Demand(needs, cleats, clear | lengths)
        self.cleat = None if self.demand.cleats is None else self.demand.cleats.width
        self.unit = length_unit([saws.kerf, *lengths, *clear])
        self.lengths = sorted(lengths | clear if self.cleat else lengths, reverse=True)
        self.cuts: list[Cut] = []
        self.cross: list[_Cross] = []
        self.good_for: dict[tuple[Fraction, Fraction], list[int]] = {}
        self.strips: list[Strip] = []
        self.strip_of: dict[tuple[Fraction, Fraction], int] = {}

    def strip(self, along: Fraction, width: Fraction) -> int:
        """Return the strip of a length and width."""
        if (along, width) not in self.strip_of:
            self.strip_of[along, width] = len(self.strips)
            size = int((along + self.saws.kerf) / self.unit)
            self.strips.append(Strip(size, tuple(self._cuts_of(along, width))))
        return self.strip_of[along, width]

    def _cuts_of(self, along: Fraction, width: Fraction) -> list[int]:
        """Return the sections that a strip may be crosscut into; a strip of cleats is one cleat."""
        key = (width, along if width == self.cleat else Fraction(0))
        if key not in self.good_for:
            lengths = [along] if width == self.cleat else self.lengths
            self.good_for[key] = [cut for length in lengths for cut in self._cut(length, width)]
        return self.good_for[key]

    def _cut(self, length: Fraction, width: Fraction) -> Iterable[int]:
        for way in ways_to_rip(width, self.demand.in_section(width, length), self.saws.rip_kerf):
            covers, useful, exact = self.demand.cover(way, length)
            if useful:
                self.cuts.append(Cut(int((length + self.saws.kerf) / self.unit), covers))
                self.cross.append(_Cross(length, way, exact and way == (width,), exact))
                yield len(self.cuts) - 1

    def only(self, problem: Problem, wanted: set[int], good: Callable[[_Cross], bool]) -> Problem:
        """Return the problem with only some of its strips and cuts."""
        strips = tuple(
            Strip(
                strip.capacity,
                tuple(c for c in strip.cuts if number in wanted and good(self.cross[c])),
            )
            for number, strip in enumerate(problem.strips)
        )
        return replace(problem, strips=strips)

    def sections(self, cut: int, pieces: list[Need]) -> list[Section]:
        """Return a cut's result with some pieces; a width that none needs is left out."""
        cross, left = self.cross[cut], list(pieces)
        parts: list[Part] = []
        for width in cross.way:
            if width == self.cleat:
                parts.append((width, None))
            elif (piece := next((p for p in left if p.width == width), None)) is not None:
                left.remove(piece)
                parts.append((width, piece))
        return [(cross.length, parts)] if parts else []


def next_longer(work: _Work) -> dict[int, int]:
    """Return, for the sections of a strip that are ripped the same way, the next longer one of
    each."""
    found: dict[int, int] = {}
    for cuts in work.good_for.values():
        last: dict[Way, int] = {}
        for cut in cuts:  # the longest first
            way = work.cross[cut].way
            if way in last:
                found[cut] = last[way]
            last[way] = cut
    return found


def rip_model(
    wood: tuple[Clear, ...], needs: tuple[Need, ...], saws: Saws, cleats: Cleats | None
) -> Model:
    """Return the problem of cutting `needs` and `cleats` from `wood` for the least money, each
    board with one of the first cuts that the saws allow."""
    work = _Work(wood, needs, saws, cleats)
    rows: list[tuple[Clear, Way]] = []
    limits: list[Limit] = []
    uncut: set[int] = set()
    for one in wood:
        along, across = one.stretch.length, saws.clear_width(one.stock.width)
        first = len(rows)
        ways: tuple[Way, ...] = ()
        if "rip" in saws.first:
            ways = ways_to_rip(across, work.demand.in_board(across, along), saws.rip_kerf)
        rows += [(one, way) for way in ways]
        # Listing a board twice would slow the solver.
        if "crosscut" in saws.first and (across,) not in ways:
            uncut.add(len(rows))
            rows.append((one, (across,)))
        if one.stock.most is not None and len(rows) > first:
            limits.append(Limit(tuple(range(first, len(rows))), one.stock.most))
    strips = tuple(
        tuple((work.strip(one.stretch.length, width), width) for width in way) for one, way in rows
    )
    money = money_unit(one.stock.price for one in wood)
    boards = tuple(
        Board(int(one.stock.price / money), tuple(sorted(Counter(s for s, _ in some).items())))
        for (one, _), some in zip(rows, strips, strict=True)
    )
    problem = Problem(
        tuple(work.demand.counts),
        tuple(work.cuts),
        tuple(work.strips),
        boards,
        tuple(limits),
        work.demand.chains,
        next_longer(work),
    )
    whole = {
        some[0][0]
        for (one, way), some in zip(rows, strips, strict=True)
        if "crosscut" in saws.first and way == (saws.clear_width(one.stock.width),)
    }
    ripped = {strip for n, some in enumerate(strips) if n not in uncut for strip, _ in some}
    by_eye = []
    if whole:
        by_eye.append(work.only(problem, whole, lambda one: one.exact))
    if ripped:
        by_eye.append(work.only(problem, ripped, lambda one: one.plain))
    return Model(
        problem,
        money,
        tuple(by_eye),
        tuple(one for one, _ in rows),
        strips,
        frozenset(uncut),
        work.demand.pieces,
        tuple(work.demand.names),
        work.sections,
    )
