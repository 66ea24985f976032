"""A day's stretches of work, as a stick of hours shows them."""

from datetime import datetime, timedelta

from crewdesk.job.time import clock
from crewdesk.job.time.logged import day_spans, hours_shown, on_day


def test_a_days_stretches_are_minutes_after_its_midnight(record, now: datetime) -> None:
    day = now.replace(hour=0, minute=0)
    early, late = day + timedelta(hours=5, minutes=40), day + timedelta(hours=23, minutes=30)
    record.make(clock.add(record, "rip", early, early + timedelta(minutes=50), late, pieces=()))
    end = late + timedelta(hours=1)
    record.make(clock.add(record, "ease", late, end, end, pieces=()))
    spans = day_spans(record, on_day(record, day.date()), end)
    assert [(one.begin, one.end) for one in spans] == [(340, 390), (1410, 1470)]
    # Whole hours that hold both; what went on over midnight is cut off there.
    assert hours_shown(spans) == (5 * 60, 24 * 60)
    assert hours_shown(()) == (7 * 60, 17 * 60)
