"""The cutting plan: which boards to use and how to cut them, for the least money.

Each board is ripped first or crosscut first, as the saws allow; `rip_model` says what may then be
cut from it, and so which plans the proof covers. The plan to compare with is first fit decreasing,
as by eye: the longest pieces first.
"""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.trade.boards.problem import (
    Board,
    Clear,
    Layout,
    Model,
    Pattern,
    Problem,
    TimeLimit,
    clear_wood,
    lay_out,
)
from crewdesk.trade.boards.rip_model import rip_model
from crewdesk.trade.boards.stock import NONE, Cleats, CutBoard, Need, Saws, Stock


@dataclass
class _Open:
    """A strip that is being cut."""

    strip: int
    left: int
    cuts: Counter[int] = field(default_factory=Counter)


def first_fit(problem: Problem) -> Layout | None:
    """Return the cheaper of two such plans, or None if both run out of boards.

    Each piece goes on the first open strip that has room; if there is none, a board is opened: the
    cheapest that holds the piece, or the cheapest for its length. At the end each board gives way
    to the cheapest that holds its pieces.
    """
    price = [float(board.price) for board in problem.boards]
    holds = [
        sum(n * problem.strips[s].capacity for s, n in board.strips) for board in problem.boards
    ]
    by_length = [each / max(1, room) for each, room in zip(price, holds, strict=True)]
    plans = [_Fit(problem, worth).layout() for worth in (price, by_length)]
    return min((p for p in plans if p), key=lambda p: p.cost(problem), default=None)


class _Fit:
    """First fit: boards are opened in the order of their `worth`, the least first."""

    def __init__(self, problem: Problem, worth: list[float]) -> None:
        self.problem = problem
        self.order = sorted(range(len(problem.boards)), key=lambda b: (worth[b], b))
        self.cheapest_first = sorted(self.order, key=lambda b: (problem.boards[b].price, b))
        self.used: Counter[int] = Counter()
        self.opened: list[tuple[int, list[_Open]]] = []

    def layout(self) -> Layout | None:
        """Return the plan; or None if it runs out of boards."""
        problem, wanted = self.problem, list(self.problem.demands)
        strips: list[_Open] = []
        cuts = {cut for strip in problem.strips for cut in strip.cuts}
        for cut in sorted(cuts, key=self._longest_first):
            one = problem.cuts[cut]
            at = 0  # a strip without room for this cut has none for an equal one
            while any(wanted[row] > 0 for row, _ in one.covers):
                while at < len(strips) and not self._fits(strips[at], cut):
                    at += 1
                if at == len(strips):
                    if (board := self._board_for(cut)) is None:
                        break
                    self.used[board] += 1
                    new = [
                        _Open(strip, problem.strips[strip].capacity)
                        for strip, number in problem.boards[board].strips
                        for _ in range(number)
                    ]
                    self.opened.append((board, new))
                    strips += new
                    continue
                strips[at].left -= one.size
                strips[at].cuts[cut] += 1
                for row, times in one.covers:
                    wanted[row] -= times
        if any(w > 0 for w in wanted):
            return None
        boards: Counter[int] = Counter()
        patterns: Counter[Pattern] = Counter()
        for board, opened in self.opened:
            number, held = self._cheapest(board, opened)
            boards[number] += 1
            patterns.update(Pattern(h.strip, tuple(sorted(h.cuts.items()))) for h in held if h.cuts)
        every = tuple(boards[number] for number in range(len(problem.boards)))
        return Layout(every, tuple(sorted(patterns.items())))

    def _longest_first(self, cut: int) -> tuple[bool, int, int]:
        """Return pieces longest first, then those counted by length."""
        one = self.problem.cuts[cut]
        return max(times for _, times in one.covers) > 1, -one.size, cut

    def _board_for(self, cut: int) -> int | None:
        size, suits = self.problem.cuts[cut].size, self.problem.suits
        strips, boards = self.problem.strips, self.problem.boards
        for board in self.order:
            if self._may(board) and any(
                size <= strips[s].capacity and cut in suits[s] for s, _ in boards[board].strips
            ):
                return board
        return None

    def _may(self, board: int) -> bool:
        """Return whether there is one more of a board."""
        if (number := self.problem.limit_of.get(board)) is None:
            return True
        limit = self.problem.limits[number]
        return sum(self.used[b] for b in limit.boards) < limit.most

    def _fits(self, strip: _Open, cut: int) -> bool:
        return self.problem.cuts[cut].size <= strip.left and cut in self.problem.suits[strip.strip]

    def _cheapest(self, board: int, held: list[_Open]) -> tuple[int, list[_Open]]:
        """Return the board, replaced by a cheaper one of one strip if that holds the same cuts."""
        problem, cuts = self.problem, held[0].cuts
        need = sum(problem.cuts[c].size * n for c, n in cuts.items())
        for other in self.cheapest_first:
            one = problem.boards[other]
            if len(held) > 1 or one.price >= problem.boards[board].price:
                break
            strip, number = one.strips[0]
            if (
                (number, len(one.strips)) == (1, 1)
                and problem.strips[strip].capacity >= need
                and self._may(other)
                and problem.suits[strip].issuperset(cuts)
            ):
                self.used[board] -= 1
                self.used[other] += 1
                return other, [_Open(strip, 0, cuts)]
        return board, held


