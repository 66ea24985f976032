"""Boards and pieces of one width, so that only their lengths count."""

from decimal import Decimal
from fractions import Fraction

from crewdesk.trade.boards.stock import Need, Stock, Stretch

WIDE = Fraction(1)


def board(name: str, length: Fraction, price: Decimal, count: int | None = None) -> Stock:
    return Stock(name, WIDE, length, price, count)


def on_hand(name: str, length: Fraction, *bad: Stretch) -> Stock:
    return Stock(name, WIDE, length, bad=bad, on_hand=True)


def piece(name: str, length: Fraction, count: int = 1) -> Need:
    return Need(name, WIDE, length, count)
