"""How far each stage of a job is, and the value of its work: by the accepted price, or by rates and
hours."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.books.pricing import beam_length, beams_of, hour_of, stage_rates
from crewdesk.job.books.shop import Shop
from crewdesk.job.record import Record
from crewdesk.job.time.entry import Entry
from crewdesk.job.time.logged import on_site
from crewdesk.length import INCHES_PER_FOOT
from crewdesk.trade.books.durations import elapsed, short
from crewdesk.trade.books.estimate import PriceLine
from crewdesk.trade.books.invoice_lines import (
    Line,
    StageDone,
    Tick,
    feet_line,
    fixed_line,
    hours_line,
    less_line,
    material_line,
    part_done,
    percent_text,
    progress_lines,
    stage_values,
    stages_done,
)
from crewdesk.trade.books.money import ZERO, Rate, amount, cents
from crewdesk.trade.books.rounding import Bill, Rule, Worked, bill
from crewdesk.trade.books.stage_rates import Factors, PastJob, load_of

NO_LENGTH = Fraction(10 * 12)
"""The weight of a beam if no beam's length is known; all count equally."""


def done_by_stage(
    record: Record, factors: Factors, past: Sequence[PastJob] = ()
) -> tuple[StageDone, ...]:
    """Return each stage's minutes and the part of them that is done or skipped.

    A beam's minutes of a stage are shared evenly among the stage's steps on its pieces. The minutes
    are the accepted estimate's, if any. A beam without a length counts as the others' mean.
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


MATERIAL = ("materials", "consumables")
_NAMES = {"consumables": "supplies"}
"""What a customer calls a sort of line, if that isn't its own name."""


def work_value(
    record: Record, shop: Shop, now: datetime, done: tuple[StageDone, ...], *, all_of_it: bool
) -> tuple[Line, ...]:
    """Return the value of the work up to now, or once it is done, line by line; `done` is how far
    each stage is."""
    if all_of_it:
        done = tuple(replace(stage, part=Fraction(1)) for stage in done)
    if by_price(record):
        assert record.accepted is not None
        lines = taxed_now(record.accepted.lines, shop)
        return earned(lines, done, record.stages.name_of, all_of_it=all_of_it)
    return _by_rates(record, shop, now, done)


def by_price(record: Record) -> bool:
    """Return whether the job is billed by its accepted price; raises `NotAllowed` if it has
    none."""
    if record.job.billing == "price" and record.accepted is None:
        raise NotAllowed(
            "This job is billed by its accepted price, and no price has "
            "been accepted. Accept the estimate first."
        )
    return record.job.billing != "rates" and record.accepted is not None


def billed_time(
    record: Record,
    rule: Rule,
    now: datetime,
    *,
    order: str = "",
    entries: Sequence[Entry] | None = None,
) -> Bill:
    """Return the billable time of a change order, or of everything without one, as rounded; of all
    entries or the given ones. An entry's key is its row."""
    return bill(
        [
            Worked(
                entry.row,
                on_site(record, entry.start),
                entry.stage,
                max(elapsed(entry.start, entry.stop or now), 0),
            )
            for entry in (record.entries if entries is None else entries)
            if entry.billable and entry.order == order
        ],
        rule,
    )


def earned(
    lines: Sequence[PriceLine],
    done: Sequence[StageDone],
    name_of: Callable[[str], str],
    *,
    all_of_it: bool,
) -> tuple[Line, ...]:
    """Return the earned part of a price: labor with its markups by stage; material by the whole
    job's progress, and likewise anything taxed unlike labor."""
    labour = next((line.taxed for line in lines if line.sort == "labour"), False)
    groups: dict[tuple[bool, bool], list[PriceLine]] = {}
    for line in lines:
        groups.setdefault((line.sort in MATERIAL, line.taxed), []).append(line)
    worked = sum((line.amount for line in groups.pop((False, labour), [])), ZERO)
    names = {one.stage: name_of(one.stage) for one in done}
    if done and not all_of_it:
        for one, whole in zip(done, stage_values(worked, done), strict=True):
            names[one.stage] += _of(whole, one.part)
    found = list(progress_lines(worked, done, names, taxed=labour))
    part = part_done(done)
    for (_, taxed), others in groups.items():
        whole = sum((line.amount for line in others), ZERO)
        sorts = dict.fromkeys(_NAMES.get(line.sort, line.sort) for line in others)
        text = ", ".join(sorts).capitalize()
        if not all_of_it:
            text += _of(whole, part)
        due = cents(Fraction(whole) * part)
        if due > 0:
            found.append(fixed_line(text, due, taxed=taxed))
        elif due:  # a price rounded down, where rounding is taxed unlike the labour
            found.append(less_line(text, -due, taxed=taxed))
    return tuple(found)


def _of(whole: Decimal, part: Fraction) -> str:
    """Return the words for how much is earned, so that a customer can compute it."""
    return f", {percent_text(part)} of ${whole:,}"


def taxed_now(lines: Sequence[PriceLine], shop: Shop) -> tuple[PriceLine, ...]:
    """Return the lines of an accepted price; without a tax rate today none is taxed."""
    return tuple(replace(line, taxed=line.taxed and bool(shop.tax)) for line in lines)


def _by_rates(
    record: Record, shop: Shop, now: datetime, done: Sequence[StageDone]
) -> tuple[Line, ...]:
    """Return the lines of hours worked and feet and beams done, each at its rate, and the
    material."""
    taxed = "labour" in shop.taxed
    rates = shop.stage_rates
    parts = {stage.stage: stage.part for stage in done}
    names = record.stages.name_of
    hours: dict[tuple[str, Decimal], int] = {}
    for one in billed_time(record, shop.rounding, now).entries:
        entry = record.entry(one.key)
        usual = rates.get(one.stage)
        if entry.rate is None and usual is not None and usual.per != "hour":
            continue
        rate = entry.rate or (usual.amount if usual else hour_of(record, shop))
        hours[one.stage, rate] = hours.get((one.stage, rate), 0) + one.billed_seconds
    found = []
    order = [one.id for one in record.stages.work]
    for stage, rate in sorted(
        hours, key=lambda key: (order.index(key[0]) if key[0] in order else len(order), key)
    ):
        seconds = hours[stage, rate]
        text = f"{names(stage)}, {short(seconds)} at ${rate}/h"
        found.append(hours_line(text, seconds, rate, taxed=taxed))
    for stage in parts:
        if stage in rates and rates[stage].per != "hour" and parts[stage]:
            found.append(_piecework(record, stage, rates[stage], parts[stage], taxed))
    for material in record.materials:
        line = material_line(material.material(shop), taxed=material.sort in shop.taxed)
        found.append(line)
    return tuple(line for line in found if line.amount)


def _piecework(record: Record, stage: str, rate: Rate, part: Fraction, taxed: bool) -> Line:
    name = record.stages.name_of(stage)
    if rate.per == "each":
        many = len(record.beams) * part
        text = f"{name}, {float(many):.4g} beams at ${rate.amount} each"
        return fixed_line(text, amount(many, rate.amount), taxed=taxed)
    unknown = [beam.label for beam in record.beams if beam_length(beam) is None]
    if unknown:
        raise NotAllowed(
            f"{name} is billed by the foot, and the length of {', '.join(unknown)} isn't known."
        )
    inches = part * sum((beam_length(beam) or 0 for beam in record.beams), Fraction(0))
    text = f"{name}, {float(inches / INCHES_PER_FOOT):.1f} ft at ${rate.amount}/ft"
    return feet_line(text, inches, rate.amount, taxed=taxed)
