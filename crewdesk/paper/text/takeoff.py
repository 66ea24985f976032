"""The takeoff: the buying list, every board's cuts, and the supplies."""

import textwrap
from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from crewdesk.job.lumber.blanks import blank_of, boards_to_cut
from crewdesk.job.lumber.buying_list import Buy, UsedUp, buying_list, used_up
from crewdesk.job.lumber.kept import label_of
from crewdesk.job.lumber.takeoff import Board, Takeoff
from crewdesk.job.record import Record
from crewdesk.job.text_limits import named
from crewdesk.length import show_length
from crewdesk.paper.lengths import board_length, feet, length_json, lengths_json, with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet, facts_json, heading, job_values
from crewdesk.paper.text.plan_summary import (
    BAD,
    CLEAT,
    CUT,
    PIECE,
    SCARF,
    WASTE,
    board_lines,
    rips_of,
    scarfed,
    splice_lines,
    splices_json,
    within_cheapest,
)


def buying_list_text(buy: tuple[Buy, ...]) -> list[str]:
    """Return the buying list, size by size, with the total in the last line."""
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
                     f"{_money(one.each):>11} each{_money(one.cost):>13}{got}")  # fmt: skip
    lines.append(f"  {buy_total(buy)}")
    return lines


def buy_head(one: Buy) -> str:
    """Return a size as bought, and its measurements."""
    return f"{one.label} ({show_length(one.thickness)} x {show_length(one.width)} in)"


def buy_total(buy: tuple[Buy, ...]) -> str:
    """Return the total of what is bought, in a line."""
    count = sum(one.count for one in buy)
    length = sum((one.length * one.count for one in buy), Fraction(0))
    cost = sum((one.cost for one in buy), Decimal(0))
    measured = sum((one.board_feet for one in buy), Fraction(0))
    text = (
        f"In all {count} boards, {feet(length)}, {float(measured):,.1f} board feet, {_money(cost)}"
    )
    return f"{text}{_spare_text(buy)}."


def buy_besides(buy: tuple[Buy, ...]) -> str:
    """Return the board feet to buy and the spare boards, for below their count and cost."""
    measured = sum((one.board_feet for one in buy), Fraction(0))
    return f"{float(measured):,.1f} board feet{_spare_text(buy)}."


def _spare_text(buy: tuple[Buy, ...]) -> str:
    more = sum(one.spare for one in buy)
    spare = sum((one.each * one.spare for one in buy), Decimal(0))
    return f"; {more} spare, {_money(spare)} more" if more else ""


def _money(amount: Decimal) -> str:
    return f"${amount:,.2f}"


def hand_lines(takeoff: Takeoff) -> list[str]:
    """Return the plan's boards on hand, a line each."""
    return [
        f"  On hand: {plain(one.label)}, {board_length(one.length)}, as board {one.row}"
        for one in takeoff.boards
        if one.hand
    ]


def used_lines(used: tuple[UsedUp, ...], prices: Mapping[str, Decimal]) -> list[str]:
    """Return the supplies, a line each, and their total cost; packs are rounded up."""
    lines = []
    for one in used:
        amount = float(one.packs.amount)
        text = f"{one.name}: {amount:,.{1 if amount < 10 else 0}f} {one.unit}"
        text += f", {one.packs.buy} {one.pack_name}{_plural(one.packs.buy, one.pack_name)}"
        if (cost := one.cost(prices)) is not None:
            text += f" at {_money(prices[one.sort])}, {_money(cost)}"
        lines.append(text)
    return [*lines, used_total(used, prices)] if used else lines


def used_total(used: tuple[UsedUp, ...], prices: Mapping[str, Decimal]) -> str:
    """Return the total cost, and what has no price yet."""
    costs = [one.cost(prices) for one in used]
    total = sum((cost for cost in costs if cost is not None), Decimal(0))
    unknown = [one.name for one, cost in zip(used, costs, strict=True) if cost is None]
    if not unknown:
        return f"In all {_money(total)}."
    known = f"In all {_money(total)}, without" if total else "No price is set for"
    return f"{known} {'; '.join(unknown)}: set the pack price in Business settings."


def _plural(count: int, name: str) -> str:
    return "" if count == 1 else "es" if name.endswith("x") else "s"


_BEAM_COLUMNS = 40
_WIDE = 92


