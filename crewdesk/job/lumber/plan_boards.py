"""The cheapest takeoff: matched beams each alone, then the rest by thickness."""

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.lumber.blanks import Wanted
from crewdesk.job.lumber.takeoff import NOTHING, Board, CutFrom, Matching, Takeoff
from crewdesk.job.lumber.task import Source, Task, cleats_on
from crewdesk.length import SIXTY_FOURTH, rounded_up
from crewdesk.trade.boards.cutting_plan import CuttingPlan, Progress, cutting_plan
from crewdesk.trade.boards.one_board import one_board_plan
from crewdesk.trade.boards.problem import TimeLimit
from crewdesk.trade.boards.stock import Cleats, CutBoard, Need, Saws, Stock

SECONDS = 30.0
_GRID = 64 * 127 * 25
"""The planner's grid: 1/64 in, 1/100 in and 0.1 mm are whole numbers of 1/this in. Lengths whose
only common unit is tiny would give numbers too large for the solver."""


def to_plan(one: Wanted, stocks: Iterable[Stock], saws: Saws) -> Need:
    """Return a piece for the planner, never smaller than it is.

    A width or length that is on the grid stays; another is rounded up to 1/64 in, but not past
    what a stock board that holds it gives.
    """
    widths = [saws.clear_width(stock.width) for stock in stocks]
    lengths = [
        stretch.length
        for stock in stocks
        for stretch in saws.clear_stretches(stock.length, stock.bad)
    ]
    return Need(one.label, _on_grid(one.width, widths), _on_grid(one.length, lengths))


def _on_grid(size: Fraction, clear: Iterable[Fraction]) -> Fraction:
    if _GRID % size.denominator == 0:
        return size
    holding = [most for most in clear if most >= size]
    return min([rounded_up(size, SIXTY_FOURTH), *holding])


def solve(
    task: Task,
    *,
    seconds: float = SECONDS,
    stop: Callable[[], bool] = lambda: False,
    tell: Callable[[Progress], None] = lambda progress: None,
) -> Takeoff:
    """Return the cheapest takeoff; the same task gives the same one unless it was stopped early.

    Raises `BadInput` as `cutting_plan` and `one_board_plan`, and `NotAllowed` if the solver fails.
    """
    try:
        return _solve(task, TimeLimit(seconds, stop), tell)
    except CrewdeskError:
        raise
    except Exception as error:
        raise NotAllowed(
            "These boards can't be planned. Check the stock list and the cutting rules "
            "for a wrong size, or plan fewer beams at a time."
        ) from error


def _solve(task: Task, limit: TimeLimit, tell: Callable[[Progress], None]) -> Takeoff:
    asked = _Plan(task, limit, tell, matched=True)
    if not any(task.rules.matched(one.beam) for one in task.open):
        return asked.takeoff(None)
    free = _Plan(task, limit, lambda progress: None, matched=False)
    price = max(NOTHING, asked.cost - free.cost)
    matching = Matching(
        price,
        min(price, max(NOTHING, asked.bound - free.cost)),
        max(price, asked.cost - free.bound),
    )
    return asked.takeoff(matching)


