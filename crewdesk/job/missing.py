"""What is missing over a whole job: answers about cuts whose figures changed, readings to
take, doubtful ones, pieces that are blocked."""

from collections.abc import Iterator
from dataclasses import dataclass

from crewdesk.job.beam import Beam
from crewdesk.job.believable import doubt
from crewdesk.job.changed_cuts import held_cuts
from crewdesk.job.piece import Piece, Spot
from crewdesk.job.readings import OF_KIND
from crewdesk.job.record import Record
from crewdesk.job.stages import Need, Stages

HELD, TO_READ, DOUBTFUL, BLOCKED, LATER = "held", "to read", "doubtful", "blocked", "later"
SORTS = (HELD, TO_READ, DOUBTFUL, BLOCKED, LATER)


@dataclass(frozen=True)
class Missing:
    """What one piece lacks: which of `SORTS`, the names of the readings, or in `why` a
    sentence. What is held waits for an answer about a cut (see `changed_cuts`), what is read
    later for another piece."""

    sort: str
    spot: Spot
    readings: tuple[str, ...] = ()
    why: str = ""


def missing(record: Record) -> tuple[Missing, ...]:
    """What every piece lacks for the steps that are not behind it, by `SORTS`, then in the
    order of the beams."""
    found = [
        one
        for beam in record.beams
        for piece in beam.pieces.values()
        for one in missing_of(record.stages, beam, piece)
    ]
    return tuple(sorted(found, key=lambda one: SORTS.index(one.sort)))


def missing_of(stages: Stages, beam: Beam, piece: Piece) -> Iterator[Missing]:
    """What one piece lacks."""
    spot = Spot(beam.row, piece.key)
    for cut in held_cuts(stages, beam):
        if cut.spot == spot:
            yield Missing(HELD, spot, why=cut.brief)
    unread: dict[str, list[str]] = {TO_READ: [], LATER: []}
    for step in stages.steps_of(piece.kind, piece.traits):
        mark = piece.steps.get(step.id)
        if mark is not None and mark.behind:
            continue
        if mark is not None:
            yield Missing(BLOCKED, spot, why=f"{step.name}: {mark.reason}")
        waiting = {need.what for need in step.needs if _waits(stages, beam, piece, need)}
        for need in step.needs:
            if need.what and piece.latest(need.what) is None:
                sort = LATER if need.what in waiting else TO_READ
                unread[sort] += [need.what] if need.what not in unread[sort] else []
    for sort, names in unread.items():
        if names:
            yield Missing(sort, spot, tuple(names))
    for what in OF_KIND[piece.kind]:
        if (why := doubt(beam, piece, what)) is not None:
            yield Missing(DOUBTFUL, spot, (what,), why)


def _waits(stages: Stages, beam: Beam, piece: Piece, need: Need) -> bool:
    """Whether a reading can only be taken after a step that is not done elsewhere."""
    if need.sort != "read after" or not stages.has(need.step):
        return False
    marks = (other.steps.get(need.step) for other in beam.among(need.who, piece))
    return any(mark is None or not mark.behind for mark in marks)
