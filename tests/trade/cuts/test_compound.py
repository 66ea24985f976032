"""Compound cuts, against printed tables and against planes of sympy."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.cuts.pitch import Pitch, read_pitch
from crewdesk.trade.cuts.sloped_side import Compound, compound_cut, compound_end

F = Fraction


def crown(spring: float, corner: float) -> Compound:
    """A moulding along a wall, sprung off it, mitred at a corner of two walls."""
    s, half = math.radians(spring), math.radians(corner) / 2
    across = (0.0, math.sin(s), math.cos(s))
    cut = compound_cut((1.0, 0.0, 0.0), across, (math.sin(half), math.cos(half), 0.0))
    return Compound(abs(cut.mitre_deg), abs(cut.blade_deg))


@pytest.mark.parametrize(
    ("spring", "corner", "mitre", "blade", "within"),
    [
        # A compound mitre saw's manual, 52/38 crown lying flat, square corner.
        (38, 90, 31.62, 33.85, 0.02),
        # A woodworkers' table for 45/45 crown lying flat, square corner.
        (45, 90, 35.3, 30.0, 0.05),
        # A printed crown table, spring 52, the row of 1 degree.
        (52, 1, 89.36550, 37.99830, 0.00001),
        # The same table's formula at a square corner, reckoned apart.
        (52, 90, 38.239, 25.807, 0.001),
    ],
)
def test_crown_moulding_as_printed(
    spring: float, corner: float, mitre: float, blade: float, within: float
) -> None:
    cut = crown(spring, corner)
    assert cut.mitre_deg == pytest.approx(mitre, abs=within)
    assert cut.blade_deg == pytest.approx(blade, abs=within)


@pytest.mark.parametrize(("rise", "length"), [(6, 13.42), (8, 14.42), (12, 16.97)])
def test_a_bottom_board_at_45_degrees_is_a_jacks_side_cut(rise: int, length: float) -> None:
    """Hodgson, ABC of the Steel Square: a jack's side cut takes the common rafter's length
    on one leg and its run on the other, cut on the length."""
    made = compound_end(read_pitch(f"{rise}/12"), F(0), F(1), "low")
    assert math.tan(math.radians(made.bottom.mitre_deg)) == pytest.approx(length / 12, abs=5e-4)


@pytest.mark.parametrize("end", ["low", "high"])
@pytest.mark.parametrize(
    ("rise", "lean", "skew"),
    [(6, F(0), F(1, 12)), (4, F(1, 48), F(-1, 8)), (9, F(-1, 24), F(1, 4))],
)
def test_against_planes_of_sympy(end: str, rise: int, lean: Fraction, skew: Fraction) -> None:
    """Sympy gives the angle between wall and board face, and the line where they meet."""
    from sympy import Plane, Point3D

    made = compound_end(Pitch(F(rise, 12)), lean, skew, end)  # type: ignore[arg-type]
    tilt = F(rise, 12) if end == "low" else -F(rise, 12)
    wall = Plane(Point3D(0, 0, 0), normal_vector=(1, skew, -lean))
    side = Plane(Point3D(0, 0, 0), normal_vector=(0, 1, 0))
    bottom = Plane(Point3D(0, 0, 0), normal_vector=(-tilt, 0, 1))
    for cut, face in ((made.side_a, side), (made.bottom, bottom)):
        between = math.degrees(float(wall.angle_between(face)))
        assert abs(90 - between) == pytest.approx(abs(cut.blade_deg), abs=1e-9)
        trace = wall.intersection(face)[0]
        along = [float(x) for x in trace.direction_ratio]
        root = math.sqrt(1 + float(tilt) ** 2)
        up = (1 / root, 0.0, float(tilt) / root)
        size = math.sqrt(sum(x * x for x in along))
        into = sum(a * b for a, b in zip(along, up, strict=True)) / size
        assert math.degrees(math.asin(abs(into))) == pytest.approx(abs(cut.mitre_deg), abs=1e-9)


@given(st.integers(0, 96), st.integers(-64, 64), st.integers(-64, 64))
def test_mirrored_walls_mirror_the_cuts(pitch96: int, lean: int, skew: int) -> None:
    pitch = Pitch(F(pitch96, 96))
    made = compound_end(pitch, F(lean, 384), F(skew, 192), "low")
    back = compound_end(pitch, F(lean, 384), F(-skew, 192), "low")
    assert made.side_a == back.side_b
    assert made.side_b == back.side_a
    assert made.bottom.mitre_deg == pytest.approx(-back.bottom.mitre_deg)
    assert made.bottom.blade_deg == pytest.approx(back.bottom.blade_deg)


def test_a_square_plumb_wall_and_no_slope_need_no_setting() -> None:
    made = compound_end(Pitch(F(0)), F(0), F(0), "low")
    for cut in (made.side_a, made.side_b, made.bottom):
        assert (cut.mitre_deg, cut.blade_deg) == (0, 0)


def test_which_face_is_the_longer() -> None:
    """Drawn: at the low end of a slope a plumb cut leaves a bottom board's lower face the
    longer; where side A is the longer, its show face and edge A reach farther."""
    made = compound_end(read_pitch("6/12"), F(0), F(1, 12), "low")
    assert made.bottom.blade_deg > 0
    assert made.bottom.mitre_deg > 0
    assert made.side_a.blade_deg > 0 > made.side_b.blade_deg
    assert compound_end(read_pitch("6/12"), F(0), F(1, 12), "high").bottom.blade_deg < 0
