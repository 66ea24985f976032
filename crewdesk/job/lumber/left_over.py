"""What a job leaves over goes into the stock on hand, and what it took is struck off."""

from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import ABSENT, Change, Edit, edit
from crewdesk.job.lumber.board import Board
from crewdesk.job.lumber.stock import HandBoard
from crewdesk.job.lumber.task import rows_on_hand, saws_of
from crewdesk.job.record import Record
from crewdesk.job.rows import ONLY_ROW
from crewdesk.trade.boards.cut_board import leftovers
from crewdesk.trade.boards.stock import Saws


@dataclass(frozen=True)
class LeftOver:
    """A whole rectangle of a board that is worth keeping, in inches."""

    board: Board
    length: Fraction
    width: Fraction

    def on_hand(self, row: str, job: str) -> HandBoard:
        """As a board on hand, left over from a job of that name."""
        one = self.board
        return HandBoard(
            row, one.species, one.grade, one.size, one.thickness, self.width, self.length, (), job
        )


def left_over(record: Record) -> tuple[LeftOver, ...]:
    """All that the job's boards leave which is worth keeping; boards never bought leave
    nothing, spoiled ones neither. What is only bought counts as cut by the plan."""
    rules = record.job.cutting
    saws = saws_of(rules)
    found = []
    for board in record.boards:
        if board.state not in ("bought", "cut"):
            continue
        # At a bad stretch a board is crosscut first, and each part then cut by itself.
        for part in Saws(rules.kerf).clear_stretches(board.length, board.bad):
            on_it = [one for one in board.on_it if part.start <= one.start and one.end <= part.end]
            found += [
                LeftOver(board, one.end - one.start, one.far - one.near)
                for one in leftovers(
                    part,
                    board.width,
                    board.first,
                    on_it,
                    saws,
                    rules.keep,
                    max(rules.cleat, Fraction(1)),
                )
            ]
    return tuple(found)


def put_in_stock(books: ShopRecord, record: Record, job: str, now: datetime) -> Change:
    """The change of the shop that takes a job's leftovers in and strikes off the boards on
    hand that it used. Raises `NotAllowed` where that was done, or there is nothing."""
    _not_closed(record)
    edits: list[Edit] = []
    used = set(rows_on_hand(books, record, job).values())
    edits += [edit(books.tables, ("on_hand", row), ABSENT) for row in sorted(used, key=int)]
    edits += [
        edit(books.tables, ("on_hand", one.row), _let_go(one).to_doc())
        for one in books.on_hand
        if one.is_for(job, record.begun) and one.row not in used
    ]
    first = int(books.new_row("on_hand"))
    every = left_over(record)
    for place, one in enumerate(every):
        row = str(first + place)
        doc = one.on_hand(row, record.job.name).to_doc()
        edits.append(edit(books.tables, ("on_hand", row), doc))
    if not edits:
        raise NotAllowed("No board of this job has been bought and leaves a cutoff worth keeping.")
    count = len(every)
    what = f"added {count} cutoff{('' if count == 1 else 's')} of {record.job.name}"
    return Change(what, tuple(edits), now)


def close_plan(record: Record, on: date, now: datetime) -> Change:
    """The change of the job that notes its leftovers as put into the stock."""
    _not_closed(record)
    at = ("job", ONLY_ROW, "plan", "closed")
    put = edit(record.tables, at, on.isoformat())
    return Change("put the cutoffs into stock", (put,), now)


def claim(books: ShopRecord, record: Record, job: str, now: datetime) -> Change | None:
    """The change of the shop that sets the boards on hand aside which a job's plan uses,
    and lets those go that it no longer does; None where nothing is different."""
    used = set(rows_on_hand(books, record, job).values())
    edits: list[Edit] = []
    for one in books.on_hand:
        now_for = {"job": one.job, "begun": one.begun}
        if one.row in used:
            now_for = {"job": job, "begun": record.begun}
        elif one.is_for(job, record.begun):
            now_for = {"job": "", "begun": ""}
        edits += [
            edit(books.tables, ("on_hand", one.row, key), value or ABSENT)
            for key, value in now_for.items()
            if value != getattr(one, key)
        ]
    if not edits:
        return None
    return Change(f"set boards on hand aside for {record.job.name}", tuple(edits), now)


def _let_go(one: HandBoard) -> HandBoard:
    return one._replace(job="", begun="")


def _not_closed(record: Record) -> None:
    if record.job.plan is None:
        raise NotAllowed("There is no saved plan of boards, so nothing is left over.")
    if record.job.plan.closed is not None:
        raise NotAllowed(
            f"This job's cutoffs went into stock on {record.job.plan.closed}. Nothing was changed."
        )
