"""The cuts that need an answer, in words."""

from collections.abc import Iterator
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.beam import STEP_GONE, Beam
from crewdesk.job.beams.other_shape import shape_changed
from crewdesk.job.beams.piece import Spot
from crewdesk.job.change import Change, rows_after
from crewdesk.job.cuts.as_built import BETWEEN_SIDES, FROM_SIDE, sides_are_up
from crewdesk.job.cuts.as_cut import as_it_was, cuts
from crewdesk.job.cuts.changed_cut import ChangedCut
from crewdesk.job.cuts.changed_cuts import (
    changed_cuts,
    first_held,
    held_by,
    held_cuts,
    held_steps,
    not_compared,
    stay_as_cut,
)
from crewdesk.job.cuts.cut import in_sentence
from crewdesk.job.cuts.cut_figures import AsCut
from crewdesk.job.invariants import early_for_type
from crewdesk.job.record import Record
from crewdesk.job.steps.stages import Stages

Keys = frozenset[tuple[object, ...]]
NONE_MADE = "No cut has been checked off."


def open_cuts(record: Record) -> tuple[ChangedCut, ...]:
    """Return every cut of a job that needs an answer, in the beams' order."""
    return tuple(one for beam in record.beams for one in held_cuts(beam))


def none_waits(record: Record) -> str:
    """Return the summary if no cut needs an answer: whether some were kept, or differ within their
    uncertainty."""
    every = [one for beam in record.beams for one in changed_cuts(beam) if one.kept or not one.gone]
    unknown = sum(len(list(not_compared(beam))) for beam in record.beams)
    kept = sum(one.kept for one in every)
    slight = len(every) - kept
    if not any(map(cuts_made, record.beams)):
        return NONE_MADE
    if not every and unknown:
        cuts_are = "1 cut is" if unknown == 1 else f"{unknown} cuts are"
        return f"No cut needs an answer; {cuts_are} not compared with today's readings in full."
    if not every:
        return "Every cut that is checked off matches today's readings."
    said = []
    if kept:
        said.append(f"{kept} {'was' if kept == 1 else 'were'} kept as cut")
    if slight:
        differs, is_ = ("differs", "is") if slight == 1 else ("differ", "are")
        said.append(f"{slight} {differs} by no more than a cut can be off, and {is_} only listed")
    return f"No cut needs an answer; {' and '.join(said)}."


def cuts_made(beam: Beam) -> bool:
    """Return whether any cut of a beam is checked off."""
    return any(
        mark.state == "done" and cuts(step_id, piece)
        for piece in beam.pieces.values()
        for step_id, mark in piece.steps.items()
    )


def cuts_compared(beam: Beam) -> bool:
    """Return whether any checked-off cut of a beam has fully known figures."""
    unknown = {(piece.key, step_id) for piece, step_id, _ in not_compared(beam)}
    return any(
        mark.state == "done" and cuts(step_id, piece) and (piece.key, step_id) not in unknown
        for piece in beam.pieces.values()
        for step_id, mark in piece.steps.items()
    )


def open_keys(record: Record) -> Keys:
    """Return a snapshot to compare before and after a change: cuts that need an answer, cuts that
    stay since their step is gone, the beams' types, and what must be measured again."""
    cuts = (one.key for one in (*open_cuts(record), *_stay_as_cut(record)))
    shapes = (_shape_key(beam) for beam in record.beams)
    widths = (_width_key(beam) for beam in record.beams if _is_up(beam))
    return frozenset((*cuts, *map(_type_key, record.beams), *shapes, *widths))


def _shape_key(beam: Beam) -> tuple[object, ...]:
    return (_SHAPE, beam.row, shape_changed(beam))


def _type_key(beam: Beam) -> tuple[object, ...]:
    return (_TYPE, beam.row, beam.form.id)


def _width_key(beam: Beam) -> tuple[object, ...]:
    return (_WIDTH, beam.row, beam.section.width)


def _is_up(beam: Beam) -> bool:
    """Return whether a beam's sides are nailed up and its bottom isn't ripped, so that its width
    must match the gap."""
    bottom = beam.pieces.get("bottom")
    rip = None if bottom is None else bottom.steps.get("rip-bottom")
    return (rip is None or rip.state != "done") and sides_are_up(beam)


def _other_width(beam: Beam, before: Keys) -> str:
    """Return what to check after a change of a beam's width if its sides are up; "" if nothing."""
    was = [key[2] for key in before if key[:2] == (_WIDTH, beam.row)]
    if not was or not _is_up(beam) or beam.section.width in was:
        return ""
    then, now = (
        in_sentence(Fraction(str(one)), beam.habits.step) for one in (*was, beam.section.width)
    )
    up, across = ("side is", FROM_SIDE) if beam.form.id == "wall" else ("sides are", BETWEEN_SIDES)
    return (
        f"{beam.label}: its {up} up already, and its bottom is now to be ripped for a beam {now} "
        f"wide, not {then}. Measure {across} before you rip it."
    )


_TYPE, _SHAPE, _WIDTH = "type", "shape", "width"


def _stay_as_cut(record: Record) -> Iterator[ChangedCut]:
    for beam in record.beams:
        yield from stay_as_cut(beam)


