"""The clock: start, switch, pause and stop it; entries added and fixed by hand; doubtful times."""

from collections.abc import Callable, Collection, Iterable, Iterator
from datetime import date, datetime, timedelta, timezone
from decimal import Decimal
from typing import Any

from crewdesk.errors import ClockDoubt, NotAllowed
from crewdesk.job.beams.piece import Spot
from crewdesk.job.change import ABSENT, Change, Edit, edit
from crewdesk.job.record import Record
from crewdesk.job.text_limits import checked_note
from crewdesk.job.time.entry import Entry
from crewdesk.trade.books.durations import in_days, to_the_minute

ASK_AFTER = timedelta(minutes=10)
"""How long a clock may run before crewdesk asks about it."""
LONGEST = timedelta(hours=16)
_DAYS_OFF = 7
"""A safe margin in days between a time's text and its day, because of zones and week years."""


def running(record: Record) -> Entry | None:
    """Return the entry whose clock is running, if any, without parsing the others."""
    rows = record.tables.get("entries", {}).items()
    row = min((row for row, doc in rows if "stop" not in doc), key=int, default=None)
    return None if row is None else record.entry(row)


def start(
    record: Record,
    stage: str,
    now: datetime,
    *,
    pieces: Iterable[Spot] | None = None,
    note: str = "",
    billable: bool = True,
    rate: Decimal | None = None,
    order: str = "",
) -> Change:
    """Return the change that starts the clock on a stage and stops a running one.

    `stage` may be the id of a kind of work outside the stages. The clock may be started again on
    its own stage for other pieces or another order. Raises `NotAllowed` if the job is put away.
    """
    if record.job.put_away is not None:
        raise NotAllowed(f"{record.job.name} is put away. Put it back into the list of jobs first.")
    name, now = record.stages.work_of(stage).name, fixed(now)
    new = Entry(
        record.new_row("entries"),
        now,
        stage,
        None,
        checked_note(note),
        _pieces(record, pieces),
        billable,
        rate,
        _order(record, order),
    )
    edits: tuple[Edit, ...] = ()
    what = f"clock started on {name}"
    if (entry := running(record)) is not None:
        if (entry.stage, entry.pieces, entry.order) == (stage, new.pieces, order):
            raise NotAllowed(f"The clock is already running on {name}. Nothing was changed.")
        _likely(record, entry, now)
        edits = (_stopped(record, entry, now),)
        what = f"clock switched to {name}"
    _alone(record, new, now)
    return Change(what, (*edits, edit(record.tables, ("entries", new.row), new.to_doc())), now)


def pause(record: Record, now: datetime, *, at: datetime | None = None) -> Change:
    """Return the change that pauses the clock; `resume` continues. Raises as `stop`."""
    return stop(record, now, at=at)._replace(what="clock paused")


def resume(record: Record, now: datetime) -> Change:
    """Return the change that restarts the clock on its last work, pieces included."""
    if running(record) is not None:
        raise NotAllowed("The clock is already running. Nothing was changed.")
    entries = sorted((e for e in record.entries if e.stop), key=lambda e: e.stop or e.start)
    if not entries:
        raise NotAllowed("No clock has been started. Choose a stage to start it on.")
    last = entries[-1]
    return start(
        record,
        last.stage,
        now,
        pieces=last.pieces,
        note=last.note,
        billable=last.billable,
        rate=last.rate,
        order=last.order,
    )


def stop(record: Record, now: datetime, *, at: datetime | None = None) -> Change:
    """Return the change that stops the clock now, or at an earlier time.

    Raises `NotAllowed` if that is unusually long and no time was given.
    """
    entry = running(record)
    if entry is None:
        raise NotAllowed("No clock is running. Nothing was changed.")
    now = fixed(now)
    if at is None:
        _likely(record, entry, now)
    at = now if at is None else fixed(at)
    if at > now:
        raise NotAllowed("A clock can't be stopped in the future. Nothing was changed.")
    ran = entry.lasted(at)
    what = f"clock stopped after {in_days(ran)}" if ran >= timedelta(days=1) else "clock stopped"
    return Change(what, (_stopped(record, entry, at),), now)


