"""The rip plan: pieces side by side in wide boards and cleats from what is left beside
them, for the least money, in two stages of cuts.

Rip first: every board is ripped from end to end, each strip then crosscut by itself.
Crosscut first: a board is crosscut into sections, each then ripped into pieces of one
length. Where all pieces have one width ripping first is never dearer: the pieces of
each section's first place make a strip, those of the second another, and so on.
"""

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

from crewdesk.trade.boards.cutting_plan import MOST_PIECES, Progress
from crewdesk.trade.boards.first_fit import first_fit
from crewdesk.trade.boards.patience import Patience
from crewdesk.trade.boards.plan import BuyLine
from crewdesk.trade.boards.problem import Layout
from crewdesk.trade.boards.rip_first import crosscut_first, rip_first
from crewdesk.trade.boards.rip_stock import Cleats, RipBoard, RipPlan, Saws, WideNeed, WideStock
from crewdesk.trade.boards.ripping import clear_width
from crewdesk.trade.boards.short_of_boards import plan_within
from crewdesk.trade.boards.two_ways import TwoWays, lay_out
from crewdesk.trade.refusal import Refusal


def rip_plan(
    stocks: tuple[WideStock, ...],
    needs: tuple[WideNeed, ...],
    saws: Saws,
    cleats: Cleats | None = None,
    *,
    seconds: float = 30.0,
    stop: Callable[[], bool] = lambda: False,
    tell: Callable[[Progress], None] = lambda progress: None,
) -> RipPlan:
    """The cheapest plan with the first cuts that the saws allow.

    Cleats are reckoned by their length: butted, each strip of offcut covers its own
    length. Where both first cuts are allowed it is the cheaper of two plans, the whole
    plan made with one of them, and its bound is the lower of both bounds. The second is
    sought only until it is sure that it can't be cheaper than the first.

    Raises `Refusal`: `plan-no-needs`, `plan-no-boards`, `plan-too-many-pieces`,
    `piece-too-big`, `cleats-as-wide-as-a-piece`, `wide-boards-run-out`, `no-plan-in-time`.
    """
    if not needs and (cleats is None or cleats.length == 0):
        raise Refusal("plan-no-needs")
    if not stocks:
        raise Refusal("plan-no-boards")
    count = sum(need.count for need in needs)
    if count > MOST_PIECES:
        raise Refusal("plan-too-many-pieces", count=count, limit=MOST_PIECES)
    _refuse_too_big(stocks, needs, saws, cleats)
    patience = Patience(seconds, stop)
    build = {"rip": rip_first, "crosscut": crosscut_first}
    plans: list[RipPlan] = []
    for number, first in enumerate(saws.first, 1):
        task = build[first](stocks, needs, saws, cleats)
        last = number == len(saws.first)
        some = patience if last else Patience(patience.left() / 2, stop)
        plans.append(_plan(task, saws, cleats, some, _telling(tell, plans, last), plans))
    best = min(plans, key=lambda plan: plan.cost)
    by_eye = min(
        (plan for plan in plans if plan.first_fit is not None),
        key=lambda plan: plan.first_fit or 0,
        default=best,
    )
    return replace(
        best,
        bound=min(plan.bound for plan in plans),
        first_fit=by_eye.first_fit,
        first_fit_waste=by_eye.first_fit_waste,
    )


def _refuse_too_big(
    stocks: tuple[WideStock, ...],
    needs: tuple[WideNeed, ...],
    saws: Saws,
    cleats: Cleats | None,
) -> None:
    clear = [
        (clear_width(s.width, saws.rip), s.length - 2 * saws.crosscut.end_trim) for s in stocks
    ]
    wanted = [(need.name, need.width, need.length) for need in needs]
    if cleats is not None and cleats.length:
        wanted.append(("cleat", cleats.width, max(cleats.shortest, Fraction(1, 64))))
    for need in needs:
        if cleats is not None and cleats.length and need.width == cleats.width:
            raise Refusal("cleats-as-wide-as-a-piece", piece=need.name, width=need.width)
    for name, width, length in sorted(wanted, key=lambda w: (-w[2], -w[1], w[0])):
        if not any(width <= across and length <= along for across, along in clear):
            raise Refusal(
                "piece-too-big",
                piece=name,
                width=width,
                length=length,
                widest=max(across for across, _ in clear),
                longest=max(along for _, along in clear),
            )


def _any_plan(task: TwoWays, patience: Patience) -> Layout:
    found = plan_within(task.problem, tuple(b.strips for b in task.problem.boards), patience)
    if isinstance(found, Layout):
        return found
    if not found.more:
        raise Refusal("no-plan-in-time", more=found.found)
    named = task.pieces[found.row][0].name if found.row < len(task.pieces) else "cleat"
    raise Refusal("wide-boards-run-out", piece=named, more=found.more)


def _telling(
    tell: Callable[[Progress], None], plans: list[RipPlan], last: bool
) -> Callable[[Progress], None]:
    """Tell of the cheapest so far; a bound is one of the whole only once the last of the
    plans is being made."""
    cost = min((plan.cost for plan in plans), default=None)
    bound = min((plan.bound for plan in plans), default=None)

    def told(one: Progress) -> None:
        least = one.cost if cost is None else min(cost, one.cost)
        sure = one.bound if bound is None else min(bound, one.bound)
        tell(Progress(least, min(least, sure) if last else Decimal(0)))

    return told


def _plan(
    task: TwoWays,
    saws: Saws,
    cleats: Cleats | None,
    patience: Patience,
    tell: Callable[[Progress], None],
    others: list[RipPlan],
) -> RipPlan:
    """The cheapest plan with one first cut, or any where it can't be below the others."""
    from crewdesk.trade.boards.cheapest import cheapest

    by_eye = first_fit(task.problem)
    start = by_eye or _any_plan(task, patience)

    def told(cost: int, bound: int) -> None:
        tell(Progress(cost * task.money, bound * task.money))

    below = min((ceil(plan.cost / task.money) for plan in others), default=None)
    answer = cheapest(task.problem, start, patience, told, below)
    boards = lay_out(task, answer.layout, saws)
    cost = sum((b.price for b in boards), Decimal(0))
    wanted = Fraction(0) if cleats is None else cleats.length
    eye = () if by_eye is None else lay_out(task, by_eye, saws)
    beside = _cleats(b for b in boards if b.pieces)
    alone = _cleats(b for b in boards if not b.pieces)
    return RipPlan(
        boards,
        _buy(boards),
        cost,
        min(cost, answer.bound * task.money + 0 * cost),  # as many decimals as the cost has
        wanted,
        min(wanted, beside),
        min(max(Fraction(0), wanted - beside), alone),
        max(Fraction(0), beside + alone - wanted),
        None if by_eye is None else sum((b.price for b in eye), Decimal(0)),
        None if by_eye is None else sum((b.waste for b in eye), Fraction(0)),
    )


def _cleats(boards: Iterable[RipBoard]) -> Fraction:
    return sum((c.end - c.start for board in boards for c in board.cleats), Fraction(0))


def _buy(boards: tuple[RipBoard, ...]) -> tuple[BuyLine, ...]:
    """The boards to buy, counted by stock, widest and longest first."""
    lines = Counter((b.width, b.length, b.stock, b.price) for b in boards)
    return tuple(
        BuyLine(name, length, count, price * count)
        for (_, length, name, price), count in sorted(
            lines.items(), key=lambda line: (-line[0][0], -line[0][1], line[0][2])
        )
    )
