"""The hours sheet where the clock runs, where clocks go back, and over midnight.

In 2026 clocks of the United States go back on 1 November at 2:00 daylight time
(15 U.S.C. 260a: the first Sunday of November).
"""

from datetime import datetime
from fractions import Fraction
from typing import Any

from crewdesk.job import beams, clock
from crewdesk.job.record import Record
from crewdesk.paper.hours import hours
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
    assert "Moon/Tycho is not known here" in sheet.lines[1]
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
    assert told["stages"] == [{"id": "tack", "name": "Tack", "seconds": 5430}]
    lines = hours("x", record, at("2026-11-02T09:00:00-07:00")).lines
    assert any("the clock runs" in line for line in lines)


def test_a_job_without_hours_says_so() -> None:
    sheet = hours("x", job(""), BEGUN)
    assert sheet.lines[1:] == ("No time was logged yet.",)
    assert sheet.values["seconds"] == 0
