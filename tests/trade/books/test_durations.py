from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.books.durations import elapsed, read_duration, short, to_the_minute


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("1h20", 4800),
        ("1h20m", 4800),
        ("1 h 20 min", 4800),
        ("2 hours and 5 minutes", 7500),
        ("90 min", 5400),
        ("90m", 5400),
        ("7.5h", 27000),
        (".5 hr", 1800),
        ("2.5 mins", 150),
        ("45s", 45),
        ("0.3333h", 1200),  # 1199.88 s, to the nearest
        # ISO 8601's own example of a duration in hours and minutes
        ("PT2H30M", 9000),
        ("pt90s", 90),
    ],
)
def test_durations_as_people_write_them(text, seconds):
    assert read_duration(text) == seconds


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "Type a length of time, for example"),
        ("soon", "isn't a length of time. Type it like 1h20"),
        ("-5h", "isn't a length of time. Type it like 1h20"),
        ("7,5h", "isn't a length of time. Type it like 1h20"),
        ("90", "isn't a length of time. Type it like 1h20"),
        ("PT", "isn't a length of time. Type it like 1h20"),
        # another of ISO 8601's examples: years and months have no fixed length in seconds
        ("P3Y6M4DT12H30M5S", "isn't a length of time. Type it like 1h20"),
        ("0 min", "is no time at all. Type more than zero, for example 1h20 or 90"),
        ("169h", "days of work without a stop. Check both ends"),
        ("9" * 50 + "h", "isn't a length of time. Type it like 1h20"),
    ],
)
def test_what_is_no_duration_is_refused(text, why, refused):
    refused(why, read_duration, text)


def test_minutes_past_59_after_hours_are_asked(refused):
    facts = refused("has more than 59 minutes after its hours", read_duration, "1h90")
    assert read_duration(str(facts["reading"])) == 3600 + 90 * 60


def test_short_forms():
    assert [short(s) for s in (0, 45, 2700, 7200, 4800, 3605)] == [
        "0s", "45s", "45 min", "2h", "1h20", "1h 5s",
    ]  # fmt: skip
    # On the screens a minute that is not full does not count.
    told = [to_the_minute(timedelta(seconds=s)) for s in (59, 2759, 7259, 4800, 117000)]
    assert told == ["0 min", "45 min", "2h", "1h20", "32h30"]


@given(st.integers(1, 7 * 1440))
def test_the_short_form_of_whole_minutes_is_read_back(minutes):
    assert read_duration(short(minutes * 60)) == minutes * 60


@given(st.integers(0, 60 * 86400))
def test_elapsed_is_what_utc_says(new_york_seconds):
    from zoneinfo import ZoneInfo

    start = datetime(2026, 2, 15, tzinfo=UTC)
    stop = start + timedelta(seconds=new_york_seconds)
    zone = ZoneInfo("America/New_York")
    assert elapsed(start.astimezone(zone), stop.astimezone(zone)) == new_york_seconds
