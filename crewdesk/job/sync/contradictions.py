"""Changes that came from other machines, in words, and contradictions in an imported or recovered
job."""

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
    """A snapshot of a job before changes came: its cuts that need an answer, and its changes kept
    apart."""

    cuts: Keys
    apart: Collection[str]

    @staticmethod
    def of(record: Record) -> "Before":
        """Return the snapshot for a later comparison."""
        return Before(open_keys(record), {one.row for one in unsettled(record)})


class CameIn(NamedTuple):
    """A summary of what came: `changes` in one sentence; `apart`, changes made in two places;
    `cuts`, cuts that need an answer or stay since their step is gone; each "" if empty. `asks`:
    whether any cut of the job needs an answer."""

    changes: str
    apart: str
    cuts: str
    asks: bool = False


def came_in(record: Record, before: Before, came: Sequence[Change]) -> CameIn:
    """Return the summary of the changes `came`, for a job that was as `before`."""
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
    """Return a sentence for each contradiction in a job.

    These are rows that an older version accepted but no longer may come in, broken rules between
    rows, needs that no piece can meet, steps of pieces that can't take them, steps done though
    their gate is closed or before their needs, and cuts whose figures changed. Overridden gates are
    left out, and a cut's own gate if the cut itself is listed or was kept.
    """
    cuts = open_cuts(record)
    asked = {("gate", *one.spot, one.step_id) for one in cuts}
    lines: list[str] = []
    for beam in record.beams:
        lines += done_early(record, beam)
        found = done_too_early(record.stages, beam)
        lines += _out_of_order(record.stages, beam, {*found, *asked})
    between = (*orders_astray(record.tables).values(), *lines_twice(record.tables).values())
    return (
        *_not_sound(record),
        *between,
        *never_met(record.stages),
        *misplaced(record.stages),
        *lines,
        *(question(record, one) for one in cuts),
    )


def done_early(record: Record, beam: Beam) -> list[str]:
    """Return a sentence for each step of a beam that is done though its gate is closed."""
    found = early(record.stages, beam).values()
    return [f"{what} was done too early: {gate}" for what, gate in found]


def _not_sound(record: Record) -> Iterator[str]:
    """Yield the error that each row would raise if it came in today."""
    for table, rows in record.tables.items():
        for row, doc in rows.items():
            if (refused := record.not_sound(table, row, doc)) is not None:
                yield told_of(table, row, refused)


def _out_of_order(stages: Stages, beam: Beam, listed: set[object]) -> Iterator[str]:
    """Yield a sentence for each done step, except those `listed`, that is dated before another
    piece's step or a reading that it needs."""
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
    """Yield when each item of a need was there, and its words."""
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
