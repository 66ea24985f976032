"""Parse typed days: ``yesterday``, ``mon``, ``3/8``, ``mar 8``, ``2026-03-08``; wall-clock times in
a zone."""

import re
from datetime import UTC, date, datetime, timedelta, tzinfo

from crewdesk.errors import BadInput

_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_WEEKDAY = (
    r"(?:mon(?:day)?|tue(?:s|sday)?|wed(?:nesday)?|thu(?:r|rs|rsday)?|fri(?:day)?"
    r"|sat(?:urday)?|sun(?:day)?)"
)
_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?"
    r"|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_NTH = r"\d{1,2}(?:st|nd|rd|th)?"
_YEAR = r"(?:,? (?:19|20)\d\d)"
DAY_FORM = (
    rf"(?:today|yesterday|tomorrow|(?:last |this )?{_WEEKDAY}\b\.?"
    r"|\d{4}-\d{2}-\d{2}|\d{4}-w\d{2}-\d"
    r"|\d{1,2}/\d{1,2}(?:/(?:\d{4}|\d{2}))?"
    rf"|{_MONTH}\.? {_NTH}{_YEAR}?|{_NTH} {_MONTH}\b\.?{_YEAR}?)"
)
"""Any accepted day, in lower case; a pattern without named groups."""

FULL_DAY = re.compile(r"\d{4}-\d{2}-\d{2}|\d{4}-w\d{2}-\d")


def day_text(day: date, *, year: bool = True) -> str:
    """Return a day as people read it: ``Mar 5, 2026``, without the year ``Mar 5``."""
    return f"{day:%b} {day.day}" + (f", {day.year}" if year else "")


def weekday(day: date) -> str:
    """Return a day with its weekday, as a planned one is read: ``Fri Mar 6``."""
    return f"{day:%a} {day_text(day, year=False)}"


_WITH_YEAR = r"\d{4}|/\d+/|day|last|tomorrow"
"""The parts of a day's text that identify it even in the future."""

YEARS_AWAY = 50
"""How far a day may be from today; beyond it is treated as a typo."""


def read_day(text: str, today: date) -> date:
    """Return one typed day; `today` is the day at the site.

    A weekday is the latest one up to today (``last mon``: before today); a day
    without a year is the latest such day up to today; ``3/8`` is month, then day.
    ISO 8601 dates and week dates (``2004-W53-6``) are read as well.

    Raises `BadInput`.
    """
    plain = re.sub(r"\s+", " ", text).strip().lower()
    shown = text.strip()[:40]
    if not plain:
        raise BadInput("Type a day, for example today, yesterday, mon, 3/9, mar 9 or 2026-03-09.")
    if not re.fullmatch(DAY_FORM, plain):
        raise BadInput(
            "{text} isn't a day. Type it like today, yesterday, mon, 3/9, mar 9 or 2026-03-09.",
            text=shown,
        )
    if plain in ("today", "yesterday", "tomorrow"):
        return today + timedelta(days={"today": 0, "yesterday": -1, "tomorrow": 1}[plain])
    if m := re.fullmatch(rf"(last |this )?({_WEEKDAY})\.?", plain):
        return _weekday(m[1] == "last ", _DAYS.index(m[2][:3]), today)
    try:
        found = _dated(plain, today)
    except ValueError:
        raise BadInput(
            "{text} isn't in the calendar. Type a day like 2026-03-09.", text=shown
        ) from None
    if abs(found.year - today.year) > YEARS_AWAY:
        raise BadInput(
            "{text} is more than {years} years away. Check the year.", text=shown, years=YEARS_AWAY
        )
    return found


def read_day_ahead(text: str, today: date) -> date:
    """Return one typed day as `read_day`, but a future one: a weekday or a day without a year is
    the first such day from today on. Raises `BadInput` as `read_day`."""
    plain = re.sub(r"\s+", " ", text).strip().lower()
    if re.fullmatch(rf"(?:this )?{_WEEKDAY}\.?", plain):
        latest = read_day(text, today)
        return latest if latest == today else latest + timedelta(days=7)
    if not re.fullmatch(DAY_FORM, plain) or re.search(_WITH_YEAR, plain):
        return read_day(text, today)
    for year in (today.year, today.year + 1):
        try:
            found = _of_year(plain, year)
        except ValueError:
            continue
        if found >= today:
            return found
    raise BadInput(
        "{text} isn't in the calendar. Type a day like 2026-03-09.", text=text.strip()[:40]
    )


def _weekday(before: bool, day: int, today: date) -> date:
    from dateutil.relativedelta import relativedelta, weekday

    end = today - timedelta(days=1) if before else today
    return end + relativedelta(weekday=weekday(day, -1))


