"""The hours sheet: every time entry, by day and by stage, on the clocks of the site."""

from datetime import datetime
from itertools import groupby
from typing import Any

from crewdesk.job.entry import Entry
from crewdesk.job.logged import by_stage, on_site, site_zone
from crewdesk.job.record import Record
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet, heading, job_values
from crewdesk.trade.books.durations import elapsed, short


def hours(id_: str, record: Record, now: datetime) -> Sheet:
    """The hours of a job; an entry whose clock runs counts up to `now`.

    Times are those of the job's zone or, where it has none that is known here, the
    ones that the clock showed when they were logged.
    """
    zone = site_zone(record)
    entries = record.entries
    total = sum(worked(entry, now) for entry in entries)
    stages = _stages(record, now)
    where = f"hours, on the clocks of {plain(record.job.zone)}" if zone else "hours"
    lines = [heading(record.job, where)]
    if record.job.zone and zone is None:
        lines.append(
            f"The zone {plain(record.job.zone)} is not known here; "
            "times stand as the clock showed them."
        )
    if not entries:
        lines.append("No time was logged yet.")
    for day, rows in groupby(entries, key=lambda one: f"{on_site(record, one.start):%Y-%m-%d %a}"):
        lines += ["", day, *(_line(record, one, now) for one in rows)]
    if entries:
        wide = max(len(plain(name)) for _, name, _ in stages) + 2
        lines += ["", "By stage"]
        lines += [f"  {plain(name):<{wide}}{short(seconds)}" for _, name, seconds in stages]
        lines.append(f"  {'all':<{wide}}{short(total)}")
    return Sheet(
        tuple(lines),
        {
            "job": job_values(id_, record.job),
            "zone": record.job.zone,
            "entries": [_values(record, one, now) for one in entries],
            "stages": [{"id": i, "name": name, "seconds": s} for i, name, s in stages],
            "seconds": total,
        },
    )


def worked(entry: Entry, now: datetime) -> int:
    """Whole seconds of an entry, up to `now` while its clock runs."""
    return max(elapsed(entry.start, entry.stop or now), 0)


def _stages(record: Record, now: datetime) -> list[tuple[str, str, int]]:
    """Id, name and seconds of every stage that time was logged on, in the order of work."""
    entries = record.entries
    return [
        (
            id_,
            record.stages.name_of(id_),
            sum(worked(entry, now) for entry in entries if entry.stage == id_),
        )
        for id_, _ in by_stage(record, entries, now)
    ]


def _line(record: Record, entry: Entry, now: datetime) -> str:
    start = on_site(record, entry.start)
    if entry.stop is None:
        until = "now  "
    else:
        stop = on_site(record, entry.stop)
        until = f"{stop:%H:%M}" if stop.date() == start.date() else f"{stop:%H:%M (%b %d)}"
    stage = plain(record.stages.name_of(entry.stage))
    note = f"  {plain(entry.note)}" if entry.note else ""
    runs = "  the clock runs" if entry.running else ""
    return f"  {start:%H:%M}-{until}  {short(worked(entry, now)):<9}  {stage}{note}{runs}"


def _values(record: Record, entry: Entry, now: datetime) -> dict[str, Any]:
    return {
        "start": on_site(record, entry.start).isoformat(),
        "stop": None if entry.stop is None else on_site(record, entry.stop).isoformat(),
        "seconds": worked(entry, now),
        "stage": entry.stage,
        "name": record.stages.name_of(entry.stage),
        "note": entry.note,
    }
