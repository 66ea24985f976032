"""What is odd about a list of time entries: overlaps, gaps, clocks left running."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Literal

from crewdesk.trade.books.durations import HOUR, MINUTE, elapsed

LONG = 12 * HOUR
"""An entry longer than this many seconds is shown as a clock left running."""
SHORT_GAP = 5 * MINUTE
"""A gap of at least this many seconds is shown."""


@dataclass(frozen=True)
class Entry:
    """Work from `start` to `stop` (aware), known to the record by `key`."""

    key: str
    start: datetime
    stop: datetime


@dataclass(frozen=True)
class Oddity:
    """One thing to look at: `start` to `stop`, `seconds` long, in the entries `keys`.

    "overlap" is time counted in both entries, "gap" the time between two entries of
    one day, "long" a whole entry.
    """

    sort: Literal["overlap", "gap", "long"]
    keys: tuple[str, ...]
    start: datetime
    stop: datetime
    seconds: int


def oddities(
    entries: Sequence[Entry], *, long: int = LONG, gap: int = SHORT_GAP
) -> tuple[Oddity, ...]:
    """Every overlap of two entries, gap within a day and entry over `long` seconds.

    Ordered by when they start. A day is that of the entries' own clock; a gap is
    measured from the latest stop so far, so that an entry inside another opens none.
    """
    found = []
    running: list[Entry] = []
    last: Entry | None = None
    for entry in sorted(entries, key=lambda e: (_utc(e.start), _utc(e.stop), e.key)):
        if elapsed(entry.start, entry.stop) > long:
            found.append(_oddity("long", (entry.key,), entry.start, entry.stop))
        running = [e for e in running if _utc(e.stop) > _utc(entry.start)]
        for other in running:
            stop = min(other.stop, entry.stop, key=_utc)
            if _utc(stop) > _utc(entry.start):
                found.append(_oddity("overlap", (other.key, entry.key), entry.start, stop))
        if (
            last is not None
            and last.stop.date() == entry.start.date()
            and elapsed(last.stop, entry.start) >= max(gap, 1)
        ):
            found.append(_oddity("gap", (last.key, entry.key), last.stop, entry.start))
        running.append(entry)
        if last is None or _utc(entry.stop) > _utc(last.stop):
            last = entry
    return tuple(sorted(found, key=lambda o: (_utc(o.start), o.keys)))


def _oddity(
    sort: Literal["overlap", "gap", "long"], keys: tuple[str, ...], start: datetime, stop: datetime
) -> Oddity:
    return Oddity(sort, keys, start, stop, elapsed(start, stop))


def _utc(at: datetime) -> datetime:
    return at.astimezone(UTC)
