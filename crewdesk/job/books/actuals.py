"""Estimate vs. actual: a job's time against its estimate and past jobs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.gaps import Reveals, reveals_reached
from crewdesk.job.beams.piece import Spot
from crewdesk.job.books.pricing import as_past, beam_length, beams_of, stage_rates
from crewdesk.job.books.shop import Shop
from crewdesk.job.record import Record
from crewdesk.job.time.logged import entry_shares
from crewdesk.trade.books.actuals import (
    BeamOver,
    BeamWork,
    StageTook,
    beams_over,
    price_of,
    stages_took,
)
from crewdesk.trade.books.durations import elapsed
from crewdesk.trade.books.estimate import StageMinutes
from crewdesk.trade.books.money import ZERO
from crewdesk.trade.books.stage_rates import Factors, PastJob, StageRate, load_of

FIX_UP = "fix-up"
TWICE = 2
"""Readings beyond this many of one thing count as re-measured; two are a check."""


@dataclass(frozen=True)
class JobActuals:
    """Actuals by stage, and the beams that ran over.

    fix_up_price: None without an hourly rate. accepted: whether the estimate is the accepted one.
    untold: seconds of entries that name no pieces, which are in no beam's time. reveals:
    differences of this job's reveals; past_reveals: those of finished jobs. causes: what the
    fix-ups' time was spent on, the most seconds first (see `fix_up_causes`).
    """

    stages: tuple[StageTook, ...]
    beams: tuple[BeamOver, ...]
    fix_up_seconds: int
    fix_up_price: Decimal | None
    accepted: bool
    past: int
    untold: int
    reveals: Reveals | None = None
    past_reveals: Reveals | None = None
    causes: tuple[tuple[str, int], ...] = ()

    @property
    def minutes(self) -> Fraction:
        """All that was logged on the stages, in minutes."""
        return sum((one.minutes for one in self.stages), Fraction(0))

    @property
    def estimated(self) -> Fraction | None:
        """The estimated minutes of all stages; None without an estimate."""
        plans = [one.estimated for one in self.stages if one.estimated is not None]
        return sum(plans, Fraction(0)) if plans else None


def stage_plans(
    record: Record, shop: Shop, past: Sequence[PastJob], now: datetime
) -> tuple[StageMinutes, ...]:
    """Return what each stage should take, low, likely and high in minutes: by the accepted
    estimate, or if there is none by the rates and the finished jobs `past`."""
    if record.accepted is not None:
        return tuple(
            StageMinutes(
                StageRate(one.stage, Fraction(0), Fraction(0), jobs=one.jobs),
                one.low,
                one.likely,
                one.high,
            )
            for one in record.accepted.stages
        )
    load = as_past(record, shop.factors, now).load
    return tuple(
        StageMinutes(
            rate,
            rate.minutes(load) / (1 + rate.spread),
            rate.minutes(load),
            rate.minutes(load) * (1 + rate.spread),
        )
        for rate in stage_rates(record.stages, past)
    )


def job_actuals(record: Record, shop: Shop, past: Sequence[PastJob], now: datetime) -> JobActuals:
    """Return the job's actuals up to now; `past` are the finished jobs without this one."""
    mine = as_past(record, shop.factors, now)
    rates = stage_rates(record.stages, past)
    fixing = mine.seconds.get(FIX_UP, 0)
    shown: dict[str, dict[str, int]] = {}
    untold = 0
    for entry in record.entries:
        for spot, seconds in entry_shares(record, entry, now).items():
            stages = shown.setdefault(spot.beam, {})
            stages[entry.stage] = stages.get(entry.stage, 0) + seconds
        if not entry.pieces and not entry.order:
            untold += int(entry.lasted(now).total_seconds())
    works = [
        _work(record, beam, shown[beam.row], rates, shop.factors)
        for beam in record.beams
        if beam.row in shown and beam_length(beam)
    ]
    return JobActuals(
        stages_took(mine, stage_plans(record, shop, past, now), past),
        beams_over(works),
        fixing,
        _price_of_fixing(record, shop, now),
        record.accepted is not None,
        len(past),
        untold,
        reveals_reached(mine.reveals_off),
        reveals_reached([off for one in past for off in one.reveals_off]),
        fix_up_causes(record, now),
    )