def too_long(entry: Entry, now: datetime) -> bool:
    """Return whether a clock has run too long to be real: it was forgotten, or the computer's clock
    was changed."""
    return entry.lasted(now) > LONGEST


def _likely(record: Record, entry: Entry, now: datetime) -> None:
    """Raise `NotAllowed` if a clock can't be stopped without a time."""
    if too_long(entry, now):
        name = record.stages.name_of(entry.stage)
        raise NotAllowed(
            f"The clock on {name} has run for {in_days(entry.lasted(now))}. Type when "
            "it stopped. Nothing was changed."
        )


def add(
    record: Record,
    stage: str,
    begin: datetime,
    end: datetime,
    now: datetime,
    *,
    note: str = "",
    pieces: Iterable[Spot] | None = None,
    billable: bool = True,
    rate: Decimal | None = None,
    order: str = "",
) -> Change:
    """Return the change that adds an entry by hand."""
    row, now = record.new_row("entries"), fixed(now)
    entry = Entry(
        row,
        fixed(begin),
        stage,
        fixed(end),
        checked_note(note),
        _pieces(record, pieces),
        billable,
        rate,
        _order(record, order),
    )
    sound(record, entry, now)
    what = f"added {lasted_told((entry,), now)} on {record.stages.work_of(stage).name}"
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
    **others: Any,
) -> Change:
    """Return the change that gives an entry other times, another stage or note.

    `others` may be `pieces`, `billable`, `rate` and `order`; None removes pieces or a rate.
    """
    old, now = record.entry(row), fixed(now)
    if strange := sorted(set(others) - {"pieces", "billable", "rate", "order"}):
        raise TypeError(f"an entry can't have {strange[0]}")
    if "pieces" in others:
        others["pieces"] = _pieces(record, others["pieces"])
    if "order" in others:
        _order(record, others["order"])
    new = old._replace(
        stage=old.stage if stage is None else stage,
        start=old.start if begin is None else fixed(begin),
        stop=old.stop if end is None else fixed(end),
        note=old.note if note is None else checked_note(note),
        **others,
    )
    if new == old:
        raise NotAllowed("That is the same as before. Nothing was changed.")
    sound(record, new, now, (row,))
    return Change(
        f"changed an entry on {record.stages.name_of(new.stage)}",
        (edit(record.tables, ("entries", row), new.to_doc()),),
        now,
    )


def remove(record: Record, row: str, now: datetime) -> Change:
    """Return the change that removes an entry."""
    record.entry(row)
    return Change("removed a time entry", (edit(record.tables, ("entries", row), ABSENT),), now)


def _stopped(record: Record, entry: Entry, at: datetime) -> Edit:
    if at < entry.start:
        how = "%H:%M" if entry.start - at < timedelta(hours=12) else "%Y-%m-%d %H:%M"
        raise NotAllowed(
            f"The clock was started at {entry.start:{how}}, after {at:{how}}. Nothing was changed."
        )
    return edit(record.tables, ("entries", entry.row, "stop"), at.isoformat())


def sound(record: Record, entry: Entry, now: datetime, of: Collection[str] = ()) -> None:
    """Raise `NotAllowed` if an entry doesn't fit with the others.

    of: the rows that it replaces. Their stage and times may stay even if a new entry couldn't have
    them, and they may still share time that they shared before, for example while an overlap is
    fixed step by step.
    """
    before = [record.entry(row) for row in of]
    if entry.stage not in {one.stage for one in before}:  # it may have been dropped since
        record.stages.work_of(entry.stage)
    if any((one.start, one.stop) == (entry.start, entry.stop) for one in before):
        return  # its times stay, whatever they are
    if entry.stop is not None and entry.stop <= entry.start:
        raise NotAllowed(
            f"An entry can't stop at {entry.stop:%H:%M} when it started at "
            f"{entry.start:%H:%M}. Nothing was changed."
        )
    if max(entry.start, entry.stop or entry.start) > now:
        raise NotAllowed("An entry can't be in the future. Nothing was changed.")
    longest = max((one.lasted(now) for one in before), default=LONGEST)
    if entry.stop is not None and entry.stop - entry.start > max(LONGEST, longest):
        raise NotAllowed(
            f"An entry of more than {LONGEST.seconds // 3600} hours can't be right. "
            "Split it by days. Nothing was changed."
        )
    _alone(record, entry, now, before)


