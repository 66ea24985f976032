"""The hours sheet: every time entry, by day and by stage, in the site's zone; and estimate vs.
actual by stage, with bars.

Worked and billed time are always shown side by side.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from fractions import Fraction
from itertools import groupby
from typing import Any

from crewdesk.job.beams.gaps import Reveals
from crewdesk.job.books.actuals import JobActuals
from crewdesk.job.books.work_value import billed_time
from crewdesk.job.record import Record
from crewdesk.job.time.entry import Entry
from crewdesk.job.time.logged import by_stage, entry_day, on_site, order_told, site_zone
from crewdesk.length import Step
from crewdesk.paper.documents.letter import money
from crewdesk.paper.lengths import length_json, with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet, csv_text, facts_json, heading, job_values
from crewdesk.trade.books.actuals import BeamOver
from crewdesk.trade.books.durations import elapsed, short
from crewdesk.trade.books.rounding import Rule

_HEADS = (
    "start", "stop", "stage", "seconds", "billed_seconds", "billable", "rate", "change_order",
    "pieces", "note",
)  # fmt: skip


@dataclass(frozen=True)
class Hour:
    """An entry with its worked and billed seconds."""

    entry: Entry
    seconds: int
    billed: int


def billed_hours(
    record: Record,
    now: datetime,
    rule: Rule,
    *,
    since: date | None = None,
    until: date | None = None,
) -> tuple[Hour, ...]:
    """Return the entries that started on the days from `since` to `until`, rounded.

    A non-billable entry has nothing billed. As on an invoice, a change order's time is rounded by
    itself.
    """
    entries = [
        entry
        for entry in record.entries
        if (since is None or entry_day(record, entry.start) >= since)
        and (until is None or entry_day(record, entry.start) <= until)
    ]
    orders = {entry.order for entry in entries}
    bills = [billed_time(record, rule, now, order=order, entries=entries) for order in orders]
    billed = {one.key: one.billed_seconds for found in bills for one in found.entries}
    return tuple(Hour(e, worked(e, now), billed.get(e.row, 0)) for e in entries)


def hours(
    id_: str,
    record: Record,
    now: datetime,
    rule: Rule | None = None,
    *,
    since: date | None = None,
    until: date | None = None,
) -> Sheet:
    """Return the hours of a job; a running clock counts up to `now`.

    Times are in the job's zone or, if it has none known here, as the clock showed them.
    """
    rule = rule or Rule()
    zone = site_zone(record)
    every = billed_hours(record, now, rule, since=since, until=until)
    stages = _stages(record, every, now)
    where = f"hours, on the clocks of {plain(record.job.zone)}" if zone else "hours"
    lines = [heading(record.job, where)]
    if record.job.zone and zone is None:
        lines.append(
            f"The time zone {plain(record.job.zone)} isn't known here; times are shown "
            "as the clock showed them."
        )
    if not every:
        asked = since is not None or until is not None
        lines.append("No entry began on those days." if asked else ("No time has been logged."))
    for day, ones in groupby(every, key=lambda h: f"{on_site(record, h.entry.start):%Y-%m-%d %a}"):
        lines += ["", day, *(_line(record, one, rule) for one in ones)]
    total, billed = sum(one.seconds for one in every), sum(one.billed for one in every)
    if every:
        wide = max(len(plain(name)) for _, name, _, _ in stages) + 2
        lines += ["", f"By stage{'':<{max(wide - 6, 1)}}worked    billed ({_told(rule)})"]
        lines += [
            f"  {plain(name):<{wide}}{short(seconds):<10}{short(part)}"
            for _, name, seconds, part in stages
        ]
        lines.append(f"  {'all':<{wide}}{short(total):<10}{short(billed)}")
    return Sheet(
        tuple(lines),
        lambda: {
            "job": job_values(id_, record.job),
            "zone": record.job.zone,
            "rounding": _told(rule),
            "entries": [_values(record, one) for one in every],
            "by_stage": {
                stage: {"name": name, "seconds": seconds, "billed_seconds": part}
                for stage, name, seconds, part in stages
            },
            "seconds": total,
            "billed_seconds": billed,
        },
    )


def hours_csv(record: Record, every: Sequence[Hour]) -> str:
    """Return the entries as CSV (see `csv_text`), times in ISO 8601."""
    return csv_text(
        _HEADS,
        (
            (
                on_site(record, one.entry.start).isoformat(),
                None if one.entry.stop is None else on_site(record, one.entry.stop).isoformat(),
                record.stages.name_of(one.entry.stage),
                one.seconds,
                one.billed,
                "yes" if one.entry.billable else "no",
                one.entry.rate,
                order_told(record, one.entry),
                "; ".join(_pieces(record, one.entry)),
                one.entry.note,
            )
            for one in every
        ),
    )


def worked(entry: Entry, now: datetime) -> int:
    """Return the whole seconds of an entry, up to `now` while its clock runs."""
    return max(elapsed(entry.start, entry.stop or now), 0)


def _told(rule: Rule) -> str:
    if not rule.minutes:
        return "not rounded"
    return f"{rule.minutes} min, {rule.toward}, per {rule.per}"


def _stages(
    record: Record, every: Sequence[Hour], now: datetime
) -> list[tuple[str, str, int, int]]:
    """Return id, name, worked and billed seconds of everything with time, in order of work."""
    return [
        (
            id_,
            record.stages.name_of(id_),
            sum(one.seconds for one in every if one.entry.stage == id_),
            sum(one.billed for one in every if one.entry.stage == id_),
        )
        for id_, _ in by_stage(record, [one.entry for one in every], now)
    ]


def _line(record: Record, hour: Hour, rule: Rule) -> str:
    entry = hour.entry
    start = on_site(record, entry.start)
    if entry.stop is None:
        until = "now  "
    else:
        stop = on_site(record, entry.stop)
        until = f"{stop:%H:%M}" if stop.date() == start.date() else f"{stop:%H:%M (%b %d)}"
    stage = plain(record.stages.name_of(entry.stage))
    note = f"  {plain(entry.note)}" if entry.note else ""
    if entry.order:
        stage += f", on {plain(order_told(record, entry))}"
    runs = "  the clock is running" if entry.running else ""
    free = "" if entry.billable else "  non-billable"
    billed = f"  billed {short(hour.billed)}" if rule.minutes and entry.billable else ""
    return f"  {start:%H:%M}-{until}  {short(hour.seconds):<9}  {stage}{note}{billed}{free}{runs}"


def _pieces(record: Record, entry: Entry) -> list[str]:
    labels = {beam.row: beam.label for beam in record.beams}
    return [f"{labels.get(s.beam, 'a removed beam')} {s.piece}" for s in entry.pieces or ()]


def _values(record: Record, hour: Hour) -> dict[str, Any]:
    entry = hour.entry
    return {
        "start": on_site(record, entry.start).isoformat(),
        "stop": None if entry.stop is None else on_site(record, entry.stop).isoformat(),
        "seconds": hour.seconds,
        "billed_seconds": hour.billed,
        "stage": entry.stage,
        "name": record.stages.name_of(entry.stage),
        **facts_json(entry, "note", "billable", "rate"),
        "change_order": order_told(record, entry),
        "pieces": [[spot.beam, spot.piece] for spot in entry.pieces or ()],
    }


BAR = 30


def actuals_sheet(id_: str, record: Record, took: JobActuals) -> Sheet:
    """Return the sheet: `#` is time spent, `-` the rest of the estimate, `!` time over it."""
    name = record.stages.name_of
    against = "the accepted estimate" if took.accepted else "what it should take by the rates"
    jobs = f"{took.past} finished job{'' if took.past == 1 else 's'}"
    lines = [
        heading(record.job, "what it took"),
        f"Minutes against {against}; minutes per foot against {jobs}.",
        "",
    ]
    wide = max((len(plain(name(one.stage))) for one in took.stages), default=0) + 2
    most = max(
        (max(one.minutes, one.estimated or Fraction(0)) for one in took.stages), default=Fraction(0)
    )
    for one in took.stages:
        bar = stage_bar(one.minutes, one.estimated, most)
        text = f"{minutes_text(one.minutes):>7} of {minutes_text(one.estimated):>7}"
        foot = f"  {per_foot_text(one.per_foot)}/ft" if one.per_foot is not None else ""
        every = f", all jobs {per_foot_text(one.all_per_foot)}/ft" if one.jobs else ""
        over = "  over" if one.beyond else ""
        lines.append(f"{plain(name(one.stage)):<{wide}}|{bar:<{BAR}}| {text}{foot}{every}{over}")
    lines += ["", fix_ups_text(took)]
    lines += [f"  {plain(cause)}: {short(seconds // 60 * 60)}" for cause, seconds in took.causes]
    lines += reveal_lines(took, record.job.step)
    if took.beams:
        lines += ["", "Beams that ran over"]
    for beam in took.beams:
        lines.append(f"  {plain(beam.name)}: {minutes_text(beam.over)} over ({causes_text(beam)})")
    if took.untold:
        lines.append(f"{short(took.untold)} was logged without pieces and is in no beam's time.")
    return Sheet(tuple(lines), lambda: _took_values(id_, record, took))


def stage_bar(minutes: Fraction, estimated: Fraction | None, most: Fraction) -> str:
    """Return a bar of at most `BAR` characters, scaled to the longest."""
    if not most:
        return ""
    spent = round(BAR * minutes / most)
    reckoned = spent if estimated is None else round(BAR * estimated / most)
    within = min(spent, reckoned)
    return "#" * within + "!" * (spent - within) + "-" * (reckoned - within)


def causes_text(beam: BeamOver) -> str:
    """Return the causes of a beam's overrun in words."""
    return ", ".join(_many(count, what) for what, count in beam.causes) or ("nothing recorded")


