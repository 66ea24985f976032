"""The machine's clock and zone; checked against zoneinfo, Python's own reader of the IANA zones."""

import os
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from crewdesk.store.machine_clock import MACHINE_ZONE, machine_now

ZONES = ("America/Denver", "Asia/Tokyo", "Europe/London", "UTC")


@pytest.fixture(params=ZONES)
def zone(request: pytest.FixtureRequest) -> Iterator[ZoneInfo]:
    """The machine in a zone, which zoneinfo reads too."""
    before = os.environ.get("TZ")
    os.environ["TZ"] = request.param
    time.tzset()
    yield ZoneInfo(request.param)
    if before is None:
        del os.environ["TZ"]
    else:
        os.environ["TZ"] = before
    time.tzset()


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@example(datetime(2000, 10, 29, 0, 0, tzinfo=UTC))
@example(datetime(2027, 11, 7, 8, 30, tzinfo=UTC))
@given(st.datetimes(datetime(1971, 1, 1), datetime(2037, 12, 1), timezones=st.just(UTC)))
@pytest.mark.unix("Windows takes no zone from TZ")
def test_the_machine_s_zone_has_all_of_its_clock_changes(zone: ZoneInfo, moment: datetime) -> None:
    # Equal only by their moments: a time that the clocks show twice is never equal to one of
    # another zone (PEP 495).
    here, there = moment.astimezone(MACHINE_ZONE), moment.astimezone(zone)
    assert here.timestamp() == moment.timestamp()
    assert here.replace(tzinfo=None) == there.replace(tzinfo=None)
    assert (here.fold, here.utcoffset()) == (there.fold, there.utcoffset())
    assert here.astimezone(UTC) == moment


@pytest.mark.unix("Windows takes no zone from TZ")
def test_a_time_that_the_clocks_showed_twice(zone: ZoneInfo) -> None:
    # Clocks in the US go back at 2:00 on the first Sunday of November (15 U.S.C. 260a).
    start = datetime(2027, 11, 7, 6, tzinfo=UTC)
    for minutes in range(0, 240, 10):
        moment = start + timedelta(minutes=minutes)
        here, there = moment.astimezone(MACHINE_ZONE), moment.astimezone(zone)
        assert f"{here:%H:%M %z %Z}" == f"{there:%H:%M %z %Z}"
        assert here.fold == there.fold


@pytest.mark.unix("Windows takes no zone from TZ")
def test_now_is_told_in_the_machine_s_zone(zone: ZoneInfo) -> None:
    earlier = datetime.fromtimestamp(time.time(), UTC)
    now = machine_now()
    assert now.tzinfo is MACHINE_ZONE
    assert timedelta(0) <= now - earlier < timedelta(minutes=1)
    assert now.utcoffset() == now.astimezone(zone).utcoffset()
