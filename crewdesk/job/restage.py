"""Making the stages one's own: rename, add, move and drop stages and steps."""

import re
from collections.abc import Collection, Sequence
from datetime import datetime
from typing import TypeVar

from crewdesk.job.change import Change, edit
from crewdesk.job.record import JOB_ROW, Record
from crewdesk.job.refused import Refused
from crewdesk.job.stages import KINDS, Stage, Stages, Step
from crewdesk.job.words import checked_name

LONGEST_ID = 60
_T = TypeVar("_T", bound=Stage | Step)


def rename_stage(record: Record, stage_id: str, name: str, now: datetime) -> Change:
    """The change that gives a stage another name; its id and its ticks stay."""
    stage = record.stages.stage(stage_id)
    new = stage._replace(name=checked_name(name, "stage"))
    return _change(
        record, record.stages.with_stage(new), f"renamed {stage.name} to {new.name}", now
    )


def add_stage(record: Record, name: str, now: datetime) -> Change:
    """The change that adds a stage at the end, still without steps."""
    name = checked_name(name, "stage")
    taken = {one.id for one in record.stages.work} | {entry.stage for entry in record.entries}
    stage = Stage(new_id(name, taken), name, ())
    stages = _with(record, (*record.stages.stages, stage))
    return _change(record, stages, f"added stage {name}", now)


def move_stage(record: Record, stage_id: str, by: int, now: datetime) -> Change:
    """The change that moves a stage `by` places, earlier where that is negative."""
    stage = record.stages.stage(stage_id)
    moved = _moved(record.stages.stages, stage, by)
    return _change(record, _with(record, moved), f"moved stage {stage.name}", now)


def drop_stage(record: Record, stage_id: str, now: datetime) -> Change:
    """The change that drops a stage with its steps, and what others needed of them."""
    stages = record.stages
    stage = stages.stage(stage_id)
    if len(stages.stages) == 1:
        raise Refused("A job keeps at least one stage; nothing was changed.")
    for step in stage.steps:
        stages = stages.without_step(step.id)
    left = tuple(one for one in stages if one.id != stage_id)
    return _change(record, Stages(left, stages.other), f"dropped stage {stage.name}", now)


def rename_step(record: Record, step_id: str, name: str, now: datetime) -> Change:
    """The change that gives a step another name; its id and its ticks stay."""
    stage, step = record.stages.find(step_id)
    new = step._replace(name=checked_name(name, "step"))
    steps = tuple(new if one.id == step_id else one for one in stage.steps)
    stages = record.stages.with_stage(stage._replace(steps=steps))
    return _change(record, stages, f"renamed '{step.name}' to '{new.name}'", now)


def add_step(
    record: Record, stage_id: str, name: str, kinds: Sequence[str], now: datetime
) -> Change:
    """The change that adds a step at a stage's end, for some kinds of piece.

    It needs every earlier step of the piece, as the usual ones do.
    """
    stage, name = record.stages.stage(stage_id), checked_name(name, "step")
    taken = {step.id for one in record.stages for step in one.steps}
    taken |= {id_ for b in record.beams for piece in b.pieces.values() for id_ in piece.steps}
    step = Step(new_id(name, taken), name, _kinds(kinds))
    stages = record.stages.with_stage(stage._replace(steps=(*stage.steps, step)))
    return _change(record, stages, f"added step '{name}' to {stage.name}", now)


def for_kinds(record: Record, step_id: str, kinds: Sequence[str], now: datetime) -> Change:
    """The change that makes a step one for other kinds of piece; its ticks stay."""
    stage, step = record.stages.find(step_id)
    new = step._replace(kinds=_kinds(kinds))
    steps = tuple(new if one.id == step_id else one for one in stage.steps)
    stages = record.stages.with_stage(stage._replace(steps=steps))
    return _change(record, stages, f"changed which pieces '{step.name}' is for", now)


def move_step(record: Record, step_id: str, by: int, now: datetime) -> Change:
    """The change that moves a step `by` places inside its stage."""
    stage, step = record.stages.find(step_id)
    stages = record.stages.with_stage(stage._replace(steps=_moved(stage.steps, step, by)))
    return _change(record, stages, f"moved step '{step.name}'", now)


def drop_step(record: Record, step_id: str, now: datetime) -> Change:
    """The change that drops a step, and what other steps needed of it."""
    step = record.stages.step(step_id)
    stages = record.stages.without_step(step_id)
    return _change(record, stages, f"dropped step '{step.name}'", now)


def _kinds(kinds: Sequence[str]) -> tuple[str, ...]:
    if not kinds or any(kind not in KINDS for kind in kinds):
        raise Refused(f"A step is for {', '.join(KINDS)}; name at least one, nothing was changed.")
    return tuple(kinds)


def _with(record: Record, stages: tuple[Stage, ...]) -> Stages:
    return Stages(stages, record.stages.other)


def _change(record: Record, stages: Stages, what: str, now: datetime) -> Change:
    if stages == record.stages:
        raise Refused("Nothing is different; nothing was changed.")
    at = ("job", JOB_ROW, "stages")
    return Change(what, (edit(record.tables, at, stages.to_doc()),), now)


def _moved(row: Sequence[_T], one: _T, by: int) -> tuple[_T, ...]:
    rest = [other for other in row if other.id != one.id]
    place = min(max(list(row).index(one) + by, 0), len(rest))
    return (*rest[:place], one, *rest[place:])


def new_id(name: str, taken: Collection[str]) -> str:
    """An id that no stage or step has, nor had: what was noted under one stays its own."""
    stem = re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")[:LONGEST_ID].strip("-") or "step"
    id_, count = stem, 1
    while id_ in taken:
        count += 1
        id_ = f"{stem}-{count}"
    return id_