def _many(count: int, what: str) -> str:
    return f"{count} {what if count != 1 else what.removesuffix('s')}"


def minutes_text(minutes: Fraction | None) -> str:
    """Return minutes, rounded, as hours and minutes."""
    if minutes is None:
        return "none"
    return short(round(minutes) * 60) if round(minutes) else "0"


def per_foot_text(minutes: Fraction | None) -> str:
    """Return minutes per foot, to a tenth."""
    return "none" if minutes is None else f"{float(minutes):.1f} min"


def fix_ups_text(took: JobActuals) -> str:
    """Return the time of fix-ups, in whole minutes cut off, and its value."""
    if not took.fix_up_seconds:
        return "No time went into fix-ups."
    price = "" if took.fix_up_price is None else f", worth {money(took.fix_up_price)}"
    return f"Fix-ups took {short(took.fix_up_seconds // 60 * 60)}{price}."


def reveal_lines(took: JobActuals, step: Step) -> list[str]:
    """Return the differences of this job's reveals, and of finished jobs, a line each."""
    lines = [] if took.reveals is None else [reveals_line(took.reveals, step)]
    if took.past_reveals is not None:
        lines.append(f"In finished jobs: {reveals_line(took.past_reveals, step)}")
    return lines


def reveals_line(reached: Reveals, step: Step) -> str:
    """Return the summary of the reveals measured at the fix-up, in one line."""
    count = f"{reached.measured} reveal{'' if reached.measured == 1 else 's'} measured"
    mean = with_unit(abs(reached.mean_off), step)
    way = "more" if reached.mean_off > 0 else "less"
    off = (
        f"{mean} {way} than asked for on average" if reached.mean_off else "as asked for on average"
    )
    return f"{count}: {off}, {with_unit(reached.worst_off, step)} off at the worst."