def _dated(plain: str, today: date) -> date:
    """Return a day from figures or its month's name; raises ValueError if there is none."""
    if FULL_DAY.fullmatch(plain):
        return date.fromisoformat(plain.upper())

    from dateutil import parser

    if re.search(r"\d{4}|/\d+/", plain):
        plain = re.sub(r"/(\d\d)$", r"/20\1", plain)
        return parser.parse(plain, default=datetime(today.year, 1, 1)).date()
    for year in (today.year, today.year - 1):
        try:
            found = _of_year(plain, year)
        except ValueError:
            continue
        if found <= today:
            return found
    raise ValueError(plain)


def _of_year(plain: str, year: int) -> date:
    """Return a day without a year in that year; raises ValueError if it has none."""
    from dateutil import parser

    return parser.parse(plain, default=datetime(year, 1, 1)).date()


class ClockChange(BadInput):
    """A time of day that daylight saving skipped or showed twice, or a zone it didn't have."""


def moment(wall: datetime, zone: tzinfo, abbreviation: str = "") -> datetime:
    """Return the aware time, in `zone`, of a wall clock showing `wall` (naive).

    `abbreviation` (``EST``, ``EDT``, ``UTC-05:00``) distinguishes times shown twice.

    Raises `ClockChange` if the clock never showed it (with `before` and `after`, the clock's jump),
    showed it twice (with both `readings`), or had other letters (with the `readings` that fit).
    """
    found = _readings(wall, zone)
    if not found:
        before, after = _jump(wall, zone)
        raise ClockChange(
            "There was no {clock} on {day}: clocks went from {before} straight to "
            "{after} for daylight saving. Type a time before {before}, or {after} or "
            "later.",
            clock=clock(wall),
            day=wall.date(),
            before=clock(before) if before.date() == after.date() else f"{before:%Y-%m-%d %H:%M}",
            after=clock(after) if before.date() == after.date() else f"{after:%Y-%m-%d %H:%M}",
        )
    if abbreviation:
        wanted = [at for at in found if abbreviation.upper() in (zone_name(at), _offset(at))]
        if not wanted:
            raise ClockChange(
                "{zone} isn't the site's time zone at {clock} on {day}. Type "
                "{readings}, or leave it off.",
                zone=abbreviation.upper(),
                clock=clock(wall),
                day=wall.date(),
                readings=tuple(map(zone_name, found)),
            )
        found = wanted
    if len(found) > 1:
        raise ClockChange(
            "Clocks showed {clock} twice on {day}, going back from daylight saving. "
            "Type {readings}.",
            clock=clock(wall),
            day=wall.date(),
            readings=tuple(f"{clock(at)} {zone_name(at)}" for at in found),
        )
    return found[0]


def clock(at: datetime) -> str:
    """Return ``07:30``, with seconds only if there are any."""
    return f"{at:%H:%M:%S}" if at.second else f"{at:%H:%M}"


def zone_name(at: datetime) -> str:
    """Return ``EST`` if the zone has letters for it, else ``UTC-03:00``."""
    name = at.tzname() or ""
    return name.upper() if name.isalpha() else _offset(at)


def _offset(at: datetime) -> str:
    text = f"{at:%z}"
    return f"UTC{text[:3]}:{text[3:5]}"


def _readings(wall: datetime, zone: tzinfo) -> list[datetime]:
    """Return every moment at which clocks in the zone showed `wall`, in order."""
    found: list[datetime] = []
    for fold in (0, 1):
        instant = wall.replace(tzinfo=zone, fold=fold).astimezone(UTC).replace(fold=0)
        back = instant.astimezone(zone)
        if back.replace(tzinfo=None, fold=0) == wall and back.fold == fold:
            found.append(back)
    return found


def _jump(wall: datetime, zone: tzinfo) -> tuple[datetime, datetime]:
    """Return for a skipped `wall` the clock's times before and after the jump.

    Inside a gap the offset is the old one for fold 0 and the new one for fold 1, so the jump is
    between the two instants of these. It is found by bisection.
    """
    early, late = (wall.replace(tzinfo=zone, fold=fold).astimezone(UTC) for fold in (1, 0))
    old = early.astimezone(zone).utcoffset()
    assert old is not None
    while late - early > timedelta(seconds=1):
        middle = early + (late - early) // 2
        middle -= timedelta(microseconds=middle.microsecond)
        if middle.astimezone(zone).utcoffset() == old:
            early = middle
        else:
            late = middle
    return (late + old).replace(tzinfo=None), late.astimezone(zone).replace(tzinfo=None)