def takeoff_sheet(
    id_: str, record: Record, takeoff: Takeoff, prices: Mapping[str, Decimal], *, kept: bool
) -> Sheet:
    """Return a job's takeoff; `kept` if it is the job's kept plan. `prices` are the shop's prices
    of packs."""
    buy = buying_list(takeoff, record.job.cutting.spare)
    used = used_up(record, takeoff.boards)
    missing = takeoff.left_out if kept else ()
    scarfs = scarfed(record, takeoff.boards)
    lines = [
        heading(record.job, "takeoff"),
        cost_line(takeoff) + ("" if kept else " Not saved."),
        *textwrap.wrap(cuts_compared(takeoff), _WIDE),
        *waste_lines(takeoff),
        *(["! No board for " + ", ".join(map(plain, missing))] if missing else []),
        *_rough_lines(record),
        "",
        "Buy",
        *buying_list_text(buy),
        *hand_lines(takeoff),
        "",
        "Supplies",
        *(f"  {one}" for one in used_lines(used, prices)),
        "",
        f"Cut, each board drawn to scale: {PIECE} piece, {CLEAT} cleat, {CUT} cut, {WASTE} waste"
        + (f", {BAD} defect" if any(b.bad for b in takeoff.boards) else "")
        + (f", {SCARF} scarf" if scarfs else ""),
    ]
    longest = max((b.length for b in takeoff.boards), default=Fraction(1))
    for board in takeoff.boards:
        lines += ["", *board_lines(record, board, longest, scarfs=scarfs)]
    lines += _cleat_lines(takeoff)
    if splices := splice_lines(record, takeoff.boards, _BEAM_COLUMNS):
        lines += ["", "Splices, each board of the beam drawn to scale from end 1", *splices]
    return Sheet(
        tuple(lines), lambda: _values(id_, record, takeoff, buy, used, prices, kept, missing)
    )


def cost_line(takeoff: Takeoff) -> str:
    """Return the cost, and how close it is proven to be to the cheapest."""
    boards = len(takeoff.boards)
    text = f"{boards} board{'' if boards == 1 else 's'}, {feet(takeoff.length)}, "
    return text + f"{_money(takeoff.cost)}: {proof_text(takeoff)}"


def without_beams(unmeasured: Sequence[str]) -> str:
    """Return which beams a plan leaves out, and why, as a clause."""
    return f"without {plain(named(unmeasured))}, whose length isn't known"


def proof_text(takeoff: Takeoff) -> str:
    """Return whether it is proven the cheapest, see `cuts_compared`."""
    if takeoff.unmeasured:
        return f"{without_beams(takeoff.unmeasured)}, so this isn't the whole cost."
    if takeoff.left_out:
        return "some pieces have no board, so this isn't the whole cost."
    if not takeoff.comparable:
        return "plan again to see whether it is still the cheapest."
    if takeoff.optimal:
        return "proven, no plan with these cuts costs less."
    return f"{within_cheapest(takeoff.cost, takeoff.bound)} with these cuts."


_CUTS = {
    "either": "each board is ripped into strips as wide as a piece, or stays whole; then it is "
    "crosscut to lengths, and each length is ripped into the pieces side by side",
    "rip": "each board is ripped into strips as wide as a piece, then crosscut to lengths; a "
    "length that is too wide is ripped again",
    "crosscut": "each board is crosscut to lengths, and each length is ripped into the pieces "
    "side by side",
}
_TRIMMED = (
    "A piece can be shorter than its length and is then trimmed. Cleats are as long as "
    "a length or a board."
)
_MATCHED = " Matched beams come from their own boards."


def cuts_compared(takeoff: Takeoff) -> str:
    """Return which plans its cost was compared with, by their cuts; "" if unknown."""
    if not takeoff.comparable:
        return ""
    matched = _MATCHED if takeoff.matching is not None else ""
    return f"These cuts: {_CUTS[takeoff.saws]}. {_TRIMMED}{matched}"


def waste_lines(takeoff: Takeoff) -> list[str]:
    """Return the waste in feet, percent and money, and that of cutting by eye."""
    share = 100 * takeoff.waste / takeoff.length if takeoff.length else Fraction(0)
    lines = [f"Waste {feet(takeoff.waste)}, {float(share):.0f}%, {_money(takeoff.wasted_money)}."]
    if takeoff.first_fit is not None:
        more = takeoff.first_fit - takeoff.cost
        text = f"Longest first, by eye: {_money(takeoff.first_fit)}"
        if takeoff.first_fit_waste is not None:
            text += f" and {feet(takeoff.first_fit_waste)} of waste"
        lines.append(f"{text}; the plan saves {_money(more)}." if more > 0 else f"{text}.")
    if takeoff.matching is not None:
        asked = takeoff.matching
        text = f"Asking for one board for each matched beam costs {_money(asked.price)}"
        if asked.at_least != asked.at_most:
            text += f" (from {_money(asked.at_least)} to {_money(asked.at_most)}, not proven)"
        lines.append(text + ".")
    return lines


