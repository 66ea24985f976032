"""Time entries as they are typed, and the stop of a clock that nobody looked after."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from crewdesk.errors import BadInput, CrewdeskError, NotAllowed
from crewdesk.job.beams.beams import change_job
from crewdesk.job.books.job_lists import typed_order
from crewdesk.job.record import Record
from crewdesk.job.steps.stages import KINDS
from crewdesk.job.steps.usual_stages import USUAL_STAGES, kinds_read, kinds_told
from crewdesk.job.time.clock import start
from crewdesk.job.time.logged import by_day, by_stage, on_day, total
from crewdesk.job.time.typed_entry import added, mended, shown_entry, stage_named, stop_time

NEW_YORK = ZoneInfo("America/New_York")
STARTED = datetime(2026, 3, 2, 7, 42, 10, tzinfo=NEW_YORK)
EVENING = datetime(2026, 3, 2, 18, 0, tzinfo=NEW_YORK)
LINES = {"day": "2026-03-02", "start": "7:30", "stop": "11:45", "stage": "4", "note": ""}


def when(typed: str) -> dict[str, str]:
    return {"when": typed, "stage": "4", "note": ""}


@pytest.mark.parametrize(
    ("typed", "at"),
    [
        ("9:55", "09:55"),
        ("9.55", "09:55"),
        ("955", "09:55"),
        (" 9 ", "09:00"),
        ("2:30", "14:30"),
        ("230", "14:30"),
        ("2", "14:00"),
        ("2:30 pm", "14:30"),
        ("noon", "12:00"),
        ("1h20", "09:02"),
        ("90 min", "09:12"),
    ],
)
def test_a_stop_is_the_first_such_time_after_the_start(typed: str, at: str) -> None:
    assert f"{stop_time(STARTED, typed, EVENING):%Y-%m-%d %H:%M}" == f"2026-03-02 {at}"


def test_a_stop_may_lie_on_the_next_day() -> None:
    late = datetime(2026, 3, 2, 21, 0, tzinfo=NEW_YORK)
    stop = stop_time(late, "0:30", late + timedelta(hours=8))
    assert stop == late + timedelta(hours=3, minutes=30)


@pytest.mark.parametrize("typed", ["9:15pm", "yesterday 9:15pm", "mon 9:15pm", "3/2 21:15"])
def test_a_clock_forgotten_over_night_stopped_on_a_day_seen_from_now(typed: str) -> None:
    # 2026-03-02 was a Monday (Gregorian calendar).
    late = datetime(2026, 3, 2, 21, 0, tzinfo=NEW_YORK)
    now = late + timedelta(hours=10)
    assert stop_time(late, typed, now) == late + timedelta(minutes=15)
    with pytest.raises(NotAllowed, match=r"from Mon 21:00 to now, Tue 07:00\. 8pm isn't between"):
        stop_time(late, "8pm", now)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "Type when it stopped"),
        ("9pm", "isn't between them"),
        ("7:42", "isn't between them"),
        ("25:00", "isn't a time"),
        ("soon", "isn't a time"),
        ("-", "isn't a time"),
        ("3 weeks", "isn't a time"),
    ],
)
def test_a_stop_that_will_not_do_is_one_sentence(typed: str, says: str) -> None:
    with pytest.raises(NotAllowed, match=rf"^[^\n]*{says}[^\n]*\.$"):
        stop_time(STARTED, typed, EVENING)


@pytest.mark.parametrize(
    ("typed", "begin", "stop"),
    [
        ("7.30-11.45", "02 07:30", "02 11:45"),
        ("yesterday 2pm for 1h20", "01 14:00", "01 15:20"),
        ("sun 7,30 to 9", "01 07:30", "01 09:00"),
        ("7.30 for 1.25 h", "02 07:30", "02 08:45"),
        ("1h20", "02 16:40", "02 18:00"),
    ],
)
def test_work_is_typed_as_people_write_it(record: Record, typed, begin, stop) -> None:
    record.make(added(record, when(typed), EVENING, NEW_YORK))
    (entry,) = record.entries
    assert (f"{entry.start:%d %H:%M}", f"{entry.stop:%d %H:%M}") == (begin, stop)


def test_times_are_true_across_daylight_saving(record: Record) -> None:
    # In New York clocks went from 02:00 to 03:00 on 2026-03-08 (IANA time zones).
    now = datetime(2026, 3, 8, 20, 0, tzinfo=NEW_YORK)
    record.make(added(record, when("3/8 1:00am-4:00am"), now, NEW_YORK))
    assert total(record.entries, now) == timedelta(hours=2)
    with pytest.raises(BadInput) as caught:
        added(record, when("3/8 1:00am-2:30am"), now, NEW_YORK)
    assert "went from 02:00 straight to 03:00" in str(caught.value)


def test_an_unchanged_line_keeps_its_seconds(record: Record) -> None:
    record.make(start(record, "tack", STARTED))
    row = record.entries[0].row
    shown = shown_entry(record, record.entries[0], NEW_YORK)
    billing = {"billed": "yes", "rate": "", "order": ""}
    assert shown == {**LINES, **billing, "start": "07:42", "stop": "", "stage": "Tack"}
    record.make(mended(record, row, {**shown, "stop": "9:00"}, EVENING, NEW_YORK))
    assert record.entry(row).start == STARTED
    shown = shown_entry(record, record.entry(row), NEW_YORK)
    record.make(mended(record, row, {**shown, "stage": "rip"}, EVENING, NEW_YORK))
    assert record.entry(row).start == STARTED
    assert record.entry(row).stage == "rip"
    with pytest.raises(NotAllowed, match="can't be started again"):
        mended(record, row, {**shown, "stop": " "}, EVENING, NEW_YORK)


def test_a_stop_on_another_day_comes_back_as_it_was(record: Record) -> None:
    now = EVENING + timedelta(days=1)
    record.make(added(record, when("2026-03-02 22:00 - 2026-03-03 01:15"), now, NEW_YORK))
    (entry,) = record.entries
    assert entry.lasted(now) == timedelta(hours=3, minutes=15)
    shown = shown_entry(record, entry, NEW_YORK)
    assert shown["stop"] == "2026-03-03 01:15"
    record.make(mended(record, entry.row, {**shown, "note": "late"}, now, NEW_YORK))
    assert record.entries[0].lasted(now) == timedelta(hours=3, minutes=15)


@pytest.mark.parametrize(
    ("typed", "id_"), [("4", "tack"), (" TACK ", "tack"), ("tac", "tack"), ("final  n", "nail")]
)
def test_a_stage_is_told_by_number_name_or_beginning(typed: str, id_: str) -> None:
    assert stage_named(USUAL_STAGES, typed) == id_


@pytest.mark.parametrize("typed", ["", "0", "13", "T", "paint"])
def test_a_stage_that_is_none_names_those_there_are(typed: str) -> None:
    with pytest.raises(NotAllowed, match="1 Rip, 2 Ease, 3 Tape"):
        stage_named(USUAL_STAGES, typed)


def test_hours_add_up_by_day_and_stage(record: Record) -> None:
    for day, begin, end, stage in (
        ("3/1", "7:30", "9:30", "rip"),
        ("3/1", "10:00", "10:45", "tack"),
        ("3/2", "7:30", "8:00", "rip"),
    ):
        typed = {**when(f"{day} {begin} to {end}"), "stage": stage}
        record.make(added(record, typed, EVENING, NEW_YORK))
    days = by_day(record, EVENING)
    assert [(f"{one.day:%d}", one.total) for one in days] == [
        ("02", timedelta(minutes=30)),
        ("01", timedelta(minutes=165)),
    ]
    assert [one.stage for one in days[1].entries] == ["tack", "rip"]
    assert on_day(record, days[0].day) == days[0].entries
    spent = by_stage(record, record.entries, EVENING)
    assert spent == (("rip", timedelta(minutes=150)), ("tack", timedelta(minutes=45)))
    assert total(record.entries, EVENING) == sum((time for _, time in spent), timedelta(0))


def test_days_are_those_of_the_sites_clocks(record: Record) -> None:
    after_midnight = when("2026-03-03 01:00-02:00")
    now = EVENING + timedelta(hours=9)
    record.make(added(record, after_midnight, now, UTC))
    assert [f"{one.day}" for one in by_day(record, now)] == ["2026-03-03"]
    record.make(change_job(record, {"zone": "America/New_York"}, now))
    assert [f"{one.day}" for one in by_day(record, now)] == ["2026-03-02"]
    record.make(change_job(record, {"zone": "Mars/Olympus"}, now))
    assert [f"{one.day}" for one in by_day(record, now)] == ["2026-03-03"]


@pytest.mark.parametrize("kinds", [KINDS, KINDS[:1], KINDS[1:], (KINDS[0], KINDS[2])])
def test_kinds_are_read_as_they_are_told(kinds: tuple[str, ...]) -> None:
    assert kinds_read(kinds_told(kinds)) == kinds


@pytest.mark.parametrize("typed", ["", "and", "posts", "side, post"])
def test_kinds_that_are_none_are_refused(typed: str) -> None:
    with pytest.raises(NotAllowed, match="sides, bottoms, tops, cleats, or more than one"):
        kinds_read(typed)


def test_a_number_that_is_too_long_names_nothing(record, now, refusing) -> None:
    record.make(typed_order(record, "Wrap the header", "240", now))
    for text in ("9" * 5000, "0" * 4000 + "1", "0000012", "1" * 7, "x" * 5000):
        typed = {**LINES, "when": "7:30-11:45", "order": text, "billed": "yes", "rate": ""}
        assert "could be more than one change order" in refusing(
            added, record, typed, EVENING, NEW_YORK
        )
        assert "could be more than one stage" in refusing(stage_named, record.stages, text)
        assert "isn't a time" in refusing(stop_time, STARTED, text, EVENING)


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("8-12, 12:30-16", "02 08:00-12:00 02 12:30-16:00"),
        ("8-12,13-16", "02 08:00-12:00 02 13:00-16:00"),
        ("8-12, 1-4", "02 08:00-12:00 02 13:00-16:00"),
        ("8-12; 12.30-16", "02 08:00-12:00 02 12:30-16:00"),
        ("7:30 to 11 and noon for 1h20", "02 07:30-11:00 02 12:00-13:20"),
        ("sun 8-12, 12:30-16", "01 08:00-12:00 01 12:30-16:00"),
        ("8-12, 12:30-16 sunday", "01 08:00-12:00 01 12:30-16:00"),
        ("sun 20-23, today 7-8, 9-10", "01 20:00-23:00 02 07:00-08:00 02 09:00-10:00"),
        ("mar 1, 2026 8-12", "01 08:00-12:00"),
    ],
)
def test_a_day_with_its_break_is_an_entry_for_each_stretch(
    record: Record, typed: str, read: str
) -> None:
    change = added(record, when(typed), EVENING, NEW_YORK)
    record.make(change)
    found = [f"{e.start:%d %H:%M}-{e.stop:%H:%M}" for e in record.entries if e.stop]
    assert " ".join(found) == read
    assert {e.stage for e in record.entries} == {stage_named(record.stages, "4")}


def test_of_several_stretches_all_are_added_or_none(record: Record) -> None:
    assert "7h30" in added(record, when("8-12, 12:30-16"), EVENING, NEW_YORK).what
    record.make(added(record, when("12-13"), EVENING, NEW_YORK))
    for typed, says in (
        ("8-11, 12:30-16", "overlaps the entry of 2026-03-02 12:00 to 13:00"),
        ("8-12, 11-11:30", "11-11:30 overlaps a stretch before it"),
        ("8-12, 17-19", "17-19 stops at 2026-03-02 19:00, which is in the future"),
        ("8-12, 16-15", "16-15 stops before it starts"),
        ("8-12, soon", "8-12, soon isn't a time"),
        ("8-12, 1h20", "8-12, 1h20 isn't a time"),
    ):
        with pytest.raises(CrewdeskError) as refused:
            added(record, when(typed), EVENING, NEW_YORK)
        assert says in str(refused.value)
    assert len(record.entries) == 1
