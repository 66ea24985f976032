"""`crewdesk figure boards`: the cheapest boards for a list of pieces, and each one's cuts."""

import re
from argparse import ArgumentParser, Namespace
from collections import Counter
from decimal import Decimal
from fractions import Fraction
from typing import Any

from crewdesk.errors import BadInput
from crewdesk.length import INCHES_PER_FOOT, Step, feet_and_inches, show_length
from crewdesk.paper.figures import Figure, step_of
from crewdesk.paper.lengths import length_json, lengths_json, with_unit
from crewdesk.paper.sheet import facts_json
from crewdesk.paper.text.plan_summary import within_cheapest
from crewdesk.trade.boards.cutting_plan import MOST_PIECES, CuttingPlan, cutting_plan
from crewdesk.trade.boards.problem import TimeLimit
from crewdesk.trade.boards.stock import CutBoard, Need, Saws, Stock, Stretch
from crewdesk.trade.books.money import read_money
from crewdesk.trade.read_length import read_length

ABOUT = "which boards to buy and how to cut them, proven cheapest"
LONGEST_WAIT = 3600
WIDE = Fraction(1)
"""The common width of pieces and boards, so that only their lengths count."""

_WHOLE = re.compile(r"\d{1,5}")


def arguments(parser: ArgumentParser) -> None:
    """Add the boards, the pieces and the saw."""
    parser.add_argument(
        "--stock",
        action="append",
        default=[],
        metavar="LEN[:PRICE[:COUNT]]",
        help="a board you can buy; without prices, the fewest boards of one length, or "
        "the fewest feet of several lengths",
    )
    parser.add_argument(
        "--have",
        action="append",
        default=[],
        metavar="LEN[:FROM..TO,...]",
        help="a board on hand, with its defects, measured from one end",
    )
    parser.add_argument(
        "--need", action="append", default=[], metavar="LEN[:COUNT]", help="pieces to cut"
    )
    parser.add_argument("--kerf", required=True, metavar="K", help="width of the blade's cut")
    parser.add_argument("--trim", default="0", metavar="T", help="off each end of a board (0)")
    parser.add_argument("--seconds", default="30", metavar="S", help="longest search (30)")


def figure(args: Namespace) -> Figure:
    """Return the plan in lines and as values; `cost_in` is the unit of the cost. A piece's length
    is rounded up, since it must not be cut shorter than asked, and the waste down."""
    read = [_stock(text) for text in args.stock]
    stocks, unit = _priced(read)
    plan = cutting_plan(
        (*stocks, *(_have(text) for text in args.have)),
        tuple(_need(text) for text in args.need),
        Saws(read_length(args.kerf), read_length(args.trim)),
        limit=TimeLimit(
            _whole(
                args.seconds,
                LONGEST_WAIT,
                "{text} isn't a time limit. Type seconds from 1 to {limit}.",
            )
        ),
    )
    step = step_of(args)
    return Figure(tuple(_lines(plan, unit, step)), _values(plan, unit, step))


def _stock(text: str) -> tuple[Fraction, Decimal | None, int | None]:
    parts = text.split(":")
    if len(parts) > 3:
        raise BadInput(
            "{text} isn't a board you can buy. Type LENGTH, LENGTH:PRICE or "
            "LENGTH:PRICE:COUNT, for example 144:19.40:6.",
            text=text[:40],
        )
    price = None
    if len(parts) > 1:
        price = read_money(parts[1])
    count = _count(parts[2]) if len(parts) > 2 else None
    return read_length(parts[0]), price, count


def _priced(
    read: list[tuple[Fraction, Decimal | None, int | None]],
) -> tuple[tuple[Stock, ...], str]:
    """Return the boards with prices; without any, one each for a single length, else their feet."""
    for length, price, _ in read:
        if price is None and any(other is not None for _, other, _ in read):
            raise BadInput(
                "The board {name} has no price, but another one has. Price all boards, or none.",
                name=show_length(length),
            )
    if all(price is not None for _, price, _ in read):
        unit = "money"
    elif len({length for length, _, _ in read}) == 1:
        unit = "boards"
    else:
        unit = "feet"
    stocks = []
    for length, price, count in read:
        if price is None:
            feet = length / INCHES_PER_FOOT
            price = Decimal(1)
            if unit == "feet":
                price = round(Decimal(feet.numerator) / Decimal(feet.denominator), 6)
        stocks.append(Stock(show_length(length), WIDE, length, price, count))
    return tuple(stocks), unit