def holds_ended(record: Record, after: Stages) -> tuple[ChangedCut, ...]:
    """Return the cuts that need an answer now and would hold less with other stages: their step is
    gone, or a held step no longer depends on it (see `is_dropped`)."""
    found = []
    for cut in open_cuts(record):
        beam = record.beam(cut.spot.beam)
        freed = held_steps(record.stages, beam, cut) - held_steps(after, beam, cut)
        dropped = is_dropped(after, beam, cut.spot.piece, cut.step_id)
        if dropped or any(after.has(step_id) for _, step_id in freed):
            found.append(cut)
    return tuple(found)


def is_dropped(after: Stages, beam: Beam, key: str, step_id: str) -> bool:
    """Return whether a piece lacks a step with other stages."""
    piece = beam.pieces[key]
    return step_id not in after.ids_by_kind(piece.traits)[piece.kind]


def cuts_dropped(record: Record, after: Stages) -> Iterator[tuple[Spot, str, AsCut]]:
    """Yield every cut that was checked off without figures and whose step is gone with other
    stages, with its figures from the history; later they can't be computed."""
    for beam in record.beams:
        for piece in beam.pieces.values():
            for step_id, mark in piece.steps.items():
                if (
                    mark.state == "done"
                    and mark.cut is None
                    and cuts(step_id, piece)
                    and not beam.is_gone(piece, step_id)
                    and is_dropped(after, beam, piece.key, step_id)
                    and (cut := as_it_was(beam, piece, step_id, mark)).figures
                ):
                    yield Spot(beam.row, piece.key), step_id, cut


def told_since(record: Record, before: Keys) -> str:
    """Return a change's effects on finished work: the first cut that now needs an answer or stays
    since its step is gone, and how many more; steps done too early for a beam's new type; readings
    of another shape. "" if none."""
    known = {key[1] for key in before if key[0] == _TYPE}
    early = [
        early_for_type(record.stages, beam)
        for beam in record.beams
        if beam.row in known and _type_key(beam) not in before
    ]
    shapes = [
        shape_changed(beam)
        for beam in record.beams
        if beam.row in known and _shape_key(beam) not in before
    ]
    widths = (_other_width(beam, before) for beam in record.beams)
    return " ".join(filter(None, (*shapes, *widths, _cuts_since(record, before), *early)))


def _cuts_since(record: Record, before: Keys) -> str:
    every = (*open_cuts(record), *_stay_as_cut(record))
    new = [one for one in every if one.key not in before]
    if not new:
        return ""
    more = len(new) - 1
    also = f" {more} more cut{'' if more == 1 else 's'} changed with it." if more else ""
    return f"{question(record, new[0])}{also}"


def check_not_past_a_hold(record: Record, change: Change) -> None:
    """Raise `NotAllowed` if redoing a `change` would check off a step that was held before it and
    still is.

    Undo checks nothing off: it restores earlier check-offs, and the hold stays.
    """
    if change.undoes is not None:
        return
    stages = record.stages
    for row, doc in rows_after(record.tables, change).get("beams", {}).items():
        if doc is None or row not in record.tables["beams"]:
            continue
        before, after = record.beam(row), record.read_beam(row, doc)
        for piece in after.pieces.values():
            for step in stages.steps_of(piece.kind, piece.traits):
                mark, old = piece.steps.get(step.id), before.pieces.get(piece.key)
                if mark is None or mark.state != "done" or mark.override or old is None:
                    continue
                if step.id in old.steps and old.steps[step.id].state == "done":
                    continue
                held = held_by(stages, before, old, step)
                if held is not None and held_by(stages, after, piece, step) is not None:
                    raise NotAllowed(f"{held} So it can't be overridden either.")


def question(record: Record, cut: ChangedCut) -> str:
    """Return what a cut was and would be today, and which step it holds, or that it stays."""
    if cut.gone:
        return f"{cut.told} It stays as cut: {STEP_GONE}."
    found = first_held(record.stages, record.beam(cut.spot.beam), cut)
    if found is None:
        return cut.told
    piece, step = found
    where = "" if piece.key == cut.spot.piece else f" on the {piece.name}"
    return f"{cut.told} '{step.name}'{where} is held."


def cut_of_step(record: Record, spot: Spot, step_id: str) -> ChangedCut:
    """Return the changed cut of a step of a piece; raises `NotAllowed` if there is none to
    answer."""
    beam = record.beam(spot.beam)
    piece, step = beam.piece(spot.piece), record.stages.step(step_id)
    if beam.is_gone(piece, step_id):
        raise NotAllowed(
            f"'{step.name}' is no longer a step of {beam.label} {piece.name}, so it "
            "needs no answer. What was cut stays as it is. Nothing was changed."
        )
    for one in changed_cuts(beam):
        if (one.spot.piece, one.step_id) == (spot.piece, step_id) and (one.held or one.kept):
            return one
        if (one.spot.piece, one.step_id) == (spot.piece, step_id):
            raise NotAllowed(
                f"'{step.name}' on {beam.label} {piece.name} asks nothing: it differs by no more "
                "than a cut can be off, and stays as cut. Nothing was changed."
            )
    raise NotAllowed(
        f"'{step.name}' on {beam.label} {piece.name} needs no answer: it isn't cut, or "
        "it matches today's readings. Nothing was changed."
    )
