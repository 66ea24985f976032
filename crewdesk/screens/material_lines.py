"""The lines of the material: what to buy by size, and each board with its cuts to scale."""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

from crewdesk.job.lumber.board import Board
from crewdesk.job.lumber.buying_list import Buy
from crewdesk.job.lumber.kept import label_of
from crewdesk.job.record import Record
from crewdesk.paper.board_bar import bar, rows_of
from crewdesk.paper.boards_told import scarfed
from crewdesk.paper.buying_told import buy_head, buy_total
from crewdesk.paper.lengths import board_length
from crewdesk.screens.lines import Row

_SIGNS = {"to buy": "□", "bought": "◪", "cut": "✓", "spoiled": "x"}


def buy_rows(buy: tuple[Buy, ...]) -> list[Row]:
    """A head for each size, a line for each length, and the total."""
    rows = [Row(((" Buy", "head"), ("   □ to buy  ◪ some bought  ✓ all bought", "muted")))]
    head = ""
    for one in buy:
        if buy_head(one) != head:
            head = buy_head(one)
            rows.append(Row(((f" {head}", "strong"),)))
        sign = "✓" if one.bought == one.count else "◪" if one.bought else "□"
        more = f"  {one.bought} bought" if 0 < one.bought < one.count else ""
        more += f"  and {one.spare} spare" if one.spare else ""
        told = f"  {sign} {one.count:>3} x {board_length(one.length):<9}"
        cost = f"{one.each:>10,.2f} each{_money(one.cost):>12}"
        key = f"buy:{','.join(one.rows)}"
        rows.append(Row(((told, "text"), (cost, "text"), (more, "muted")), key))
    rows.append(Row(((f" {buy_total(buy)}", "strong"),)))
    return rows


def board_rows(record: Record, boards: Sequence[Board], width: int) -> list[Row]:
    """Each board: its sign and number, its bar to one scale, what is cut from it."""
    scarfs = scarfed(record, boards)
    signs = "   = piece  - cleat  | cut  . waste  x bad wood" + "  / scarf" * scarfs
    rows = [Row(()), Row(((" Boards", "head"), (signs, "muted")))]
    longest = max((one.length for one in boards), default=Fraction(1))
    columns = max(12, width // 2 - 14)
    for one in boards:
        sign = "◨" if one.hand and one.state == "bought" else _SIGNS[one.state]
        told = f" {sign} {one.row:>3} {one.size[:7]:<7} {board_length(one.length):<8}"
        row = next((r for _, r in rows_of(one)), [])
        drawn = (
            "spoiled" if one.state == "spoiled" else bar(one, row, columns, longest, scarfs=scarfs)
        )
        ink = "muted" if one.state in ("cut", "spoiled") else "text"
        rows.append(
            Row(
                ((told, ink), (f"{drawn:<{columns}} ", ink), (_names(record, one), "muted")),
                f"board:{one.row}",
            )
        )
    return rows


def _names(record: Record, board: Board) -> str:
    if board.state == "spoiled":
        return ""
    told = [label_of(record, one) for one in board.pieces]
    if board.cleats:
        count = len(board.cleats)
        told.append(f"{count} cleat{'' if count == 1 else 's'}")
    return ", ".join(told) or "nothing is cut from it"


def text_rows(head: str, lines: Iterable[str]) -> list[Row]:
    """Lines under a head that the cursor passes over."""
    return [Row(()), Row(((f" {head}", "head"),)), *(Row(((f" {one}", "text"),)) for one in lines)]


def _money(amount: Decimal) -> str:
    return f"{amount:,.2f}"