class _Plan:
    """All parts of one plan: matched beams each alone, then the rest by thickness."""

    def __init__(
        self, task: Task, limit: TimeLimit, tell: Callable[[Progress], None], *, matched: bool
    ) -> None:
        self.task, self.limit, self._tell = task, limit, tell
        self.sources = list(task.sources)
        self.boards: list[CutBoard] = []
        self.cost = self.bound = task.spent
        self.first_fit: Decimal | None = task.spent
        self.first_fit_waste: Fraction | None = sum((b.waste for b in task.fixed), Fraction(0))
        self.by_label = {one.label: one for one in task.open}
        apart = [one for one in task.open if matched and task.rules.matched(one.beam)]
        for thickness, pieces in self._groups(apart):
            self._one_board(thickness, pieces)
        rest = [one for one in task.open if one not in apart]
        cleats = {
            c.thickness: max(Fraction(0), c.length - cleats_on(task.fixed, c.thickness))
            for c in task.cleats
        }
        thick = {one.thickness for one in rest} | {t for t, length in cleats.items() if length}
        for thickness in sorted(thick):
            wanted = [one for one in rest if one.thickness == thickness]
            self._rip(thickness, wanted, cleats.get(thickness, Fraction(0)))

    def _progress(self) -> Callable[[Progress], None]:
        cost, bound = self.cost, self.bound
        return lambda one: self._tell(Progress(cost + one.cost, bound + one.bound))

    def _groups(self, apart: list[Wanted]) -> list[tuple[Fraction, list[Wanted]]]:
        """Return matched pieces by thickness, which is one for all of a beam."""
        thick: dict[str, Fraction] = {}
        found: dict[Fraction, list[Wanted]] = {}
        for one in apart:
            if one.thickness != thick.setdefault(one.beam, one.thickness):
                raise NotAllowed(
                    f"{one.label} isn't as thick as the other boards of its beam, so "
                    "they can't come from one board. Leave that beam out of the "
                    "matched ones."
                )
            found.setdefault(one.thickness, []).append(one)
        return sorted(found.items(), reverse=True)

    def _stocks(self, thickness: Fraction) -> tuple[Source, ...]:
        """Return the unused boards of a thickness."""
        return tuple(one for one in self.sources if one.thickness == thickness)

    def _one_board(self, thickness: Fraction, pieces: list[Wanted]) -> None:
        """Boards of matched beams, each beam's pieces from one clear stretch."""
        stocks = self._stocks(thickness)
        beams: dict[str, list[Need]] = {}
        for one in pieces:
            beams.setdefault(one.beam, []).append(to_plan(one, stocks, self.task.saws))
        plan = one_board_plan(
            stocks,
            tuple(tuple(every) for every in beams.values()),
            self.task.saws,
            limit=self.limit,
            tell=self._progress(),
        )
        few = any(board.stock.most is not None for board in plan.boards)
        self._add(replace(plan, bound=NOTHING) if few else plan)
        used = Counter(id(board.stock) for board in plan.boards)
        self.sources = [
            one if one.most is None else replace(one, count=one.most - used[id(one)])
            for one in self.sources
            if one.most is None or used[id(one)] < one.most
        ]

    def _rip(self, thickness: Fraction, wanted: list[Wanted], cleats: Fraction) -> None:
        """Boards of one thickness."""
        rules, stocks = self.task.rules, self._stocks(thickness)
        plan = cutting_plan(
            stocks,
            tuple(to_plan(one, stocks, self.task.saws) for one in wanted),
            self.task.saws,
            Cleats(rules.cleat, cleats, rules.cleat_shortest) if cleats else None,
            limit=self.limit,
            tell=self._progress(),
        )
        self._add(plan)

    def _add(self, plan: CuttingPlan) -> None:
        self.boards += plan.boards
        self.cost += plan.cost
        self.bound += plan.bound
        if self.first_fit is None or plan.first_fit is None or plan.first_fit_waste is None:
            self.first_fit = self.first_fit_waste = None
        elif self.first_fit_waste is not None:
            self.first_fit += plan.first_fit
            self.first_fit_waste += plan.first_fit_waste

    def takeoff(self, matching: Matching | None) -> Takeoff:
        """Return the plan, its new boards numbered after the fixed ones."""
        task = self.task
        standing = {one.row: one for one in task.bought}
        boards: list[Board] = list(task.fixed)
        new: list[Board] = []
        for cut in self.boards:
            made = self._board(cut)
            if made.row:
                boards.append(made._replace(price=standing.pop(made.row).price))
            else:
                new.append(made)
        boards += [one._replace(pieces=(), cleats=()) for one in standing.values()]
        first = 1 + max((int(one.row) for one in boards), default=0)
        new.sort(key=lambda b: (not b.hand, -b.width, b.label, -b.length))
        boards += [one._replace(row=str(first + place)) for place, one in enumerate(new)]
        boards.sort(key=lambda b: int(b.row))
        wanted = sum((one.length for one in task.cleats), Fraction(0))
        return Takeoff(
            tuple(boards),
            self.cost,
            min(self.cost, self.bound),
            self.first_fit,
            self.first_fit_waste,
            wanted,
            matching,
            task.rules.saws,
            unmeasured=task.unmeasured,
        )

    def _board(self, cut: CutBoard) -> Board:
        source = cut.stock
        assert isinstance(source, Source)
        pieces = []
        for one in sorted(cut.pieces, key=lambda p: (p.near, p.start)):
            wanted = self.by_label[one.name]
            # Its own size, not the planned one.
            end, far = one.start + wanted.length, one.near + wanted.width
            pieces.append(CutFrom(*wanted.key, one.start, end, one.near, far))
        return Board(
            source.row,
            source.species,
            source.grade,
            source.size,
            source.thickness,
            source.width,
            source.length,
            source.price,
            "bought" if source.on_hand else "to buy",
            cut.first,
            tuple(pieces),
            cut.cleats,
            source.bad,
            source.hand,
        )
