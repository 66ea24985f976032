"""What is to be bought and what is used up besides, in lines."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from crewdesk.job.lumber.buying_list import Buy
from crewdesk.job.lumber.takeoff import Takeoff
from crewdesk.job.lumber.used_up import UsedUp
from crewdesk.length import show_length
from crewdesk.paper.lengths import board_length, feet
from crewdesk.paper.plain import plain


def buy_lines(buy: tuple[Buy, ...]) -> list[str]:
    """The buying list, size by size, and all of it in the last line."""
    lines: list[str] = []
    head = ""
    for one in buy:
        size = buy_head(one)
        if size != head:
            lines.append(f"  {plain(size)}")
            head = size
        got = f"   bought {one.bought}" if one.bought else ""
        got += f"   and {one.spare} spare" if one.spare else ""
        lines.append(f"    {one.count:>3} x {board_length(one.length):<8}"
                     f"{one.each:>10,.2f} each{one.cost:>12,.2f}{got}")  # fmt: skip
    lines.append(f"  {buy_total(buy)}")
    return lines


def buy_head(one: Buy) -> str:
    """A size as it is bought, and what it measures."""
    return f"{one.label} ({show_length(one.thickness)} x {show_length(one.width)} in)"


def buy_total(buy: tuple[Buy, ...]) -> str:
    """All that is bought, in a line."""
    count = sum(one.count for one in buy)
    length = sum((one.length * one.count for one in buy), Fraction(0))
    cost = sum((one.cost for one in buy), Decimal(0))
    measured = sum((one.board_feet for one in buy), Fraction(0))
    told = f"In all {count} boards, {feet(length)}, {float(measured):,.1f} board feet, {cost:,.2f}"
    if more := sum(one.spare for one in buy):
        spare = sum((one.each * one.spare for one in buy), Decimal(0))
        told += f"; {more} spare, {spare:,.2f} more"
    return told + "."


def hand_lines(takeoff: Takeoff) -> list[str]:
    """The boards of the plan that are on hand, a line each."""
    return [
        f"  On hand: {plain(one.label)}, {board_length(one.length)}, as board {one.row}"
        for one in takeoff.boards
        if one.hand
    ]


def used_lines(used: tuple[UsedUp, ...], prices: Mapping[str, Decimal]) -> list[str]:
    """What is used up besides boards, each in a line, and what it costs in all; packs are
    whole, rounded up."""
    lines = []
    for one in used:
        amount = float(one.packs.amount)
        told = f"{one.name}: {amount:,.{1 if amount < 10 else 0}f} {one.unit}"
        told += f", {one.packs.buy} {one.pack_name}{_plural(one.packs.buy, one.pack_name)}"
        if (cost := one.cost(prices)) is not None:
            told += f" at {prices[one.sort]:,.2f}, {cost:,.2f}"
        lines.append(told)
    return [*lines, used_total(used, prices)] if used else lines


def used_total(used: tuple[UsedUp, ...], prices: Mapping[str, Decimal]) -> str:
    """What all of it costs, and what has no price yet."""
    costs = [one.cost(prices) for one in used]
    total = sum((cost for cost in costs if cost is not None), Decimal(0))
    unknown = [one.name for one, cost in zip(used, costs, strict=True) if cost is None]
    if not unknown:
        return f"In all {total:,.2f}."
    known = f"In all {total:,.2f}, without" if total else "No price is known yet of"
    return f"{known} {'; '.join(unknown)}: what a pack costs is set in the shop."


def _plural(count: int, name: str) -> str:
    return "" if count == 1 else "es" if name.endswith("x") else "s"