MOST_PIECES = 5_000
"""The most pieces; more are treated as a typo."""
PLAIN_SHARE = 1 / 3
"""The share of the time for plans cut as by eye."""


@dataclass(frozen=True)
class Progress:
    """A plan's progress: its cost, and the lower bound of any plan's cost."""

    cost: Decimal
    bound: Decimal


@dataclass(frozen=True)
class CuttingPlan:
    """The boards, what they cost, and the lower bound of any plan of the same cuts.

    `first_fit` is what cutting by eye would cost, longest pieces first, or None if that runs out of
    boards; `first_fit_waste` is that plan's waste in inches of board.
    """

    boards: tuple[CutBoard, ...]
    cost: Decimal
    bound: Decimal
    first_fit: Decimal | None = None
    first_fit_waste: Fraction | None = None

    @property
    def optimal(self) -> bool:
        """Whether it is proven that no plan of the same cuts costs less."""
        return self.bound >= self.cost

    @property
    def gap(self) -> Decimal:
        """The most by which a cheaper plan could undercut this one."""
        return max(Decimal(0), self.cost - self.bound)

    @property
    def waste(self) -> Fraction:
        """Inches of all these boards that become neither piece nor cleat."""
        return _waste(self.boards)


Tell = Callable[[Progress], None]


def cutting_plan(
    stocks: tuple[Stock, ...],
    needs: tuple[Need, ...],
    saws: Saws,
    cleats: Cleats | None = None,
    *,
    limit: TimeLimit | None = None,
    tell: Tell = lambda progress: None,
) -> CuttingPlan:
    """Return the cheapest plan; the same input gives the same plan unless time runs out.

    Cleats are counted by their length: butted, each strip of cutoff covers its own length.
    At the end of the time limit it is the best plan so far, and `bound` says how much cheaper
    another might be. `tell` hears of each better plan or bound.

    Raises `BadInput` if boards run out with how many `more` are proven to be needed.
    """
    if not needs and (cleats is None or cleats.length == 0):
        raise BadInput("There is no piece to cut. Add at least one.")
    if not stocks:
        raise BadInput("There is no board to cut from. Add at least one length you can buy.")
    count = sum(need.count for need in needs)
    if count > MOST_PIECES:
        raise BadInput(
            "{count} pieces are too many for one plan; the limit is {limit}.",
            count=count,
            limit=MOST_PIECES,
        )
    wood = clear_wood(stocks, saws)
    _refuse_too_big(wood, needs, saws, cleats)
    model = rip_model(wood, needs, saws, cleats)
    wanted = NONE if cleats is None else cleats.length
    return cheapest_plan(model, saws, wanted, limit or TimeLimit(), tell)


