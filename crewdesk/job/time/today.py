"""Today: the one place where a day is taken from a moment.

Today is the day in the business's time zone. Until one is set in Business settings, it is the zone
of `now`, and the entry points (`crewdesk.cli`, `crewdesk.screens.app`) pass a `now` in the
computer's zone. A job's own zone applies to its time entries only (`crewdesk.job.time.logged`).
"""

import re
from datetime import date, datetime, timedelta, tzinfo
from typing import TYPE_CHECKING

from crewdesk.errors import BadInput
from crewdesk.job.text_limits import LONGEST_NAME, checked_line, quoted

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

_NAME = re.compile(r"(?!posix/|right/)[A-Za-z][A-Za-z0-9_+-]*(?:/[A-Za-z0-9_+-]+){0,2}")
"""The form of a name in the IANA time zone database: no dot, so it can't leave its folder. Below
`posix` and `right` are the same zones for other ways of counting seconds."""
_NO_PLACE = ("localtime", "posixrules", "Factory")
"""Files beside the zones that aren't zones: they differ from computer to computer."""
_MOST_OFFERED = 3
ZONES_APART = timedelta(days=2)
"""How far the days of two places can differ: Kiritimati is 26 hours ahead of Baker Island, UTC+14
and UTC-12 (IANA time zone database)."""


def today(now: datetime, zone: tzinfo | None) -> date:
    """Return today at the moment `now`.

    now: an aware time. zone: the business's time zone; None for the zone of `now` itself.
    """
    return at_business(now, zone).date()


def books_day(day: date, latest: date | None) -> date:
    """Return the day for the books on a `day`: that of their `latest` document or payment if it is
    later, by no more than two places' clocks can differ.

    Dates of documents only go up. If the business's zone changes or the computer is carried west,
    the day goes back, and a document just issued would be dated tomorrow.
    """
    if latest is not None and day < latest <= day + ZONES_APART:
        return latest
    return day


def at_business(when: datetime, zone: tzinfo | None) -> datetime:
    """Return the same moment on the business's clocks; `zone` as in `today`."""
    return when if zone is None else when.astimezone(zone)


def zone_of(name: str) -> "ZoneInfo | None":
    """Return the IANA time zone of that name; or None if it is empty or isn't known here."""
    if not name or name in _NO_PLACE or not _NAME.fullmatch(name):
        return None
    from zoneinfo import ZoneInfo

    try:
        return ZoneInfo(name)
    except (OSError, ValueError, LookupError):
        return None


def checked_zone(text: object) -> str:
    """Return a time zone's name out of a record or a file, "" for none.

    An unknown zone is allowed: it can come from a computer with newer zones, or from an older
    version, which accepted any file's name there. Raises `BadInput` for an impossible name,
    `NotAllowed` for anything but a line of text.
    """
    name = checked_line(text, "time zone", most=LONGEST_NAME)
    if name and not _NAME.fullmatch(name.removeprefix("posix/").removeprefix("right/")):
        raise BadInput(
            f"{quoted(name)} can't be a time zone's name. Type it like America/Denver, "
            "or leave it empty.",
            field="zone",
        )
    return name


def typed_zone(text: object) -> str:
    """Return a time zone's IANA name as typed, spelled as IANA does; "" for an empty text.

    Upper and lower case and spaces for underscores are forgiven. Raises `BadInput` for a zone
    that isn't known, `NotAllowed` for anything but a short line of text.
    """
    plain = checked_line(text, "time zone").replace(" ", "_")
    if not plain:
        return ""
    from zoneinfo import available_timezones

    wanted = plain.casefold()
    names = sorted(available_timezones().difference(_NO_PLACE))
    for name in names:
        if name.casefold() == wanted:
            return name
    place = wanted.rpartition("/")[2]
    near = [one for one in names if "/" in one and one.casefold().rpartition("/")[2] == place]
    offered = " or ".join(near[:_MOST_OFFERED]) or "its name, for example America/Denver"
    raise BadInput(
        f"{quoted(str(text))} isn't a known time zone. Type {offered}, or leave it empty.",
        field="zone",
    )
