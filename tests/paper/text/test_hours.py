"""The hours sheet where the clock is running, where clocks go back, and over midnight.

In 2026 clocks of the United States go back on 1 November at 2:00 daylight time
(15 U.S.C. 260a: the first Sunday of November).
"""

import csv
import io
from datetime import date, datetime
from fractions import Fraction
from typing import Any

from crewdesk.job.beams import beams
from crewdesk.job.record import Record
from crewdesk.job.time import clock
from crewdesk.paper.text.hours import billed_hours, hours, hours_csv
from crewdesk.trade.books.rounding import Rule, read_rule
from crewdesk.trade.cuts.section import Section

BEGUN = datetime.fromisoformat("2026-10-30T07:00:00-06:00")


def at(text: str) -> datetime:
    return datetime.fromisoformat(text)


def job(zone: str, *spans: tuple[str, str, str]) -> Record:
    record = Record({})
    record.make(beams.new_job("Night shift", Section(Fraction(8), Fraction(10)), BEGUN))
    if zone:
        record.make(beams.change_job(record, {"zone": zone}, BEGUN))
    for stage, start, stop in spans:
        record.make(clock.add(record, stage, at(start), at(stop), at("2026-11-20T00:00:00-07:00")))
    return record


def values(record: Record, now: str = "2026-11-20T00:00:00-07:00") -> dict[str, Any]:
    return hours("night-shift", record, at(now)).values


def test_the_hour_that_comes_twice_is_counted_twice() -> None:
    record = job(
        "America/Denver", ("scribe", "2026-11-01T00:30:00-06:00", "2026-11-01T04:00:00-07:00")
    )
    [entry] = values(record)["entries"]
    assert entry["seconds"] == 4.5 * 3600
    lines = hours("night-shift", record, at("2026-11-20T00:00:00-07:00")).lines
    assert "  00:30-04:00  4h30       Scribe" in lines


def test_times_are_told_on_the_clocks_of_the_site() -> None:
    record = job("America/Denver", ("rip", "2026-11-02T14:30:00+00:00", "2026-11-02T16:00:00Z"))
    [entry] = values(record)["entries"]
    assert entry["start"] == "2026-11-02T07:30:00-07:00"
    assert entry["seconds"] == 5400


def test_a_zone_that_is_not_known_here_is_told() -> None:
    span = ("rip", "2026-11-02T14:30:00+00:00", "2026-11-02T16:00:00+00:00")
    sheet = hours("x", job("Moon/Tycho", span), at("2026-11-20T00:00:00-07:00"))
    assert "Moon/Tycho isn't known here" in sheet.lines[1]
    assert sheet.values["entries"][0]["start"] == "2026-11-02T14:30:00+00:00"


def test_an_entry_over_midnight_names_the_day_on_which_it_stops() -> None:
    span = ("tape", "2026-11-02T22:30:00-07:00", "2026-11-03T01:15:00-07:00")
    sheet = hours("x", job("", span), at("2026-11-20T00:00:00-07:00"))
    assert "  22:30-01:15 (Nov 03)  2h45       Tape" in sheet.lines


def test_a_clock_that_runs_counts_up_to_now() -> None:
    record = job("")
    record.make(clock.start(record, "tack", at("2026-11-02T07:30:00-07:00")))
    told = values(record, "2026-11-02T09:00:30-07:00")
    assert told["entries"][0]["stop"] is None
    assert told["seconds"] == 5430
    stage = {"name": "Tack", "seconds": 5430, "billed_seconds": 5430}
    assert told["by_stage"] == {"tack": stage}
    lines = hours("x", record, at("2026-11-02T09:00:00-07:00")).lines
    assert any("the clock is running" in line for line in lines)


def test_a_job_without_hours_says_so() -> None:
    sheet = hours("x", job(""), BEGUN)
    assert sheet.lines[1:] == ("No time has been logged.",)
    assert sheet.values["seconds"] == 0


QUARTERS = (("08:00", "09:07"), ("10:00", "11:08"), ("12:00", "13:07"))


def test_worked_and_billed_stand_side_by_side() -> None:
    """Quarters to the nearest: 7 minutes go down, 8 up, as is the practice under
    29 CFR 785.48(b) (US Department of Labor fact sheet 53, from memory)."""
    spans = [("rip", f"2026-11-02T{a}:00-07:00", f"2026-11-02T{b}:00-07:00") for a, b in QUARTERS]
    record = job("America/Denver", *spans)
    now = at("2026-11-20T00:00:00-07:00")
    told = hours("x", record, now, read_rule("15")).values
    assert [e["billed_seconds"] // 60 for e in told["entries"]] == [60, 75, 60]
    assert [e["seconds"] // 60 for e in told["entries"]] == [67, 68, 67]
    assert (told["seconds"], told["billed_seconds"]) == (202 * 60, 195 * 60)
    day = hours("x", record, now, read_rule("15 nearest day")).values
    # 202 minutes of the day are 195 and 7, so 195; the entries still add up to it.
    assert day["billed_seconds"] == sum(e["billed_seconds"] for e in day["entries"]) == 195 * 60
    lines = hours("x", record, now, read_rule("15")).lines
    assert "  10:00-11:08  1h08       Rip  billed 1h15" in lines


def test_days_are_those_of_the_site_and_what_is_not_billable_is_not_billed() -> None:
    record = job(
        "America/Denver",
        ("rip", "2026-11-02T23:30:00-07:00", "2026-11-03T00:30:00-07:00"),
        ("ease", "2026-11-03T08:00:00-07:00", "2026-11-03T09:00:00-07:00"),
    )
    now = at("2026-11-20T00:00:00-07:00")
    record.make(clock.mend(record, "2", now, billable=False))
    days = [date(2026, 11, d) for d in (2, 3)]
    first = billed_hours(record, now, Rule(), until=days[0])
    assert [h.entry.stage for h in first] == ["rip"]
    second = billed_hours(record, now, Rule(), since=days[1])
    assert [(h.seconds, h.billed) for h in second] == [(3600, 0)]
    assert (
        "No entry began on those days." in hours("x", record, now, until=date(2026, 11, 1)).lines[1]
    )


def test_csv_is_read_back_by_another_reader_and_runs_nothing() -> None:
    """RFC 4180: fields with commas and quotes are quoted, quotes doubled, lines end in CR LF."""
    record = job(
        "America/Denver", ("rip", "2026-11-02T08:00:00-07:00", "2026-11-02T09:00:00-07:00")
    )
    now = at("2026-11-20T00:00:00-07:00")
    for note, shown in (
        ('=HYPERLINK("x", 1)', '\'=HYPERLINK("x", 1)'),
        (" @a, b", "'@a, b"),
        ("-1", "'-1"),
        ("+1", "'+1"),
        ("two\nlines", "two lines"),
    ):
        record.make(clock.mend(record, "1", now, note=note))
        text = hours_csv(record, billed_hours(record, now, Rule()))
        assert text.count("\r\n") == text.count("\n") == 2
        (row,) = csv.DictReader(io.StringIO(text, newline=""), strict=True)
        assert row["note"] == shown
        assert (row["seconds"], row["stage"]) == ("3600", "Rip")
