"""How sure a mark is: readings are shaken by all they may be off, and the marks reckoned anew."""

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewdesk.trade.cuts.ceiling import scribe
from crewdesk.trade.cuts.pitch import Pitch, slope
from crewdesk.trade.cuts.side_board import EndReading, side_cut
from crewdesk.trade.cuts.sloped_side import end_ratio, lean_ratio, sloped_side
from crewdesk.trade.cuts.station import Station
from crewdesk.trade.cuts.sureness import (
    USUAL_STEPS,
    Steps,
    ceiling_off,
    ends_must_agree,
    must_agree,
    offset_off,
    pitch_off_by_two,
    short_level,
    side_sureness,
    skew_off,
    sloped_offset_off,
)
from crewdesk.trade.refusal import Refusal

F = Fraction

leans = st.tuples(st.integers(-64, 64), st.sampled_from((9, 16, 24, 48)))


def wall(gap: Fraction, level: int) -> EndReading:
    return EndReading(abs(gap), "in" if gap >= 0 else "out", F(level))


@given(st.integers(1600, 6000), st.integers(160, 640), leans, leans)
@settings(max_examples=60, deadline=None)
def test_no_mark_goes_further_than_told_and_some_go_as_far(
    run32: int, height32: int, one: tuple[int, int], two: tuple[int, int]
) -> None:
    """Every corner of the box of readings: run, gap and gap, each half a step either way."""
    run, height = F(run32, 32), F(height32, 32)
    gaps = (F(one[0], 32), F(two[0], 32))
    ends = (wall(gaps[0], one[1]), wall(gaps[1], two[1]))
    cut = side_cut(run, height, *ends)
    told = side_sureness(cut, *ends)
    most = {"bottom_length": F(0), "top_length": F(0), "blank": F(0), "end1": F(0), "end2": F(0)}
    for run_off, off1, off2 in product((-1, 1), repeat=3):
        again = side_cut(
            run + run_off * USUAL_STEPS.tape / 2,
            height,
            wall(gaps[0] + off1 * USUAL_STEPS.gap / 2, one[1]),
            wall(gaps[1] + off2 * USUAL_STEPS.gap / 2, two[1]),
        )
        for name in ("bottom_length", "top_length", "blank"):
            most[name] = max(most[name], abs(getattr(again, name) - getattr(cut, name)))
        for name in ("end1", "end2"):
            moved = abs(getattr(again, name).offset - getattr(cut, name).offset)
            most[name] = max(most[name], moved)
    assert most == {name: getattr(told, name) for name in most}


def test_a_9_inch_level_under_a_14_inch_side() -> None:
    """1/64 in at the level is 14/9 of that at the board's top: over 1/64, under 1/32."""
    assert offset_off(wall(F(5, 32), 9), F(14)) == F(14, 9 * 64)
    (told,) = short_level(1, wall(F(5, 32), 9), F(14))
    assert told.facts["grows"] == pytest.approx(14 / 9)
    assert (told.facts["off"], told.facts["longer"], told.facts["then"]) == ("1/32", 16, "1/64")
    assert short_level(1, wall(F(5, 32), 16), F(14)) == ()
    assert short_level(1, wall(F(5, 32), 14), F(14)) == ()


@given(st.integers(320, 384), st.integers(320, 384), st.integers(320, 384))
@settings(max_examples=30, deadline=None)
def test_a_gap_at_the_ceiling_is_off_by_a_laser_step_at_most(a: int, b: int, c: int) -> None:
    heights = [F(h, 32) for h in (a, b, c)]
    half = USUAL_STEPS.laser / 2

    def gaps(shaken: tuple[int, ...]) -> list[Fraction]:
        stations = tuple(
            Station(F(at), h + s * half, h + s * half)
            for at, h, s in zip((0, 72, 144), heights, shaken, strict=True)
        )
        return [m.gap for m in scribe(stations, F(14)).marks]

    true = gaps((0, 0, 0))
    worst = max(
        abs(x - y)
        for shaken in product((-1, 0, 1), repeat=3)
        for x, y in zip(gaps(shaken), true, strict=True)
    )
    assert worst <= ceiling_off()
    if len({a, b, c}) > 1:
        assert worst == ceiling_off()


