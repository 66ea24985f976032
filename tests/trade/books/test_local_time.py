"""Shifts as in the IANA zones, by the standard library's zoneinfo."""

from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.trade.books.dates import moment


def wall(text):
    return datetime.fromisoformat(text)


def test_an_ordinary_time_is_simply_in_the_zone(new_york):
    assert moment(wall("2026-07-01T08:00"), new_york).astimezone(UTC) == wall("2026-07-01T12:00Z")


@pytest.mark.parametrize("zone", [UTC, ZoneInfo("UTC"), timezone(timedelta(hours=-7))])
def test_a_zone_that_never_shifts_has_every_time_once(zone):
    assert moment(wall("2026-03-08T02:30"), zone) == wall("2026-03-08T02:30").replace(tzinfo=zone)


@pytest.mark.parametrize(
    ("zone", "at", "before", "after"),
    [
        ("America/New_York", "2026-03-08T02:00", "02:00", "03:00"),
        ("America/New_York", "2026-03-08T02:59:59", "02:00", "03:00"),
        ("America/New_York", "2026-03-08T02:17:31", "02:00", "03:00"),
        ("Australia/Lord_Howe", "2026-10-04T02:10", "02:00", "02:30"),
        ("America/Sao_Paulo", "2018-11-04T00:10", "00:00", "01:00"),
        ("Pacific/Apia", "2011-12-30T12:00", "2011-12-30 00:00", "2011-12-31 00:00"),
    ],
)
def test_a_skipped_time_is_refused_with_the_jump(zone, at, before, after, refused):
    facts = refused("for daylight saving. Type a time before", moment, wall(at), ZoneInfo(zone))
    assert (facts["before"], facts["after"]) == (before, after)


def test_the_edges_of_the_skipped_hour_exist(new_york):
    before = moment(wall("2026-03-08T01:59:59"), new_york)
    after = moment(wall("2026-03-08T03:00"), new_york)
    assert after.astimezone(UTC) - before.astimezone(UTC) == timedelta(seconds=1)


def test_a_doubled_time_is_asked_and_its_letters_answer(new_york, refused):
    at = wall("2026-11-01T01:30")
    facts = refused("going back from daylight saving. Type", moment, at, new_york)
    assert facts["readings"] == ("01:30 EDT", "01:30 EST")
    first, second = moment(at, new_york, "EDT"), moment(at, new_york, "est")
    assert (first.fold, second.fold) == (0, 1)
    assert second.astimezone(UTC) - first.astimezone(UTC) == timedelta(hours=1)
    assert moment(at, new_york, "UTC-05:00") == second


def test_a_zone_without_letters_is_told_by_its_offset(refused):
    zone, at = ZoneInfo("America/Sao_Paulo"), wall("2018-02-17T23:10")
    facts = refused("going back from daylight saving. Type", moment, at, zone)
    assert facts["readings"] == ("23:10 UTC-02:00", "23:10 UTC-03:00")
    assert moment(at, zone, "UTC-03:00").utcoffset() == timedelta(hours=-3)


@pytest.mark.parametrize("letters", ["EDT", "PST", "UTC-04:00"])
def test_letters_that_were_not_in_force_are_refused(letters, new_york, refused):
    facts = refused(
        "isn't the site's time zone at",
        moment,
        wall("2026-01-05T08:00"),
        new_york,
        letters,
    )
    assert facts["readings"] == ("EST",)


_ZONES = ("America/New_York", "Europe/London", "Australia/Lord_Howe", "America/Phoenix")


@given(st.sampled_from(_ZONES), st.integers(0, 366 * 24 * 12))
def test_every_moment_is_found_again_from_its_wall_clock(name, fives):
    zone = ZoneInfo(name)
    at = (datetime(2026, 1, 1, tzinfo=UTC) + timedelta(minutes=5 * fives)).astimezone(zone)
    shown = at.replace(tzinfo=None, fold=0)
    try:
        found = moment(shown, zone)
    except BadInput as refusal:
        if "going back from daylight saving" not in str(refusal):
            raise
        readings = refusal.facts["readings"]
        found = moment(shown, zone, readings[at.fold].split()[-1])
    assert found.astimezone(UTC) == at.astimezone(UTC)
