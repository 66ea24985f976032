"""The clock, over midnight, over a shut lid and over the hours that daylight saving moves."""

from collections.abc import Callable
from datetime import datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from crewdesk.job.books.job_lists import typed_order
from crewdesk.job.change import ABSENT, Change, Edit
from crewdesk.job.record import Record
from crewdesk.job.time import clock
from crewdesk.job.time.entry import Entry

NEW_YORK = ZoneInfo("America/New_York")
HOUR = timedelta(hours=1)


def wall(text: str, fold: int = 0) -> datetime:
    """What a clock on a New York wall shows."""
    return datetime.fromisoformat(text).replace(tzinfo=NEW_YORK, fold=fold)


def only(record: Record) -> Entry:
    (entry,) = record.entries
    return entry


def test_start_switch_stop(record, now, refusing) -> None:
    assert clock.running(record) is None
    assert "No clock is" in refusing(clock.stop, record, now)
    record.make(clock.start(record, "rip", now))
    assert clock.running(record).stage == "rip"
    assert "already running on Rip" in refusing(clock.start, record, "rip", now + HOUR)
    change = clock.start(record, "ease", now + HOUR)
    assert change.what == "clock switched to Ease"
    record.make(change)
    record.make(clock.stop(record, now + 3 * HOUR))
    assert clock.running(record) is None
    assert [(e.stage, e.start - now, e.lasted(now)) for e in record.entries] == [
        ("rip", 0 * HOUR, HOUR),
        ("ease", HOUR, 2 * HOUR),
    ]
    assert "There is no stage paint" in refusing(clock.start, record, "paint", now)


def test_a_clock_switches_to_a_change_order_on_its_own_stage(record, now, refusing) -> None:
    """Extra work is billed by its order, so its time must not run on beside it unseen."""
    record.make(typed_order(record, "Wrap the post", "80/h", now))
    record.make(typed_order(record, "Box the duct", "80/h", now))
    record.make(clock.start(record, "rip", now))
    for hour, order in enumerate(("1", "2", ""), 1):
        change = clock.start(record, "rip", now + hour * HOUR, order=order)
        assert change.what == "clock switched to Rip"
        record.make(change)
        again = now + (hour + 0.5) * HOUR
        assert "already running on Rip" in refusing(clock.start, record, "rip", again, order=order)
    assert [(e.order, e.lasted(now + 4 * HOUR)) for e in record.entries] == [
        ("", HOUR),
        ("1", HOUR),
        ("2", HOUR),
        ("", HOUR),
    ]


def test_a_running_clock_counts_up_to_now_and_never_below_nothing(record, now) -> None:
    record.make(clock.start(record, "rip", now))
    assert only(record).running
    assert only(record).lasted(now + 40 * HOUR) == 40 * HOUR
    # The laptop's own clock was set back meanwhile.
    assert only(record).lasted(now - HOUR) == timedelta(0)


def test_a_clock_left_running_is_stopped_when_the_user_says(record, now, refusing) -> None:
    record.make(clock.start(record, "rip", now))
    later = now + 15 * HOUR
    assert "in the future" in refusing(clock.stop, record, later, at=later + HOUR)
    assert "was started at 07:30, after 06:30" in refusing(clock.stop, record, later, at=now - HOUR)
    record.make(clock.stop(record, later, at=now + 2 * HOUR))
    assert only(record).lasted(later) == 2 * HOUR


def test_entries_added_by_hand_do_not_overlap(record, now, refusing) -> None:
    end = now + 20 * HOUR
    record.make(clock.add(record, "rip", now, now + 2 * HOUR, end, note=" with Bo "))
    assert only(record).note == "with Bo"
    for begin, stop in ((-1, 1), (1, 3), (0, 2), (0.5, 1), (-1, 3)):
        said = refusing(clock.add, record, "ease", now + begin * HOUR, now + stop * HOUR, end)
        assert "overlaps the entry of 2026-03-02 07:30 to 09:30" in said
    # Entries may touch.
    record.make(clock.add(record, "ease", now + 2 * HOUR, now + 3 * HOUR, end))
    record.make(clock.add(record, "ease", now - HOUR, now, end))
    assert [e.start for e in record.entries] == sorted(e.start for e in record.entries)


