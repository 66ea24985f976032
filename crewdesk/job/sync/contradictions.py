"""What came in from elsewhere, in words, and what doesn't fit together in a job that came in, or
was brought back.
"""

from collections.abc import Collection, Iterator, Sequence
from datetime import datetime
from typing import NamedTuple

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import NAMES
from crewdesk.job.change import Change
from crewdesk.job.cuts.open_cuts import Keys, open_cuts, open_keys, question, told_since
from crewdesk.job.invariants import done_too_early, early, lines_twice, orders_astray
from crewdesk.job.record import Record
from crewdesk.job.steps.stages import BEAM, Need, Stages
from crewdesk.job.steps.step_effects import never_met
from crewdesk.job.steps.usual_stages import misplaced, step_name
from crewdesk.job.sync.conflicts import unsettled
from crewdesk.job.sync.exchange import told_of


class Before(NamedTuple):
    """A job before changes came in: the cuts that wait for an answer, and the rows of the
    changes that are kept apart."""

    cuts: Keys
    apart: Collection[str]

    @staticmethod
    def of(record: Record) -> "Before":
        """Return what is compared later."""
        return Before(open_keys(record), {one.row for one in unsettled(record)})


class CameIn(NamedTuple):
    """What came in: `changes` in one sentence, `apart` which was changed in two places, `cuts`
    which cuts wait for an answer by it, or stay as they are since their step is gone; each "" where
    there is nothing to say. `asks` says whether any cut of the job waits for an answer."""

    changes: str
    apart: str
    cuts: str
    asks: bool = False


def came_in(record: Record, before: Before, came: Sequence[Change]) -> CameIn:
    """Return what the changes `came` did to a job that was as `before`."""
    apart = [one for one in unsettled(record) if one.row not in before.apart]
    made = [one for one in came if not any(edit.at[0] == "unsettled" for edit in one.edits)]
    return CameIn(
        _changes(made),
        _apart([one.what for one in apart]),
        told_since(record, before.cuts),
        bool(open_cuts(record)),
    )


def _changes(came: Sequence[Change]) -> str:
    if not came:
        return ""
    if len(came) == 1:
        return f"1 change made on another computer: {came[0].what}."
    return f"{len(came)} changes made on another computer, the last: {came[-1].what}."


def _apart(whats: Sequence[str]) -> str:
    if not whats:
        return ""
    more = f" and {len(whats) - 1} more" if len(whats) > 1 else ""
    return f"Changed in two places: {whats[0]}{more}. Both are kept."


def contradictions(record: Record) -> tuple[str, ...]:
    """Return a sentence for each row that an older version took and that can't come in any more,
    for what doesn't hold between rows, for each need that no piece can meet, for each step of
    pieces that can't take it, for each step that is done though its gate is closed or before what
    it needs, and for each cut that today's figures would make otherwise. A gate that was passed
    on purpose is left out; so is a cut's own gate where the cut itself is asked about, or was
    kept though it should have waited."""
    cuts = open_cuts(record)
    asked = {("gate", *one.spot, one.step_id) for one in cuts}
    told: list[str] = []
    for beam in record.beams:
        told += done_early(record, beam)
        found = done_too_early(record.stages, beam)
        told += _out_of_order(record.stages, beam, {*found, *asked})
    between = (*orders_astray(record.tables).values(), *lines_twice(record.tables).values())
    return (
        *_not_sound(record),
        *between,
        *never_met(record.stages),
        *misplaced(record.stages),
        *told,
        *(question(record, one) for one in cuts),
    )


def done_early(record: Record, beam: Beam) -> list[str]:
    """Return a sentence for each step of a beam that is done though its gate is closed."""
    found = early(record.stages, beam).values()
    return [f"{what} was done too early: {gate}" for what, gate in found]


def _not_sound(record: Record) -> Iterator[str]:
    """Yield what each row would be refused with if it came in today."""
    for table, rows in record.tables.items():
        for row, doc in rows.items():
            if (refused := record.not_sound(table, row, doc)) is not None:
                yield told_of(table, row, refused)


def _out_of_order(stages: Stages, beam: Beam, listed: set[object]) -> Iterator[str]:
    """Yield a sentence for each done step, but those `listed`, with a time before that of a step
    of another piece or of a reading that it needs."""
    for piece in beam.pieces.values():
        for step in stages.steps_of(piece.kind, piece.traits):
            mark = piece.steps.get(step.id)
            if mark is None or mark.state != "done" or mark.override:
                continue
            if ("gate", beam.row, piece.key, step.id) in listed:
                continue
            for need in step.needs:
                later = [one for when, one in _times(stages, beam, piece, need) if when > mark.when]
                if later:
                    where = f"{beam.label} {piece.name}"
                    yield f"'{step.name}' on {where} was checked off before {later[0]}."
                    break


def _times(stages: Stages, beam: Beam, piece: Piece, need: Need) -> Iterator[tuple[datetime, str]]:
    """Yield when each thing was there that a need asks for, and its words."""
    if need.who == BEAM:
        if beam.pair.ceilings:
            yield beam.pair.ceilings[0].when, "the ceiling was measured"
        return
    for other in beam.among(need.who or "piece", piece):
        if need.sort in ("done", "read after"):
            mark = other.steps.get(need.step)
            if mark is not None and mark.state == "done" and other.key != piece.key:
                yield mark.when, f"'{step_name(stages, need.step)}' on {other.name}"
        elif need.sort == "reading" and (taken := other.readings.get(need.what)):
            yield taken[0].when, f"the {NAMES[need.what]} of {other.name} was measured"
