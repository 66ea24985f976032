"""The price of a job: its estimate with reasons, and its acceptance."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.beams import change_job
from crewdesk.job.beams.gaps import reveals_off
from crewdesk.job.books.job_rows import Accepted, StagePlan
from crewdesk.job.books.shop import Shop
from crewdesk.job.change import Change, edit
from crewdesk.job.record import Record
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.steps.stages import EXTRA_WORK, Stages
from crewdesk.job.text_limits import LONGEST_NAME, checked_line, named
from crewdesk.job.time.logged import length_read, piece_length
from crewdesk.length import INCHES_PER_FOOT, show_length
from crewdesk.trade.books.durations import elapsed
from crewdesk.trade.books.estimate import Estimate, Pricing, Reason, estimate
from crewdesk.trade.books.money import SORTS, read_rate
from crewdesk.trade.books.stage_rates import (
    DEFAULT_RATES,
    Beams,
    Factors,
    PastJob,
    StageRate,
    fit,
    load_of,
)

REASONS = {
    "stage-default": (
        "{stage}: {work}; no past job has time on it, so it uses a default rate, give "
        "or take {percent}%."
    ),
    "stage-scaled": (
        "{stage}: {work}; the default rate scaled to {jobs} of your past jobs, give or "
        "take {percent}%."
    ),
    "stage-fitted": (
        "{stage}: {work}; from {jobs} past jobs, which were {percent}% apart from the rate."
    ),
    "ceiling-factor": (
        "Under a {kind} ceiling, {count} of the beams: {percent}% of a flat one's time."
    ),
    "section-factor": "Section {kind}, {count} of the beams: {percent}% of a plain one's time.",
    "material-waste": "{text}: {percent}% is added for waste.",
    "material-no-price": "{text}: no price is set, so it counts for nothing.",
    "materials-alike": "Materials are the same in low, likely and high; only the hours differ.",
    "tax-on": "Tax of {percent}% is on {sorts}.",
    "tax-on-nothing": "No line is taxable.",
}
"""Sentences for an estimate's reasons, by `Reason.name`, over `Reason.facts`."""


_WORK = {
    "hour": "{many} min at ${rate}/h",
    "foot": "{many} ft at ${rate}/ft",
    "each": "{many} beam(s) at ${rate} each",
}


def reason_sentence(reason: Reason) -> str:
    """Return the sentence for one reason of an estimate. A stage is shown as minutes, feet or beams
    at their price, rounded to two places, so that a reader can compute it."""
    shown = {k: ", ".join(v) if isinstance(v, tuple) else v for k, v in reason.facts.items()}
    if "per" in reason.facts:
        many = f"{reason.facts['many']:f}".rstrip("0").rstrip(".")
        shown["work"] = _WORK[str(shown["per"])].format(many=many, rate=shown["rate"])
    return REASONS[reason.name].format(**shown)


def accept_estimate(
    record: Record,
    found: Estimate,
    by: str,
    on: date,
    now: datetime,
    *,
    today: date,
    tax_rate: Decimal,
    beams: tuple[str, ...] = (),
    reasons: tuple[str, ...] = (),
    left_out: tuple[str, ...] = (),
) -> Change:
    """Return the change that keeps an estimate as accepted; one accepted before is superseded.

    today: the business's day at `now`. Raises `NotAllowed` if `on` is after it.
    """
    by = checked_line(by, "name of the person who accepts", most=LONGEST_NAME)
    if not by:
        raise NotAllowed("Type who accepted the estimate.")
    if on > today:
        raise NotAllowed(f"{on} is in the future. An estimate is accepted today or earlier.")
    price = found.likely
    row = record.new_row("accepted")
    new = Accepted(
        row,
        on,
        by,
        tuple(price.lines),
        tax_rate,
        price.tax,
        price.total,
        found.low.total,
        found.high.total,
        tuple(
            StagePlan(one.rate.stage, one.low, one.likely, one.high, one.rate.jobs)
            for one in found.stages
        ),
        beams,
        reasons,
        left_out,
    )
    what = f"{by} accepted the estimate of {price.total}"
    if record.accepted is not None:
        what += f", in place of {record.accepted.total}"
    return Change(what, (edit(record.tables, ("accepted", row), new.to_doc()),), now)


@dataclass(frozen=True)
class Priced:
    """An estimate with its beams, its pricing, and the past jobs behind it; `left_out` are beams of
    unknown length, by label."""

    estimate: Estimate
    beams: tuple[Beams, ...]
    pricing: Pricing
    past: tuple[PastJob, ...]
    reasons: tuple[str, ...]
    left_out: tuple[str, ...] = ()

    @property
    def feet(self) -> Fraction:
        """The feet of beam in all."""
        inches = sum((b.count * Fraction(b.length) for b in self.beams), Fraction(0))
        return inches / INCHES_PER_FOOT

    @property
    def beams_told(self) -> tuple[str, ...]:
        """A line for each beam."""
        return tuple(
            f"{one.name}, {show_length(one.length)} in, {one.section}"
            + (f", {one.ceiling} ceiling" if one.ceiling != "flat" else "")
            for one in self.beams
        )


def price_job(record: Record, shop: Shop, past: Sequence[PastJob]) -> Priced:
    """Price a job, but for the beams whose length isn't known (`left_out`). Raises `NotAllowed` if
    it has no rate or no beam of a known length, and `BadInput` as
    `crewdesk.trade.books.estimate.estimate`."""
    pricing = pricing_of(record, shop)
    beams = priced_beams(record)
    materials = [line.material(shop) for line in record.materials]
    rates = stage_rates(record.stages, past)
    found = estimate(beams, rates, materials, pricing, shop.factors)
    return Priced(found, beams, pricing, tuple(past), _reasons(record, found), unpriced(record))


