"""The rip plan's problem in whole numbers: boards ripped first, or crosscut first."""

from collections import Counter
from fractions import Fraction

from crewdesk.trade.boards.problem import Board, Cut, Limit, Problem, Strip
from crewdesk.trade.boards.rip_stock import Cleats, First, Saws, WideNeed, WideStock
from crewdesk.trade.boards.ripping import clear_width, ways_to_rip
from crewdesk.trade.boards.two_ways import TwoWays, WidePiece
from crewdesk.trade.boards.whole_units import length_unit, money_unit

Way = tuple[Fraction, ...]
_Rows = list[tuple[WideStock, Way, tuple[tuple[int, int], ...]]]


class _Wanted:
    """The demands: a row for each width and length, and one for all cleats together."""

    def __init__(
        self, needs: tuple[WideNeed, ...], cleats: Cleats | None, strips: set[Fraction]
    ) -> None:
        pieces: dict[tuple[Fraction, Fraction], list[str]] = {}
        for need in needs:
            pieces.setdefault((need.width, need.length), []).extend([need.name] * need.count)
        keys = sorted(pieces, key=lambda key: (-key[0], -key[1]))
        self.row = {key: row for row, key in enumerate(keys)}
        self.pieces = tuple(
            tuple(WidePiece(name, *key) for name in sorted(pieces[key])) for key in keys
        )
        self.demands = [len(pieces[key]) for key in keys]
        self.of_length: dict[Fraction, Counter[Fraction]] = {}
        for width, length in keys:
            self.of_length.setdefault(length, Counter())[width] = len(pieces[width, length])
        self.cleats = cleats if cleats is not None and cleats.length else None
        if self.cleats is not None:
            # Every strip's length is a whole number of these, so rounding up loses nothing.
            self.foot = length_unit(x for x in strips if x >= self.cleats.shortest)
            self.demands.append(int(-(-self.cleats.length // self.foot)))

    def cleat_cover(self, length: Fraction, number: int) -> tuple[tuple[int, int], ...]:
        """What so many cleats of a length add to the cleats' row."""
        if self.cleats is None or not number or length < self.cleats.shortest:
            return ()
        return ((len(self.pieces), number * int(length / self.foot)),)

    def most(
        self, length: Fraction | None, clear: Fraction, along: Fraction
    ) -> dict[Fraction, int]:
        """The widths worth ripping side by side: of pieces of a length, or of any up to
        `along`, and of cleats as many as there is room for."""
        found: Counter[Fraction] = Counter()
        for long, counted in self.of_length.items() if length is None else ():
            if long <= along:
                found.update(counted)
        if length is not None:
            found.update(self.of_length.get(length, ()))
        if self.cleats is not None and along >= self.cleats.shortest:
            found[self.cleats.width] += int(clear // self.cleats.width)
        return dict(found)


def rip_first(
    stocks: tuple[WideStock, ...],
    needs: tuple[WideNeed, ...],
    saws: Saws,
    cleats: Cleats | None,
) -> TwoWays:
    """Every board is ripped in one of its ways, every strip crosscut by itself."""
    trim, kerf = saws.crosscut.end_trim, saws.crosscut.kerf
    clear = [max(Fraction(0), s.length - 2 * trim) for s in stocks]
    wanted = _Wanted(needs, cleats, set(clear))
    unit = length_unit([kerf, *(n.length for n in needs), *clear])
    cuts: list[Cut] = []
    sections: list[tuple[Fraction, Way]] = []
    of_width: dict[Fraction, list[int]] = {}
    for (width, length), row in wanted.row.items():
        of_width.setdefault(width, []).append(len(cuts))
        cuts.append(Cut(int((length + kerf) / unit), ((row, 1),)))
        sections.append((length, (width,)))
    chains = tuple(tuple(rows) for rows in of_width.values())
    strips: dict[tuple[Fraction, Fraction], int] = {}
    made: list[Strip] = []

    def strip(along: Fraction, width: Fraction) -> int:
        if (along, width) not in strips:
            strips[along, width] = len(made)
            good = list(of_width.get(width, ()))
            capacity = int((along + kerf) / unit)
            cover = wanted.cleat_cover(along, 1)
            if cover and wanted.cleats is not None and width == wanted.cleats.width:
                good.append(len(cuts))
                cuts.append(Cut(capacity, cover))
                sections.append((along, (width,)))
            made.append(Strip(capacity, tuple(good)))
        return strips[along, width]

    rows: _Rows = []
    for stock, along in zip(stocks, clear, strict=True):
        across = clear_width(stock.width, saws.rip)
        for way in ways_to_rip(across, wanted.most(None, across, along), saws.rip):
            yields = Counter(strip(along, width) for width in way)
            rows.append((stock, way, tuple(sorted(yields.items()))))
    return _task("rip", wanted, cuts, made, rows, strips, sections, chains)


def crosscut_first(
    stocks: tuple[WideStock, ...],
    needs: tuple[WideNeed, ...],
    saws: Saws,
    cleats: Cleats | None,
) -> TwoWays:
    """Every board is crosscut into sections, every section ripped into pieces of one
    length and cleats; a whole board may be one section of cleats."""
    trim, kerf = saws.crosscut.end_trim, saws.crosscut.kerf
    clear = [max(Fraction(0), s.length - 2 * trim) for s in stocks]
    lengths = sorted({n.length for n in needs}, reverse=True)
    wanted = _Wanted(needs, cleats, {*clear, *lengths})
    unit = length_unit([kerf, *lengths, *clear])
    cuts: list[Cut] = []
    sections: list[tuple[Fraction, Way]] = []
    good_for: dict[Fraction, list[int]] = {}

    def sections_of(across: Fraction, length: Fraction) -> None:
        for way in ways_to_rip(across, wanted.most(length, across, length), saws.rip):
            beside = Counter(way)
            number = 0 if wanted.cleats is None else beside.pop(wanted.cleats.width, 0)
            covers = [
                (wanted.row[w, length], n) for w, n in beside.items() if (w, length) in wanted.row
            ]
            both = (*covers, *wanted.cleat_cover(length, number))
            if both:
                good_for[across].append(len(cuts))
                cuts.append(Cut(int((length + kerf) / unit), both))
                sections.append((length, way))

    made: list[Strip] = []
    strips: dict[tuple[Fraction, Fraction], int] = {}
    rows: _Rows = []
    widths = {clear_width(s.width, saws.rip) for s in stocks}
    for across in sorted(widths):
        good_for[across] = []
        whole = {
            along
            for stock, along in zip(stocks, clear, strict=True)
            if wanted.cleats is not None and clear_width(stock.width, saws.rip) == across
        }
        for length in sorted({*lengths, *whole}, reverse=True):
            sections_of(across, length)
    for stock, along in zip(stocks, clear, strict=True):
        across = clear_width(stock.width, saws.rip)
        strips[along, stock.width] = len(made)
        rows.append((stock, (), ((len(made), 1),)))
        made.append(Strip(int((along + kerf) / unit), tuple(good_for[across])))
    return _task("crosscut", wanted, cuts, made, rows, strips, sections, ())


def _task(
    first: First,
    wanted: _Wanted,
    cuts: list[Cut],
    strips: list[Strip],
    rows: _Rows,
    strip_of: dict[tuple[Fraction, Fraction], int],
    sections: list[tuple[Fraction, Way]],
    chains: tuple[tuple[int, ...], ...],
) -> TwoWays:
    money = money_unit(stock.price for stock, _, _ in rows)
    counted: dict[WideStock, list[int]] = {}
    for board, (stock, _, _) in enumerate(rows):
        if stock.count is not None:
            counted.setdefault(stock, []).append(board)
    problem = Problem(
        tuple(wanted.demands),
        tuple(cuts),
        tuple(strips),
        tuple(Board(int(stock.price / money), yields) for stock, _, yields in rows),
        tuple(Limit(tuple(boards), s.count or 0) for s, boards in counted.items()),
        chains,
    )
    return TwoWays(
        problem,
        first,
        money,
        wanted.pieces,
        tuple(stock for stock, _, _ in rows),
        tuple(way for _, way, _ in rows),
        strip_of,
        tuple(sections),
        None if wanted.cleats is None else wanted.cleats.width,
    )
