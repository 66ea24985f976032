"""The hours sheet: every time entry, by day and by stage, on the clocks of the site."""

from datetime import datetime
from itertools import groupby
from typing import Any
from zoneinfo import ZoneInfo

from crewdesk.job.entry import Entry
from crewdesk.job.record import Record
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet, heading, job_values
from crewdesk.trade.books.durations import elapsed, short


def hours(id_: str, record: Record, now: datetime) -> Sheet:
    """The hours of a job; an entry whose clock runs counts up to `now`.

    Times are those of the job's zone or, where it has none that is known here, the
    ones that the clock showed when they were logged.
    """
    zone = _zone(record.job.zone)
    entries = record.entries
    total = sum(worked(entry, now) for entry in entries)
    stages = _by_stage(record, now)
    where = f"hours, on the clocks of {record.job.zone}" if zone else "hours"
    lines = [heading(record.job, where)]
    if record.job.zone and zone is None:
        lines.append(
            f"The zone {plain(record.job.zone)} is not known here; "
            "times stand as the clock showed them."
        )
    if not entries:
        lines.append("No time was logged yet.")
    for day, rows in groupby(entries, key=lambda one: f"{_at(one.start, zone):%Y-%m-%d %a}"):
        lines += ["", day, *(_line(record, one, zone, now) for one in rows)]
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
            "entries": [_values(record, one, zone, now) for one in entries],
            "stages": [{"id": i, "name": name, "seconds": s} for i, name, s in stages],
            "seconds": total,
        },
    )


def worked(entry: Entry, now: datetime) -> int:
    """Whole seconds of an entry, up to `now` while its clock runs."""
    return max(elapsed(entry.start, entry.stop or now), 0)


def _by_stage(record: Record, now: datetime) -> list[tuple[str, str, int]]:
    """Id, name and seconds of every stage that time was logged on, in the order of work."""
    sums: dict[str, int] = {}
    for entry in record.entries:
        sums[entry.stage] = sums.get(entry.stage, 0) + worked(entry, now)
    order = [stage.id for stage in record.stages]
    order += [id_ for id_ in sums if id_ not in order]
    return [(id_, record.stages.name_of(id_), sums[id_]) for id_ in order if id_ in sums]


def _line(record: Record, entry: Entry, zone: ZoneInfo | None, now: datetime) -> str:
    start = _at(entry.start, zone)
    if entry.stop is None:
        until = "now  "
    else:
        stop = _at(entry.stop, zone)
        until = f"{stop:%H:%M}" if stop.date() == start.date() else f"{stop:%H:%M (%b %d)}"
    stage = plain(record.stages.name_of(entry.stage))
    note = f"  {plain(entry.note)}" if entry.note else ""
    runs = "  the clock runs" if entry.running else ""
    return f"  {start:%H:%M}-{until}  {short(worked(entry, now)):<9}  {stage}{note}{runs}"


def _values(record: Record, entry: Entry, zone: ZoneInfo | None, now: datetime) -> dict[str, Any]:
    return {
        "start": _at(entry.start, zone).isoformat(),
        "stop": None if entry.stop is None else _at(entry.stop, zone).isoformat(),
        "seconds": worked(entry, now),
        "stage": entry.stage,
        "name": record.stages.name_of(entry.stage),
        "note": entry.note,
    }


def _at(when: datetime, zone: ZoneInfo | None) -> datetime:
    return when if zone is None else when.astimezone(zone)


def _zone(name: str) -> ZoneInfo | None:
    try:
        return ZoneInfo(name) if name else None
    except (OSError, ValueError, LookupError):
        return None
