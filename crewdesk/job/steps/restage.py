"""Making the stages your own: rename, add, move and drop stages and steps, choose needs.

A change that would let a step be done without what it waited for requires a reason, which is kept
with the stages as a `Waiver` and shown where overridden gates are shown. So does a change that ends
the hold of a cut (see `changed_cuts`). A cut whose step is dropped stays what it was cut to. What a
change opens, and the reasons given for it, is put into words here too.
"""

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import datetime
from typing import TypeVar

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.piece import Spot
from crewdesk.job.change import ABSENT, Change, Edit, edit
from crewdesk.job.cuts.answer_cut import keeping
from crewdesk.job.cuts.open_cuts import cuts_dropped, holds_ended, is_dropped
from crewdesk.job.record import JOB_ROW, Record
from crewdesk.job.steps.stages import (
    KINDS,
    PIECE,
    TRUTHS,
    Need,
    Stage,
    Stages,
    Step,
    Waiver,
    reason_given,
)
from crewdesk.job.steps.step_effects import Effect, check_needs, effects, still_waived
from crewdesk.job.steps.usual_stages import MADE_FOR, listed, need_text, step_name, why_not_for
from crewdesk.job.text_limits import checked_name

_MOST_NAMED = 3
_EVERY_NAME = 40
_LONGEST_NAME = 48
_LONGEST = 560
"""The length of a question, in characters, beyond which names are left out and counted, but never
fewer than `_MOST_NAMED` in a row."""


def effects_text(stages: Stages, found: Iterable[Effect], held: Iterable[str] = ()) -> str:
    """Return which steps would open, or could never be done. stages: the stages before. held:
    sentences that say which cuts would no longer be asked about, or hold less."""
    found, held = tuple(found), tuple(held)
    text = ""
    for most in (_EVERY_NAME, *range(12, _MOST_NAMED - 1, -1)):
        text = _text(stages, found, held, most)
        if len(text) <= _LONGEST:
            break
    return text


def _text(stages: Stages, found: tuple[Effect, ...], held: tuple[str, ...], most: int) -> str:
    """Return the same with at most `most` names in a row."""
    said = _never(stages, [one for one in found if one.never], most)
    lost = [one for one in found if not one.never and not _came_before(one.need)]
    said += [
        f"{names} would no longer need {need}."
        for names, need, _ in _by_need(stages, lost, most)[:most]
    ]
    order = [one for one in found if not one.never and _came_before(one.need)]
    if order:
        later = _named([one.step.name for one in order], most)
        before = _named([step_name(stages, one.need.step) for one in order], most)
        said.append(f"{later} would no longer wait for {before}.")
    if held:
        more = len(held) - _MOST_NAMED
        also = f" {more} more hold{'' if more == 1 else 's'} would end with it." if more > 0 else ""
        what = "a hold" if len(held) == 1 else f"{len(held)} holds"
        said.append(f"It would end {what}: {' '.join(held[:_MOST_NAMED])}{also}")
    return f"{' '.join(said)} To do it anyway, give the reason. It is saved and shown."


def _never(stages: Stages, never: list[Effect], most: int) -> list[str]:
    """Return a sentence for each need that could never be met, or one for many."""
    groups = _by_need(stages, never, most)
    if len(groups) <= most:
        return [
            f"{names} need{'' if many else 's'} {need}, which could never be met."
            for names, need, many in groups
        ]
    names = _named([one.step.name for one in never], most)
    needed = _named([step_name(stages, one.need.step) for one in never], most)
    return [f"{names} need {needed}, which could never be met."]


def _by_need(stages: Stages, found: Iterable[Effect], most: int) -> list[tuple[str, str, bool]]:
    """Return the names of the steps that have a need, the need, and whether they are several."""
    groups: dict[str, dict[str, None]] = {}
    for one in found:
        groups.setdefault(need_text(stages, one.need), {})[one.step.name] = None
    return [(_named(names, most), need, len(names) > 1) for need, names in groups.items()]


def waiver_text(stages: Stages, waiver: Waiver) -> str:
    """Return what was changed, why, and which steps it opened."""
    opened = _named([step_name(stages, id_) for id_, _ in waiver.needs], _MOST_NAMED)
    what = f"{waiver.what[:1].upper()}{waiver.what[1:]}"
    return f"{what}: {waiver.reason} (no longer held back: {opened})"


def _came_before(need: Need) -> bool:
    return need.sort == "done" and need.who == PIECE


def _named(names: Iterable[str], most: int) -> str:
    """Return some names, each once and quoted, and how many more there are."""
    every = [
        f"'{name if len(name) <= _LONGEST_NAME else f'{name[:_LONGEST_NAME]}...'}'"
        for name in dict.fromkeys(names)
    ]
    shown, more = every[:most], len(every) - most
    if more > 0:
        return f"{', '.join(shown)} and {more} more"
    return listed(shown)


