"""Ridge beams, against a section drawn and measured by shapely."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon

from crewdesk.errors import BadInput
from crewdesk.trade.cuts.pitch import Pitch, read_pitch
from crewdesk.trade.cuts.ridge import ridge_beam

F = Fraction


@given(st.integers(0, 96), st.integers(0, 96), st.integers(-16, 16), st.integers(0, 32))
def test_against_a_drawn_section(pitch_a: int, pitch_b: int, off8: int, lower: int) -> None:
    """The room under the ridge is a polygon; a plumb line in it is as long as a side there."""
    a, b, off, drop = F(pitch_a, 96), F(pitch_b, 96), F(off8, 8), F(16)
    drop_a = drop + F(lower, 32)
    made = ridge_beam(F(8), drop_a, drop, Pitch(a), Pitch(b), off_centre=off)
    room = Polygon([(0, 0), (50, -50 * float(b)), (50, -500), (-50, -500), (-50, -50 * float(a))])
    for side, x, inner, floor in (
        (made.side_a, -(4 + off), F(3, 4), drop_a),
        (made.side_b, 4 - off, -F(3, 4), drop),
    ):
        for at, height in ((x, side.show_height), (x + inner, side.back_height)):
            line = LineString([(float(at), -float(floor)), (float(at), 100)])
            assert room.intersection(line).length == pytest.approx(float(height))
    slant = LineString([(0.75, 0), (7.25, float(drop_a - drop))])
    assert float(made.bottom_width) == pytest.approx(slant.length)
    tilt = math.degrees(math.asin(float(drop_a - drop) / slant.length))
    assert made.bottom_tilt_deg == pytest.approx(tilt)


def test_an_even_ridge_has_equal_sides() -> None:
    made = ridge_beam(F(8), F(12), F(12), read_pitch("6/12"), read_pitch("6/12"))
    assert made.side_a == made.side_b
    assert (made.side_a.show_height, made.side_a.back_height) == (10, F(83, 8))
    assert (made.uneven, made.bottom_out, made.bottom_tilt_deg) == (0, 0, 0)
    assert made.bottom_width == F(13, 2)


def test_turned_round_it_is_the_same_beam() -> None:
    first = ridge_beam(F(8), F(12), F(13), read_pitch("6/12"), read_pitch("4/12"), off_centre=F(1))
    other = ridge_beam(F(8), F(13), F(12), read_pitch("4/12"), read_pitch("6/12"), off_centre=F(-1))
    assert (first.side_a, first.side_b) == (other.side_b, other.side_a)
    assert (first.uneven, first.bottom_out) == (-other.uneven, -other.bottom_out)


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"width": F(0)}, "it must be more than zero"),
        ({"drop_b": F(-1)}, "it must be more than zero"),
        ({"side_thickness": F(0)}, "it must be more than zero"),
        ({"side_thickness": F(4)}, "wide has no room: its sides take"),
        ({"off_centre": F(4)}, "off the beam's middle; both sides are"),
        ({"drop_a": F(2)}, "has no width left: the ceiling falls"),
    ],
)
def test_what_is_no_ridge_beam(more: dict[str, Fraction], why: str) -> None:
    pitch = read_pitch("6/12")
    usual = {"width": F(8), "drop_a": F(12), "drop_b": F(12), "pitch_a": pitch, "pitch_b": pitch}
    with pytest.raises(BadInput) as told:
        ridge_beam(**{**usual, **more})  # type: ignore[arg-type]
    assert why in str(told.value)
