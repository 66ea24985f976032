"""Check steps off, skip or block them, or clear them; on one piece or a batch."""

from collections.abc import Iterable
from datetime import datetime
from typing import Literal

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece, StepMark
from crewdesk.job.beams.piece import Spot as Spot
from crewdesk.job.change import ABSENT, Change, Edit, edit, edit_row
from crewdesk.job.cuts.as_cut import as_cut
from crewdesk.job.record import Record
from crewdesk.job.steps.gates import closed, state, unmet
from crewdesk.job.steps.stages import Stages, Step
from crewdesk.job.steps.usual_stages import listed
from crewdesk.job.text_limits import checked_note
from crewdesk.trade.cuts.shop_machine import Way

_MOST_NAMED = 6


def tick(
    record: Record, spot: Spot, step_id: str, now: datetime, *, override: str | None = None
) -> Change:
    """Return the change that checks off one step of one piece.

    A closed gate raises `NotAllowed` with its sentence, unless `override` gives a reason, which is
    saved with the gate's sentence. A step that cuts keeps its figures.
    """
    beam = record.beam(spot.beam)
    piece, step = beam.piece(spot.piece), record.stages.step(step_id)
    where = f"{beam.label} {piece.name}"
    if not step.is_for(piece.kind, piece.traits):
        raise NotAllowed(f"'{step.name}' isn't a step of a {piece.kind}.")
    old = piece.steps.get(step_id)
    if old is not None and old.state == "done":
        raise NotAllowed(f"'{step.name}' is already done on {where}. Nothing was changed.")
    if old is not None and old.state == "blocked":
        raise NotAllowed(
            f"'{step.name}' is blocked on {where}: {old.reason}. Unblock it first. "
            "Nothing was changed."
        )
    gate = closed(record.stages, beam, piece, step)
    cut = as_cut(record.tables, beam, piece, step_id)
    if cut is not None and step_id == "cut-scribe":
        cut = cut._replace(way=_way_now(record, beam, piece))
    if gate is None:
        mark = StepMark("done", now, cut=cut)
    elif override is None:
        raise NotAllowed(gate)
    else:
        reason = _reason(override, "override")
        mark = StepMark("done", now, override=reason, gate=gate, cut=cut)
    passed = " early, by override" if mark.override else ""
    return Change(
        f"checked off '{step.name}' on {where}{passed}", (_mark(record, spot, step_id, mark),), now
    )


def _way_now(record: Record, beam: Beam, piece: Piece) -> Way | Literal[""]:
    """Return how a side is cut to its scribe line now; "" if unknown."""
    from crewdesk.job.cuts.scribe_way import scribe_cut_known

    made = scribe_cut_known(beam, piece, record.crew.machine, record.job.step)
    return "" if made is None else made.way


def tick_all(record: Record, spots: Iterable[Spot], step_id: str, now: datetime) -> Change:
    """Return the change that checks off one step on many pieces; raises `NotAllowed` if any is not
    ready."""
    spots = tuple(dict.fromkeys(spots))
    if not spots:
        raise NotAllowed("No piece is ready for that step. Nothing was changed.")
    edits = tuple(e for spot in spots for e in tick(record, spot, step_id, now).edits)
    name, pieces = record.stages.step(step_id).name, "piece" if len(spots) == 1 else "pieces"
    return Change(f"checked off '{name}' on {len(spots)} {pieces}", edits, now)


def set_aside(
    record: Record, spot: Spot, step_id: str, as_: str, reason: str, now: datetime
) -> Change:
    """Return the change that marks a step "blocked" or "skipped", with the reason.

    Its words name the steps that no longer wait for a skipped one. Raises `NotAllowed` if the step
    is done, or if done steps depend on it and it would be blocked.
    """
    beam = record.beam(spot.beam)
    piece, step = beam.piece(spot.piece), record.stages.step(step_id)
    if as_ not in ("blocked", "skipped"):
        raise NotAllowed(f"A step can be set aside as blocked or skipped, not as {as_}.")
    if not step.is_for(piece.kind, piece.traits):
        raise NotAllowed(f"'{step.name}' isn't a step of a {piece.kind}.")
    if state(record.stages, beam, piece, step) == "done":
        raise NotAllowed(
            f"'{step.name}' is already done on {beam.label} {piece.name}. Undo that "
            "first. Nothing was changed."
        )
    mark = StepMark(as_, now, reason=_reason(reason, "set a step aside"))
    noted = _mark(record, spot, step_id, mark)
    _nothing_rests_on(record, noted)
    opened = _opened(record, noted, piece, step) if as_ == "skipped" else ""
    return Change(f"{as_} '{step.name}' on {beam.label} {piece.name}{opened}", (noted,), now)


