"""The story stick: what it shows, to the column."""

from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from crewdesk.screens.parts.stick import (
    MADE,
    NOTCH,
    OVER,
    Part,
    closing_stick,
    day_stick,
    dimension,
    layered,
    ruled,
    span_stick,
    stick,
)

sizes = st.fractions(min_value=0, max_value=400, max_denominator=60)


def text(parts: list[Part]) -> str:
    return "".join(one for one, _ in parts)


def test_a_stick_has_its_notch_at_the_plan_and_goes_on_past_it() -> None:
    assert text(stick(0, 10, 20, 20)) == "──────────┃         "
    assert text(stick(5, 10, 20, 20)) == "━━━━━─────┃         "
    assert text(stick(15, 10, 20, 20)) == "━━━━━━━━━━┃════     "
    assert stick(15, 10, 20, 20)[2] == ("════", "over")
    assert text(stick(5, None, 20, 20)) == "━━━━━               "


@given(sizes, sizes, st.integers(4, 80))
def test_an_over_run_always_shows_and_nothing_else_looks_like_one(
    made: Fraction, plan: Fraction, width: int
) -> None:
    drawn = text(stick(made, plan, 400, width))
    assert len(drawn) == width
    assert drawn.count(NOTCH) == 1
    assert (OVER in drawn) == (made > plan)
    if made:
        assert MADE in drawn or drawn[0] == NOTCH


@given(st.lists(sizes, min_size=3, max_size=3).map(sorted), st.integers(3, 80))
def test_a_span_runs_from_low_to_high(three: list[Fraction], width: int) -> None:
    low, likely, high = three
    drawn = text(span_stick(low, likely, high, 400, width))
    assert len(drawn) == width
    assert drawn.count(NOTCH) == 1
    assert abs(drawn.index(NOTCH) - likely * width / 400) <= 1


def test_a_day_has_its_gaps() -> None:
    day = [(8, 11, "made"), (12, 13, "running")]
    assert text(day_stick(day, 6, 16, 20)) == "····━━━━━━··━━······"
    assert text(day_stick([(8, 8, "made")], 6, 16, 10)) == "··━·······"
    assert day_stick([], 6, 6, 10) == []


@given(st.text("ab ", max_size=30), st.integers(0, 60))
def test_a_rule_is_as_wide_as_asked(title: str, width: int) -> None:
    assert len(text(ruled(title, width))) == width


@given(st.integers(1, 60))
def test_a_dimension_line_is_as_wide_as_what_it_measures(width: int) -> None:
    drawn = dimension("109 3/4", width)
    assert len(drawn) == width
    if width >= 13:
        assert drawn[0] == "├"
        assert drawn[-1] == "┤"
        assert " 109 3/4 " in drawn


def test_parts_follow_one_another_and_what_is_over_goes_past_the_notch() -> None:
    parts = ((25, "█", "made"), (Decimal(25), "▓", "strong"), (0, "▒", "text"), (50, "─", "muted"))
    drawn = layered(parts, 100, 100, 20)
    assert "".join(text for text, _ in drawn) == "█████▓▓▓▓▓─────────┃"
    assert {ink: len(text) for text, ink in drawn[:2]} == {"made": 5, "strong": 5}
    # 80 and 40 of a plan of 100, 120 as long as 24 columns: the notch at 20, 4 over it.
    over = layered(((80, "█", "made"), (40, "▓", "strong")), 100, 120, 24)
    assert "".join(text for text, _ in over) == "█" * 16 + "▓" * 4 + "┃═══"
    # The least part shows in a column.
    assert "".join(t for t, _ in layered(((1, "█", "made"),), None, 1000, 10)).rstrip() == "█"
    assert layered(parts, 100, 100, 1) == []


def test_two_marks_close_in_on_one_another() -> None:
    texts = [
        "".join(text for text, _ in closing_stick(low, best, 100, 200, 21))
        for low, best in ((100, 200), (130, 160), (150, 150))
    ]
    assert texts == ["├───────────────────┃", "······├─────┃········", "··········┃··········"]
    assert closing_stick(1, 2, 1, 2, 1) == []


def test_a_gap_too_short_for_a_column_takes_half_of_one() -> None:
    """5 minutes of 600 in 60 columns are half of one; two stages without a gap are one line."""
    spans = [(0, 115, "made"), (120, 300, "made"), (300, 480, "made")]
    drawn = "".join(text for text, _ in day_stick(spans, 0, 600, 60))
    assert drawn == "━" * 11 + "╸" + "━" * 36 + "·" * 12
