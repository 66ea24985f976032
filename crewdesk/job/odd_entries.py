"""What is odd about the logged time, and the ways to mend it in place."""

from dataclasses import dataclass
from datetime import datetime

from crewdesk.errors import CrewdeskError
from crewdesk.job.change import Change
from crewdesk.job.clock import fixed, mend, remove
from crewdesk.job.logged import on_site
from crewdesk.job.mend_entries import join, split
from crewdesk.job.record import Record
from crewdesk.trade.books.durations import short
from crewdesk.trade.books.entries import Entry as Stretch
from crewdesk.trade.books.entries import Oddity, oddities


@dataclass(frozen=True)
class Mending:
    """One way to mend: a fixed `key`, what it does in `words`, and the change."""

    key: str
    words: str
    change: Change


def odd(record: Record, now: datetime) -> tuple[Oddity, ...]:
    """Every overlap, gap within a day and entry over 12 h; a clock that runs counts to `now`.

    Days are those of the site's clocks.
    """
    return oddities(
        [
            Stretch(one.row, on_site(record, one.start), on_site(record, one.stop or now))
            for one in record.entries
            if (one.stop or now) > one.start
        ]
    )


def told(record: Record, found: Oddity) -> str:
    """One sentence about an oddity."""
    names = [record.stages.name_of(record.entry(key).stage) for key in found.keys]
    at = f"{found.start:%a %Y-%m-%d %H:%M} to {found.stop:%H:%M}"
    if found.sort == "long":
        return f"{names[0]} ran {short(found.seconds)}, {at}; was the clock left running?"
    if found.sort == "overlap":
        return f"{' and '.join(names)} both count {short(found.seconds)}, {at}."
    return f"Nothing is logged for {short(found.seconds)} between {' and '.join(names)}, {at}."


def mendings(record: Record, found: Oddity, now: datetime) -> tuple[Mending, ...]:
    """The ways to mend an oddity that the other entries allow."""
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
            f"split it at {on_site(record, middle):%H:%M}, to mend each half",
            lambda: split(record, first.row, middle, now),
        )
        offer("remove", "remove it", lambda: remove(record, first.row, now))
    return tuple(ways)