def _rough_lines(record: Record) -> list[str]:
    rough = rough_pieces(record)
    if not rough:
        return []
    allowance = with_unit(record.job.cutting.allowance, record.job.step)
    return [
        f"{len(rough)} pieces aren't measured: planned by their rough lengths and "
        f"{allowance} at each end."
    ]


def rough_pieces(record: Record) -> list[str]:
    """Return the pieces without an exact length, by label."""
    return [
        f"{beam.label} {beam.pieces[key].name}"
        for beam in record.beams
        for key in boards_to_cut(beam)
        if (found := blank_of(beam, beam.pieces[key], record.job.cutting)) and not found.measured
    ]


def _cleat_lines(takeoff: Takeoff) -> list[str]:
    if not takeoff.cleats_wanted:
        return []
    return ["", cleats_text(takeoff)]


def cleats_text(takeoff: Takeoff) -> str:
    """Return how the cleats are covered, in feet."""
    return (
        f"Cleats: {feet(takeoff.cleats_wanted)} wanted, "
        f"{feet(takeoff.cleats_from_offcuts)} from cutoffs, "
        f"{feet(takeoff.cleats_from_boards)} from their own boards, "
        f"{feet(takeoff.cleats_left)} left."
    )


def _values(
    id_: str,
    record: Record,
    takeoff: Takeoff,
    buy: tuple[Buy, ...],
    used: tuple[UsedUp, ...],
    prices: Mapping[str, Decimal],
    kept: bool,
    missing: tuple[str, ...],
) -> dict[str, Any]:
    step = record.job.step
    share = 100 * takeoff.waste / takeoff.length if takeoff.length else Fraction(0)
    asked = takeoff.matching
    return {
        "job": job_values(id_, record.job),
        "kept": kept,
        "missing": list(missing),
        "unmeasured": list(takeoff.unmeasured),
        "rough": rough_pieces(record),
        **facts_json(takeoff, "cost", "bound", "gap", "optimal"),
        "compared": cuts_compared(takeoff),
        "buy": [
            {
                "stock": one.label,
                **lengths_json(one, step, "thickness", "width", "length"),
                **facts_json(one, "board_feet", "count", "bought", "spare", "each", "cost"),
            }
            for one in buy
        ],
        "boards": [_board(record, board) for board in takeoff.boards],
        "waste": {
            **lengths_json(takeoff, step, "length=waste", "of=length"),
            "percent": round(float(share), 2),
            "money": str(takeoff.wasted_money),
        },
        "first_fit": None
        if takeoff.first_fit is None
        else {
            "cost": str(takeoff.first_fit),
            **lengths_json(takeoff, step, "waste=first_fit_waste"),
        },
        "cleats": {
            key: length_json(getattr(takeoff, f"cleats_{key}"), step)
            for key in ("wanted", "from_offcuts", "from_boards", "left")
        },
        "splices": splices_json(record, takeoff.boards),
        "matching": None if asked is None else {key: str(v) for key, v in asked._asdict().items()},
        "consumables": [
            {
                "name": one.name,
                "amount": round(float(one.packs.amount), 2),
                "unit": one.unit,
                "packs": one.packs.buy,
                "pack": one.pack_name,
                "cost": None if (cost := one.cost(prices)) is None else str(cost),
            }
            for one in used
        ],
    }


_PLACES = ("start", "end", "near", "far")


def _board(record: Record, board: Board) -> dict[str, Any]:
    step = record.job.step
    rips = rips_of(board.on_it)
    return {
        "number": int(board.row),
        "stock": board.label,
        **lengths_json(board, step, "thickness", "width", "length"),
        "price": str(board.price),
        "on_hand": bool(board.hand),
        **facts_json(board, "state", "first"),
        "rips": [length_json(far - near, step) for near, far in rips]
        if board.first == "rip"
        else [],
        "pieces": [
            {
                "name": label_of(record, one),
                **facts_json(one, "beam", "piece", "part", "parts"),
                **lengths_json(one, step, "length", "width", *_PLACES),
            }
            for one in board.pieces
        ],
        "cleats": [
            {
                "length": length_json(one.end - one.start, step),
                **lengths_json(one, step, *_PLACES),
            }
            for one in board.cleats
        ],
        "bad": [lengths_json(one, step, "start", "end") for one in board.bad],
        **lengths_json(board, step, "waste"),
    }
