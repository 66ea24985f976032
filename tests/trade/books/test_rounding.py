"""Quarter hours as is the practice under 29 CFR 785.48(b): 1 to 7 minutes down, 8 to 14 up
(US Department of Labor, fact sheet 53, from memory)."""

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.books.read_time import read_span
from crewdesk.trade.books.rounding import Rule, Worked, bill, read_rule, rounded

MINUTE = 60


@pytest.mark.parametrize("minute", range(15))
def test_seven_minutes_go_down_and_eight_up(minute):
    wanted = 0 if minute <= 7 else 15
    assert rounded((8 * 60 + minute) * MINUTE, 15, "nearest") == (8 * 60 + wanted) * MINUTE


# University of Arizona, Financial Services, "Rounding Reported Hours": a day from 8 to 5 less
# an hour's lunch, begun or ended as stated; 7 minutes or less down, 8 or more up.
@pytest.mark.parametrize(
    ("day", "hours"),
    [
        ("7:55-17:00", 8),
        ("7:50-17:00", 8.25),
        ("8:04-17:00", 8),
        ("8:08-17:00", 7.75),
        ("8:00-16:55", 8),
        ("8:00-16:47", 7.75),
        ("8:00-17:05", 8),
        ("8:00-17:09", 8.25),
    ],
)
def test_a_universitys_worked_examples(day, hours, new_york):
    span = read_span(day, datetime(2026, 3, 11, 18, tzinfo=new_york), new_york)
    assert rounded(span.seconds - 3600, 15, "nearest") == hours * 3600


# 785.48(b) asks that rounding averages out: over all minutes of a quarter nearest is even.
def test_nearest_quarters_average_out():
    minutes = range(60, 120)
    assert sum(rounded(m * MINUTE, 15, "nearest") for m in minutes) == sum(minutes) * MINUTE


@pytest.mark.parametrize(
    ("minutes", "step", "toward", "wanted"),
    [
        (62, 5, "nearest", 60), (63, 5, "nearest", 65), (61, 5, "up", 65), (64, 5, "down", 60),
        (62, 6, "nearest", 60), (63, 6, "nearest", 66), (61, 6, "up", 66), (65, 6, "down", 60),
        (61, 15, "up", 75), (74, 15, "down", 60), (60, 15, "up", 60), (67, 0, "up", 67),
    ],
)  # fmt: skip
def test_steps_and_ways(minutes, step, toward, wanted):
    assert rounded(minutes * MINUTE, step, toward) == wanted * MINUTE


@pytest.fixture
def days(new_york):
    """Three entries on one day, one on the next, over two stages, 8 minutes each."""
    start = datetime(2026, 3, 9, 8, tzinfo=new_york)
    at = [start, start + timedelta(hours=1), start + timedelta(hours=2), start + timedelta(days=1)]
    stages = ("rip", "ease", "rip", "rip")
    return [Worked(f"e{i}", t, s, 480) for i, (t, s) in enumerate(zip(at, stages, strict=True))]


@pytest.mark.parametrize(
    ("rule", "billed"),
    [
        ("none", (480, 480, 480, 480)),
        ("15", (900, 900, 900, 900)),
        ("15 down", (0, 0, 0, 0)),
        ("15 per day", (600, 600, 600, 900)),  # 24 min to 30, 8 to 15
        ("15 per stage", (600, 900, 600, 600)),  # 24 min to 30, 8 to 15
        ("15 down stage", (300, 0, 300, 300)),
    ],
)
def test_per_entry_day_and_stage(rule, billed, days):
    found = bill(days, read_rule(rule))
    assert tuple(e.billed_seconds for e in found.entries) == billed
    assert found.seconds == 4 * 480
    assert found.billed_seconds == sum(billed)


def test_both_figures_by_stage(days):
    found = bill(days, Rule(15)).by_stage()
    assert [(s.stage, s.seconds, s.billed_seconds) for s in found] == [
        ("rip", 1440, 2700),
        ("ease", 480, 900),
    ]


@given(
    st.lists(st.integers(0, 40_000), max_size=10),
    st.sampled_from([0, 5, 6, 15]),
    st.sampled_from(["nearest", "up", "down"]),
    st.sampled_from(["entry", "day", "stage"]),
)
def test_what_is_billed_is_whole_steps_and_near(seconds, step, toward, per):
    start = datetime(2026, 3, 9, 8)
    worked = [
        Worked(str(i), start + timedelta(days=i % 2), "rip" if i % 3 else "ease", s)
        for i, s in enumerate(seconds)
    ]
    found = bill(worked, Rule(step, toward, per))
    assert found.seconds == sum(seconds)
    assert found.billed_seconds == sum(s.billed_seconds for s in found.by_stage())
    off = found.billed_seconds - found.seconds
    if step == 0:
        assert [e.billed_seconds for e in found.entries] == seconds
    else:
        assert found.billed_seconds % (step * MINUTE) == 0
    if toward == "up":
        assert off >= 0
    if toward == "down":
        assert off <= 0
    assert abs(off) <= step * MINUTE * max(len(seconds), 1)


def test_rules_as_written(refused):
    assert read_rule("quarter-down-stage") == Rule(15, "down", "stage")
    assert read_rule("tenth") == read_rule("6 nearest per entry") == Rule(6)
    assert read_rule("5 min up") == Rule(5, "up")
    for text in ("", "10", "15 sideways", "15 up week", "-15"):
        refused("isn't a rounding rule. Type none, 5, 6 or", read_rule, text)
    refused("isn't a rounding rule. Type none, 5, 6 or", Rule, 15, "sideways")
