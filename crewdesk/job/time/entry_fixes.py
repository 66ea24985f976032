"""Split, join and move time entries, each in one change; find overlaps, gaps and long entries."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.change import ABSENT, Change, edit
from crewdesk.job.record import Record
from crewdesk.job.time.clock import fixed, mend, remove, sound
from crewdesk.job.time.entry import Entry
from crewdesk.job.time.logged import on_site
from crewdesk.trade.books.durations import Entry as Stretch
from crewdesk.trade.books.durations import Oddity, oddities, short, to_the_minute


def split(record: Record, row: str, at: datetime, now: datetime) -> Change:
    """Return the change that splits one entry in two, the second from `at` on."""
    old, at = record.entry(row), fixed(at)
    end = old.stop or fixed(now)
    if not old.start < at < end:
        raise NotAllowed(
            f"An entry can be split only between its ends, {old.start:%H:%M} and "
            f"{end:%H:%M}, not at {at:%H:%M}. Nothing was changed."
        )
    second = old._replace(row=record.new_row("entries"), start=at)
    return Change(
        f"split an entry on {record.stages.name_of(old.stage)} at {at:%H:%M}",
        (
            edit(record.tables, ("entries", row, "stop"), at.isoformat()),
            edit(record.tables, ("entries", second.row), second.to_doc()),
        ),
        now,
    )


def join(record: Record, row: str, other: str, now: datetime) -> Change:
    """Return the change that joins two entries, from the first's start to the last's stop.

    Both must be on one stage and billed alike, with no other entry between them; the
    time between them, if any, counts as worked.
    """
    one, two = sorted((record.entry(row), record.entry(other)), key=lambda e: e.start)
    if one.row == two.row:
        raise NotAllowed("Choose two entries to join.")
    if not _alike(one, two):
        raise NotAllowed("Only entries on one stage that are billed alike can be joined.")
    ends = [e.stop for e in (one, two)]
    stop = None if None in ends else max(end for end in ends if end)
    pieces = None
    if one.pieces and two.pieces:
        pieces = tuple(dict.fromkeys((*one.pieces, *two.pieces)))
    notes = dict.fromkeys(note for note in (one.note, two.note) if note)
    new = one._replace(stop=stop, note="; ".join(notes), pieces=pieces)
    sound(record, new, fixed(now), (one.row, two.row))
    gap = two.start - (one.stop or two.start)
    counted = f", {to_the_minute(gap)} between them counted" if gap > timedelta(0) else ""
    return Change(
        f"joined two entries on {record.stages.name_of(one.stage)}{counted}",
        (
            edit(record.tables, ("entries", one.row), new.to_doc()),
            edit(record.tables, ("entries", two.row), ABSENT),
        ),
        now,
    )


def neighbour(record: Record, row: str) -> str:
    """Return the entry to join with: of the ones before and after, the nearer, preferring the same
    stage and billing. Raises `NotAllowed` if there is no other."""
    entries = record.entries
    place = [one.row for one in entries].index(row)
    here = entries[place]
    near = [*entries[max(place - 1, 0) : place], *entries[place + 1 : place + 2]]
    if not near:
        raise NotAllowed("There is no other entry to join this one with.")

    def far(one: Entry) -> tuple[bool, timedelta]:
        first, last = sorted((here, one), key=lambda e: e.start)
        return not _alike(here, one), last.start - (first.stop or last.start)

    return min(near, key=far).row


def _alike(one: Entry, two: Entry) -> bool:
    return all(
        getattr(one, key) == getattr(two, key) for key in ("stage", "billable", "rate", "order")
    )


def move(record: Record, row: str, begin: datetime, now: datetime) -> Change:
    """Return the change that moves an entry to another start, keeping its length."""
    old, begin = record.entry(row), fixed(begin)
    if old.stop is None:
        raise NotAllowed("That entry's clock is running. Stop it before you move the entry.")
    if begin == old.start:
        raise NotAllowed("That is the same as before. Nothing was changed.")
    new = old._replace(start=begin, stop=fixed(begin + old.lasted(now)))
    sound(record, new, fixed(now), (row,))
    return Change(
        f"moved an entry on {record.stages.name_of(old.stage)} to {begin:%a %Y-%m-%d %H:%M}",
        (edit(record.tables, ("entries", row), new.to_doc()),),
        now,
    )


@dataclass(frozen=True)
class Mending:
    """One way to fix an oddity: a fixed `key`, its `words`, and the change."""

    key: str
    words: str
    change: Change


def odd(record: Record, now: datetime) -> tuple[Oddity, ...]:
    """Return every overlap, gap within a day, and entry over 12 h; a running clock counts to `now`.

    Days are those of the site's clocks.
    """
    return oddities(
        [
            Stretch(one.row, on_site(record, one.start), on_site(record, one.stop or now))
            for one in record.entries
            if (one.stop or now) > one.start
        ]
    )


def oddity_text(record: Record, found: Oddity) -> str:
    """Return an oddity in one sentence."""
    names = [record.stages.name_of(record.entry(key).stage) for key in found.keys]
    at = f"{found.start:%a %Y-%m-%d %H:%M} to {found.stop:%H:%M}"
    if found.sort == "long":
        return f"{names[0]} ran {short(found.seconds)}, {at}. Was the clock left running?"
    if found.sort == "overlap":
        return f"{' and '.join(names)} both count {short(found.seconds)}, {at}."
    return f"Nothing is logged for {short(found.seconds)} between {' and '.join(names)}, {at}."


def mendings(record: Record, found: Oddity, now: datetime) -> tuple[Mending, ...]:
    """Return the fixes for an oddity that the other entries allow."""
    ways: list[Mending] = []

    def offer(key: str, words: str, act: object) -> None:
        try:
            change = act()  # type: ignore[operator]
        except CrewdeskError:
            return
        ways.append(Mending(key, words, change))

    first = record.entry(found.keys[0])
    last = record.entry(found.keys[-1])
    start, stop = fixed(found.start), fixed(found.stop)
    name, other = (record.stages.name_of(one.stage) for one in (first, last))
    if found.sort == "overlap":
        offer(
            "cut-first",
            f"{name} stops at {found.start:%H:%M}, where {other} starts",
            lambda: mend(record, first.row, now, end=start),
        )
        offer(
            "cut-second",
            f"{other} starts at {found.stop:%H:%M}, where {name} stops",
            lambda: mend(record, last.row, now, begin=stop),
        )
        offer("remove-first", f"remove {name}", lambda: remove(record, first.row, now))
        offer("remove-second", f"remove {other}", lambda: remove(record, last.row, now))
    elif found.sort == "gap":
        offer(
            "fill-first",
            f"{name} goes on to {found.stop:%H:%M}",
            lambda: mend(record, first.row, now, end=stop),
        )
        offer(
            "fill-second",
            f"{other} starts at {found.start:%H:%M}",
            lambda: mend(record, last.row, now, begin=start),
        )
        offer("join", "make one entry of both", lambda: join(record, first.row, last.row, now))
    else:
        middle = fixed(first.start + (stop - start) / 2).replace(second=0, microsecond=0)
        offer(
            "split",
            f"split it at {on_site(record, middle):%H:%M}, to fix each half",
            lambda: split(record, first.row, middle, now),
        )
        offer("remove", "remove it", lambda: remove(record, first.row, now))
    return tuple(ways)
