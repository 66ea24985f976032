"""A wall clock's time in the site's zone: which moment it was, or that it never was.

Where clocks go forward some times are skipped, where they go back some come twice.
Python's `fold` (PEP 495) tells the two readings apart.
"""

from datetime import UTC, datetime, timedelta, tzinfo

from crewdesk.errors import BadInput


class ClockChange(BadInput):
    """A time of day that daylight saving skipped or showed twice, or a zone it didn't have."""


def moment(wall: datetime, zone: tzinfo, abbreviation: str = "") -> datetime:
    """The aware time, in `zone`, that a wall clock showing `wall` (naive) stood for.

    `abbreviation` (``EST``, ``EDT``, ``UTC-05:00``) tells twice-shown times apart.

    Raises `ClockChange` where it never was (with `before` and `after`, the clock's jump), came
    twice (with both `readings`), or had other letters (with the `readings` that fit).
    """
    found = _readings(wall, zone)
    if not found:
        before, after = _jump(wall, zone)
        raise ClockChange(
            "There was no {clock} on {day}: clocks went from {before} straight to {after} "
            "for daylight saving; write a time before {before}, or {after} or later.",
            clock=clock(wall),
            day=wall.date(),
            before=clock(before) if before.date() == after.date() else f"{before:%Y-%m-%d %H:%M}",
            after=clock(after) if before.date() == after.date() else f"{after:%Y-%m-%d %H:%M}",
        )
    if abbreviation:
        wanted = [at for at in found if abbreviation.upper() in (zone_name(at), _offset(at))]
        if not wanted:
            raise ClockChange(
                "{zone} is not what the site's clocks ran on at {clock} on {day}; write "
                "{readings}, or leave it off.",
                zone=abbreviation.upper(),
                clock=clock(wall),
                day=wall.date(),
                readings=tuple(map(zone_name, found)),
            )
        found = wanted
    if len(found) > 1:
        raise ClockChange(
            "Clocks showed {clock} twice on {day}, going back from daylight saving; write "
            "{readings}.",
            clock=clock(wall),
            day=wall.date(),
            readings=tuple(f"{clock(at)} {zone_name(at)}" for at in found),
        )
    return found[0]


def clock(at: datetime) -> str:
    """``07:30``, with seconds only where there are any."""
    return f"{at:%H:%M:%S}" if at.second else f"{at:%H:%M}"


def zone_name(at: datetime) -> str:
    """``EST`` where the zone has letters for it, else ``UTC-03:00``."""
    name = at.tzname() or ""
    return name.upper() if name.isalpha() else _offset(at)


def _offset(at: datetime) -> str:
    text = f"{at:%z}"
    return f"UTC{text[:3]}:{text[3:5]}"


def _readings(wall: datetime, zone: tzinfo) -> list[datetime]:
    """Every moment at which clocks in the zone showed `wall`, in order."""
    found: list[datetime] = []
    for fold in (0, 1):
        instant = wall.replace(tzinfo=zone, fold=fold).astimezone(UTC).replace(fold=0)
        back = instant.astimezone(zone)
        if back.replace(tzinfo=None, fold=0) == wall and back.fold == fold:
            found.append(back)
    return found


def _jump(wall: datetime, zone: tzinfo) -> tuple[datetime, datetime]:
    """For a skipped `wall`: what clocks showed at the jump, before and after it.

    Inside a gap the offset is the old one for fold 0 and the new one for fold 1, so
    the jump lies between the two instants that these give. It is found by halving.
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
