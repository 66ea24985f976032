"""How far a job is, stage by stage, weighted by the minutes that its steps are reckoned to take."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from crewdesk.job.books.priced import beam_length, beams_of, stage_rates
from crewdesk.job.record import Record
from crewdesk.trade.books.progress import StageDone, Tick, stages_done
from crewdesk.trade.books.stage_rates import Factors, PastJob, load_of

NO_LENGTH = Fraction(10 * 12)
"""What a beam counts for where no length is known of any; all then count alike."""


def done_by_stage(
    record: Record, factors: Factors, past: Sequence[PastJob] = ()
) -> tuple[StageDone, ...]:
    """Each stage's reckoned minutes and the part of them that is done or skipped.

    A beam's minutes of a stage are shared evenly among the stage's steps on its pieces.
    The minutes are those of the accepted estimate where there is one. A beam without a
    length counts as the others' mean.
    """
    known = [length for beam in record.beams if (length := beam_length(beam))]
    mean = sum(known, Fraction(0)) / len(known) if known else NO_LENGTH
    rates = {rate.stage: rate for rate in stage_rates(record.stages, past)}
    ticks = []
    for stage in record.stages:
        for beam in record.beams:
            load = load_of([beams_of(beam, beam_length(beam) or mean)], factors)
            steps = [
                piece.steps.get(step.id)
                for piece in beam.pieces.values()
                for step in stage.steps
                if step.is_for(piece.kind, piece.traits)
            ]
            each = rates[stage.id].minutes(load) / len(steps) if steps else Fraction(0)
            ticks += [Tick(stage.id, each, mark is not None and mark.behind) for mark in steps]
    found = stages_done(ticks)
    if record.accepted is None:
        return found
    planned = {plan.stage: plan.likely for plan in record.accepted.stages}
    return tuple(replace(one, minutes=planned.get(one.stage, one.minutes)) for one in found)
