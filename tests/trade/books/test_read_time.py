"""Zone shifts are those of the IANA zones (zoneinfo); ISO 8601 examples are the standard's."""

from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.errors import Ambiguous, BadInput
from crewdesk.trade.books.dates import read_day, read_day_ahead
from crewdesk.trade.books.read_time import Duration, Moment, Span, StopFirst, read_span, read_time

ZONE = ZoneInfo("America/New_York")
NOW = datetime(2026, 3, 11, 17, 0, tzinfo=ZONE)  # a Wednesday


@pytest.mark.parametrize(
    ("text", "start", "stop"),
    [
        ("7:30-11:45", "2026-03-11T07:30", "2026-03-11T11:45"),
        ("7:30 – 11:45", "2026-03-11T07:30", "2026-03-11T11:45"),
        ("from 7:30 to 11:45 yesterday", "2026-03-10T07:30", "2026-03-10T11:45"),
        ("0730-1145", "2026-03-11T07:30", "2026-03-11T11:45"),
        ("yesterday 2pm for 1h20", "2026-03-10T14:00", "2026-03-10T15:20"),
        ("tues at 2 p.m. for 90 minutes", "2026-03-10T14:00", "2026-03-10T15:30"),
        ("mon 8-12", "2026-03-09T08:00", "2026-03-09T12:00"),
        ("8-12 mon", "2026-03-09T08:00", "2026-03-09T12:00"),
        ("last wed 8-12", "2026-03-04T08:00", "2026-03-04T12:00"),
        ("2-3:30pm", "2026-03-11T14:00", "2026-03-11T15:30"),
        ("11-1pm", "2026-03-11T11:00", "2026-03-11T13:00"),
        ("10am-2", "2026-03-11T10:00", "2026-03-11T14:00"),
        ("2pm-4", "2026-03-11T14:00", "2026-03-11T16:00"),
        ("9a-noon", "2026-03-11T09:00", "2026-03-11T12:00"),
        ("noon-2", "2026-03-11T12:00", "2026-03-11T14:00"),
        ("12:30am-6", "2026-03-11T00:30", "2026-03-11T06:00"),
        ("yesterday 20:00-midnight", "2026-03-10T20:00", "2026-03-11T00:00"),
        ("yesterday 20:00-24:00", "2026-03-10T20:00", "2026-03-11T00:00"),
        ("mar 8 8-12", "2026-03-08T08:00", "2026-03-08T12:00"),
        ("mar 8 2000-2200", "2026-03-08T20:00", "2026-03-08T22:00"),
        ("8 march, 2026 8-12", "2026-03-08T08:00", "2026-03-08T12:00"),
        ("12/30 8-12", "2025-12-30T08:00", "2025-12-30T12:00"),
        ("12/30/25 8-12", "2025-12-30T08:00", "2025-12-30T12:00"),
        ("2026-03-08 22:00 - 2026-03-09 02:00", "2026-03-08T22:00", "2026-03-09T02:00"),
        ("2026-03-08T08:00 to 2026-03-08T09:00", "2026-03-08T08:00", "2026-03-08T09:00"),
    ],
)
def test_stretches_as_people_write_them(text, start, stop):
    found = read_time(text, NOW, ZONE)
    assert isinstance(found, Span)
    assert found.start == datetime.fromisoformat(start).replace(tzinfo=ZONE)
    assert found.stop == datetime.fromisoformat(stop).replace(tzinfo=ZONE)


def test_midnight_begins_a_day_and_ends_it():
    """Midnight is 00:00 where work starts and 24:00 where it stops (ISO 8601:2004, 4.2.3)."""
    begun = read_time("midnight to 2am", NOW, ZONE)
    assert (begun.start.hour, begun.start.minute, begun.start.second) == (0, 0, 0)
    assert begun.seconds == 2 * 3600
    assert read_time("10pm to midnight", NOW, ZONE).seconds == 2 * 3600


def test_a_moment_and_a_duration_are_told_apart():
    at = datetime(2026, 3, 8, 14, tzinfo=ZONE)
    assert read_time("2026-03-08 14:00", NOW, ZONE) == Moment(at)
    assert read_time("2026-03-08T14:00-04:00", NOW, ZONE) == Moment(at)
    assert read_time("2026-03-08T18:00Z", NOW, ZONE) == Moment(at)
    assert read_time("1h20", NOW, ZONE) == Duration(4800)
    assert read_time("90 min", NOW, ZONE) == Duration(5400)
    assert read_time("7.5h", NOW, ZONE) == Duration(27000)


def test_a_span_of_a_duration_alone_ends_now():
    span = read_span("1h20", NOW, ZONE)
    assert (span.stop, span.seconds) == (NOW, 4800)


