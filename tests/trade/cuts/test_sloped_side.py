"""Sloped sides, against boards drawn and cut by shapely."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon
from shapely.affinity import rotate

from crewdesk.errors import BadInput
from crewdesk.trade.cuts.pitch import Pitch, read_pitch, slope
from crewdesk.trade.cuts.side_board import EndReading, side_cut
from crewdesk.trade.cuts.sloped_side import into_ridge, sloped_side

F = Fraction

walls = st.builds(
    lambda gap, lean: EndReading(F(gap, 32), lean, F(24)),
    st.integers(0, 128),
    st.sampled_from(("in", "out")),
)


def lean_of(wall: EndReading) -> float:
    return (1 if wall.lean == "in" else -1) * float(wall.gap / wall.level)


def drawn(run: float, rise: float, height: float, low: EndReading, high: EndReading) -> Polygon:
    """The board between two walls as it hangs, corners found by cutting a long strip."""
    angle = math.atan2(rise, run)
    long = 4 * (run + rise + height)
    strip = Polygon([(-long, 0), (long, 0), (long, height), (-long, height)])
    strip = rotate(strip, angle, origin=(0, 0), use_radians=True)
    a, b = lean_of(low), lean_of(high)
    reach = rise + 2 * height + 10
    between = Polygon(
        [
            (-a * reach, -reach),
            (run + b * (reach + rise), -reach),
            (run - b * (reach - rise), reach),
            (a * reach, reach),
        ]
    )
    return strip.intersection(between)


@given(st.integers(0, 96), st.integers(100, 240), st.integers(64, 640), walls, walls)
def test_against_a_board_drawn_between_the_walls(
    eighths: int, run: int, height32: int, low: EndReading, high: EndReading
) -> None:
    pitch, height = Pitch(F(eighths, 96)), F(height32, 32)
    measured = slope(pitch, run=F(run))
    made = sloped_side(measured, height, low, high)
    shape = drawn(float(run), float(measured.rise), float(height), low, high)
    flat = rotate(shape, -math.radians(pitch.degrees), origin=(0, 0), use_radians=True)
    left, bottom, right, top = flat.bounds
    assert bottom == pytest.approx(0, abs=1e-6)
    assert top == pytest.approx(float(height), abs=1e-6)
    assert right - left == pytest.approx(float(made.blank), abs=1e-6)
    lower = flat.intersection(LineString([(-9999, 1e-9), (9999, 1e-9)])).length
    upper = flat.intersection(LineString([(-9999, top - 1e-9), (9999, top - 1e-9)])).length
    assert lower == pytest.approx(float(made.bottom_length), abs=1e-6)
    assert upper == pytest.approx(float(made.top_length), abs=1e-6)
    start = flat.intersection(LineString([(-9999, top - 1e-9), (9999, top - 1e-9)])).bounds[0]
    assert start == pytest.approx(float(made.low.offset), abs=1e-6)


@given(st.integers(64, 640), walls, walls)
def test_without_a_slope_it_is_a_plain_side(
    height32: int, low: EndReading, high: EndReading
) -> None:
    height = F(height32, 32)
    level = sloped_side(slope(Pitch(F(0)), run=F(120)), height, low, high)
    plain = side_cut(F(120), height, low, high)
    assert (level.top_length, level.blank) == (plain.top_length, plain.blank)
    assert (level.low.offset, level.high.offset) == (plain.end1.offset, plain.end2.offset)


@given(st.integers(1, 96), st.integers(64, 640))
def test_between_plumb_walls_both_edges_are_equal(eighths: int, height32: int) -> None:
    pitch, height = Pitch(F(eighths, 96)), F(height32, 32)
    made = sloped_side(slope(pitch, run=F(240)), height)
    assert made.low.offset == -made.high.offset == height * F(eighths, 96)
    assert made.top_length == made.bottom_length
    assert made.blank == made.bottom_length + made.low.offset
    assert made.plumb_deg + made.level_deg == pytest.approx(90)


@given(st.integers(1, 64), walls, walls)
def test_an_end_is_the_slope_and_the_walls_own_lean(
    eighths: int, low: EndReading, high: EndReading
) -> None:
    pitch = Pitch(F(eighths, 96))
    made = sloped_side(slope(pitch, run=F(240)), F(10), low, high)
    lean = [math.degrees(math.atan(lean_of(wall))) for wall in (low, high)]
    assert made.low.angle_deg == pytest.approx(lean[0] + pitch.degrees)
    assert made.high.angle_deg == pytest.approx(lean[1] - pitch.degrees)


def test_six_in_twelve_by_the_square() -> None:
    """A framing square held at 6 and 12 marks a plumb cut 1/2 in back for every inch."""
    made = sloped_side(slope(read_pitch("6/12"), run=F(120)), F(10))
    assert made.low.offset == 5
    assert made.high.offset == -5


def test_a_side_that_dies_into_a_ridge_beam() -> None:
    whole = slope(read_pitch("9/12"), run=F(124))
    made = into_ridge(whole, F(8), F(8), F(10))
    assert made.side == sloped_side(slope(read_pitch("9/12"), run=F(120)), F(8))
    assert made.side.plumb_height == 10
    assert made.hangs_below == 0
    assert made.cautions == ()
    deep = into_ridge(whole, F(10), F(8), F(10))
    assert deep.hangs_below == F(5, 2)
    (hangs,) = deep.cautions
    assert "Make the ridge beam higher" in str(hangs)


PITCH = read_pitch("6/12")


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda: sloped_side(slope(PITCH, run=F(12)), F(0)), "it must be more than zero"),
        (
            lambda: sloped_side(
                slope(PITCH, run=F(2)),
                F(20),
                EndReading(F(4), "in", F(24)),
                EndReading(F(4), "in", F(24)),
            ),
            "The two ends' offsets leave nothing of the",
        ),
        (
            lambda: sloped_side(
                slope(read_pitch("24/12"), run=F(96)), F(10), EndReading(F(8), "in", F(24))
            ),
            "degrees and that wall. Measure the wall again",
        ),
        (
            lambda: into_ridge(slope(PITCH, run=F(3)), F(8), F(8), F(10)),
            "Measure the run to the ridge's center line",
        ),
        (
            lambda: into_ridge(slope(PITCH, run=F(30)), F(8), F(0), F(10)),
            "it must be more than zero",
        ),
    ],
)
def test_what_can_not_be_cut(make: object, why: str) -> None:
    with pytest.raises(BadInput) as told:
        make()  # type: ignore[operator]
    assert why in str(told.value)
