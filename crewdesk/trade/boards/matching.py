"""What it costs to ask for one beam's pieces from one board."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from crewdesk.trade.boards.cutting_plan import cutting_plan
from crewdesk.trade.boards.plan import CuttingPlan
from crewdesk.trade.boards.stock import Need, OnHand, Saw, Stock


@dataclass(frozen=True)
class PriceOfMatching:
    """The plan with matched pieces, the one without, and what the asking costs.

    `price` is the difference of the two plans; `at_least` and `at_most` are what it
    could be if either plan were not yet the cheapest: equal where both are proven.
    """

    matched: CuttingPlan
    free: CuttingPlan
    price: Decimal
    at_least: Decimal
    at_most: Decimal


def price_of_matching(
    stocks: tuple[Stock, ...],
    needs: tuple[Need, ...],
    saw: Saw,
    on_hand: tuple[OnHand, ...] = (),
    *,
    seconds: float = 30.0,
    stop: Callable[[], bool] = lambda: False,
) -> PriceOfMatching:
    """Both plans, each in half the time; raises what `cutting_plan` raises.

    The matched pieces of a board lie side by side in one clear stretch of it, so they
    are one piece as long as they are together with the kerfs between them. Any matched
    plan is a free one too, so the price is never below zero.
    """
    matched, free = (
        cutting_plan(stocks, needs, saw, on_hand, together=together, seconds=seconds / 2, stop=stop)
        for together in (True, False)
    )
    if free.cost > matched.cost:
        bound = free.bound
        free = CuttingPlan(
            matched.boards, matched.buy, matched.cost, bound, free.first_fit, free.first_fit_waste
        )
    return PriceOfMatching(
        matched,
        free,
        matched.cost - free.cost,
        max(Decimal(0), matched.bound - free.cost),
        matched.cost - free.bound,
    )