def test_an_entry_by_hand_must_be_sound(record, now, refusing) -> None:
    past = now - 30 * HOUR
    for begin, end, told in (
        (now, now - HOUR, "can't stop at 06:30 when it started at 07:30"),
        (now, now, "can't stop"),
        (now - HOUR, now + HOUR, "in the future"),
        (past, past + clock.LONGEST + timedelta(minutes=1), "more than 16 hours"),
        (now.replace(tzinfo=None), now, "has no time zone"),
    ):
        assert told in refusing(clock.add, record, "rip", begin, end, now)
    record.make(clock.add(record, "rip", past, past + clock.LONGEST, now))
    assert "There is no stage" in refusing(clock.add, record, "x", now - HOUR, now, now)


def test_overlap_with_the_running_clock(record, now, refusing) -> None:
    record.make(clock.start(record, "rip", now))
    at = now + 4 * HOUR
    assert "overlaps" in refusing(clock.add, record, "ease", now + HOUR, now + 2 * HOUR, at)
    record.make(clock.add(record, "ease", now - HOUR, now, at))


def test_a_clock_does_not_start_inside_an_entry(record, now, refusing) -> None:
    # The laptop's clock was ahead when the entry was made, and was set right since.
    record.make(clock.add(record, "rip", now, now + 2 * HOUR, now + 2 * HOUR))
    assert "overlaps" in refusing(clock.start, record, "ease", now + HOUR)
    record.make(clock.start(record, "ease", now + 2 * HOUR))


@pytest.mark.parametrize(
    "form",
    [
        lambda when: when.astimezone(timezone(timedelta(hours=14))).isoformat(),
        lambda when: when.astimezone(timezone(timedelta(hours=-12))).isoformat(),
        lambda when: when.strftime("%Y%m%dT%H%M%S%z"),
        lambda when: when.strftime("%G-W%V-%uT%H:%M:%S%z"),
    ],
    ids=["far east", "far west", "without hyphens", "by weeks"],
)
@pytest.mark.parametrize("day", ["2026-01-01", "2026-03-02", "2026-12-31", "2027-01-02"])
def test_an_overlap_is_found_however_the_entry_is_written(record, refusing, form, day) -> None:
    """Every form of ISO 8601 that Python reads may stand in a file that was imported."""
    begin = wall(f"{day} 20:00")
    for row in range(1, 40):  # one a day before it, and none of them in the way
        doc = {"stage": "rip"} | {
            name: form(begin + at - (row - 1) * timedelta(days=1))
            for name, at in (("start", timedelta()), ("stop", 2 * HOUR))
        }
        record.make(Change("x", (Edit(("entries", str(row)), ABSENT, doc),), begin))
    assert "overlaps" in refusing(clock.start, record, "ease", begin + HOUR)
    record.make(clock.start(record, "ease", begin + 2 * HOUR))
    assert clock.running(record).row == "40"


def test_mending_an_entry(record, now, refusing) -> None:
    end = now + 9 * HOUR
    record.make(clock.add(record, "rip", now, now + HOUR, end))
    record.make(clock.add(record, "ease", now + 2 * HOUR, now + 3 * HOUR, end))
    record.make(clock.mend(record, "1", end, stage="tape", end=now + 2 * HOUR, note="slow"))
    entry = record.entry("1")
    assert (entry.stage, entry.lasted(end), entry.note) == ("tape", 2 * HOUR, "slow")
    assert "overlaps" in refusing(clock.mend, record, "1", end, end=now + 2.5 * HOUR)
    assert "the same as before" in refusing(clock.mend, record, "1", end, note="slow")
    assert "can't stop" in refusing(clock.mend, record, "1", end, begin=now + 4 * HOUR)
    assert "no row 7" in refusing(clock.mend, record, "7", end, note="x")
    # A clock that runs can be told that it began earlier; it goes on running.
    record.make(clock.start(record, "rip", end))
    record.make(clock.mend(record, "3", end, begin=end - HOUR))
    assert record.entry("3").running
    record.make(clock.remove(record, "1", end))
    assert [e.row for e in record.entries] == ["2", "3"]


