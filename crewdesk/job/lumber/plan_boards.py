"""The cheapest takeoff: matched beams by themselves, then the rest by thickness."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.lumber.board import Board, CutFrom
from crewdesk.job.lumber.plan_facts import Matching
from crewdesk.job.lumber.sources import Source
from crewdesk.job.lumber.takeoff import NOTHING, Takeoff
from crewdesk.job.lumber.task import Task, cleats_on
from crewdesk.job.lumber.to_plan import to_plan
from crewdesk.job.lumber.wanted import Wanted
from crewdesk.trade.boards.cutting_plan import Progress
from crewdesk.trade.boards.one_board import one_board_plan
from crewdesk.trade.boards.patience import Patience
from crewdesk.trade.boards.rip_plan import rip_plan
from crewdesk.trade.boards.rip_stock import Cleats, Placed, RipBoard, WideNeed, WideStock

SECONDS = 30.0
_Places = dict[str, tuple[int, Fraction]]


def solve(
    task: Task,
    *,
    seconds: float = SECONDS,
    stop: Callable[[], bool] = lambda: False,
    tell: Callable[[Progress], None] = lambda progress: None,
) -> Takeoff:
    """The cheapest takeoff; the same task gives the same one unless it was cut short.

    Raises `BadInput` as `rip_plan` and `cutting_plan`, and `NotAllowed` where the solver fails.
    """
    try:
        return _solve(task, Patience(seconds, stop), tell)
    except CrewdeskError:
        raise
    except Exception as error:
        raise NotAllowed(
            "No plan could be worked out for these boards; check the "
            "stock list and the cutting rules for a wrong size, or plan fewer beams at a time."
        ) from error


def _solve(task: Task, patience: Patience, tell: Callable[[Progress], None]) -> Takeoff:
    asked = _Plan(task, patience, tell, matched=True)
    if not any(task.rules.matched(one.beam) for one in task.open):
        return asked.takeoff(None)
    free = _Plan(task, patience, lambda progress: None, matched=False)
    price = max(NOTHING, asked.cost - free.cost)
    matching = Matching(
        price,
        min(price, max(NOTHING, asked.bound - free.cost)),
        max(price, asked.cost - free.bound),
    )
    return asked.takeoff(matching)


class _Plan:
    """All parts of one plan: matched beams by themselves, then the rest by thickness."""

    def __init__(
        self,
        task: Task,
        patience: Patience,
        tell: Callable[[Progress], None],
        *,
        matched: bool,
    ) -> None:
        self.task, self.patience, self._tell = task, patience, tell
        self.left = [one.count for one in task.sources]
        self.used: list[tuple[Source, RipBoard]] = []
        self.cost = self.bound = task.spent
        self.first_fit: Decimal | None = task.spent
        self.first_fit_waste: Fraction | None = sum((b.waste for b in task.fixed), Fraction(0))
        self.by_label = {one.label: one for one in task.open}
        apart = [one for one in task.open if matched and task.rules.matched(one.beam)]
        for thickness, pieces in self._groups(apart):
            self._one_board(thickness, pieces)
        rest = [one for one in task.open if one not in apart]
        standing = tuple(one for one in task.fixed)
        cleats = {
            c.thickness: max(Fraction(0), c.length - cleats_on(standing, c.thickness))
            for c in task.cleats
        }
        thick = sorted(
            {one.thickness for one in rest} | {t for t, length in cleats.items() if length}
        )
        for thickness in thick:
            wanted = [one for one in rest if one.thickness == thickness]
            self._rip(thickness, wanted, cleats.get(thickness, Fraction(0)))

    def _told(self) -> Callable[[Progress], None]:
        cost, bound = self.cost, self.bound
        return lambda one: self._tell(Progress(cost + one.cost, bound + one.bound))

    def _groups(self, apart: list[Wanted]) -> list[tuple[Fraction, list[Wanted]]]:
        """Matched pieces by their thickness, which is one for all of a beam."""
        thick: dict[str, Fraction] = {}
        for one in apart:
            if one.thickness != thick.setdefault(one.beam, one.thickness):
                raise NotAllowed(
                    f"{one.label} is not as thick as the other boards of its beam, so they can't "
                    "come from one board; leave that beam out of the matched ones."
                )
        found: dict[Fraction, list[Wanted]] = {}
        for one in apart:
            found.setdefault(one.thickness, []).append(one)
        return sorted(found.items(), reverse=True)

    def _stocks(self, thickness: Fraction) -> tuple[tuple[WideStock, ...], _Places]:
        """The boards of a thickness that are left, what is there stretch by stretch, and of
        which source each is and how far along it begins."""
        saw, found, places = self.task.saws.crosscut, [], {}
        for place, one in enumerate(self.task.sources):
            if one.thickness != thickness or self.left[place] == 0:
                continue
            for number, stretch in enumerate(one.stretches(saw)):
                name = f"{place}.{number}"
                places[name] = (place, stretch.start - saw.end_trim)
                length = stretch.length + 2 * saw.end_trim
                found.append(WideStock(name, one.width, length, one.price, self.left[place]))
        return tuple(found), places

    def _one_board(self, thickness: Fraction, pieces: list[Wanted]) -> None:
        """Boards of matched beams, each beam's pieces from one clear stretch."""
        stocks, places = self._stocks(thickness)
        beams: dict[str, list[WideNeed]] = {}
        for one in pieces:
            beams.setdefault(one.beam, []).append(to_plan(one, stocks, self.task.saws))
        plan = one_board_plan(
            stocks,
            tuple(tuple(every) for every in beams.values()),
            self.task.saws,
            seconds=self.patience.left(),
            stop=self.patience.stop,
            tell=self._told(),
        )
        self._use(plan.boards, places)
        for board in plan.boards:
            place, _ = places[board.stock]
            if (count := self.left[place]) is not None:
                self.left[place] = max(0, count - 1)
        few = any(self.task.sources[places[b.stock][0]].count is not None for b in plan.boards)
        self._add(plan.cost, NOTHING if few else plan.bound, plan.first_fit, plan.first_fit_waste)

    def _rip(self, thickness: Fraction, wanted: list[Wanted], cleats: Fraction) -> None:
        """Boards of one thickness."""
        task = self.task
        stocks, places = self._stocks(thickness)
        plan = rip_plan(
            stocks,
            tuple(to_plan(one, stocks, task.saws) for one in wanted),
            task.saws,
            Cleats(task.rules.cleat, cleats, task.rules.cleat_shortest) if cleats else None,
            seconds=self.patience.left(),
            stop=self.patience.stop,
            tell=self._told(),
        )
        self._add(plan.cost, plan.bound, plan.first_fit, plan.first_fit_waste)
        self._use(plan.boards, places)

    def _use(self, boards: Iterable[RipBoard], places: _Places) -> None:
        """Take boards into the plan, the stretches of one that is there as one board."""
        there: dict[int, RipBoard] = {}
        for board in boards:
            place, along = places[board.stock]
            source = self.task.sources[place]
            moved = replace(
                board,
                length=source.length,
                pieces=tuple(_moved(one, along) for one in board.pieces),
                cleats=tuple(_moved(one, along) for one in board.cleats),
            )
            if not source.there:
                self.used.append((source, moved))
            elif place in there:
                before = there[place]
                there[place] = replace(
                    before,
                    first="rip" if "rip" in (before.first, moved.first) else "crosscut",
                    pieces=before.pieces + moved.pieces,
                    cleats=before.cleats + moved.cleats,
                )
            else:
                there[place] = moved
        self.used += [(self.task.sources[place], board) for place, board in there.items()]

    def _add(
        self, cost: Decimal, bound: Decimal, first_fit: Decimal | None, waste: Fraction | None
    ) -> None:
        self.cost += cost
        self.bound += bound
        for name, value in (("first_fit", first_fit), ("first_fit_waste", waste)):
            so_far = getattr(self, name)
            setattr(self, name, None if value is None or so_far is None else so_far + value)

    def takeoff(self, matching: Matching | None) -> Takeoff:
        """The plan with its boards numbered on from those that stand."""
        task = self.task
        standing = {one.row: one for one in task.bought}
        boards: list[Board] = list(task.fixed)
        new: list[Board] = []
        for source, ripped in self.used:
            made = self._board(source, ripped)
            if source.row:
                boards.append(replace(made, price=standing.pop(source.row).price))
            else:
                new.append(made)
        boards += [replace(one, pieces=(), cleats=()) for one in standing.values()]
        first = 1 + max((int(one.row) for one in boards), default=0)
        new.sort(key=lambda b: (not b.hand, -b.width, b.label, -b.length))
        boards += [replace(one, row=str(first + place)) for place, one in enumerate(new)]
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
        )

    def _board(self, source: Source, ripped: RipBoard) -> Board:
        pieces = []
        for one in sorted(ripped.pieces, key=lambda p: (p.near, p.start)):
            wanted = self.by_label[one.name]
            # Its own size, not that which it was planned with.
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
            "bought" if source.there else "to buy",
            ripped.first,
            tuple(pieces),
            ripped.cleats,
            source.bad,
            source.hand,
        )


def _moved(one: Placed, along: Fraction) -> Placed:
    return replace(one, start=one.start + along, end=one.end + along)
