"""Pitches and the triangle under a slope, against printed rafter tables."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.length import nearest
from crewdesk.trade.cuts.pitch import Pitch, pitch_of, read_pitch, shortened, slope, square_root

F = Fraction

COMMON_RAFTER = {
    2: "12.17",
    3: "12.37",
    4: "12.65",
    5: "13.00",
    6: "13.42",
    7: "13.89",
    8: "14.42",
    9: "15.00",
    10: "15.62",
    11: "16.28",
    12: "16.97",
    13: "17.69",
    15: "19.21",
    16: "20.00",
    18: "21.63",
}
"""The framing square's first row, length of common rafters per foot of run, in inches;
13 and 16 as told by the US Army's engineer subcourse EN0069."""


@pytest.mark.parametrize(("rise", "printed"), COMMON_RAFTER.items())
def test_the_framing_squares_common_rafter_row(rise: int, printed: str) -> None:
    """The square's makers round to the hundredth, 11 in 12 up to it (16.2788)."""
    length = slope(read_pitch(f"{rise}/12"), run=F(12)).length
    assert float(length) == pytest.approx(float(printed), abs=0.0051)


def test_a_rafter_of_the_us_navys_manual() -> None:
    """US Navy training manual 14044: 7 in 12 over a 16 ft span, 9 ft 3 1/8 in of rafter."""
    length = slope(read_pitch("7/12"), run=F(8 * 12)).length
    assert nearest(length, F(1, 8)) == 9 * 12 + 3 + F(1, 8)


def test_a_rafter_of_griffiths_carpentry() -> None:
    """Griffith, Carpentry: 12.5 ft of run at 13.42 in a foot, 167.75 in."""
    length = slope(read_pitch("6/12"), run=F(150)).length
    assert float(length) == pytest.approx(167.75, abs=12.5 * 0.005)


@pytest.mark.parametrize("rise", [5, 9, 16])
def test_whole_triangles_stay_exact(rise: int) -> None:
    made = slope(read_pitch(f"{rise}/12"), run=F(12))
    assert made.length == {5: 13, 9: 15, 16: 20}[rise]
    assert isinstance(made.length, Fraction)


@given(st.integers(1, 96), st.integers(32, 6400))
def test_any_two_measures_tell_the_same_triangle(eighths: int, run32: int) -> None:
    pitch, run = Pitch(F(eighths, 96)), F(run32, 32)
    whole = slope(pitch, run=run)
    assert isinstance(whole.rise, Fraction)
    by_legs = slope(run=run, rise=whole.rise)
    assert by_legs.pitch == pitch
    assert float(by_legs.length) == pytest.approx(float(whole.length))
    assert slope(pitch, rise=whole.rise).run == run
    along = F(whole.length)
    for again in (
        slope(pitch, length=along),
        slope(run=run, length=along),
        slope(rise=whole.rise, length=along),
    ):
        assert float(again.run) == pytest.approx(float(run), rel=1e-6)
        assert float(again.rise) == pytest.approx(float(whole.rise), rel=1e-6)
        assert again.pitch.degrees == pytest.approx(pitch.degrees, rel=1e-6)


@given(st.fractions(0, 1000, max_denominator=64))
def test_a_root_is_exact_where_it_can_be(value: Fraction) -> None:
    assert square_root(value * value) == value
    assert isinstance(square_root(value * value), Fraction)
    assert float(square_root(value)) ** 2 == pytest.approx(float(value))


@pytest.mark.parametrize(
    ("text", "tangent"),
    [
        ("6/12", F(1, 2)),
        ("6 in 12", F(1, 2)),
        ("6-1/2/12", F(13, 24)),
        ("6.5/12", F(13, 24)),
        ("6”/12", F(1, 2)),
        ("45deg", F(1)),
        ("45°", F(1)),
        ("0deg", F(0)),
        ("12-1/4:24", F(49, 96)),
        ("1’ 3”:30”", F(1, 2)),
    ],
)
def test_pitches_as_people_write_them(text: str, tangent: Fraction) -> None:
    assert read_pitch(text).tangent == tangent


def test_degrees() -> None:
    """Half a right triangle's rise over run is 26.565 degrees, to the thousandth."""
    assert read_pitch("26.565deg").tangent == pytest.approx(0.5, abs=1e-5)
    assert read_pitch("6/12").degrees == pytest.approx(26.565, abs=1e-3)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "isn't a pitch. Type rise per 12 like 6/12"),
        ("6", "isn't a pitch. Type rise per 12 like 6/12"),
        ("steep", "isn't a pitch. Type rise per 12 like 6/12"),
        ("/12", "isn't a pitch. Type rise per 12 like 6/12"),
        ("95deg", "isn't an angle. Type degrees from 0 to"),
        ("80deg", "degrees is steeper than a ceiling; the limit"),
        ("60/12", "degrees is steeper than a ceiling; the limit"),
        ("-6/12", "is below zero. Type a length of zero or more"),
        ("6:0", "it must be more than zero"),
        (":12", "Type a length, for example 12'"),
    ],
)
def test_what_is_no_pitch(text: str, why: str) -> None:
    with pytest.raises(BadInput) as told:
        read_pitch(text)
    assert why in str(told.value)


@pytest.mark.parametrize(
    ("given_measures", "why"),
    [
        ({}, "A slope needs exactly two of pitch, run, rise and"),
        ({"run": F(12)}, "A slope needs exactly two of pitch, run, rise and"),
        ({"pitch": Pitch(F(1, 2))}, "A slope needs exactly two of pitch, run, rise and"),
        (
            {"pitch": Pitch(F(1, 2)), "run": F(12), "rise": F(6)},
            "A slope needs exactly two of pitch, run, rise and",
        ),
        ({"pitch": Pitch(F(1, 2)), "run": F(0)}, "it must be more than zero"),
        ({"run": F(12), "rise": F(-1)}, "it must be more than zero"),
        ({"run": F(12), "length": F(11)}, "doesn't fit a slope"),
        ({"rise": F(12), "length": F(12)}, "doesn't fit a slope"),
        ({"pitch": Pitch(F(0)), "rise": F(1)}, "and a slope without pitch don't say how"),
        ({"pitch": Pitch(F(1)), "rise": F(0)}, "and a slope without pitch don't say how"),
        ({"run": F(1), "rise": F(12)}, "degrees is steeper than a ceiling; the limit"),
    ],
)
def test_what_is_no_slope(given_measures: dict[str, Fraction], why: str) -> None:
    with pytest.raises(BadInput) as told:
        slope(**given_measures)  # type: ignore[arg-type]
    assert why in str(told.value)


def test_a_level_run_is_a_slope_too() -> None:
    assert slope(run=F(12), length=F(12)).pitch == Pitch(F(0))
    assert slope(pitch_of(F(0), F(1)), run=F(12)).length == 12


def test_a_run_cut_shorter() -> None:
    whole = slope(read_pitch("9/12"), run=F(120))
    assert shortened(whole, F(4)) == slope(read_pitch("9/12"), run=F(116))
    with pytest.raises(BadInput):
        shortened(whole, F(120))
