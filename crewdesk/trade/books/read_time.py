"""Parse typed times of work: ``7:30-11:45``, ``yesterday 2pm for 1h20``.

No clock is read: now and the site's zone are given.
"""

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from crewdesk.errors import Ambiguous, BadInput, Unread
from crewdesk.trade.books.dates import DAY_FORM, FULL_DAY, clock, moment, read_day
from crewdesk.trade.books.durations import (
    DAY,
    DURATION,
    LONGEST,
    elapsed,
    read_duration,
)

LONGEST_TEXT = 80
_WHEN = "7:30-11:45, yesterday 2pm for 1h20, mon 8-12, 2026-03-09 14:00 or 1h20"
_NIGHT = range(1, 6)
"""The hours where `2-4` may mean the afternoon: without am, pm or a leading 0 the user is asked."""

_ZONE = r"(?:utc ?[+-]\d\d:\d\d|utc|[a-z]{2,4}t)"
_CLOCK = r"(?:\d{1,2}(?::\d{2}){0,2}(?: ?[ap]\.?m\.?|[ap])?|\d{3,4}|noon|midnight)"


def _at(n: int) -> str:
    day = rf"(?:(?P<day{n}>{DAY_FORM}),? )?(?:at )?"
    return rf"{day}(?P<clock{n}>{_CLOCK})(?: (?P<zone{n}>{_ZONE}))?"


