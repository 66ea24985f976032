"""The shop's stock: the boards that can be had, with their prices, and those on hand."""

from typing import Any

from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.lumber.stock import HandBoard, StockLine
from crewdesk.job.lumber.stock_list import shown_stock
from crewdesk.length import feet_and_inches, show_length
from crewdesk.paper.lengths import length_json
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet


def stock_sheet(books: ShopRecord) -> Sheet:
    """Both lists, in lines and as JSON."""
    lines = ["Boards that can be had"]
    lines += [f"  {plain(stock_text(one))}" for one in books.stock] or ["  none yet"]
    lines += ["Boards on hand"]
    lines += [f"  {plain(hand_text(one))}" for one in books.on_hand] or ["  none yet"]
    return Sheet(
        tuple(lines),
        lambda: {
            "stock": [_stock(one) for one in books.stock],
            "on_hand": [_hand(one) for one in books.on_hand],
        },
    )


def stock_text(one: StockLine) -> str:
    """A size of board in a line."""
    told = shown_stock(one)
    return f"{one.label} ({told['true']} in), {one.price:,.2f} per {one.per}: {told['lengths']}"


def hand_text(one: HandBoard) -> str:
    """A board on hand in a line."""
    told = (
        f"{one.label} ({show_length(one.thickness)} x {show_length(one.width)} in), "
        f"{feet_and_inches(one.length)}"
    )
    if one.bad:
        bad = ", ".join(f"{show_length(b.start)} to {show_length(b.end)} in" for b in one.bad)
        told += f", bad from {bad}"
    if one.of:
        told += f", left over from {one.of}"
    return told + (f", set aside for {one.job}" if one.job else "")


def _stock(one: StockLine) -> dict[str, Any]:
    return {
        "species": one.species,
        "grade": one.grade,
        "size": one.size,
        "thickness": length_json(one.thickness),
        "width": length_json(one.width),
        "lengths": [
            {
                "length": length_json(length),
                "count": count,
                "each": str(one.price_of(length)),
                "board_feet": str(one.board_feet(length)),
            }
            for length, count in one.lengths
        ],
        "price": str(one.price),
        "per": one.per,
    }


def _hand(one: HandBoard) -> dict[str, Any]:
    return {
        "species": one.species,
        "grade": one.grade,
        "size": one.size,
        "thickness": length_json(one.thickness),
        "width": length_json(one.width),
        "length": length_json(one.length),
        "bad": [{"start": length_json(b.start), "end": length_json(b.end)} for b in one.bad],
        "of": one.of,
        "job": one.job,
    }