NO_GAP, NO_PIECES = "no gap entered", "no pieces entered"


def fix_up_causes(record: Record, now: datetime) -> tuple[tuple[str, int], ...]:
    """Return the seconds of fix-ups by what made the gaps on their pieces, the most first.

    An entry's time is shared among its pieces, and a piece's evenly among the causes of its gaps;
    `NO_GAP` has that of pieces without one, `NO_PIECES` that of entries without pieces. A second
    that doesn't divide goes to the first cause, so the sum is the time of fix-ups.
    """
    gaps: dict[Spot, list[str]] = {}
    for beam in record.beams:
        for key, piece in beam.pieces.items():
            causes = {gap.cause.casefold(): gap.cause for gap in piece.gaps if gap.cause}
            gaps[Spot(beam.row, key)] = list(causes.values())
    sums: dict[str, int] = {}
    names: dict[str, str] = {}
    for entry in record.entries:
        if entry.stage != FIX_UP or entry.order:
            continue
        shares = entry_shares(record, entry, now)
        if not shares:
            logged = int(entry.lasted(now).total_seconds())
            sums[NO_PIECES] = sums.get(NO_PIECES, 0) + logged
        for spot, seconds in shares.items():
            found = gaps.get(spot) or [NO_GAP]
            each, left = divmod(seconds, len(found))
            for at, cause in enumerate(found):
                name = names.setdefault(cause.casefold(), cause)
                sums[name] = sums.get(name, 0) + each + (left if at == 0 else 0)
    return tuple(sorted(sums.items(), key=lambda one: (-one[1], one[0])))


def _price_of_fixing(record: Record, shop: Shop, now: datetime) -> Decimal | None:
    """Return the price of fix-ups at each hour's rate: the entry's own, the stage's or the
    job's."""
    stage = shop.stage_rates.get(FIX_UP)
    usual = stage.amount if stage and stage.per == "hour" else record.job.hour or shop.hour
    spent: dict[Decimal, int] = {}
    for entry in record.entries:
        rate = entry.rate or usual
        if entry.stage == FIX_UP and not entry.order:
            if rate is None:
                return None
            spent[rate] = spent.get(rate, 0) + elapsed(entry.start, entry.stop or now)
    return sum((price_of(seconds, rate) for rate, seconds in spent.items()), ZERO)


def _work(
    record: Record,
    beam: Beam,
    seconds: dict[str, int],
    rates: Sequence[StageRate],
    factors: Factors,
) -> BeamWork:
    """Return a beam's work on the stages whose entries name pieces, against their estimate."""
    load = load_of([beams_of(beam, beam_length(beam) or Fraction(1))], factors)
    those = [rate for rate in rates if rate.stage in seconds]
    pieces = beam.pieces.values()
    return BeamWork(
        beam.label,
        sum(seconds.values()),
        sum((rate.minutes(load) for rate in those), Fraction(0)),
        sum((rate.minutes(load) * (1 + rate.spread) for rate in those), Fraction(0)),
        sum(
            entry.stage == FIX_UP and any(spot.beam == beam.row for spot in entry.pieces or ())
            for entry in record.entries
        ),
        sum(bool(mark.override) for piece in pieces for mark in piece.steps.values()),
        sum(max(len(taken) - TWICE, 0) for taken in _readings(beam)),
        sum(len(piece.gaps) for piece in pieces),
    )


def _readings(beam: Beam) -> Iterator[Sequence[object]]:
    """Return a beam's readings, grouped by what they measure."""
    yield beam.pair.ceilings
    yield from beam.pair.squares.values()
    for piece in beam.pieces.values():
        yield from piece.readings.values()
