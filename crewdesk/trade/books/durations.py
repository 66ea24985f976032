"""Parse typed durations, in whole seconds; compute true elapsed time.

The lasting form is the one of ISO 8601 (`PT2H30M`); it is read as well as `1h20`.
"""

import re
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.errors import BadInput

MINUTE = 60
HOUR = 3600
DAY = 24 * HOUR
LONGEST = 7 * DAY
"""The longest stretch of work, a week; a longer one is treated as a typo."""

_NUM = r"\d{1,6}(?:\.\d{1,6})?|\.\d{1,6}"
_HOURS = r"(?:hours|hour|hrs|hr|h)\.?"
_MINUTES = r"(?:minutes|minute|mins|min|m)\.?"
_SECONDS = r"(?:seconds|second|secs|sec|s)\.?"
DURATION = (
    rf"(?:(?:{_NUM}) ?{_HOURS}(?: ?(?:and )?\d{{1,4}}(?: ?{_MINUTES})?)?"
    rf"|(?:{_NUM}) ?{_MINUTES}|\d{{1,7}} ?{_SECONDS}"
    r"|pt(?=\d)(?:\d{1,4}h)?(?:\d{1,6}m)?(?:\d{1,7}s)?)"
)
"""Any accepted duration, in lower case; a pattern without named groups."""

_PLAIN = re.compile(
    rf"(?:(?P<h>{_NUM}) ?{_HOURS})?"
    rf"(?: ?(?:and )?(?P<m>{_NUM}) ?(?P<unit>{_MINUTES})?)?"
    rf"|(?P<s>\d{{1,7}}) ?{_SECONDS}"
)
_ISO = re.compile(r"pt(?:(\d+)h)?(?:(\d+)m)?(?:(\d+)s)?")


def read_duration(text: str) -> int:
    """Return one typed duration: ``1h20``, ``90 min``, ``7.5h``, ``45s``, ``PT2H30M``; in seconds.

    Part of a second left by a decimal (``0.3333h``) is rounded, half up.

    Raises `BadInput`, also for minutes past 59 after hours, and for over `LONGEST`.
    """
    plain = re.sub(r"\s+", " ", text).strip().lower()
    shown = text.strip()[:40]
    if not plain:
        raise BadInput("Type a length of time, for example 1h20, 90 min, 7.5h or PT2H30M.")
    if not re.fullmatch(DURATION, plain):
        raise BadInput(
            "{text} isn't a length of time. Type it like 1h20, 90 min, 7.5h or PT2H30M.",
            text=shown,
        )
    seconds = _seconds(plain, shown)
    if seconds == 0:
        raise BadInput(
            "{text} is no time at all. Type more than zero, for example 1h20 or 90 min.", text=shown
        )
    if seconds > LONGEST:
        raise BadInput(
            "{text} is over {days} days of work without a stop. Check both ends.",
            text=shown,
            days=LONGEST // DAY,
        )
    return seconds


def _seconds(plain: str, shown: str) -> int:
    if iso := _ISO.fullmatch(plain):
        hours, minutes, rest = (int(part or 0) for part in iso.groups())
        return hours * HOUR + minutes * MINUTE + rest
    m = _PLAIN.fullmatch(plain)
    assert m is not None
    if m["s"]:
        return int(m["s"])
    exact = Fraction(m["h"] or 0) * HOUR + Fraction(m["m"] or 0) * MINUTE
    if m["h"] and m["m"] and int(m["m"]) >= 60:
        whole = int(exact)
        raise BadInput(
            "{text} has more than 59 minutes after its hours. Type {reading}.",
            text=shown,
            reading=short(whole),
        )
    return int(exact + Fraction(1, 2))


def elapsed(start: datetime, stop: datetime) -> int:
    """Return the whole seconds that truly passed between two aware times.

    By UTC: Python's own difference of two times in one zone is that of the wall
    clock and is an hour off across a daylight saving shift.
    """
    return int((stop.astimezone(UTC) - start.astimezone(UTC)).total_seconds())


def to_the_minute(time: timedelta) -> str:
    """Return a stretch of time as `short`, without seconds; ``0 min`` if less than one."""
    minutes = int(time.total_seconds()) // MINUTE
    return short(minutes * MINUTE) if minutes else "0 min"


def in_days(time: timedelta) -> str:
    """Return a long stretch of time, a day or more of which is likely a mistake: ``400 days 2h``,
    else as `to_the_minute`; zero if negative."""
    time = max(time, timedelta())
    if not time.days:
        return to_the_minute(time)
    rest = time - timedelta(days=time.days)
    days = f"{time.days} day{'' if time.days == 1 else 's'}"
    return f"{days} {to_the_minute(rest)}" if rest >= timedelta(minutes=1) else days


def short(seconds: int) -> str:
    """Return ``1h20``, ``45 min``, ``2h``; exact, with left-over seconds as ``1h20 5s``."""
    hours, rest = divmod(seconds, HOUR)
    minutes, rest = divmod(rest, MINUTE)
    parts = []
    if hours:
        parts.append(f"{hours}h{minutes:02}" if minutes else f"{hours}h")
    elif minutes:
        parts.append(f"{minutes} min")
    if rest or not parts:
        parts.append(f"{rest}s")
    return " ".join(parts)


LONG = 12 * HOUR
"""The seconds after which an entry is shown as a clock left running."""
SHORT_GAP = 5 * MINUTE
"""The least gap that is shown, in seconds."""


class Entry(NamedTuple):
    """Work from `start` to `stop` (aware), known to the record by `key`."""

    key: str
    start: datetime
    stop: datetime


class Oddity(NamedTuple):
    """One thing to check: `start` to `stop`, `seconds` long, in the entries `keys`.

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
    """Return every overlap of two entries, gap within a day and entry over `long` seconds.

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
