"""Estimate vs. actual: by stage and by beam, against the estimate and all past jobs."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from crewdesk.trade.books.durations import HOUR, MINUTE
from crewdesk.trade.books.estimate import StageMinutes
from crewdesk.trade.books.money import amount
from crewdesk.trade.books.stage_rates import PastJob


@dataclass(frozen=True)
class StageTook:
    """A stage's minutes; per foot of this job, of all past jobs and as estimated.

    `over` is minutes beyond the likely estimate (below zero: under). `beyond` says that the
    estimate's high was passed; `lowest` and `highest` are the least and the most that a past job
    took per foot. Values without data are None.
    """

    stage: str
    minutes: Fraction
    per_foot: Fraction | None
    estimated: Fraction | None
    over: Fraction | None
    beyond: bool
    all_per_foot: Fraction | None
    jobs: int
    lowest: Fraction | None = None
    highest: Fraction | None = None


@dataclass(frozen=True)
class BeamWork:
    """One beam: its seconds of work, its estimated minutes likely and high, what went wrong."""

    name: str
    seconds: int
    likely: Fraction
    high: Fraction
    fix_ups: int = 0
    overrides: int = 0
    re_reads: int = 0
    gaps: int = 0


@dataclass(frozen=True)
class BeamOver:
    """A beam that took longer than its estimate's high: minutes over the likely, and causes.

    `causes` holds (name, count) of what happened on it, the most frequent first.
    """

    name: str
    minutes: Fraction
    over: Fraction
    causes: tuple[tuple[str, int], ...]

    @property
    def likely(self) -> Fraction:
        """What it should have taken, in minutes."""
        return self.minutes - self.over


def stages_took(
    job: PastJob, estimated: Sequence[StageMinutes], past: Sequence[PastJob]
) -> tuple[StageTook, ...]:
    """Return every stage that has time or an estimate, in the estimate's order.

    Feet are the job's own `load.feet`. All jobs' minutes per foot are their minutes
    together over their feet together, of those jobs that have time on the stage.
    """
    planned = {each.rate.stage: each for each in estimated}
    found = []
    for stage in dict.fromkeys((*planned, *job.seconds)):
        minutes = Fraction(job.seconds.get(stage, 0), MINUTE)
        plan = planned.get(stage)
        timed = [j for j in past if j.seconds.get(stage, 0) > 0]
        feet = sum((j.load.feet for j in timed), Fraction(0))
        spent = Fraction(sum(j.seconds[stage] for j in timed), MINUTE)
        each = [Fraction(j.seconds[stage], MINUTE) / j.load.feet for j in timed if j.load.feet]
        found.append(
            StageTook(
                stage,
                minutes,
                _per(minutes, job.load.feet),
                plan.likely if plan else None,
                minutes - plan.likely if plan else None,
                plan is not None and minutes > plan.high,
                _per(spent, feet),
                len(timed),
                min(each, default=None),
                max(each, default=None),
            )
        )
    return tuple(found)


def beams_over(beams: Sequence[BeamWork]) -> tuple[BeamOver, ...]:
    """Return the beams that took longer than their estimate's high, the worst first."""
    found = []
    for beam in beams:
        minutes = Fraction(beam.seconds, MINUTE)
        if minutes > beam.high:
            counts = (
                ("fix-ups", beam.fix_ups),
                ("overrides", beam.overrides),
                ("re-reads", beam.re_reads),
                ("gaps", beam.gaps),
            )
            causes = sorted((c for c in counts if c[1]), key=lambda c: -c[1])
            found.append(BeamOver(beam.name, minutes, minutes - beam.likely, tuple(causes)))
    return tuple(sorted(found, key=lambda b: (-b.over, b.name)))


def price_of(seconds: int, hour: Decimal) -> Decimal:
    """Return the value of that time (fix-ups, for example) at an hourly rate, to the cent."""
    return amount(Fraction(seconds, HOUR), hour)


def _per(minutes: Fraction, feet: Fraction) -> Fraction | None:
    return minutes / feet if feet else None