def _reveal_values(reached: Reveals | None, step: Step) -> dict[str, Any] | None:
    if reached is None:
        return None
    return {
        "count": reached.measured,
        "mean_off": length_json(reached.mean_off, step),
        "worst_off": length_json(reached.worst_off, step),
    }


def _took_values(id_: str, record: Record, took: JobActuals) -> dict[str, Any]:
    def number(value: Fraction | None) -> float | None:
        return None if value is None else round(float(value), 3)

    return {
        "job": job_values(id_, record.job),
        "accepted": took.accepted,
        "past_jobs": took.past,
        "stages": [
            {
                "stage": one.stage,
                "name": record.stages.name_of(one.stage),
                "minutes": number(one.minutes),
                "minutes_per_foot": number(one.per_foot),
                "estimated": number(one.estimated),
                "over": number(one.over),
                "beyond_high": one.beyond,
                "all_jobs_minutes_per_foot": number(one.all_per_foot),
                "jobs": one.jobs,
            }
            for one in took.stages
        ],
        "beams_over": [
            {
                "name": beam.name,
                "minutes": number(beam.minutes),
                "over": number(beam.over),
                "causes": dict(beam.causes),
            }
            for beam in took.beams
        ],
        "fix_up": {
            "seconds": took.fix_up_seconds,
            "price": None if took.fix_up_price is None else str(took.fix_up_price),
            "causes": [{"cause": cause, "seconds": seconds} for cause, seconds in took.causes],
        },
        "seconds_without_pieces": took.untold,
        "reveals": _reveal_values(took.reveals, record.job.step),
        "past_reveals": _reveal_values(took.past_reveals, record.job.step),
    }