def accept(
    record: Record, priced: Priced, by: str, on: date, now: datetime, *, today: date
) -> Change:
    """Return the change that keeps an estimate as the customer accepted it on the day `on`.

    today: the business's day at `now`. Raises `NotAllowed` if `on` is after it.
    """
    return accept_estimate(
        record,
        priced.estimate,
        by,
        on,
        now,
        today=today,
        tax_rate=priced.pricing.tax,
        beams=priced.beams_told,
        reasons=priced.reasons,
        left_out=priced.left_out,
    )


def hour_of(record: Record, shop: Shop) -> Decimal:
    """Return a job's hourly rate: its own or the shop's; raises `NotAllowed`."""
    hour = record.job.hour or shop.hour
    if hour is None:
        raise NotAllowed(
            "No hourly rate is set. Set one in Business settings, for example with "
            "`crewdesk shop hour=85`, or for this job."
        )
    return hour


def pricing_of(record: Record, shop: Shop) -> Pricing:
    """Return the shop's pricing for this job; raises `NotAllowed` without a rate."""
    return Pricing(
        hour_of(record, shop),
        shop.overhead,
        shop.profit,
        shop.tax,
        shop.tax_per,
        frozenset(sort for sort in SORTS if sort in shop.taxed),
        shop.round_to,
        shop.round_up,
        shop.stage_rates,
    )


def priced_beams(record: Record) -> tuple[Beams, ...]:
    """Return every beam of a known length as the estimate takes it; raises `NotAllowed` if none has
    one yet."""
    if not record.beams:
        raise NotAllowed("This job has no beam to price. Add one.")
    found = tuple(
        beams_of(beam, length) for beam in record.beams if (length := beam_length(beam)) is not None
    )
    if not found:
        raise NotAllowed(
            f"The length of {named(unpriced(record))} isn't known. Measure it wall to wall, or "
            "type a rough length to price it."
        )
    return found


def unpriced(record: Record) -> tuple[str, ...]:
    """Return the beams that an estimate leaves out, as nothing is known of their length, each by
    its label."""
    return tuple(beam.label for beam in record.beams if beam_length(beam) is None)


def beam_length(beam: Beam) -> Fraction | None:
    """Return a beam's longest measured run, else its rough length, in inches; None if unknown."""
    return length_read(beam) or piece_length(beam, "bottom")


def beams_of(beam: Beam, length: Fraction) -> Beams:
    """Return one beam for the estimate."""
    section = beam.section
    size = f"{show_length(section.width)} x {show_length(section.height)} in"
    return Beams(beam.label, 1, length, size, beam.ceiling)


def stage_rates(stages: Stages, past: Sequence[PastJob]) -> tuple[StageRate, ...]:
    """Return the rate of each stage: from past jobs, or the default if none has time on it.

    Work outside the stages is included if past jobs have time on it, except change orders' work,
    which has its own price.
    """
    usual = {rate.stage: rate for rate in DEFAULT_RATES}
    none = StageRate("", Fraction(0), Fraction(0))
    found = [fit(usual.get(s.id, replace(none, stage=s.id)), past) for s in stages]
    for one in stages.other:
        rate = fit(replace(none, stage=one.id), past)
        if rate.jobs and one.id != EXTRA_WORK:
            found.append(rate)
    return tuple(found)


def past_job(record: Record, factors: Factors, now: datetime) -> PastJob | None:
    """Return a finished job's data for estimates of later jobs; or None if it isn't finished or has
    no data.

    Finished is a job whose every step is done, whose beams all have a length, and that
    has time on a stage.
    """
    total = RunSheet(record).total()
    lengths = [beam_length(beam) for beam in record.beams]
    if not total.steps or total.behind < total.steps or None in lengths or not record.entries:
        return None
    return as_past(record, factors, now)


def as_past(record: Record, factors: Factors, now: datetime) -> PastJob:
    """Return a job's size, its seconds by stage without change orders, and its reveals."""
    beams = [beams_of(b, length) for b in record.beams if (length := beam_length(b))]
    seconds: dict[str, int] = {}
    for entry in record.entries:
        if not entry.order:
            spent = max(elapsed(entry.start, entry.stop or now), 0)
            seconds[entry.stage] = seconds.get(entry.stage, 0) + spent
    return PastJob(record.job.name, load_of(beams, factors), seconds, reveals_off(record))


def _reasons(record: Record, found: Estimate) -> tuple[str, ...]:
    """Return the reasons in words, the stages by their names."""
    lines = []
    for reason in found.reasons:
        facts = dict(reason.facts)
        if "stage" in facts:
            facts["stage"] = record.stages.name_of(str(facts["stage"]))
        lines.append(reason_sentence(replace(reason, facts=facts)))
    return tuple(lines)


def typed_rates(record: Record, hour: str, billing: str, share: str, now: datetime) -> Change:
    """Return the change that sets a job's hourly rate (empty for the shop's), its billing (empty
    for the accepted price, if any) and how it shares a batch's time.

    Raises `NotAllowed`, and `BadInput` for an invalid rate.
    """
    kept = ""
    if hour.strip():
        rate = read_rate(hour)
        if rate.per != "hour" or not rate.amount:
            raise NotAllowed("An hourly rate must be more than zero. Type it like 85 or 85/h.")
        kept = str(rate.amount)
    values = {
        "hour": kept,
        "billing": billing.strip().lower(),
        "share": share.strip().lower() or "length",
    }
    job = record.job
    was = {"hour": "" if job.hour is None else str(job.hour)}
    was |= {"billing": job.billing, "share": job.share}
    new = {key: value for key, value in values.items() if value != was[key]}
    if not new:
        raise NotAllowed("That is the same as before. Nothing was changed.")
    return change_job(record, new, now)
