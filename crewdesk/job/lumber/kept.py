"""The plan of boards that a job keeps: put in, looked at again, and what it lacks."""

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

from crewdesk.job.change import ABSENT, Change, Doc, edit
from crewdesk.job.lumber.board import CutFrom
from crewdesk.job.lumber.takeoff import Takeoff
from crewdesk.job.lumber.wanted import piece_to_cut, wanted_cleats
from crewdesk.job.piece import NAME_OF
from crewdesk.job.record import Record
from crewdesk.job.rows import ONLY_ROW
from crewdesk.trade.books.money import cents
from crewdesk.trade.cuts.forms import FormBoard


def keep(record: Record, takeoff: Takeoff, now: datetime) -> Change:
    """The change that keeps a takeoff, in place of the plan before."""
    new = {one.row: one.to_doc() for one in takeoff.boards}
    old: Mapping[str, Doc] = record.tables.get("boards", {})
    edits = [
        edit(record.tables, ("boards", row), new.get(row, ABSENT))
        for row in sorted({*new, *old}, key=int)
        if new.get(row) != old.get(row)
    ]
    doc: Doc = {"bound": str(cents(takeoff.bound))}
    if takeoff.first_fit is not None:
        doc["first_fit"] = str(cents(takeoff.first_fit))
    if takeoff.first_fit_waste is not None:
        doc["first_fit_waste"] = str(takeoff.first_fit_waste)
    if takeoff.matching is not None:
        doc["matching"] = [str(cents(one)) for one in vars(takeoff.matching).values()]
    edits.append(edit(record.tables, ("job", ONLY_ROW, "plan"), doc))
    count = len(new)
    return Change(f"kept a plan of {count} board{'' if count == 1 else 's'}", tuple(edits), now)


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
    )


def without_board(record: Record) -> tuple[str, ...]:
    """What the beams want and no board of the kept plan gives, each as it is told."""
    have: dict[tuple[str, str], list[tuple[int, Fraction, Fraction]]] = {}
    for board in record.boards:
        if board.state != "spoiled":
            for one in board.pieces:
                found = have.setdefault((one.beam, one.piece), [])
                found.append((one.parts, one.length, one.width))
    missing = []
    for beam in record.beams:
        for key, board_of in beam.boards.items():
            wanted = piece_to_cut(beam, beam.pieces[key], record.job.cutting)
            parts = have.get((beam.row, key), [])
            if wanted is None or not _enough(parts, wanted[0], board_of):
                missing.append(f"{beam.label} {beam.pieces[key].name}")
    return tuple(missing)


def label_of(record: Record, cut: CutFrom) -> str:
    """What a piece on a board is told by."""
    if cut.beam not in record.tables.get("beams", {}):
        return f"{NAME_OF.get(cut.piece, cut.piece)} of a beam taken out"
    label = f"{record.beam(cut.beam).label} {NAME_OF.get(cut.piece, cut.piece)}"
    return label if cut.parts == 1 else f"{label} part {cut.part} of {cut.parts}"


def _enough(
    parts: list[tuple[int, Fraction, Fraction]], length: Fraction, board: FormBoard
) -> bool:
    """Whether parts make a piece: all of them there, together as long, and each as wide."""
    if any(width < board.width for _, _, width in parts):
        return False
    for number in {parts_in_all for parts_in_all, _, _ in parts}:
        lengths = [long for of, long, _ in parts if of == number]
        if len(lengths) >= number and sum(sorted(lengths)[-number:], Fraction(0)) >= length:
            return True
    return False