def _need(text: str) -> Need:
    length, colon, count = text.partition(":")
    if ":" in count:
        raise BadInput(
            "{text} isn't a piece. Type LENGTH or LENGTH:COUNT, for example 100-1/2:4.",
            text=text[:40],
        )
    inches = read_length(length)
    return Need(show_length(inches), WIDE, inches, _count(count) if colon else 1)


def _have(text: str) -> Stock:
    length, colon, stretches = text.partition(":")
    inches = read_length(length)
    bad = []
    for stretch in stretches.split(",") if colon else ():
        start, dots, end = stretch.partition("..")
        if not dots:
            raise BadInput(
                "{text} isn't a board on hand. Type LENGTH, or LENGTH:FROM..TO with "
                "commas between defects, for example 96:40..43.",
                text=text[:40],
            )
        bad.append(Stretch(read_length(start), read_length(end)))
    return Stock(f"{show_length(inches)} on hand", WIDE, inches, bad=tuple(bad), on_hand=True)


def _count(text: str) -> int:
    return _whole(text, MOST_PIECES, "{text} isn't a count. Type a whole number from 1 to {limit}.")


def _whole(text: str, limit: int, why: str) -> int:
    if not _WHOLE.fullmatch(text.strip()) or not 1 <= int(text) <= limit:
        raise BadInput(why, text=text[:40], limit=limit)
    return int(text)


def _lines(plan: CuttingPlan, unit: str, step: Step) -> list[str]:
    lines = ["buy"]
    lines += [
        f"  {count} x {feet_and_inches(one.length)}  {one.price * count}"
        for one, count in _to_buy(plan)
    ] or ["  nothing"]
    proof = (
        "proven: no plan is cheaper"
        if plan.optimal
        else within_cheapest(plan.cost, plan.bound, "$" if unit == "money" else "")
    )
    lines.append(f"cost  {plan.cost} ({unit}); {proof}")
    if plan.first_fit is not None:
        lines.append(f"longest first by eye would cost  {plan.first_fit}")
    feet = sum((b.stock.length for b in plan.boards), Fraction(0))
    lines.append(f"waste  {with_unit(plan.waste, step, 'down')} of {with_unit(feet, step)}")
    lines.append(f"cut, from one end, in {'millimeters' if step.mm else 'inches'}")
    lines += [_board_line(board, step) for board in plan.boards]
    return lines


def _board_line(board: CutBoard, step: Step) -> str:
    pieces = ", ".join(
        f"{show_length(one.end - one.start, step, way='up')} at {show_length(one.start, step)}"
        for one in board.pieces
    )
    waste = show_length(board.waste, step, way="down")
    return f"  {board.stock.name}: {pieces}; waste {waste}"


def _to_buy(plan: CuttingPlan) -> list[tuple[Stock, int]]:
    """Return the boards to buy, each with its count, longest first."""
    count = Counter(board.stock for board in plan.boards if not board.stock.on_hand)
    return sorted(count.items(), key=lambda item: (-item[0].length, item[0].name))


def _values(plan: CuttingPlan, unit: str, step: Step) -> dict[str, Any]:
    return {
        "boards": [
            {
                "stock": board.stock.name,
                **lengths_json(board.stock, step, "length"),
                "on_hand": board.stock.on_hand,
                "pieces": [
                    {
                        "name": piece.name,
                        "length": length_json(piece.end - piece.start, step, "up"),
                        **lengths_json(piece, step, "start", "end"),
                    }
                    for piece in board.pieces
                ],
                **lengths_json(board, step, "waste", way="down"),
            }
            for board in plan.boards
        ],
        "cost": str(plan.cost),
        "cost_in": unit,
        **facts_json(plan, "bound", "gap", "optimal"),
        "first_fit_cost": None if plan.first_fit is None else str(plan.first_fit),
        "buy": [
            {
                "stock": one.name,
                **lengths_json(one, step, "length"),
                "count": count,
                "cost": str(one.price * count),
            }
            for one, count in _to_buy(plan)
        ],
    }