LONGEST_ID = 60
_CUTTING = re.compile(r"\b(cut|recut|rip|scribe|trim|miter|bevel)", re.IGNORECASE)
_T = TypeVar("_T", bound=Stage | Step)


class ReasonNeeded(NotAllowed):
    """A change of the stages that would open steps, made without a reason."""


def rename_stage(record: Record, stage_id: str, name: str, now: datetime) -> Change:
    """Return the change that renames a stage; its id and check-offs stay."""
    stage = record.stages.stage(stage_id)
    new = stage._replace(name=checked_name(name, "stage"))
    return _change(
        record, record.stages.with_stage(new), f"renamed {stage.name} to {new.name}", now
    )


def add_stage(record: Record, name: str, now: datetime) -> Change:
    """Return the change that adds a stage at the end, still without steps."""
    name = checked_name(name, "stage")
    taken = {one.id for one in record.stages.work} | {entry.stage for entry in record.entries}
    stage = Stage(new_id(name, taken), name, ())
    stages = record.stages.with_stages((*record.stages.stages, stage))
    return _change(record, stages, f"added stage {name}", now)


def move_stage(
    record: Record, stage_id: str, by: int, now: datetime, *, reason: str = ""
) -> Change:
    """Return the change that moves a stage `by` places, earlier if that is negative.

    Raises `ReasonNeeded` if steps would open and there is no `reason`.
    """
    stage = record.stages.stage(stage_id)
    moved = record.stages.with_stages(_moved(record.stages.stages, stage, by))
    return _change(record, moved, f"moved stage {stage.name}", now, reason)


def drop_stage(record: Record, stage_id: str, now: datetime, *, reason: str = "") -> Change:
    """Return the change that drops a stage with its steps.

    Raises `ReasonNeeded` if other steps would open and there is no `reason`.
    """
    stages = record.stages
    stage = stages.stage(stage_id)
    if len(stages.stages) == 1:
        raise NotAllowed("A job needs at least one stage. Nothing was changed.")
    left = stages.with_stages(tuple(one for one in stages if one.id != stage_id))
    return _change(record, left, f"removed stage {stage.name}", now, reason)


def rename_step(record: Record, step_id: str, name: str, now: datetime) -> Change:
    """Return the change that renames a step; its id and check-offs stay."""
    step = record.stages.step(step_id)
    new = step._replace(name=checked_name(name, "step"))
    stages = record.stages.with_step(new)
    return _change(record, stages, f"renamed '{step.name}' to '{new.name}'", now)


def add_step(
    record: Record,
    stage_id: str,
    name: str,
    kinds: Sequence[str],
    now: datetime,
    *,
    needs: Iterable[Need] = (),
) -> Change:
    """Return the change that adds a step at a stage's end, for some kinds of piece.

    It needs every earlier step of the piece, as the usual ones do, and `needs`. Raises `NotAllowed`
    if its pieces can't have one of them.
    """
    stage, name = record.stages.stage(stage_id), checked_name(name, "step")
    taken = {step.id for one in record.stages for step in one.steps}
    taken |= {*TRUTHS, *MADE_FOR}
    taken |= {id_ for b in record.beams for piece in b.pieces.values() for id_ in piece.steps}
    step = Step(new_id(name, taken), name, _kinds(kinds))
    step = step._replace(needs=tuple(dict.fromkeys((*step.needs, *needs))))
    stages = record.stages.with_stage(stage._replace(steps=(*stage.steps, step)))
    check_needs(stages, step.id)
    what = f"added step '{name}' to {stage.name}"
    if _CUTTING.search(name):
        what += "; a step you add keeps no cut figures, so later changes aren't held by it"
    return _change(record, stages, what, now)


def for_kinds(
    record: Record, step_id: str, kinds: Sequence[str], now: datetime, *, reason: str = ""
) -> Change:
    """Return the change that assigns a step to other kinds of piece; its check-offs stay.

    Raises `NotAllowed` if those pieces can't have what it needs or can't take its own cut or
    setting, `ReasonNeeded` if other steps would open and there is no `reason`.
    """
    step = record.stages.step(step_id)
    changed = step._replace(kinds=_kinds(kinds))
    if why := why_not_for(step_id, step.name, changed.kinds):
        raise NotAllowed(f"{why} Nothing was changed.")
    stages = record.stages.with_step(changed)
    check_needs(stages, step_id)
    return _change(record, stages, f"changed which pieces '{step.name}' is for", now, reason)


