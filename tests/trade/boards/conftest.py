"""An independent check of cutting plans, and the cheapest cost found by trying all."""

from collections import Counter
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from functools import cache

import pytest

from crewdesk.errors import BadInput
from crewdesk.trade.boards.cutting_plan import CuttingPlan


def _check(stocks, needs, saw, plan: CuttingPlan) -> None:
    """Sees only the input and where each piece lies; reckons all the rest anew."""
    used = Counter()
    made = Counter()
    cost = Decimal(0)
    for board in plan.boards:
        assert board.pieces, "a board that nothing is cut from"
        assert board.stock in stocks
        used[board.stock] += 1
        if not board.stock.on_hand:
            cost += board.stock.price
        at = None
        lost = Fraction(0)
        for piece in sorted(board.pieces, key=lambda one: one.start):
            assert piece.start >= saw.end_trim
            assert piece.end <= board.stock.length - saw.end_trim
            if at is not None:
                assert piece.start >= at + saw.kerf, "no room for the blade, or cut twice"
            for stretch in board.stock.bad:
                assert piece.end <= stretch.start or piece.start >= stretch.end
            made[piece.name, piece.end - piece.start] += 1
            lost += piece.end - piece.start
            at = piece.end
        assert board.waste == board.stock.length - lost
    assert made == sum((Counter({(n.name, n.length): n.count}) for n in needs), Counter()), (
        "lengths and counts"
    )
    for stock in stocks:
        assert stock.count is None or used[stock] <= stock.count
        assert not stock.on_hand or used[stock] <= 1
    assert plan.cost == cost
    assert plan.bound <= plan.cost
    assert plan.first_fit is None or plan.first_fit >= plan.cost


def _try_all(stocks, needs, saw, clear_on_hand=()) -> Decimal | None:
    """Least cost over all ways to share the pieces among the boards; None if there is none.

    `clear_on_hand` are clear lengths that cost nothing, each there once. For a handful
    of pieces only: it tries every set of pieces as the content of the next board.
    """
    lengths = [n.length for n in needs for _ in range(n.count)]
    bins = [(s.length - 2 * saw.end_trim, s.price, s.count) for s in stocks]
    bins += [(length, Decimal(0), 1) for length in clear_on_hand]

    def fits(mask: int, room: Fraction) -> bool:
        inside = [x for i, x in enumerate(lengths) if mask >> i & 1]
        return sum(inside) + saw.kerf * (len(inside) - 1) <= room

    @cache
    def least(mask: int, left: tuple[int | None, ...]) -> Decimal | None:
        if not mask:
            return Decimal(0)
        low, best, part = mask & -mask, None, mask
        while part:
            if part & low:
                for number, (room, price, _) in enumerate(bins):
                    if left[number] == 0 or not fits(part, room):
                        continue
                    now = tuple(
                        n - 1 if i == number and n is not None else n for i, n in enumerate(left)
                    )
                    rest = least(mask ^ part, now)
                    if rest is not None and (best is None or rest + price < best):
                        best = rest + price
            part = (part - 1) & mask
        return best

    return least((1 << len(lengths)) - 1, tuple(count for _, _, count in bins))


@pytest.fixture(scope="session")
def check_plan() -> Callable[..., None]:
    return _check


@pytest.fixture(scope="session")
def try_all() -> Callable[..., Decimal | None]:
    return _try_all


@pytest.fixture(scope="session")
def refused() -> Callable[..., dict[str, object]]:
    """Calls a function that must refuse by that name, in one sentence; returns the facts."""

    def check(why: str, function: Callable[..., object], *args: object, **kwargs: object):
        with pytest.raises(BadInput) as caught:
            function(*args, **kwargs)
        assert why in str(caught.value), caught.value.facts
        said = caught.value.shown()
        assert said.endswith(".")
        assert "{" not in said
        return caught.value.facts

    return check
