"""Entries with pieces, paused, split, joined, moved; what is odd about them, and mended."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.piece import Spot
from crewdesk.job.books.job_lists import typed_order
from crewdesk.job.change import Change, edit
from crewdesk.job.time import clock, other_work
from crewdesk.job.time import entry_fixes as mend_entries
from crewdesk.job.time import entry_fixes as odd_entries
from crewdesk.job.time import logged as batch_time
from crewdesk.job.time.entry import Entry

HOUR = timedelta(hours=1)
NEW_YORK = ZoneInfo("America/New_York")
A, B, BOTTOM, CROSS = Spot("1", "A"), Spot("1", "B"), Spot("1", "bottom"), Spot("2", "A")


def spans(record) -> list[tuple[float, float]]:
    first = record.entries[0].start
    return [((e.start - first) / HOUR, (e.stop - first) / HOUR) for e in record.entries]


def test_an_entry_tells_its_pieces_rate_and_order_and_keeps_them(record, now, refusing) -> None:
    record.make(typed_order(record, "Wrap the post", "80/h", now))
    given_ = {"pieces": [A, B, A], "billable": False, "rate": Decimal("95.00"), "order": "1"}
    record.make(clock.add(record, "extra-work", now, now + HOUR, now + HOUR, **given_))
    (entry,) = record.entries
    assert entry.pieces == (A, B)
    assert (entry.billable, entry.rate, entry.order) == (False, Decimal("95.00"), "1")
    assert record.stages.name_of(entry.stage) == "Extra work"
    assert Entry.from_doc(entry.row, entry.to_doc()) == entry
    record.make(clock.mend(record, "1", now + HOUR, pieces=None, rate=None, billable=True))
    assert record.entry("1").to_doc().keys() == {"start", "stop", "stage", "order"}
    assert "no piece" in refusing(clock.start, record, "rip", now, pieces=[Spot("1", "top")])
    assert "no row 9" in refusing(clock.start, record, "rip", now + HOUR, pieces=[Spot("9", "A")])
    assert "no row 7 among the orders" in refusing(clock.mend, record, "1", now, order="7")


def test_an_entry_of_before_reads_with_the_usual_values(now) -> None:
    entry = Entry.from_doc("1", {"start": now.isoformat(), "stage": "rip"})
    assert (entry.pieces, entry.billable, entry.rate, entry.order) == (None, True, None, "")


@pytest.mark.parametrize(
    ("field", "value", "told"),
    [
        ("pieces", [], "have 1 to"),
        ("pieces", [["1", "post"]], "no piece 'post'"),
        ("pieces", [["1"]], "isn't written as a time entry must be"),
        ("billable", "yes", "true or false"),
        ("rate", 85, "isn't money"),
        ("rate", "-1.00", "below zero"),
    ],
)
def test_what_no_entry_can_hold(now, refusing, field, value, told) -> None:
    doc = {"start": now.isoformat(), "stage": "rip", field: value}
    assert told in refusing(Entry.from_doc, "1", doc)


def test_pause_and_go_on_with_the_same(record, now, refusing) -> None:
    assert "No clock has been" in refusing(clock.resume, record, now)
    record.make(clock.start(record, "tack", now, pieces=[A, CROSS], note="with Bo"))
    assert clock.pause(record, now + HOUR).what == "clock paused"
    record.make(clock.pause(record, now + HOUR))
    record.make(clock.resume(record, now + 2 * HOUR))
    one, two = record.entries
    assert (two.stage, two.pieces, two.note) == (one.stage, one.pieces, one.note)
    assert "is already" in refusing(clock.resume, record, now + 3 * HOUR)
    # The same stage with other pieces is another entry.
    record.make(clock.start(record, "tack", now + 3 * HOUR, pieces=[B]))
    assert [e.pieces for e in record.entries] == [(A, CROSS), (A, CROSS), (B,)]


def test_split_join_and_move(record, now, refusing) -> None:
    end = now + 12 * HOUR
    record.make(clock.add(record, "rip", now, now + 4 * HOUR, end, note="oak", pieces=[A]))
    record.make(mend_entries.split(record, "1", now + HOUR, end))
    assert spans(record) == [(0, 1), (1, 4)]
    assert {e.note for e in record.entries} == {"oak"}
    assert "between its ends" in refusing(mend_entries.split, record, "1", now + HOUR, end)
    record.make(mend_entries.move(record, "2", now + 2 * HOUR, end))
    assert spans(record) == [(0, 1), (2, 5)]
    assert "overlaps" in refusing(mend_entries.move, record, "2", now + HOUR / 2, end)
    assert "in the future" in refusing(mend_entries.move, record, "2", now + 11 * HOUR, end)
    record.make(clock.mend(record, "2", end, pieces=[B]))
    change = mend_entries.join(record, "2", "1", end)
    assert change.what == "joined two entries on Rip, 1h between them counted"
    record.make(change)
    assert spans(record) == [(0, 5)]
    assert record.entry("1").pieces == (A, B)
    record.make(clock.add(record, "ease", now + 6 * HOUR, now + 7 * HOUR, end))
    assert "on one stage" in refusing(mend_entries.join, record, "1", "2", end)
    record.make(clock.add(record, "rip", now + 8 * HOUR, now + 9 * HOUR, end))
    assert "overlaps" in refusing(mend_entries.join, record, "1", "3", end)


def test_a_move_keeps_the_time_across_daylight_saving(record) -> None:
    """Clocks of New York went forward on 8 March 2026 at 2:00 (15 U.S.C. 260a)."""
    begin = datetime(2026, 3, 7, 8, tzinfo=NEW_YORK)
    later = datetime(2026, 3, 9, 8, tzinfo=NEW_YORK)
    record.make(clock.add(record, "rip", begin, begin + 3 * HOUR, later))
    at = datetime(2026, 3, 8, 1, tzinfo=NEW_YORK)
    record.make(mend_entries.move(record, "1", at, later))
    (entry,) = record.entries
    assert entry.lasted(later) == 3 * HOUR
    assert entry.stop.astimezone(NEW_YORK).hour == 5
    assert entry.stop.astimezone(UTC).hour == 9


def _laid(record, now, *ends: tuple[float, float]) -> None:
    """Entries as another program may have written them, one over the other."""
    for row, (begin, end) in enumerate(ends, 1):
        entry = Entry(str(row), now + begin * HOUR, ("rip", "ease")[row % 2], now + end * HOUR)
        place = ("entries", str(row))
        record.make(Change("laid", (edit(record.tables, place, entry.to_doc()),), now))


def test_what_is_odd_is_told_and_mended_in_place(record, now) -> None:
    end = now + 40 * HOUR
    _laid(record, now, (0, 2), (1, 3), (4, 5), (18, 31))
    found = odd_entries.odd(record, end)
    assert [one.sort for one in found] == ["overlap", "gap", "long"]
    told = [odd_entries.oddity_text(record, one) for one in found]
    assert told[0] == "Ease and Rip both count 1h, Mon 2026-03-02 08:30 to 09:30."
    assert (
        told[1] == "Nothing is logged for 1h between Rip and Ease, Mon 2026-03-02 10:30 to 11:30."
    )
    assert "Rip ran 13h" in told[2]
    for sort, key, words, ends in (
        ("overlap", "cut-second", "Rip starts at 09:30, where Ease stops", (2, 3)),
        ("gap", "fill-second", "Ease starts at 10:30", (3, 5)),
    ):
        (one,) = [o for o in odd_entries.odd(record, end) if o.sort == sort]
        ways = {way.key: way for way in odd_entries.mendings(record, one, end)}
        assert ways[key].words == words
        record.make(ways[key].change)
        assert ends in spans(record)
    (long,) = odd_entries.odd(record, end)
    ways = {way.key: way for way in odd_entries.mendings(record, long, end)}
    record.make(ways["split"].change)
    assert odd_entries.odd(record, end) == ()
    assert sum(b - a for a, b in spans(record)) == 18


def test_joining_an_entry_with_one_inside_it_loses_no_hour(record, now) -> None:
    end = now + 9 * HOUR

    def put_in(row: str, begin: float, stop: float | None) -> None:
        entry = Entry(row, now + begin * HOUR, "rip", None if stop is None else now + stop * HOUR)
        record.make(Change("laid", (edit(record.tables, ("entries", row), entry.to_doc()),), now))

    for first, second in (("1", "2"), ("2", "1")):
        put_in("1", 0, 5)
        put_in("2", 1, 2)
        change = mend_entries.join(record, first, second, end)
        assert change.what == "joined two entries on Rip"
        record.make(change)
        assert spans(record) == [(0, 5)]
    # Where the clock of either still runs, that of both does.
    for outer, inner in ((None, 2), (5, None)):
        put_in("1", 0, outer)
        put_in("2", 1, inner)
        record.make(mend_entries.join(record, "1", "2", end))
        (entry,) = record.entries
        assert (entry.start, entry.running) == (now, True)


def test_an_overlap_of_three_is_mended_one_at_a_time(record, now) -> None:
    end = now + 9 * HOUR
    _laid(record, now, (0, 3), (1, 4), (2, 5))
    for _ in range(9):
        found = [one for one in odd_entries.odd(record, end) if one.sort == "overlap"]
        if not found:
            break
        record.make(odd_entries.mendings(record, found[0], end)[0].change)
    assert spans(record) == [(0, 1), (1, 2), (2, 5)]


def test_the_work_outside_the_stages_is_one_s_own(record, now, refusing) -> None:
    record.make(other_work.add_other_work(record, "Paperwork", now))
    record.make(other_work.rename_other_work(record, "travel", "On the road", now))
    record.make(other_work.drop_other_work(record, "scraping", now))
    names = [one.name for one in record.stages.other]
    assert names == ["Set-up", "On the road", "Waiting on others", "Extra work", "Paperwork"]
    record.make(clock.start(record, "paperwork", now))
    assert clock.running(record).stage == "paperwork"
    assert "two stages named" not in refusing(other_work.drop_other_work, record, "x", now)
    assert "Extra work can't be removed" in refusing(
        other_work.drop_other_work, record, "extra-work", now
    )
    record.make(beams.change_job(record, {"notes": "kept"}, now))
    assert [one.name for one in record.stages.other] == names


def test_batch_time_goes_by_length_or_evenly(record, now) -> None:
    end = now + HOUR
    for spot, text in ((A, "10'"), (CROSS, "20'")):
        reading = take.typed_reading(record, "run", text, now)
        record.make(take.take(record, spot, "run", reading))
    record.make(clock.add(record, "rip", now, end, end, pieces=[A, CROSS]))
    (entry,) = record.entries
    assert batch_time.entry_shares(record, entry, end) == {A: 1200, CROSS: 2400}
    assert batch_time.beam_seconds(record, record.entries, end) == {"1": 1200, "2": 2400}
    record.make(beams.change_job(record, {"share": "evenly"}, now))
    assert batch_time.entry_shares(record, entry, end) == {A: 1800, CROSS: 1800}


def test_a_piece_that_was_not_read_goes_by_its_rough_length(record, now, refusing) -> None:
    assert batch_time.piece_length(record.beam("1"), "A") is None
    record.make(beams.change_beam(record, "1", {"rough": Fraction(147)}, now))
    assert batch_time.piece_length(record.beam("1"), "bottom") == 147
    hostile = beams.change_beam(record, "1", {"rough": Fraction(1)}, now)
    assert "A beam of 1 in can't be right" in refusing(record.make, hostile)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(st.one_of(st.none(), st.integers(6, 1200)), min_size=2, max_size=2),
    st.lists(st.sampled_from([A, B, BOTTOM, CROSS]), min_size=1, max_size=4),
    st.integers(1, 50_000),
    st.sampled_from(["length", "evenly"]),
)
def test_the_shares_of_a_batch_are_the_whole_to_the_second(
    fresh_record, now, lengths, pieces, seconds, way
) -> None:
    record = fresh_record()
    record.make(beams.change_job(record, {"notes": "x", "share": way}, now))
    for row, length in zip("12", lengths, strict=True):
        if length is not None:
            record.make(beams.change_beam(record, row, {"rough": Fraction(length)}, now))
    end = now + timedelta(seconds=seconds)
    record.make(clock.add(record, "rip", now, end, end, pieces=pieces))
    shared = batch_time.entry_shares(record, record.entries[0], end)
    assert sum(shared.values()) == seconds
    assert set(shared) == set(pieces)
