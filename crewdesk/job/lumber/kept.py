"""The plan of boards that a job keeps: put in, looked at again, and what it lacks."""

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

from crewdesk.job.beams.piece import NAME_OF
from crewdesk.job.change import ABSENT, Change, Doc, edit
from crewdesk.job.lumber.blanks import blank_of, boards_to_cut, width_to_rip
from crewdesk.job.lumber.board import CutFrom
from crewdesk.job.lumber.takeoff import KeptPlan, Matching, Takeoff
from crewdesk.job.lumber.task import cleats_on
from crewdesk.job.lumber.wanted import wanted_cleats
from crewdesk.job.record import Record
from crewdesk.job.rows import ONLY_ROW
from crewdesk.trade.books.money import cents


def keep(record: Record, takeoff: Takeoff, now: datetime) -> Change:
    """The change that keeps a takeoff, in place of the plan before."""
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
    """The takeoff that the job keeps; None where it keeps none."""
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
    )


def without_board(record: Record) -> tuple[str, ...]:
    """Return what the beams want and no board of the kept plan gives, each by its label.

    Cleats count once a whole one is lacking: less is shared among their joints.
    """
    have = _parts(record)
    missing = []
    for beam in record.beams:
        for key, board_of in boards_to_cut(beam).items():
            wanted = blank_of(beam, beam.pieces[key], record.job.cutting)
            parts = have.get((beam.row, key), [])
            if wanted is None or not _enough(parts, wanted.length, width_to_rip(board_of)):
                missing.append(f"{beam.label} {beam.pieces[key].name}")
    rules = record.job.cutting
    lacking = (
        one.length - cleats_on(record.boards, one.thickness) for one in wanted_cleats(record, rules)
    )
    if any(length > 0 and length >= rules.cleat_shortest for length in lacking):
        missing.append("cleats")
    return tuple(missing)


def _changed(record: Record) -> bool:
    """Whether boards of the kept plan that are not cut yet give pieces which no beam wants,
    or of another length or width than it wants now."""
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
    """By beam and piece, of how many parts each part on a board is one, its length and its
    width."""
    found: dict[tuple[str, str], list[tuple[int, Fraction, Fraction]]] = {}
    for board in record.boards:
        for one in board.pieces if board.state != "spoiled" else ():
            parts = found.setdefault((one.beam, one.piece), [])
            parts.append((one.parts, one.length, one.width))
    return found


def label_of(record: Record, cut: CutFrom) -> str:
    """What a piece on a board is told by."""
    if cut.beam not in record.tables.get("beams", {}):
        return f"{NAME_OF.get(cut.piece, cut.piece)} of a removed beam"
    label = f"{record.beam(cut.beam).label} {NAME_OF.get(cut.piece, cut.piece)}"
    return label if cut.parts == 1 else f"{label} part {cut.part} of {cut.parts}"


def _enough(parts: list[tuple[int, Fraction, Fraction]], length: Fraction, wide: Fraction) -> bool:
    """Whether parts make a piece: all of them there, together as long, and each as wide."""
    if any(width < wide for _, _, width in parts):
        return False
    for number in {parts_in_all for parts_in_all, _, _ in parts}:
        lengths = [long for of, long, _ in parts if of == number]
        if len(lengths) >= number and sum(sorted(lengths)[-number:], Fraction(0)) >= length:
            return True
    return False