def _alone(record: Record, entry: Entry, now: datetime, before: Collection[Entry] = ()) -> None:
    """Raise `NotAllowed` if an entry shares more time with another than `before` did."""
    for other in _near(record, entry.start):
        if other in before or other.row == entry.row:
            continue
        if entry.start >= (other.stop or now) or other.start >= (entry.stop or now):
            continue
        most = max((_shared(one, other, now) for one in before), default=timedelta(-1))
        if _shared(entry, other, now) > most:
            raise NotAllowed(
                f"That overlaps the entry of {other.start:%Y-%m-%d} {other.start:%H:%M} "
                f"to {other.stop or now:%H:%M}. Fix that first. Nothing was changed."
            )


def _near(record: Record, since: datetime) -> Iterator[Entry]:
    """Return the entries without those that ended days before a time by their text, so that few of
    many are parsed."""
    first = date.fromordinal(max(since.toordinal() - _DAYS_OFF, 1)).isoformat()
    docs = record.tables.get("entries", {})
    near = [row for row, doc in docs.items() if str(doc.get("stop", "~")) >= first]
    return map(record.entry, sorted(near, key=int))


def _shared(one: Entry, other: Entry, now: datetime) -> timedelta:
    """Return the time that two entries share; a running clock counts up to `now`."""
    shared = min(one.stop or now, other.stop or now) - max(one.start, other.start)
    return max(shared, timedelta(0))


def _pieces(record: Record, pieces: Iterable[Spot] | None) -> tuple[Spot, ...] | None:
    """Return the pieces of an entry, each once, or None; raises `NotAllowed` for an unknown one."""
    spots = tuple(dict.fromkeys(pieces or ()))
    for spot in spots:
        record.beam(spot.beam).piece(spot.piece)
    return spots or None


def _order(record: Record, row: str) -> str:
    if row:
        record.order(row)
    return row


def fixed(when: datetime) -> datetime:
    """Return the same moment at its zone's offset of that time.

    Python compares two times of one zone by wall clocks, which is wrong when clocks go back.
    """
    offset = when.utcoffset()
    if offset is None:
        raise NotAllowed(f"The time {when.isoformat()} has no time zone. Nothing was changed.")
    return when.astimezone(timezone(offset))


def lasted_told(entries: Iterable[Entry], now: datetime) -> str:
    """Return the total time of entries in words."""
    return to_the_minute(sum((one.lasted(now) for one in entries), timedelta()))


SET_BACK = timedelta(minutes=2)
"""How far a clock may be behind the last change: two computers never agree to the second."""
FAR_AHEAD = timedelta(days=366)
"""The longest believable rest of a folder; beyond it a wrong clock is more likely."""


def doubtful(now: datetime, last: datetime | None) -> bool:
    """Return whether a clock at `now` is implausible after a change at `last`."""
    return last is not None and not last - SET_BACK <= now <= last + FAR_AHEAD


def doubt_text(now: datetime, last: datetime) -> str:
    """Return the problem of the clock in words, in its own zone."""
    return (
        f"this computer's clock says {now:%Y-%m-%d %H:%M}, but the last change was made "
        f"at {last.astimezone(now.tzinfo):%Y-%m-%d %H:%M}"
    )


def check_clock(
    now: datetime, last: datetime | None, latest: Callable[[], datetime | None]
) -> None:
    """Raise `ClockDoubt` if a command may not save at `now`.

    last: when the record was last changed. latest: returns when anything in the folder was; called
    only if the clock seems far ahead, since a job may rest for years.
    """
    if not doubtful(now, last):
        return
    assert last is not None
    if now > last:
        last = max(last, latest() or last)
        if not doubtful(now, last):
            return
    raise ClockDoubt(
        f"Nothing was saved: {doubt_text(now, last)}. Set the clock, or add --now-is-right."
    )