def change_needs(
    record: Record, step_id: str, needs: Iterable[Need], now: datetime, *, reason: str = ""
) -> Change:
    """Return the change that gives a step other needs.

    Raises `NotAllowed` if its pieces can't have one of them, `ReasonNeeded` if it would lose one
    and there is no `reason`.
    """
    step = record.stages.step(step_id)
    stages = record.stages.with_step(step._replace(needs=tuple(dict.fromkeys(needs))))
    check_needs(stages, step_id)
    return _change(record, stages, f"changed what '{step.name}' needs", now, reason)


def move_step(record: Record, step_id: str, by: int, now: datetime, *, reason: str = "") -> Change:
    """Return the change that moves a step `by` places inside its stage.

    Raises `ReasonNeeded` if steps would open and there is no `reason`.
    """
    stage, step = record.stages.find(step_id)
    stages = record.stages.with_stage(stage._replace(steps=_moved(stage.steps, step, by)))
    return _change(record, stages, f"moved step '{step.name}'", now, reason)


def drop_step(record: Record, step_id: str, now: datetime, *, reason: str = "") -> Change:
    """Return the change that drops a step.

    Raises `ReasonNeeded` if other steps would open and there is no `reason`.
    """
    step = record.stages.step(step_id)
    stages = record.stages.without_step(step_id)
    return _change(record, stages, f"removed step '{step.name}'", now, reason)


def _kinds(kinds: Sequence[str]) -> tuple[str, ...]:
    if not kinds or any(kind not in KINDS for kind in kinds):
        raise NotAllowed(f"A step is for {', '.join(KINDS)}. Name at least one.")
    return tuple(kinds)


def _change(record: Record, stages: Stages, what: str, now: datetime, reason: str = "") -> Change:
    """Return the change to other stages; what it opens is waived with its reason."""
    if stages == record.stages:
        raise NotAllowed("That is the same as before. Nothing was changed.")
    found = effects(record.stages, stages)
    made = _without(stages, found)
    ended = holds_ended(record, made)
    if (found or ended) and not reason.strip():
        raise ReasonNeeded(effects_text(record.stages, found, [one.told for one in ended]))
    given = [still_waived(record.stages, made, waiver) for waiver in made.waived]
    if found:
        lost = tuple((one.step.id, one.need) for one in found)
        given.append(Waiver(what, reason_given(reason), now, lost))
    waived = [waiver.to_doc() for waiver in given if waiver.needs] or ABSENT
    at = ("job", JOB_ROW)
    edits = (
        edit(record.tables, (*at, "stages"), made.to_doc()),
        edit(record.tables, (*at, "waived"), waived),
    )
    dropped = [
        one
        for one in ended
        if is_dropped(made, record.beam(one.spot.beam), one.spot.piece, one.step_id)
    ]
    kept = [e for one in dropped for e in keeping(record, one, reason_given(reason), now)]
    kept += _figures_kept(record, made, {(one.spot, one.step_id) for one in dropped})
    if dropped:
        names = ", ".join(dict.fromkeys(one.where for one in dropped[:_MOST_NAMED]))
        more = len(dropped) - _MOST_NAMED
        also = f" and {more} more" if more > 0 else ""
        what = f"{what}, which keeps {names}{also} as cut"
    return Change(what, (*(one for one in edits if one.before != one.after), *kept), now)


def _figures_kept(
    record: Record, made: Stages, kept: Collection[tuple[Spot, str]]
) -> Iterator[Edit]:
    """Yield the edits that save the figures of older check-offs whose step is dropped, except those
    in `kept`."""
    for spot, step_id, cut in cuts_dropped(record, made):
        if (spot, step_id) not in kept:
            at = ("beams", spot.beam, "pieces", spot.piece, "steps", step_id, "cut")
            yield edit(record.tables, at, cut.to_doc())


def _without(stages: Stages, found: Iterable[Effect]) -> Stages:
    """Return the stages without needs that could never be met."""
    for one in found:
        if one.never:
            step = stages.step(one.step.id)
            needs = tuple(need for need in step.needs if need != one.need)
            stages = stages.with_step(step._replace(needs=needs))
    return stages


def _moved(row: Sequence[_T], one: _T, by: int) -> tuple[_T, ...]:
    rest = [other for other in row if other.id != one.id]
    place = min(max(list(row).index(one) + by, 0), len(rest))
    return (*rest[:place], one, *rest[place:])


def new_id(name: str, taken: Collection[str]) -> str:
    """Return an id that no stage or step has or had, so that old marks keep their step."""
    stem = re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")[:LONGEST_ID].strip("-") or "step"
    id_, count = stem, 1
    while id_ in taken:
        count += 1
        id_ = f"{stem}-{count}"
    return id_