def cheapest_plan(
    model: Model, saws: Saws, cleats: Fraction, limit: TimeLimit, tell: Tell
) -> CuttingPlan:
    """Return the cheapest plan of a model, with at most `cleats` inches of cleats.

    Raises `BadInput` if boards run out.
    """
    problem, money = model.problem, model.money
    fits = [found for one in model.by_eye if (found := first_fit(one)) is not None]
    by_eye = min(fits, key=lambda one: one.cost(problem), default=None)

    from crewdesk.trade.boards.cheapest import cheapest

    start = by_eye or _any_layout(model, limit)
    if model.by_eye[-1].strips != problem.strips:
        # The cheapest plain plan is found fast, and often no other is cheaper.
        some = TimeLimit(limit.left() * PLAIN_SHARE, limit.stop)
        start, _ = cheapest(
            model.by_eye[-1],
            start,
            some,
            lambda cost, _: tell(Progress(cost * money, Decimal(0))),
        )
    layout, low = cheapest(
        problem, start, limit, lambda cost, bound: tell(Progress(cost * money, bound * money))
    )
    boards = lay_out(model, layout, saws, cleats)
    cost = _cost(boards)
    bound = min(cost, low * money + 0 * cost)  # as many decimals as the cost has
    if by_eye is None:
        return CuttingPlan(boards, cost, bound)
    eye = lay_out(model, by_eye, saws, cleats)
    return CuttingPlan(boards, cost, bound, _cost(eye), _waste(eye))


def _cost(boards: tuple[CutBoard, ...]) -> Decimal:
    return sum((board.stock.price for board in boards), Decimal(0))


def _waste(boards: tuple[CutBoard, ...]) -> Fraction:
    return sum((board.waste for board in boards), NONE)


def _refuse_too_big(
    wood: tuple[Clear, ...], needs: tuple[Need, ...], saws: Saws, cleats: Cleats | None
) -> None:
    wanted = [(need.name, need.width, need.length) for need in needs]
    if cleats is not None and cleats.length:
        wanted.append(("cleat", cleats.width, max(cleats.shortest, Fraction(1, 64))))
        if same := [need for need in needs if need.width == cleats.width]:
            raise BadInput(
                "The piece {piece} is {width} in wide, like the cleats. Count its feet as cleats.",
                piece=same[0].name,
                width=same[0].width,
            )
    clear = [(saws.clear_width(one.stock.width), one.stretch.length) for one in wood]
    widest = max((across for across, _ in clear), default=NONE)
    for name, width, length in sorted(wanted, key=lambda w: (-w[2], -w[1], w[0])):
        if clear and width > widest:
            raise BadInput(
                "The piece {piece} is {width} in wide and the widest clear board gives {widest} "
                "in; a wider board or less edge trim would help.",
                piece=name,
                width=width,
                widest=widest,
            )
        longest = max((along for across, along in clear if across >= width), default=NONE)
        if length > longest:
            raise BadInput(
                "The piece {piece} is {length} in long, and the longest clear board "
                "gives {longest} in. Use a longer board, less end trim or a splice.",
                piece=name,
                length=length,
                longest=longest,
            )


def _any_layout(model: Model, limit: TimeLimit) -> Layout:
    """Return a layout that respects the counts of boards, found as the one with the fewest extra
    boards.

    Raises `BadInput` with how many are missing.
    """
    from crewdesk.trade.boards.cheapest import cheapest

    problem = model.problem
    strips = list(problem.strips)
    boards = [replace(board, price=0) for board in problem.boards]
    for board in problem.boards:
        copies = []
        for strip, number in board.strips:
            copies.append((len(strips), number))
            strips.append(problem.strips[strip])
        boards.append(Board(1, tuple(copies)))
    helped = replace(problem, strips=tuple(strips), boards=tuple(boards))
    start = first_fit(helped)
    assert start is not None, "the number of extra boards has no end"
    layout, low = cheapest(helped, start, limit, lambda cost, bound: None)
    own = len(problem.boards)
    missing = sum(layout.boards[own:])
    if not missing:
        return Layout(layout.boards[:own], layout.patterns)
    if not low:
        raise BadInput(
            "No plan from the boards on hand was found in the time given. Allow more "
            "time, or add {more} more boards.",
            more=missing,
        )
    row = next(
        problem.cuts[pattern.cuts[0][0]].covers[0][0]
        for pattern, _ in layout.patterns
        if pattern.strip >= len(problem.strips)
    )
    raise BadInput(
        "There are too few boards for the piece {piece} and the rest. Add at least "
        "{more} more of {length} in.",
        piece=model.names[row],
        more=low,
        length=max(one.stock.length for one in model.wood),
    )