def test_today_is_the_sites_day_and_not_that_of_now():
    late = datetime(2026, 3, 11, 2, 0, tzinfo=UTC)  # still the 10th in New York
    found = read_time("8-12", late, ZONE)
    assert isinstance(found, Span)
    assert found.start.date() == date(2026, 3, 10)


# New York, IANA zones: 2026-03-08 01:00 to 04:00 is 2 h, 2026-11-01 00:30 to 03:30 is 4 h.
@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("2026-03-08 01:00 - 04:00", 2),
        ("2026-03-08 1:00-4:00", 2),
        ("2026-11-01 0:30-3:30", 4),
        ("2026-11-01 0:30 - 1:30 EDT", 1),
        ("2026-11-01 0:30 - 1:30 EST", 2),
        ("2026-11-01 1:30 EDT - 1:30 EST", 1),
        ("2026-11-01 1:45 EDT - 1:15 EST", 0.5),
    ],
)
def test_hours_across_daylight_saving_are_those_that_passed(text, hours):
    found = read_time(text, NOW, ZONE)
    assert isinstance(found, Span)
    assert found.seconds == hours * 3600


def test_a_duration_runs_through_the_shift():
    spring = read_time("2026-03-08 01:30 for 2h", NOW, ZONE)
    autumn = read_time("2026-11-01 00:30 for 2h", NOW, ZONE)
    assert isinstance(spring, Span)
    assert isinstance(autumn, Span)
    assert f"{spring.stop:%H:%M %Z}" == "04:30 EDT"
    assert f"{autumn.stop:%H:%M %Z}" == "01:30 EST"
    assert spring.seconds == autumn.seconds == 7200


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "Type a time, for example 7:30-11:45"),
        ("   ", "Type a time, for example 7:30-11:45"),
        ("8-12 " * 20, "characters, and this text has more"),
        ("lunch", "isn't a time. Type it like 7:30-11:45"),
        ("8-12-14", "isn't a time. Type it like 7:30-11:45"),
        ("mon", "is a day without hours. Add them, for example"),
        ("25:00-26:00", "Type 0:00 to 23:59, or 1 to 12 with am or"),
        ("8:75-9", "Type 0:00 to 23:59, or 1 to 12 with am or"),
        ("13pm-14pm", "Type 0:00 to 23:59, or 1 to 12 with am or"),
        ("2026-03-08T25:00Z", "Type 0:00 to 23:59, or 1 to 12 with am or"),
        ("9-9", "stops at the time it starts. The stop"),
        ("2026-03-09 9:00 to 2026-03-08 12:00", "stops before it starts. The stop must be"),
        ("2026-11-01 1:15 EST - 1:45 EDT", "stops before it starts. The stop must be"),
        ("2026-03-08 2:30-4:00", "for daylight saving. Type a time before"),
        ("2026-11-01 0:30-1:30", "going back from daylight saving. Type"),
        ("7:30 pst", "isn't the site's time zone at"),
        ("feb 30 8-12", "isn't in the calendar. Type a day like"),
        ("2026-02-29 8-12", "isn't in the calendar. Type a day like"),
        ("2/29 8-12", "isn't in the calendar. Type a day like"),
        ("13/1 8-12", "isn't in the calendar. Type a day like"),
        ("2026-02-30T08:00Z", "isn't in the calendar. Type a day like"),
        ("1926-03-08 8-12", "years away. Check the year"),
        ("0001-01-01 0:00 for 1h", "years away. Check the year"),
        ("1h90", "has more than 59 minutes after its hours"),
        ("mon 8 for 999h", "days of work without a stop. Check both ends"),
        ("2026-01-01 8:00 to 2026-02-01 8:00", "days of work without a stop. Check both ends"),
    ],
)
def test_what_is_no_time_is_refused(text, why, refused):
    refused(why, read_time, text, NOW, ZONE)


@pytest.mark.parametrize(
    "text", ["8-5", "22:00-02:00", "22:00-13:00", "2-4", "8", "1:20", "mon 2 for 1h"]
)
def test_every_reading_that_is_offered_is_accepted(text):
    with pytest.raises(BadInput) as caught:
        read_time(text, NOW, ZONE)
    assert isinstance(caught.value, StopFirst | Ambiguous)
    for reading in caught.value.facts["readings"]:
        read_time(reading, NOW, ZONE)


def test_a_stop_before_the_start_is_offered_twelve_hours_later(refused):
    facts = refused("stops before it starts. Type", read_time, "8-5", NOW, ZONE)
    assert facts["readings"] == ("08:00-17:00", "2026-03-11 08:00 to 2026-03-12 05:00")