# The checks below are the IANA time zone database's rules for New York: clocks went from
# 02:00 EST to 03:00 EDT on 2026-03-08 and go from 02:00 EDT to 01:00 EST on 2026-11-01.
@pytest.mark.parametrize(
    ("begin", "end", "hours"),
    [
        (wall("2026-03-08 01:00"), wall("2026-03-08 04:00"), 2),
        (wall("2026-11-01 00:30"), wall("2026-11-01 03:30"), 4),
        (wall("2026-11-01 01:30"), wall("2026-11-01 01:30", fold=1), 1),
        (wall("2026-11-01 01:45"), wall("2026-11-01 01:15", fold=1), 0.5),
        (wall("2026-03-07 22:00"), wall("2026-03-08 06:00"), 7),
    ],
)
def test_hours_across_daylight_saving(record, begin, end, hours) -> None:
    now = wall("2026-12-01 08:00")
    by_hand = clock.add(record, "rip", begin, end, now)
    record.make(by_hand)
    assert only(record).lasted(now) == hours * HOUR
    assert by_hand.what == f"added {'30 min' if hours == 0.5 else f'{hours}h'} on Rip"
    record.make(clock.remove(record, only(record).row, now))
    record.make(clock.start(record, "rip", begin))
    assert only(record).lasted(end) == hours * HOUR
    record.make(clock.stop(record, end))
    assert only(record).lasted(now) == hours * HOUR


def test_overlap_is_by_the_moment_and_not_by_the_wall(record, refusing) -> None:
    now = wall("2026-12-01 08:00")
    first = (wall("2026-11-01 01:00"), wall("2026-11-01 01:50"))
    second = tuple(one.replace(fold=1) for one in first)
    record.make(clock.add(record, "rip", *first, now))
    record.make(clock.add(record, "rip", *second, now))
    assert sum((e.lasted(now) for e in record.entries), timedelta(0)) == timedelta(minutes=100)
    assert "overlaps" in refusing(clock.add, record, "ease", *second, now)


def test_a_clock_that_went_back_does_not_stop_before_it_started(record) -> None:
    record.make(clock.start(record, "rip", wall("2026-11-01 01:45")))
    record.make(clock.start(record, "ease", wall("2026-11-01 01:05", fold=1)))
    record.make(clock.stop(record, wall("2026-11-01 01:25", fold=1)))
    assert [e.lasted(wall("2026-12-01 08:00")) for e in record.entries] == [
        timedelta(minutes=20)
    ] * 2


def test_sixteen_hours_are_hours_worked_and_not_hours_of_the_wall(record, refusing) -> None:
    now = wall("2026-12-01 08:00")
    assert "16 hours" in refusing(
        clock.add, record, "rip", wall("2026-10-31 20:00"), wall("2026-11-01 11:30"), now
    )
    record.make(clock.add(record, "rip", wall("2026-03-07 20:00"), wall("2026-03-08 13:00"), now))


def test_an_entry_in_the_record_keeps_its_offset(record) -> None:
    record.make(clock.start(record, "rip", wall("2026-11-01 01:30", fold=1)))
    assert record.tables["entries"]["1"]["start"] == "2026-11-01T01:30:00-05:00"


def test_a_clock_that_ran_too_long_is_stopped_only_at_a_time_that_was_named(
    record: Record, now: datetime, refusing: Callable[..., str]
) -> None:
    record.make(clock.start(record, "ease", now))
    late = now + timedelta(days=400)
    for act in (clock.stop, clock.pause):
        assert "has run for 400 days. Type when it stopped" in refusing(act, record, late)
    assert "has run for 400 days" in refusing(clock.start, record, "tape", late)
    change = clock.stop(record, late, at=now + timedelta(hours=26))
    assert change.what == "clock stopped after 1 day 2h"
    assert clock.stop(record, now + timedelta(hours=16)).what == "clock stopped"
