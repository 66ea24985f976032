"""Planning a day of work, and taking it out again."""

from datetime import date, datetime

from crewdesk.errors import NotAllowed
from crewdesk.job.change import Change, edit
from crewdesk.job.planned import Planned
from crewdesk.job.record import Record
from crewdesk.job.rows import ONLY_ROW
from crewdesk.job.words import checked_line


def plan_day(record: Record, day: date, now: datetime, *, note: str = "") -> Change:
    """The change that plans a day, or gives a planned one another note."""
    new = Planned(day, checked_line(note, "note of a day"))
    if new in record.job.planned:
        raise NotAllowed(f"{day:%Y-%m-%d} is planned already; nothing was changed.")
    rest = [one for one in record.job.planned if one.day != day]
    return _kept(record, [*rest, new], f"planned {day:%a %Y-%m-%d}", now)


def unplan_day(record: Record, day: date, now: datetime) -> Change:
    """The change that takes a planned day out."""
    rest = [one for one in record.job.planned if one.day != day]
    if len(rest) == len(record.job.planned):
        raise NotAllowed(f"{day:%Y-%m-%d} is not planned; nothing was changed.")
    return _kept(record, rest, f"took {day:%a %Y-%m-%d} out of the plan", now)


def _kept(record: Record, days: list[Planned], what: str, now: datetime) -> Change:
    docs = [one.to_doc() for one in sorted(days, key=lambda one: one.day)]
    return Change(what, (edit(record.tables, ("job", ONLY_ROW, "planned"), docs),), now)
