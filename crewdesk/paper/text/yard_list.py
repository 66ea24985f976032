"""The yard list: what to buy for a job's kept plan, by size, and each board's pieces."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import NotAllowed
from crewdesk.job.lumber.buying_list import Buy, buying_list, used_up
from crewdesk.job.lumber.kept import kept_takeoff, label_of
from crewdesk.job.lumber.takeoff import Board
from crewdesk.job.record import Record
from crewdesk.length import Step
from crewdesk.paper.lengths import board_length, with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import heading
from crewdesk.paper.text.takeoff import used_lines, without_beams


class YardRow(NamedTuple):
    """Boards of one size and length: `to_buy` of them, `spare` ones included, each at a price;
    `board_feet` of those to buy; `becomes` lists the pieces of each one not bought yet."""

    size: str
    length: str
    to_buy: int
    spare: int
    bought: int
    each: Decimal
    board_feet: Fraction
    becomes: tuple[str, ...]

    @property
    def cost(self) -> Decimal:
        """The cost of those to buy."""
        return self.each * self.to_buy

    @property
    def words(self) -> str:
        """Count, length, board feet and price, in one line."""
        if not self.to_buy:
            return f"{self.length}: all {self.bought} bought"
        had = f", {self.bought} bought" if self.bought else ""
        spare = f" ({self.spare} spare)" if self.spare else ""
        return (
            f"{self.to_buy} x {self.length}{spare}{had}: {float(self.board_feet):.1f} board feet, "
            f"${self.each:,.2f} each, ${self.cost:,.2f}"
        )


class YardList(NamedTuple):
    """The rows, widest and longest first, with the total to buy, and the supplies."""

    rows: tuple[YardRow, ...]
    supplies: tuple[str, ...]
    without: str = ""

    @property
    def total(self) -> str:
        """Boards, board feet and cost of what is to buy, in one line."""
        boards = sum(one.to_buy for one in self.rows)
        feet = float(sum((one.board_feet for one in self.rows), Fraction(0)))
        cost = sum((one.cost for one in self.rows), Decimal(0))
        s = "" if boards == 1 else "s"
        text = f"To buy: {boards} board{s}, {feet:.1f} board feet, ${cost:,.2f}"
        return f"{text}, {self.without}" if self.without else text


def yard_list(record: Record, prices: Mapping[str, Decimal]) -> YardList:
    """Return the yard list of the plan that a job keeps; `prices` are those of packs of supplies.
    Raises `NotAllowed` if no plan is kept."""
    takeoff = kept_takeoff(record)
    if takeoff is None:
        raise NotAllowed(
            "This job has no saved plan of boards. Plan and save it on the material page, or run "
            "`crewdesk takeoff JOB --keep`."
        )
    boards = {one.row: one for one in takeoff.boards}
    step = record.job.step
    rows = tuple(
        _row(record, one, [boards[row] for row in one.rows], step)
        for one in buying_list(takeoff, record.job.cutting.spare)
    )
    supplies = tuple(used_lines(used_up(record, takeoff.boards), prices))
    without = without_beams(takeoff.unmeasured) if takeoff.unmeasured else ""
    return YardList(rows, supplies, without)


def _row(record: Record, one: Buy, boards: list[Board], step: Step) -> YardRow:
    to_buy = one.count - one.bought + one.spare
    feet = one.board_feet * to_buy / one.count if one.count else Fraction(0)
    becomes = tuple(_becomes(record, one, step) for one in boards if one.state == "to buy")
    length = board_length(one.length)
    return YardRow(one.label, length, to_buy, one.spare, one.bought, one.each, feet, becomes)


def _becomes(record: Record, board: Board, step: Step) -> str:
    pieces = sorted(board.pieces, key=lambda one: (one.near, one.start))
    parts = [f"{label_of(record, one)} {with_unit(one.length, step, 'up')}" for one in pieces]
    parts += [f"cleat {with_unit(one.end - one.start, step, 'up')}" for one in board.cleats]
    return f"board {board.row}: {', '.join(parts) or 'nothing is cut from it'}"


def yard_lines(record: Record, prices: Mapping[str, Decimal]) -> Iterator[str]:
    """Yield the yard list as plain text, to be sent as a message."""
    found = yard_list(record, prices)
    yield heading(record.job, "yard list")
    yield found.total
    size = ""
    for one in found.rows:
        if one.size != size:
            size = one.size
            yield ""
            yield plain(size)
        yield f"[{'x' if not one.to_buy else ' '}] {one.words}"
        for line in one.becomes:
            yield f"    {plain(line)}"
    if found.supplies:
        yield ""
        yield "Supplies"
        for line in found.supplies:
            yield f"[ ] {plain(line)}"