# Compiled at first use, since it takes 20 ms.
_SPAN = rf"{_at(1)}(?: ?- ?| to | until | till ){_at(2)}"
_FOR = rf"{_at(1)},? for (?P<long>{DURATION})"
_MOMENT = _at(1)
_DAY_LAST = rf"(?P<rest>[^,]*\S),? (?:on )?(?P<day>{DAY_FORM})"
_ISO = re.compile(r"\d{4}-\d\d-\d\d[Tt]\d\d:\d\d(?::\d\d)?(?:[zZ]|[+-]\d\d:\d\d)")
_BARE = re.compile(r"(?:1[0-2]|[1-9])(?::\d{2})?")
_DASHES = str.maketrans(dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212", "-"))


class StopFirst(BadInput):
    """A stretch of time whose stop is not after its start."""


@dataclass(frozen=True)
class Span:
    """Work from `start` to `stop`, aware times in the site's zone."""

    start: datetime
    stop: datetime

    @property
    def seconds(self) -> int:
        """Whole seconds that truly passed, daylight saving changes included."""
        return elapsed(self.start, self.stop)


@dataclass(frozen=True)
class Moment:
    """One time, aware, in the site's zone."""

    at: datetime


@dataclass(frozen=True)
class Duration:
    """A length of time without a start."""

    seconds: int


def read_time(text: str, now: datetime, zone: tzinfo) -> Span | Moment | Duration:
    """Return a typed stretch of work, moment or duration; `now` is aware, `zone` the site's.

    Accepted: ``7:30-11:45``, ``mon 8-12``, ``2pm to 3:30pm``, ``0730-1145``,
    ``yesterday 2pm for 1h20``, ``2026-03-08 14:00``, ``1h20``, ``90 min``; a time
    shown twice at daylight saving takes the zone's letters, ``1:30 EDT``.
    Without am or pm a clock has 24 hours. A part without a day is on the start's
    day, and the start's own is today.

    Raises `Unread`, `Ambiguous`, `StopFirst`, and other `BadInput` as `local_time`, `dates` and
    `durations` do.
    """
    if now.tzinfo is None:
        raise ValueError("now must be an aware time")
    given = text.strip()
    if len(given) > LONGEST_TEXT:
        raise BadInput(
            "A time has at most {limit} characters, and this text has more: {text}...",
            text=given[:20],
            limit=LONGEST_TEXT,
        )
    today = now.astimezone(zone).date()
    if _ISO.fullmatch(given):
        return _iso_moment(given, today, zone)
    plain = re.sub(r"\s+", " ", given.translate(_DASHES)).lower()
    plain = re.sub(r"(?<=\d{4}-\d\d-\d\d)t(?=\d)", " ", plain)
    plain = plain.removeprefix("from ")
    if not plain:
        raise BadInput(f"Type a time, for example {_WHEN}.")
    if re.fullmatch(DURATION, plain):
        return Duration(read_duration(plain))
    if (m := re.fullmatch(_DAY_LAST, plain)) and not re.match(DAY_FORM, plain):
        plain = f"{m['day']} {m['rest']}"
    return _read(plain, given, today, zone)


def read_span(text: str, now: datetime, zone: tzinfo) -> Span:
    """Return typed past work: a stretch, or a duration that ended just now.

    Raises `BadInput` as `read_time` does, for a moment alone and for a stop after `now`.
    """
    found = read_time(text, now, zone)
    if isinstance(found, Moment):
        raise no_stop(text.strip())
    if isinstance(found, Duration):
        stop = now.astimezone(zone)
        return Span(after(stop, -found.seconds), stop)
    check_past(found, text.strip(), now)
    return found


def no_time(given: str) -> Unread:
    """Return the error for text that isn't a time."""
    return Unread(f"{{text}} isn't a time. Type it like {_WHEN}.", text=given)


def no_stop(given: str) -> BadInput:
    """Return the error for a time that only says when work began."""
    return BadInput(
        "{text} says when work began and not when it stopped. Type both, for example "
        "7:30-11:45 or 7:30 for 1h20.",
        text=given,
    )


def check_past(span: Span, given: str, now: datetime) -> None:
    """Raise `BadInput` for a stretch of work that stops after `now`."""
    if elapsed(now, span.stop) > 0:
        raise BadInput(
            "{text} stops at {stop}, which is in the future. Log hours after you work them.",
            text=given,
            stop=f"{span.stop:%Y-%m-%d %H:%M}",
        )


def after(start: datetime, seconds: int) -> datetime:
    """Return the time on the site's clock `seconds` after `start`, in true elapsed time."""
    return (start.astimezone(UTC) + timedelta(seconds=seconds)).astimezone(start.tzinfo)


def _iso_moment(given: str, today: date, zone: tzinfo) -> Moment:
    read_day(given[:10], today)
    try:
        return Moment(datetime.fromisoformat(given.upper()).astimezone(zone))
    except ValueError:
        raise BadInput(
            "{text} has a time of day that clocks don't show, {clock}. Type 0:00 to "
            "23:59, or 1 to 12 with am or pm.",
            text=given,
            clock=given[11:],
        ) from None


def _read(plain: str, given: str, today: date, zone: tzinfo) -> Span | Moment:
    if m := re.fullmatch(_FOR, plain):
        start = _start(m, given, today, zone)
        return Span(start, after(start, read_duration(m["long"])))
    if m := re.fullmatch(_SPAN, plain):
        return _span(m, given, today, zone)
    if (m := re.fullmatch(_MOMENT, plain)) and not re.fullmatch(r"\d{1,4}", plain):
        return Moment(_start(m, given, today, zone))
    if re.fullmatch(DAY_FORM, plain):
        read_day(plain, today)
        raise BadInput(
            "{text} is a day without hours. Add them, for example 7:30-11:45 or 8:00 for 1h20.",
            text=given,
        )
    if re.fullmatch(r"\d{1,2}", plain):
        hour = int(plain)
        clocks = (f"{hour:02}:00",) if hour < 24 else ()
        hours = (f"{hour}h",) if hour <= 12 else ()
        raise Ambiguous(given, (*hours, f"{hour} min", *clocks))
    raise no_time(given)


def _span(m: re.Match[str], given: str, today: date, zone: tzinfo) -> Span:
    clock1, clock2 = _halves(m["clock1"], m["clock2"], m["day2"] is None, given)
    first = _day(m["day1"], today)
    start = _start(m, given, today, zone, clock1)
    stop_day = _day(m["day2"], today) if m["day2"] else first
    stop = _wall(stop_day, _clock(clock2, given, stop=True))
    if not m["zone1"] and not m["zone2"] and stop <= start.replace(tzinfo=None):
        raise _backwards(given, start.replace(tzinfo=None), stop, m["day2"] is not None)
    found = Span(start, moment(stop, zone, _letters(m["zone2"])))
    if found.seconds <= 0:
        raise _backwards(given, start.replace(tzinfo=None), stop, True)
    if found.seconds > LONGEST:
        raise BadInput(
            "{text} is over {days} days of work without a stop. Check both ends.",
            text=given,
            days=LONGEST // DAY,
        )
    return found


def _halves(clock1: str, clock2: str, one_day: bool, given: str) -> tuple[str, str]:
    """Return both clocks; one without am or pm gets the half day that orders them: ``2-3:30pm``,
    ``11-1pm``, ``10am-2``."""
    if not one_day:
        return clock1, clock2
    if _half(clock2) and _BARE.fullmatch(clock1):
        fits = [t for t in _both(clock1) if _clock(t, given) < _clock(clock2, given)]
        return (fits[-1] if fits else clock1), clock2
    if (_half(clock1) or clock1 == "noon") and _BARE.fullmatch(clock2):
        fits = [t for t in _both(clock2) if _clock(t, given) > _clock(clock1, given)]
        return clock1, (fits[0] if fits else clock2)
    return clock1, clock2


def _both(written: str) -> tuple[str, str]:
    return f"{written}am", f"{written}pm"


def _backwards(given: str, start: datetime, stop: datetime, dated: bool) -> "StopFirst":
    """Return the error for a stop that is not after its start, with likely meanings."""
    if start == stop:
        return StopFirst(
            "{text} stops at the time it starts. The stop must be after the start.", text=given
        )
    if dated:
        return StopFirst(
            "{text} stops before it starts. The stop must be after the start.", text=given
        )
    readings = [f"{start:%Y-%m-%d %H:%M} to {stop + timedelta(days=1):%Y-%m-%d %H:%M}"]
    if stop.hour < 12 and stop + timedelta(hours=12) > start:
        readings.insert(0, f"{clock(start)}-{clock(stop + timedelta(hours=12))}")
    return StopFirst(
        "{text} stops before it starts. Type {readings}.", text=given, readings=tuple(readings)
    )


def _start(
    m: re.Match[str], given: str, today: date, zone: tzinfo, written: str | None = None
) -> datetime:
    written = written or m["clock1"]
    seconds = _clock(written, given)
    full = m["day1"] and FULL_DAY.fullmatch(m["day1"])
    bare = re.fullmatch(r"([1-9])(:\d{2})?(?::\d{2})?", written)
    if bare and int(bare[1]) in _NIGHT and not m["zone1"] and not full:
        ahead, behind = m.string[: m.start("clock1")], m.string[m.end("clock1") :]
        readings = tuple(f"{ahead}{at}{behind}" for at in _both(written))
        if m.re.pattern == _MOMENT and not m["day1"]:
            readings += (f"{bare[1]}h{bare[2][1:]}",) if bare[2] else ()
        raise Ambiguous(given, readings)
    return moment(_wall(_day(m["day1"], today), seconds), zone, _letters(m["zone1"]))


def _day(written: str | None, today: date) -> date:
    return read_day(written, today) if written else today


def _wall(day: date, seconds: int) -> datetime:
    return datetime.combine(day, time()) + timedelta(seconds=seconds)


def _letters(zone: str | None) -> str:
    return "" if zone is None else zone.replace(" ", "")


def _half(written: str) -> str:
    m = re.search(r"([ap])\.?(?:m\.?)?$", written)
    return m[1] if m else ""


def _clock(written: str, given: str, stop: bool = False) -> int:
    """Return seconds after midnight; with `stop` midnight means the day's end, like 24:00."""
    if written in ("noon", "midnight"):
        return 12 * 3600 if written == "noon" else DAY if stop else 0
    figures = re.match(r"[\d:]+", written)
    assert figures is not None
    half, marks = _half(written), figures[0]
    if ":" not in marks and len(marks) > 2:
        marks = f"{marks[:-2]}:{marks[-2:]}"
    hour, minute, second = ([int(part) for part in marks.split(":")] + [0, 0])[:3]
    sound = hour in range(1, 13) if half else hour < 24 or (stop and hour == 24)
    if not sound or minute > 59 or second > 59 or (hour == 24 and minute + second):
        raise BadInput(
            "{text} has a time of day that clocks don't show, {clock}. Type 0:00 to "
            "23:59, or 1 to 12 with am or pm.",
            text=given,
            clock=written,
        )
    if half:
        hour = hour % 12 + (12 if half == "p" else 0)
    return hour * 3600 + minute * 60 + second


_BETWEEN = r"\s*(?:[,;&+]|\band\b)\s*"
_STRETCH = re.compile(r"\d.*(?:[-\u2010-\u2015\u2212]|\bto\b|\buntil\b|\btill\b|\bfor\b).*\d|noon")
_OWN_DAY = rf"(?:{DAY_FORM})\b.*|.*\s(?:{DAY_FORM})"


def read_spans(text: str, now: datetime, zone: tzinfo) -> tuple[Span, ...]:
    """Return typed past work: one stretch as `read_span`, or several separated by commas, `;`, `&`,
    `+` or `and`, in order.

    A stretch without a day is on that of the one before it; where the last alone names one,
    all are on it. An hour that may be before or after noon is the one after the stretch before
    it: ``8-12, 1-4``.

    Raises `BadInput`: as `read_span`, for the stretch that can't be read, and for two that overlap.
    """
    try:
        return (read_span(text, now, zone),)
    except Unread:
        parts = re.split(_BETWEEN, text.strip())
        if len(parts) < 2 or not all(map(_STRETCH.search, parts)):
            raise
    found: list[Span] = []
    dated = [re.fullmatch(_OWN_DAY, part.lower()) is not None for part in parts]
    day = now
    if dated[-1] and not any(dated[:-1]):
        day = _noon(_one_of_several(parts[-1], now, zone).start, zone)
    for part, own in zip(parts, dated, strict=True):
        if found and not own:
            day = _noon(found[-1].start, zone)
        span = _one_of_several(part, now if own else day, zone, found[-1] if found else None)
        check_past(span, part, now)
        if any(span.start < one.stop and one.start < span.stop for one in found):
            raise BadInput("{text} overlaps a stretch before it. Time counts once.", text=part)
        found.append(span)
    return tuple(found)


def _one_of_several(text: str, now: datetime, zone: tzinfo, before: Span | None = None) -> Span:
    try:
        found = read_time(text, now, zone)
    except Ambiguous as refusal:
        if before is None:
            raise
        ways = [_one_of_several(each, now, zone) for each in refusal.readings]
        meant = [one for one in ways if one.start >= before.stop]
        if len(meant) != 1:
            raise
        return meant[0]
    if isinstance(found, Moment):
        raise no_stop(text)
    if not isinstance(found, Span):
        raise no_time(text)
    return found


def _noon(at: datetime, zone: tzinfo) -> datetime:
    return datetime.combine(at.date(), time(12), zone)
