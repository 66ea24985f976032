"""The clock: start on a stage, switch, stop; entries added and mended by hand."""

from dataclasses import replace
from datetime import datetime, timedelta, timezone

from crewdesk.job.change import ABSENT, Change, Edit, edit
from crewdesk.job.entry import Entry
from crewdesk.job.record import Record
from crewdesk.job.refused import Refused
from crewdesk.job.words import checked_note

ASK_AFTER = timedelta(minutes=10)
"""A clock that nobody looked after for this long is asked about."""
LONGEST = timedelta(hours=16)


def running(record: Record) -> Entry | None:
    """The entry whose clock runs, if any."""
    return next((one for one in record.entries if one.running), None)


def start(record: Record, stage: str, now: datetime) -> Change:
    """The change that starts the clock on a stage; a clock that runs is stopped first."""
    name, now = record.stages.stage(stage).name, _fixed(now)
    edits: tuple[Edit, ...] = ()
    what = f"clock started on {name}"
    if (entry := running(record)) is not None:
        if entry.stage == stage:
            raise Refused(f"The clock already runs on {name}; nothing was changed.")
        edits = (_stopped(record, entry, now),)
        what = f"clock switched to {name}"
    new = Entry(record.new_row("entries"), now, None, stage)
    _alone(record, new, now)
    return Change(what, (*edits, edit(record.tables, ("entries", new.row), new.to_doc())), now)


def stop(record: Record, now: datetime, *, at: datetime | None = None) -> Change:
    """The change that stops the clock now, or at an earlier time that the user names."""
    entry = running(record)
    if entry is None:
        raise Refused("No clock runs; nothing was changed.")
    now = _fixed(now)
    at = now if at is None else _fixed(at)
    if at > now:
        raise Refused("A clock can't be stopped in the future; nothing was changed.")
    return Change("clock stopped", (_stopped(record, entry, at),), now)


def add(
    record: Record, stage: str, begin: datetime, end: datetime, now: datetime, *, note: str = ""
) -> Change:
    """The change that adds an entry by hand."""
    row, now = record.new_row("entries"), _fixed(now)
    entry = Entry(row, _fixed(begin), _fixed(end), stage, checked_note(note))
    _sound(record, entry, now)
    what = f"added {_hours(entry, now)} on {record.stages.stage(stage).name}"
    return Change(what, (edit(record.tables, ("entries", entry.row), entry.to_doc()),), now)


def mend(
    record: Record,
    row: str,
    now: datetime,
    *,
    stage: str | None = None,
    begin: datetime | None = None,
    end: datetime | None = None,
    note: str | None = None,
) -> Change:
    """The change that gives an entry other times, another stage or note."""
    old, now = record.entry(row), _fixed(now)
    new = replace(
        old,
        stage=old.stage if stage is None else stage,
        start=old.start if begin is None else _fixed(begin),
        stop=old.stop if end is None else _fixed(end),
        note=old.note if note is None else checked_note(note),
    )
    if new == old:
        raise Refused("Nothing is different; nothing was changed.")
    _sound(record, new, now)
    return Change(
        f"mended an entry on {record.stages.stage(new.stage).name}",
        (edit(record.tables, ("entries", row), new.to_doc()),),
        now,
    )


def remove(record: Record, row: str, now: datetime) -> Change:
    """The change that takes an entry out."""
    record.entry(row)
    return Change("removed a time entry", (edit(record.tables, ("entries", row), ABSENT),), now)


def _stopped(record: Record, entry: Entry, at: datetime) -> Edit:
    if at < entry.start:
        raise Refused(
            f"The clock was started at {entry.start:%H:%M}, after {at:%H:%M}; nothing was changed."
        )
    return edit(record.tables, ("entries", entry.row, "stop"), at.isoformat())


def _sound(record: Record, entry: Entry, now: datetime) -> None:
    record.stages.stage(entry.stage)
    if entry.stop is not None and entry.stop <= entry.start:
        raise Refused(
            f"An entry can't stop at {entry.stop:%H:%M} when it started at {entry.start:%H:%M}; "
            "nothing was changed."
        )
    if max(entry.start, entry.stop or entry.start) > now:
        raise Refused("An entry can't lie in the future; nothing was changed.")
    if entry.stop is not None and entry.stop - entry.start > LONGEST:
        raise Refused(
            f"An entry of more than {LONGEST.seconds // 3600} hours is hard to believe; "
            "split it by days, nothing was changed."
        )
    _alone(record, entry, now)


def _alone(record: Record, entry: Entry, now: datetime) -> None:
    """Raises `Refused` where an entry shares time with another."""
    for other in record.entries:
        if other.row == entry.row:
            continue
        if entry.start < (other.stop or now) and other.start < (entry.stop or now):
            raise Refused(
                f"That overlaps the entry of {other.start:%Y-%m-%d} {other.start:%H:%M} to "
                f"{other.stop or now:%H:%M}; mend that first, nothing was changed."
            )


def _fixed(when: datetime) -> datetime:
    """The same moment at the fixed offset that its zone had then.

    Two times of one zone compare by their wall clocks, which lie when clocks go back.
    """
    offset = when.utcoffset()
    if offset is None:
        raise Refused(f"The time {when.isoformat()} has no time zone; nothing was changed.")
    return when.astimezone(timezone(offset))


def _hours(entry: Entry, now: datetime) -> str:
    minutes = round(entry.lasted(now).total_seconds() / 60)
    return f"{minutes // 60} h {minutes % 60:02d} min"
