"""The planned days of a job as iCalendar (RFC 5545), and in print."""

from datetime import UTC, datetime, timedelta

from crewdesk.errors import NotAllowed
from crewdesk.job.record import Record
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet, heading, job_values


def planned_sheet(id_: str, record: Record) -> Sheet:
    """The planned days, one to a line."""
    days = record.job.planned
    lines = [heading(record.job, "planned days")]
    lines += [f"  {one.day:%a %Y-%m-%d}  {plain(one.note)}".rstrip() for one in days]
    if not days:
        lines.append("No day is planned yet.")
    values = [one.to_doc() for one in days]
    return Sheet(tuple(lines), lambda: {"job": job_values(id_, record.job), "planned": values})


def planned_ics(id_: str, record: Record, now: datetime) -> str:
    """An all-day event for each planned day; its id stays the same, so a calendar that reads
    the file again takes it for the same event. Raises `NotAllowed` where no day is planned."""
    from icalendar import Calendar, Event

    if not record.job.planned:
        raise NotAllowed("No day is planned for this job yet, so there is no calendar to give out.")
    calendar = Calendar()
    calendar.add("prodid", "-//crewdesk//planned days//EN")
    calendar.add("version", "2.0")
    for one in record.job.planned:
        event = Event()
        event.add("uid", f"{one.day:%Y%m%d}.{id_}@crewdesk")
        event.add("dtstamp", now.astimezone(UTC))
        event.add("dtstart", one.day)
        event.add("dtend", one.day + timedelta(days=1))
        named = f"{record.job.name}: {one.note}" if one.note else record.job.name
        event.add("summary", plain(named))
        if record.job.site:
            event.add("location", plain(record.job.site))
        calendar.add_component(event)
    return bytes(calendar.to_ical()).decode("utf-8")
