"""The computer's clock and time zone, read only here.

The entry points (`crewdesk.cli` and `crewdesk.screens.app`) use `machine_now` unless they are given
another `Clock`, as in tests, and pass the time on.
"""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta, tzinfo

Clock = Callable[[], datetime]
"""Returns the time now, aware, in the computer's time zone."""


class MachineZone(tzinfo):
    """The computer's time zone with all of its clock changes.

    `datetime.astimezone` returns the offset of one moment only; a time typed for another season
    would be off by an hour.
    """

    def utcoffset(self, when: datetime | None) -> timedelta | None:
        return _here(when).utcoffset() if when else None

    def dst(self, when: datetime | None) -> timedelta | None:
        """Return None: the system does not tell how much of its offset is daylight saving."""
        return None

    def tzname(self, when: datetime | None) -> str | None:
        return _here(when).tzname() if when else None

    def fromutc(self, when: datetime) -> datetime:
        """Return the local time of a time in UTC that carries this zone (see `tzinfo`)."""
        moment = when.replace(tzinfo=UTC)
        try:
            here = datetime.fromtimestamp(moment.timestamp())
        except _NOT_ON_WINDOWS:
            alike = _alike(moment)
            here = datetime.fromtimestamp(alike.timestamp()) + (moment - alike)
        return here.replace(tzinfo=self)


_NOT_ON_WINDOWS = (OSError, OverflowError, ValueError)
"""The C library's errors for times before 1970 and after 3000."""
MACHINE_ZONE = MachineZone()


def machine_now() -> datetime:
    """Return the time now in the computer's zone, to the microsecond."""
    return datetime.now(UTC).astimezone(MACHINE_ZONE)


def _here(when: datetime) -> datetime:
    plain = when.replace(tzinfo=None)
    try:
        return plain.astimezone()
    except _NOT_ON_WINDOWS:
        return _alike(plain).astimezone()


def _alike(when: datetime) -> datetime:
    """Return the same day and time in a year of 2000 to 2027 with the same weekdays, a guess for
    times that Windows can't convert: before 1970 or after 3000."""
    year = 2000 + (when.year - 2000) % 28
    return when.replace(year=year)
