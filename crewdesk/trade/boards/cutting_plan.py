"""The cutting plan: which boards to buy, and how to cut them, for the least money."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from crewdesk.trade.boards.first_fit import first_fit
from crewdesk.trade.boards.one_way import OneWay, lay_out, put
from crewdesk.trade.boards.patience import Patience
from crewdesk.trade.boards.plan import CuttingPlan, buying_list
from crewdesk.trade.boards.problem import Layout
from crewdesk.trade.boards.short_of_boards import plan_within
from crewdesk.trade.boards.stock import Need, OnHand, Saw, Stock
from crewdesk.trade.refusal import Refusal

MOST_PIECES = 5_000
"""More pieces than this are taken for a slip of the finger."""


@dataclass(frozen=True)
class Progress:
    """How far a plan has come: its cost, and the cost that no plan can be below."""

    cost: Decimal
    bound: Decimal


def cutting_plan(
    stocks: tuple[Stock, ...],
    needs: tuple[Need, ...],
    saw: Saw,
    on_hand: tuple[OnHand, ...] = (),
    *,
    seconds: float = 30.0,
    stop: Callable[[], bool] = lambda: False,
    tell: Callable[[Progress], None] = lambda progress: None,
) -> CuttingPlan:
    """The cheapest plan; the same input gives the same plan unless time runs out.

    After `seconds`, or once `stop()` is true, it is the best plan so far, and `bound`
    says how much cheaper another might be. `tell` hears of each better plan or bound.

    Raises `Refusal`: `plan-no-needs`, `plan-no-boards`, `plan-too-many-pieces`,
    `piece-too-long`, `no-plan-in-time`, and `boards-run-out` where it
    is proven that at least `more` more boards of `length` are needed.
    """
    if not needs:
        raise Refusal("plan-no-needs")
    if not stocks and not on_hand:
        raise Refusal("plan-no-boards")
    count = sum(need.count for need in needs)
    if count > MOST_PIECES:
        raise Refusal("plan-too-many-pieces", count=count, limit=MOST_PIECES)
    task = put(stocks, on_hand, needs, saw)
    _refuse_too_long(task, needs)
    patience = Patience(seconds, stop)
    by_eye = first_fit(task.problem)
    start = by_eye or _any_plan(task, saw, patience)

    from crewdesk.trade.boards.cheapest import cheapest

    def told(cost: int, bound: int) -> None:
        tell(Progress(cost * task.money, bound * task.money))

    answer = cheapest(task.problem, start, patience, told)
    boards = lay_out(task, answer.layout, saw)
    cost = sum((b.price for b in boards), Decimal(0))
    plan = CuttingPlan(boards, buying_list(boards), cost, min(cost, answer.bound * task.money))
    if by_eye is None:
        return plan
    eye = lay_out(task, by_eye, saw)
    return replace(
        plan,
        first_fit=sum((b.price for b in eye), Decimal(0)),
        first_fit_waste=sum((b.waste for b in eye), Fraction(0)),
    )


def _refuse_too_long(task: OneWay, needs: tuple[Need, ...]) -> None:
    longest = max((s.length for s in task.stretch_of), default=Fraction(0))
    for need in sorted(needs, key=lambda n: (-n.length, n.name)):
        if need.length > longest:
            raise Refusal("piece-too-long", piece=need.name, length=need.length, longest=longest)


def _any_plan(task: OneWay, saw: Saw, patience: Patience) -> Layout:
    """A plan that keeps to the counts, where cutting by eye ran out of boards."""
    strips = task.problem.strips
    longest = max(range(len(strips)), key=lambda strip: (strips[strip].capacity, -strip))
    found = plan_within(task.problem, (((longest, 1),),), patience)
    if isinstance(found, Layout):
        return found
    if not found.more:
        raise Refusal("no-plan-in-time", more=found.found)
    piece = task.pieces[found.row][0]
    raise Refusal(
        "boards-run-out",
        piece=piece.name,
        more=found.more,
        length=task.stretch_of[longest].length + 2 * saw.end_trim,
    )
