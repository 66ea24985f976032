"""The cutting plan: which boards to use and how to cut them, for the least money.

Each board is ripped first or crosscut first, as the saws allow; `rip_model` says what may then
be cut from it, and so which plans the cheapest one is proven to be the cheapest of.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.trade.boards.first_fit import first_fit
from crewdesk.trade.boards.layout import Clear, Model, clear_wood, lay_out
from crewdesk.trade.boards.problem import Board, Layout, TimeLimit
from crewdesk.trade.boards.rip_model import rip_model
from crewdesk.trade.boards.stock import NONE, Cleats, CutBoard, Need, Saws, Stock

MOST_PIECES = 5_000
"""More pieces than this are taken for a slip of the finger."""
PLAIN_SHARE = 1 / 3
"""The share of the time for plans that are cut as one cuts by eye."""


@dataclass(frozen=True)
class Progress:
    """How far a plan has come: its cost, and the cost that no plan can be below."""

    cost: Decimal
    bound: Decimal


@dataclass(frozen=True)
class CuttingPlan:
    """The boards, what they cost, and the cost that no plan of the same cuts can be below.

    `first_fit` is what cutting by eye would cost, longest pieces first, or None where
    that runs out of boards; `first_fit_waste` is that plan's waste in inches of board.
    """

    boards: tuple[CutBoard, ...]
    cost: Decimal
    bound: Decimal
    first_fit: Decimal | None = None
    first_fit_waste: Fraction | None = None

    @property
    def optimal(self) -> bool:
        """Proven: no plan of the same cuts costs less."""
        return self.bound >= self.cost

    @property
    def gap(self) -> Decimal:
        """By how much a cheaper plan could still undercut this one, at the most."""
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

    Raises `BadInput`, where boards run out with how many `more` are proven to be needed.
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

    Raises `BadInput` where boards run out.
    """
    problem, money = model.problem, model.money
    fits = [found for one in model.by_eye if (found := first_fit(one)) is not None]
    by_eye = min(fits, key=lambda one: one.cost(problem), default=None)

    from crewdesk.trade.boards.cheapest import cheapest

    start = by_eye or _any_layout(model, limit)
    if model.by_eye[-1].strips != problem.strips:
        # The cheapest of the plain plans is found soon, and often no other one is cheaper.
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
    """Return a layout that keeps to the counts of boards, sought as the one that takes the
    fewest extra boards.

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
