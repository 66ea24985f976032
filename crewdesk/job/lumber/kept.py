"""The board plan that a job keeps: save it, check it again, find what it lacks, put its cutoffs
into the stock and remove used boards."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.piece import NAME_OF
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import ABSENT, Change, Doc, Edit, edit
from crewdesk.job.lumber.blanks import (
    blank_of,
    blanks_of,
    boards_to_cut,
    unmeasured,
    wanted_cleats,
    width_to_rip,
)
from crewdesk.job.lumber.stock import HandBoard
from crewdesk.job.lumber.takeoff import Board, CutFrom, KeptPlan, Matching, Takeoff
from crewdesk.job.lumber.task import cleats_on, rows_on_hand, saws_of
from crewdesk.job.record import Record
from crewdesk.job.rows import ONLY_ROW
from crewdesk.trade.boards.stock import Saws, leftovers
from crewdesk.trade.books.money import cents


def keep(record: Record, takeoff: Takeoff, now: datetime) -> Change:
    """Return the change that keeps a takeoff, replacing the plan before."""
    new = {one.row: one.to_doc() for one in takeoff.boards}
    old: Mapping[str, Doc] = record.tables.get("boards", {})
    edits = [
        edit(record.tables, ("boards", row), new.get(row, ABSENT))
        for row in sorted({*new, *old}, key=int)
        if new.get(row) != old.get(row)
    ]
    by_eye, asked = takeoff.first_fit, takeoff.matching
    plan = KeptPlan(
        cents(takeoff.bound),
        takeoff.saws,
        None if by_eye is None else cents(by_eye),
        takeoff.first_fit_waste,
        None if asked is None else Matching(*map(cents, asked._asdict().values())),
    )
    edits.append(edit(record.tables, ("job", ONLY_ROW, "plan"), plan.to_doc()))
    count = len(new)
    return Change(f"saved a plan of {count} board{('' if count == 1 else 's')}", tuple(edits), now)


def kept_takeoff(record: Record) -> Takeoff | None:
    """Return the job's kept takeoff; None if there is none."""
    plan = record.job.plan
    if plan is None or not record.boards:
        return None
    cost = sum((one.price for one in record.boards), Decimal(0))
    cleats = wanted_cleats(record, record.job.cutting)
    return Takeoff(
        record.boards,
        cost,
        min(cost, plan.bound),
        plan.first_fit,
        plan.first_fit_waste,
        sum((one.length for one in cleats), Fraction(0)),
        plan.matching,
        plan.saws,
        without_board(record),
        _changed(record),
        unmeasured(record),
    )


def without_board(record: Record) -> tuple[str, ...]:
    """Return the pieces that no board of the kept plan gives, by label, without those of
    `unmeasured` beams.

    Cleats count if a whole one is missing: less is shared among their joints.
    """
    have = _parts(record)
    missing = []
    for beam in record.beams:
        boards = boards_to_cut(beam)
        for key, wanted in (blanks_of(beam, record.job.cutting) or {}).items():
            parts = have.get((beam.row, key), [])
            if not _enough(parts, wanted.length, width_to_rip(boards[key])):
                missing.append(f"{beam.label} {beam.pieces[key].name}")
    rules = record.job.cutting
    lacking = (
        one.length - cleats_on(record.boards, one.thickness) for one in wanted_cleats(record, rules)
    )
    if any(length > 0 and length >= rules.cleat_shortest for length in lacking):
        missing.append("cleats")
    return tuple(missing)


def _changed(record: Record) -> bool:
    """Return whether uncut boards of the kept plan give pieces that no beam needs, or of another
    length or width."""
    rule, every = record.job.cutting, _parts(record)
    open_ = {
        (one.beam, one.piece)
        for board in record.boards
        if board.state in ("to buy", "bought")
        for one in board.pieces
    }
    for row, key in open_:
        beam = record.beam(row) if row in record.tables.get("beams", {}) else None
        if beam is None or key not in boards_to_cut(beam):
            return True
        board, blank = boards_to_cut(beam)[key], blank_of(beam, beam.pieces[key], rule)
        splice = rule.splice_rule(board.thickness)
        lap = Fraction(0) if splice is None else splice.overlap
        parts = every[row, key]
        long = sum((length for _, length, _ in parts), -lap * (len(parts) - 1))
        wide = {width for _, _, width in parts}
        if blank is None or long != blank.length or wide != {width_to_rip(board)}:
            return True
    return False


def _parts(record: Record) -> dict[tuple[str, str], list[tuple[int, Fraction, Fraction]]]:
    """Return, by beam and piece, the number of parts, and the length and width of each part on a
    board."""
    found: dict[tuple[str, str], list[tuple[int, Fraction, Fraction]]] = {}
    for board in record.boards:
        for one in board.pieces if board.state != "spoiled" else ():
            parts = found.setdefault((one.beam, one.piece), [])
            parts.append((one.parts, one.length, one.width))
    return found


def label_of(record: Record, cut: CutFrom) -> str:
    """Return the label of a piece on a board."""
    if cut.beam not in record.tables.get("beams", {}):
        return f"{NAME_OF.get(cut.piece, cut.piece)} of a removed beam"
    label = f"{record.beam(cut.beam).label} {NAME_OF.get(cut.piece, cut.piece)}"
    return label if cut.parts == 1 else f"{label} part {cut.part} of {cut.parts}"


def _enough(parts: list[tuple[int, Fraction, Fraction]], length: Fraction, wide: Fraction) -> bool:
    """Return whether parts make a piece: all there, long enough together, and each wide enough."""
    if any(width < wide for _, _, width in parts):
        return False
    for number in {parts_in_all for parts_in_all, _, _ in parts}:
        lengths = [long for of, long, _ in parts if of == number]
        if len(lengths) >= number and sum(sorted(lengths)[-number:], Fraction(0)) >= length:
            return True
    return False


@dataclass(frozen=True)
class LeftOver:
    """A rectangular cutoff that is worth keeping, in inches."""

    board: Board
    length: Fraction
    width: Fraction

    def on_hand(self, row: str, job: str) -> HandBoard:
        """Return it as a board on hand from a job of that name."""
        one = self.board
        return HandBoard(
            row, one.species, one.grade, one.size, one.thickness, self.width, self.length, (), job
        )


def left_over(record: Record) -> tuple[LeftOver, ...]:
    """Return all cutoffs of the job's boards worth keeping. Boards never bought, and ruined ones,
    give none. Bought but uncut boards count as cut by the plan."""
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
    """Return the business's change that adds a job's cutoffs to the stock and removes the boards on
    hand that it used. Raises `NotAllowed` if that was done, or there is nothing."""
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
    """Return the job's change that records that its cutoffs are in the stock."""
    _not_closed(record)
    at = ("job", ONLY_ROW, "plan", "closed")
    put = edit(record.tables, at, on.isoformat())
    return Change("put the cutoffs into stock", (put,), now)


def claim(books: ShopRecord, record: Record, job: str, now: datetime) -> Change | None:
    """Return the business's change that sets aside the boards on hand of a job's plan and releases
    others; None if nothing changes."""
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
