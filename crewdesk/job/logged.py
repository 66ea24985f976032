"""The hours that were logged, added up: by day, by stage, of the whole job.

An entry belongs to the day on which it started, on the clocks of the job's own time zone. That
zone reads time entries and nothing else; any other day is one of the business's
(`crewdesk.job.today`).
"""

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from crewdesk.job.entry import Entry
from crewdesk.job.record import Record
from crewdesk.job.today import zone_of
from crewdesk.job.words import quoted

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo


class Day(NamedTuple):
    """One day's entries, the latest first, and their time in all."""

    day: date
    entries: tuple[Entry, ...]
    total: timedelta


def site_zone(record: Record) -> "ZoneInfo | None":
    """The zone of the site's clocks, or None where the job names none that is known here."""
    return zone_of(record.job.zone)


def on_site(record: Record, when: datetime) -> datetime:
    """A time on the site's clocks; without a zone, as the clock showed it that logged it."""
    zone = site_zone(record)
    return when if zone is None else when.astimezone(zone)


def order_told(record: Record, entry: Entry) -> str:
    """The text of the change order that an entry is on, "" where it is on none. An older version
    could import an entry on a change order that isn't there."""
    if entry.order and entry.order not in record.tables.get("orders", {}):
        return f"{quoted(entry.order)}, which isn't in this job"
    return record.order(entry.order).text if entry.order else ""


def entry_day(record: Record, start: datetime) -> date:
    """Return the day to which a time entry belongs that starts at `start`."""
    return on_site(record, start).date()


def total(entries: Iterable[Entry], now: datetime) -> timedelta:
    """Time in all; a clock that runs counts up to `now`."""
    return sum((one.lasted(now) for one in entries), timedelta(0))


def on_day(record: Record, day: date) -> tuple[Entry, ...]:
    """The entries that started on a day, earliest first."""
    return tuple(one for one in record.entries if entry_day(record, one.start) == day)


def by_day(record: Record, now: datetime) -> tuple[Day, ...]:
    """Every day with an entry, the latest first."""
    entries = tuple(reversed(record.entries))
    grouped = groupby(entries, key=lambda one: entry_day(record, one.start))
    days = [(day, tuple(ones)) for day, ones in grouped]
    return tuple(Day(day, ones, total(ones, now)) for day, ones in days)


def by_stage(
    record: Record, entries: Iterable[Entry], now: datetime
) -> tuple[tuple[str, timedelta], ...]:
    """The stages' and other works' ids with their time, in the order of work; those without
    any left out. What was dropped since stands at the end.
    """
    sums: dict[str, timedelta] = {}
    for one in entries:
        sums[one.stage] = sums.get(one.stage, timedelta(0)) + one.lasted(now)
    order = [one.id for one in record.stages.work]
    order += [id_ for id_ in sums if id_ not in order]
    return tuple((id_, sums[id_]) for id_ in order if id_ in sums)
