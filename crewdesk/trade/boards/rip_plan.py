"""The rip plan: pieces side by side in wide boards and cleats from what is left beside
them, for the least money.

Each board is ripped first or crosscut first, as the saws allow; `rip_model` says what may
then be cut from it, and so which plans the cheapest one is proven to be the cheapest of.
"""

from collections import Counter
from collections.abc import Callable, Iterable
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.trade.boards.cutting_plan import MOST_PIECES, Progress
from crewdesk.trade.boards.first_fit import first_fit
from crewdesk.trade.boards.patience import Patience
from crewdesk.trade.boards.plan import BuyLine
from crewdesk.trade.boards.problem import Layout
from crewdesk.trade.boards.rip_layout import lay_out
from crewdesk.trade.boards.rip_model import RipModel, rip_model
from crewdesk.trade.boards.rip_stock import Cleats, RipBoard, RipPlan, Saws, WideNeed, WideStock
from crewdesk.trade.boards.ripping import clear_width
from crewdesk.trade.boards.short_of_boards import plan_within

NOTHING = Decimal(0)


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
    """Return the cheapest plan with the first cuts that the saws allow, board by board.

    Cleats are counted by their length: butted, each strip of cutoff covers its own
    length. After `seconds`, or once `stop()` is true, it is the best plan so far; `tell`
    hears of each better plan or bound.

    Raises `BadInput`.
    """
    if not needs and (cleats is None or cleats.length == 0):
        raise BadInput("There is no piece to cut; give at least one.")
    if not stocks:
        raise BadInput("There is no board to cut from; give at least one length that can be had.")
    count = sum(need.count for need in needs)
    if count > MOST_PIECES:
        raise BadInput(
            "{count} pieces are too many for one plan; the most is {limit}.",
            count=count,
            limit=MOST_PIECES,
        )
    _refuse_too_big(stocks, needs, saws, cleats)
    patience = Patience(seconds, stop)
    model = rip_model(stocks, needs, saws, cleats)
    problem, money = model.problem, model.money
    fits = [found for one in model.by_eye if (found := first_fit(one)) is not None]
    by_eye = min(fits, key=lambda one: one.cost(problem), default=None)

    from crewdesk.trade.boards.cheapest import cheapest

    start = by_eye or _any_plan(model, patience)
    if "rip" in saws.first:
        # The cheapest of the plain plans is found soon, and often no other one is cheaper.
        some = Patience(patience.left() / 3, stop)
        start = cheapest(
            model.by_eye[-1], start, some, lambda cost, _: tell(Progress(cost * money, NOTHING))
        ).layout
    answer = cheapest(
        problem,
        start,
        patience,
        lambda cost, bound: tell(Progress(cost * money, bound * money)),
    )
    wanted = Fraction(0) if cleats is None else cleats.length
    boards = lay_out(model, answer.layout, saws, wanted)
    cost = sum((b.price for b in boards), NOTHING)
    eye = () if by_eye is None else lay_out(model, by_eye, saws, wanted)
    beside = _cleats(b for b in boards if b.pieces)
    alone = _cleats(b for b in boards if not b.pieces)
    return RipPlan(
        boards,
        _buy(boards),
        cost,
        min(cost, answer.bound * money + 0 * cost),  # as many decimals as the cost has
        wanted,
        min(wanted, beside),
        min(max(Fraction(0), wanted - beside), alone),
        max(Fraction(0), beside + alone - wanted),
        None if by_eye is None else sum((b.price for b in eye), NOTHING),
        None if by_eye is None else sum((b.waste for b in eye), Fraction(0)),
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
            raise BadInput(
                "The piece {piece} is {width} in wide as the cleats are; count its feet as cleats.",
                piece=need.name,
                width=need.width,
            )
    for name, width, length in sorted(wanted, key=lambda w: (-w[2], -w[1], w[0])):
        if not any(width <= across and length <= along for across, along in clear):
            raise BadInput(
                "No board holds the piece {piece}, {width} in wide and {length} in long; "
                "the widest gives {widest} in and the longest {longest} in, so a bigger "
                "board or a splice would help.",
                piece=name,
                width=width,
                length=length,
                widest=max(across for across, _ in clear),
                longest=max(along for _, along in clear),
            )


def _any_plan(model: RipModel, patience: Patience) -> Layout:
    found = plan_within(model.problem, tuple(b.strips for b in model.problem.boards), patience)
    if isinstance(found, Layout):
        return found
    if not found.more:
        raise BadInput(
            "No plan was found in the time given that keeps to the boards at hand; more time "
            "or {more} more boards would help.",
            more=found.found,
        )
    named = model.pieces[found.row][0].name if found.row < len(model.pieces) else "cleat"
    raise BadInput(
        "There are too few boards for the piece {piece} and the rest; at least {more} more "
        "would help.",
        piece=named,
        more=found.more,
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
