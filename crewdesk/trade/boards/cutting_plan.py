"""The cutting plan: which boards to buy, and how to cut them, for the least money."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.trade.boards.first_fit import first_fit
from crewdesk.trade.boards.one_way import OneWay, lay_out, put
from crewdesk.trade.boards.patience import Patience
from crewdesk.trade.boards.plan import CuttingPlan, buying_list
from crewdesk.trade.boards.problem import Layout
from crewdesk.trade.boards.short_of_boards import plan_within
from crewdesk.trade.boards.stock import Need, OnHand, Saw, Stock

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

    Raises `BadInput` where it
    is proven that at least `more` more boards of `length` are needed.
    """
    if not needs:
        raise BadInput("There is no piece to cut; give at least one.")
    if not stocks and not on_hand:
        raise BadInput("There is no board to cut from; give at least one length that can be had.")
    count = sum(need.count for need in needs)
    if count > MOST_PIECES:
        raise BadInput(
            "{count} pieces are too many for one plan; the most is {limit}.",
            count=count,
            limit=MOST_PIECES,
        )
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
            raise BadInput(
                "The piece {piece} is {length} in long and the longest clear board gives "
                "{longest} in; a longer board, less end trim or a splice would help.",
                piece=need.name,
                length=need.length,
                longest=longest,
            )


def _any_plan(task: OneWay, saw: Saw, patience: Patience) -> Layout:
    """A plan that keeps to the counts, where cutting by eye ran out of boards."""
    strips = task.problem.strips
    longest = max(range(len(strips)), key=lambda strip: (strips[strip].capacity, -strip))
    found = plan_within(task.problem, (((longest, 1),),), patience)
    if isinstance(found, Layout):
        return found
    if not found.more:
        raise BadInput(
            "No plan was found in the time given that keeps to the boards at hand; more time "
            "or {more} more boards would help.",
            more=found.found,
        )
    piece = task.pieces[found.row][0]
    raise BadInput(
        "There are too few boards for the piece {piece} and the rest; at least {more} "
        "more of {length} in would help.",
        piece=piece.name,
        more=found.more,
        length=task.stretch_of[longest].length + 2 * saw.end_trim,
    )