@given(st.integers(0, 96), st.integers(-48, 48), st.sampled_from(("low", "high")))
@settings(max_examples=40, deadline=None)
def test_a_sloped_offset_against_readings_shaken(pitch96: int, gap32: int, end: str) -> None:
    """To first order: what is left over shrinks with the square of the shake."""
    pitch, gap, height = Pitch(F(pitch96, 96)), F(gap32, 32), F(10)
    steps = Steps(gap=F(1, 3200))
    told = sloped_offset_off(pitch, wall(gap, 24), height, end, steps=steps)  # type: ignore[arg-type]

    def offset(shaken: Fraction) -> float:
        ratio = end_ratio(pitch, lean_ratio(wall(shaken, 24)), end)  # type: ignore[arg-type]
        return float(height * ratio)

    moved = max(abs(offset(gap + s * steps.gap / 2) - offset(gap)) for s in (-1, 1))
    assert moved == pytest.approx(float(told), rel=1e-3)


def test_a_pitch_by_two_readings() -> None:
    """12 over 24, each to 1/16: shaken both ways the tangent goes no further than told."""
    told = pitch_off_by_two(F(12), F(24), F(1, 16))
    half = F(1, 32)
    worst = max(abs((12 + r * half) / (24 + s * half) - F(1, 2)) for r in (-1, 1) for s in (-1, 1))
    assert float(worst) == pytest.approx(float(told), rel=2e-3)
    pitch = Pitch(F(1, 2))
    plumb = wall(F(0), 24)
    carried = sloped_offset_off(pitch, plumb, F(10), "low", pitch_off=told)
    steep = sloped_side(slope(Pitch(F(1, 2) + told), run=F(99)), F(10)).low.offset
    assert float(carried - offset_off(plumb, F(10)) * F(5, 4)) == pytest.approx(float(steep) - 5)
    with pytest.raises(Refusal):
        pitch_off_by_two(F(12), F(0), F(1, 16))


def test_a_skew_by_a_square() -> None:
    assert skew_off(F(12), F(8)) == F(1, 96)
    with pytest.raises(Refusal):
        skew_off(F(0), F(8))


@pytest.mark.parametrize(("apart", "agrees"), [(F(1, 16), True), (F(5, 64), False), (F(0), True)])
def test_two_readings_of_one_thing(apart: Fraction, agrees: bool) -> None:
    for second in (F(120) + apart, F(120) - apart):
        if agrees:
            must_agree(F(120), second, F(1, 16), F(1, 16))
        else:
            with pytest.raises(Refusal) as told:
                must_agree(F(120), second, F(1, 16), F(1, 16))
            assert told.value.facts["apart"] == apart


@given(st.integers(0, 6400), st.sampled_from((16, 32, 64)), st.sampled_from((16, 32, 64)))
@settings(max_examples=40, deadline=None)
def test_honest_readings_of_one_length_always_agree(true100: int, one: int, two: int) -> None:
    """Whatever the true length, its two roundings never stop the work."""
    true = F(true100, 100)
    must_agree(F(round(true * one), one), F(round(true * two), two), F(1, one), F(1, two))


def test_two_levels_at_one_wall() -> None:
    ends_must_agree(wall(F(1, 4), 24), wall(F(3, 32), 9), F(12))
    with pytest.raises(Refusal) as told:
        ends_must_agree(wall(F(1, 4), 24), wall(F(1, 4), 9), F(12))
    assert told.value.why == "end-readings-disagree"
    with pytest.raises(Refusal):
        ends_must_agree(wall(F(1, 4), 24), wall(F(-1, 4), 24), F(12))


@pytest.mark.parametrize("name", ["laser", "tape", "gap"])
def test_a_step_is_more_than_zero(name: str) -> None:
    with pytest.raises(Refusal):
        Steps(**{name: F(0)})
