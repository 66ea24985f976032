from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.books.durations import Entry, oddities


@pytest.fixture
def entry(new_york):
    def make(key, start, stop, fold=0):
        at = [
            datetime.fromisoformat(f"2026-{text}").replace(tzinfo=new_york)
            for text in (start, stop)
        ]
        return Entry(key, at[0], at[1].replace(fold=fold))

    return make


def told(found):
    return [(o.sort, o.keys, o.seconds) for o in found]


def test_an_overlap_is_told_with_its_length(entry):
    found = oddities(
        [entry("b", "03-09T09:00", "03-09T11:00"), entry("a", "03-09T08:00", "03-09T09:30")]
    )
    assert told(found) == [("overlap", ("a", "b"), 1800)]


def test_one_inside_another_overlaps_and_opens_no_gap(entry):
    found = oddities(
        [
            entry("a", "03-09T08:00", "03-09T12:00"),
            entry("b", "03-09T09:00", "03-09T10:00"),
            entry("c", "03-09T12:30", "03-09T13:00"),
        ]
    )
    assert told(found) == [("overlap", ("a", "b"), 3600), ("gap", ("a", "c"), 1800)]


def test_touching_entries_and_nights_are_neither(entry):
    assert not oddities(
        [
            entry("a", "03-09T08:00", "03-09T12:00"),
            entry("b", "03-09T12:00", "03-09T16:00"),
            entry("c", "03-10T08:00", "03-10T09:00"),
        ]
    )


def test_a_short_gap_is_left_alone_until_asked_for(entry):
    pair = [entry("a", "03-09T08:00", "03-09T09:00"), entry("b", "03-09T09:04", "03-09T10:00")]
    assert not oddities(pair)
    assert told(oddities(pair, gap=0)) == [("gap", ("a", "b"), 240)]


def test_over_twelve_hours_is_by_hours_that_passed(entry):
    # 01:00 to 14:00 on the wall is 12 h on 8 March (no oddity) and 13 h on 9 March
    assert not oddities([entry("a", "03-08T01:00", "03-08T14:00")])
    assert not oddities([entry("a", "03-09T01:00", "03-09T13:00")])
    assert told(oddities([entry("a", "03-09T01:00", "03-09T13:00:01")])) == [
        ("long", ("a",), 43201)
    ]
    assert told(oddities([entry("a", "03-09T01:00", "03-09T14:00")])) == [("long", ("a",), 46800)]


def test_the_doubled_hour_is_no_overlap(entry):
    first = entry("a", "11-01T00:30", "11-01T01:30")
    second = Entry("b", first.stop, first.stop.replace(fold=1))
    assert not oddities([first, second])


@given(st.lists(st.tuples(st.integers(0, 600), st.integers(0, 200)), max_size=8))
def test_overlaps_are_those_of_every_pair(spans):
    day = datetime(2026, 3, 9, 6, tzinfo=UTC)
    entries = [
        Entry(f"e{i}", day + timedelta(minutes=a), day + timedelta(minutes=a + b))
        for i, (a, b) in enumerate(spans)
    ]
    wanted = sorted(
        int((min(x.stop, y.stop) - max(x.start, y.start)).total_seconds())
        for i, x in enumerate(entries)
        for y in entries[i + 1 :]
        if min(x.stop, y.stop) > max(x.start, y.start)
    )
    found = [o.seconds for o in oddities(entries) if o.sort == "overlap"]
    assert sorted(found) == wanted