def test_a_stop_after_noon_is_offered_on_the_next_day_alone(refused):
    for stop in ("12:00", "12:30"):
        facts = refused("stops before it starts. Type", read_time, f"13:00-{stop}", NOW, ZONE)
        assert facts["readings"] == (f"2026-03-11 13:00 to 2026-03-12 {stop}",)


def test_the_sentence_of_a_skipped_hour_names_the_hours_that_exist():
    with pytest.raises(BadInput) as caught:
        read_time("2026-03-08 2:30-4:00", NOW, ZONE)
    assert caught.value.shown().endswith("Type a time before 02:00, or 03:00 or later.")


def test_logged_work_needs_a_stop_and_can_not_be_to_come(refused):
    refused("says when work began and not when it", read_span, "yesterday 8:00", NOW, ZONE)
    refused("which is in the future. Log hours after you", read_span, "16:00-17:01", NOW, ZONE)
    assert read_span("16:00-17:00", NOW, ZONE).seconds == 3600


def test_now_must_be_aware():
    with pytest.raises(ValueError, match="aware"):
        read_time("8-12", datetime(2026, 3, 11), ZONE)


# Week dates: 2005-01-01 is 2004-W53-6 and 2008-12-29 is 2009-W01-1 (ISO 8601 rules, by
# Python's calendar); 1985-W15-5 is the standard's own example, 12 April 1985.
@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2004-W53-6", date(2005, 1, 1)),
        ("2009-W01-1", date(2008, 12, 29)),
        ("1985-W15-5", date(1985, 4, 12)),
        ("today", date(2026, 3, 11)),
        ("yesterday", date(2026, 3, 10)),
        ("tomorrow", date(2026, 3, 12)),
        ("Wednesday", date(2026, 3, 11)),
        ("this mon", date(2026, 3, 9)),
        ("mar 12", date(2025, 3, 12)),
        ("1st jan", date(2026, 1, 1)),
    ],
)
def test_days(text, day):
    assert read_day(text, date(2026, 3, 11)) == day


def test_no_day_is_refused(refused):
    refused("Type a day, for example today", read_day, " ", date(2026, 3, 11))
    refused("isn't a day. Type it like today", read_day, "someday", date(2026, 3, 11))
    refused("isn't in the calendar. Type a day like", read_day, "2005-W53-6", date(2026, 3, 11))


@given(st.datetimes(datetime(2025, 12, 1), datetime(2026, 3, 1)), st.integers(1, 12 * 60))
def test_what_a_stretch_is_written_as_is_read_back(start, minutes):
    zone = timezone(timedelta(hours=-7))
    start = start.replace(second=0, microsecond=0, tzinfo=zone)
    stop = start + timedelta(minutes=minutes)
    text = f"{start:%Y-%m-%d %H:%M} to {stop:%Y-%m-%d %H:%M}"
    assert read_span(text, NOW, zone) == Span(start, stop)


@given(st.text("0123456789:-/ apm,.hforyestdWTZ+", max_size=30))
def test_nothing_but_a_refusal_comes_of_nonsense(text):
    try:
        read_time(text, NOW, ZONE)
    except BadInput as refusal:
        refusal.shown()  # a refusal without its sentence is a KeyError


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("today", "2026-03-02"),
        ("tomorrow", "2026-03-03"),
        ("yesterday", "2026-03-01"),
        ("mon", "2026-03-02"),
        ("sunday", "2026-03-08"),
        ("this tue", "2026-03-03"),
        ("last mon", "2026-02-23"),
        ("3/9", "2026-03-09"),
        ("3/1", "2027-03-01"),
        ("mar 2", "2026-03-02"),
        ("9 jan", "2027-01-09"),
        ("2026-02-20", "2026-02-20"),
        ("1/9/2026", "2026-01-09"),
    ],
)
def test_a_day_to_come_is_the_first_from_today_on(text, day):
    """Weekdays by the calendar of ISO 8601: 2 March 2026 is 2026-W10-1, a Monday."""
    assert read_day_ahead(text, date.fromisocalendar(2026, 10, 1)) == date.fromisoformat(day)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("2/30", "isn't in the calendar. Type a day like"),
        ("2/29", "isn't in the calendar. Type a day like"),
        ("2026-02-30", "isn't in the calendar. Type a day like"),
        ("someday", "isn't a day. Type it like today"),
        ("", "Type a day, for example today"),
    ],
)
def test_a_day_to_come_that_is_none_is_refused(text, why, refused):
    refused(why, read_day_ahead, text, date(2026, 3, 2))
