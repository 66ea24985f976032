"""What is missing over a whole job: answers about cuts whose figures changed, readings to
take, doubtful ones, pieces that are blocked."""

from collections.abc import Iterator
from dataclasses import dataclass

from crewdesk.job.beam import Beam
from crewdesk.job.believable import doubt, doubtful_ceiling
from crewdesk.job.changed_cuts import held_cuts
from crewdesk.job.edges import slant_unknown, unread_edge
from crewdesk.job.gates import follows_runs, unread_ceiling
from crewdesk.job.needs import CEILING, OUT_OF_SQUARE
from crewdesk.job.pair import SQUARES
from crewdesk.job.piece import Piece, Spot
from crewdesk.job.read_early import read_early
from crewdesk.job.readings import BESIDE, NAMES
from crewdesk.job.record import Record
from crewdesk.job.stages import Need, Stages, Step

HELD, TO_READ, DOUBTFUL, BLOCKED, LATER = "held", "to read", "doubtful", "blocked", "later"
NO_SLANT = "the square at each wall: edge A and edge B differ"
SORTS = (HELD, TO_READ, DOUBTFUL, BLOCKED, LATER)


@dataclass(frozen=True)
class Missing:
    """What one piece lacks: which of `SORTS`, the names of the readings, and in `why` a
    sentence that is shown in their place. What is held waits for an answer about a cut (see
    `changed_cuts`), what is read later for another piece. The spot of the ceiling over a beam
    names no piece."""

    sort: str
    spot: Spot
    readings: tuple[str, ...] = ()
    why: str = ""


def missing(record: Record) -> tuple[Missing, ...]:
    """What every piece lacks for the steps that are not behind it, by `SORTS`, then in the
    order of the beams; ceilings come after the readings of pieces."""
    found = [
        one
        for beam in record.beams
        for piece in beam.pieces.values()
        for one in missing_of(record.stages, beam, piece)
    ]
    return tuple(sorted(found, key=lambda one: (SORTS.index(one.sort), not one.spot.piece)))


def missing_of(stages: Stages, beam: Beam, piece: Piece) -> Iterator[Missing]:
    """What one piece lacks."""
    spot = Spot(beam.row, piece.key)
    for cut in held_cuts(beam):
        if cut.spot == spot:
            yield Missing(HELD, spot, why=cut.brief)
    ceiling = False
    unread: dict[str, list[str]] = {TO_READ: [], LATER: []}
    for step in stages.steps_of(piece.kind, piece.traits):
        mark = piece.steps.get(step.id)
        if mark is not None and mark.behind:
            continue
        if mark is not None:
            yield Missing(BLOCKED, spot, why=f"{step.name}: {mark.reason}")
        waiting = {need.what for need in step.needs if _waits(stages, beam, piece, need)}
        waiting |= {one for what in waiting for one in BESIDE.get(what, ())}
        for need in step.needs:
            slants = need.sort == OUT_OF_SQUARE or follows_runs(piece, need)
            if slants and slant_unknown(beam, piece) is not None:
                yield Missing(TO_READ, spot, SQUARES, NO_SLANT)
            elif need.what == CEILING:
                first = next(one for one in beam.pieces.values() if _ahead(one, step))
                ceiling = first.key == piece.key
            elif _unread(beam, piece, need):
                sort = LATER if need.what in waiting else TO_READ
                unread[sort] += [need.what] if need.what not in unread[sort] else []
    for sort, names in unread.items():
        if names:
            yield Missing(sort, spot, tuple(names))
    for early in read_early(stages, beam, piece):
        again = f"{NAMES[early.what]}: read too early, read it again"
        yield Missing(LATER if early.waits else TO_READ, spot, (early.what,), again)
    if ceiling and unread_ceiling(beam) is not None:
        yield Missing(TO_READ, Spot(beam.row, ""), (CEILING,))
    elif ceiling and (doubtful := doubtful_ceiling(beam)) is not None:
        yield Missing(DOUBTFUL, Spot(beam.row, ""), (CEILING,), doubtful)
    for what in piece.takes:
        if (why := doubt(beam, piece, what)) is not None:
            yield Missing(DOUBTFUL, spot, (what,), why)


def _ahead(piece: Piece, step: Step) -> bool:
    """Whether a step is one of the piece's and neither done nor skipped."""
    mark = piece.steps.get(step.id)
    return step.is_for(piece.kind, piece.traits) and not (mark is not None and mark.behind)


def _unread(beam: Beam, piece: Piece, need: Need) -> bool:
    """Whether a need asks for a reading of this piece that is not there."""
    if need.sort == OUT_OF_SQUARE:
        return unread_edge(beam, piece, need.what) is not None
    of_others = need.sort == "reading" and need.who
    return bool(need.what) and not of_others and piece.latest(need.what) is None


def _waits(stages: Stages, beam: Beam, piece: Piece, need: Need) -> bool:
    """Whether a reading can only be taken after a step that is not done elsewhere."""
    if need.sort != "read after" or not stages.has(need.step):
        return False
    marks = (other.steps.get(need.step) for other in beam.among(need.who, piece))
    return any(mark is None or not mark.behind for mark in marks)