def _opened(record: Record, noted: Edit, of: Piece, skipped: Step) -> str:
    """Return what a skipped step opens, as the end of a sentence; "" for nothing: each step that
    becomes ready, and each that needed it by name."""
    row, stages = noted.at[1], record.stages
    before = record.beam(row)
    after = record.read_beam(row, edit_row(record.tables["beams"][row], (noted,)) or {})
    found = []
    for piece in before.pieces.values():
        for step in stages.steps_of(piece.kind, piece.traits):
            if step.id in piece.steps or (piece.key, step.id) == (of.key, skipped.id):
                continue
            named = any(
                need.step == skipped.id and of in tuple(before.among(need.who, piece))
                for need in step.needs
            )
            ready = state(stages, after, after.pieces[piece.key], step) == "ready"
            if named or (ready and state(stages, before, piece, step) != "ready"):
                where = "" if piece.key == of.key else f" on the {piece.name}"
                where = where.replace("the side", "side")
                found.append(f"'{step.name}'{where}")
    if not found:
        return ""
    more = len(found) - _MOST_NAMED
    names = f"{', '.join(found[:_MOST_NAMED])} and {more} more" if more > 0 else listed(found)
    return f"; no longer waiting for it: {names}"


def clear(record: Record, spot: Spot, step_id: str, now: datetime) -> Change:
    """Return the change that clears a mark; a step that done ones depend on can't be cleared.

    If a cut of the piece needs an answer or was kept, the board differs from today's figures; then
    its marks are kept in `before`, as `cut_again` does.
    """
    from crewdesk.job.cuts.answer_cut import board_before

    beam = record.beam(spot.beam)
    piece, step = beam.piece(spot.piece), record.stages.step(step_id)
    if step_id not in piece.steps:
        raise NotAllowed(
            f"'{step.name}' on {beam.label} {piece.name} isn't checked off, blocked or "
            "skipped. Nothing was changed."
        )
    at = ("beams", spot.beam, "pieces", spot.piece, "steps", step_id)
    gone = edit(record.tables, at, ABSENT)
    _nothing_rests_on(record, gone)
    before = board_before(record, spot, step_id)
    kept = "; what was done on this board is kept" if before else ""
    what = f"undid '{step.name}' on {beam.label} {piece.name}{kept}"
    return Change(what, (gone, *before), now)


def _nothing_rests_on(record: Record, noted: Edit) -> None:
    """Raise `NotAllowed` if an edit of one mark would close the gate of a done step."""
    _, row, _, key, _, step_id = noted.at
    beam = record.beam(row)
    after = record.read_beam(row, edit_row(record.tables["beams"][row], (noted,)) or {})
    if resting := _resting(record.stages, beam, after):
        raise NotAllowed(
            f"{resting} rests on '{record.stages.step(step_id).name}' of {beam.label} "
            f"{beam.piece(key).name}. Undo the later step first. Nothing was changed."
        )


def _resting(stages: Stages, before: Beam, after: Beam) -> str | None:
    """Return the first done step whose gate is open before and closed after."""
    for piece in after.pieces.values():
        for step in stages.steps_of(piece.kind, piece.traits):
            mark = piece.steps.get(step.id)
            if (
                mark is not None
                and mark.state == "done"
                and unmet(stages, after, piece, step) is not None
                and unmet(stages, before, before.piece(piece.key), step) is None
            ):
                return f"'{step.name}' on {piece.name}"
    return None


def _reason(text: str, to: str) -> str:
    reason = checked_note(text)
    if not reason:
        raise NotAllowed(f"Give a reason in a few words to {to}.")
    return reason


def _mark(record: Record, spot: Spot, step_id: str, mark: StepMark) -> Edit:
    at = ("beams", spot.beam, "pieces", spot.piece, "steps", step_id)
    return edit(record.tables, at, mark.to_doc())
