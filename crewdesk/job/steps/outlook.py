"""A job in a few words for the list of jobs: its next batch, and what holds it up."""

from collections import Counter
from collections.abc import Mapping
from typing import NamedTuple

from crewdesk.job.beams.missing import BLOCKED, LATER, missing
from crewdesk.job.record import Record
from crewdesk.job.steps.run_sheet import RunSheet


class StageOutlook(NamedTuple):
    """A stage: its name, the steps that are done and all of them, the pieces that are ready."""

    name: str
    done: int
    steps: int
    ready: int


class Outlook(NamedTuple):
    """What comes next in a job: the name of the stage, the step and the number of pieces that are
    ready for it; "" and 0 if nothing is ready. `holds` counts the pieces that are held up, by
    `SORTS` of what is missing but what can only be measured later; `blocked` is the first piece
    that is blocked, with its reason. `stages` is how far each stage is."""

    stage: str = ""
    step: str = ""
    pieces: int = 0
    holds: Mapping[str, int] = {}
    blocked: str = ""
    all_done: bool = False
    stages: tuple[StageOutlook, ...] = ()


def outlook(record: Record) -> Outlook:
    """Return what comes next in a job, and what holds it up."""
    sheet = RunSheet(record)
    every = [one for one in missing(record) if one.sort != LATER]
    holds = Counter(sort for sort, _ in {(one.sort, one.spot) for one in every})
    first = next((one for one in every if one.sort == BLOCKED), None)
    blocked = ""
    if first is not None:
        beam = record.beam(first.spot.beam)
        blocked = f"{beam.label} {beam.piece(first.spot.piece).name}: {first.why}"
    ready = Counter({stage.id: 0 for stage in record.stages})
    for each in sheet.batches():
        ready[each.stage.id] += len(each.spots)
    stages = tuple(
        StageOutlook(stage.name, total.behind, total.steps, ready[stage.id])
        for stage, total in zip(record.stages, sheet.totals(), strict=True)
    )
    batch = next(iter(sheet.batches()), None)
    known = Outlook(holds=dict(holds), blocked=blocked, all_done=sheet.all_done, stages=stages)
    if batch is None:
        return known
    return known._replace(stage=batch.stage.name, step=batch.step.name, pieces=len(batch.spots))
