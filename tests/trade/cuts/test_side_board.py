"""A side board's marks, against the board drawn between two leaning wall lines."""

import math
from fractions import Fraction as Fr

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.trade.cuts.side_board import (
    PLUMB,
    STEEPEST_WALL,
    EndReading,
    end_cut,
    ends_left_to_right,
    side_cut,
)


@st.composite
def readings(draw: st.DrawFn) -> EndReading:
    level = Fr(draw(st.sampled_from([9, 16, 24, 48, 78])))
    gap = Fr(draw(st.integers(0, 64)), 32)
    return EndReading(gap, draw(st.sampled_from(["in", "out"])), level)


LENGTHS = st.integers(24 * 32, 240 * 32).map(lambda n: Fr(n, 32))
HEIGHTS = st.integers(3 * 16, 14 * 16).map(lambda n: Fr(n, 16))


def far(reading: EndReading) -> Fr:
    """How far a wall's top has come towards the beam at the top of the level."""
    return reading.gap if reading.lean == "in" else -reading.gap


def test_worked_by_hand() -> None:
    # 5/32 in over a 24 in level is 5/32 x 8/24 = 5/96 in over an 8 in side; 1/8 in over 48 in
    # is 1/8 x 8/48 = 1/48 in.
    cut = side_cut(
        Fr(147), Fr(8), EndReading(Fr(5, 32), "in", Fr(24)), EndReading(Fr(1, 8), "out", Fr(48))
    )
    assert cut.end1.offset == Fr(5, 96)
    assert cut.end2.offset == Fr(-1, 48)
    assert cut.top_length == 147 - Fr(5, 96) + Fr(1, 48)
    assert cut.blank == 147 + Fr(1, 48)


@pytest.mark.parametrize(
    ("degrees", "tangent"),
    # Natural tangents to five places (from memory).
    [(1, ".01746"), (2, ".03492"), (5, ".08749"), (10, ".17633"), (15, ".26795")],
)
def test_angle_by_a_table_of_tangents(degrees: int, tangent: str) -> None:
    cut = end_cut(EndReading(Fr(tangent) * 24, "in", Fr(24)), Fr(10))
    assert cut.angle_deg == pytest.approx(degrees, abs=0.0005)
    assert cut.offset == Fr(tangent) * 10


@given(LENGTHS, HEIGHTS, readings(), readings())
def test_marks_agree_with_lines_drawn_in_sympy(
    length: Fr, height: Fr, end1: EndReading, end2: EndReading
) -> None:
    import sympy
    from sympy.geometry import Line, Point

    def point(x: Fr, y: Fr) -> Point:
        return Point(sympy.Rational(x), sympy.Rational(y))

    walls = (
        Line(point(Fr(0), Fr(0)), point(far(end1), end1.level)),
        Line(point(length, Fr(0)), point(length - far(end2), end2.level)),
    )
    top_edge = Line(point(Fr(0), height), point(Fr(1), height))
    left, right = (wall.intersection(top_edge)[0] for wall in walls)
    cut = side_cut(length, height, end1, end2)
    assert left.x == sympy.Rational(cut.end1.offset)
    assert sympy.Rational(length) - right.x == sympy.Rational(cut.end2.offset)
    assert left.distance(right) == sympy.Rational(cut.top_length)
    corners = [left.x, right.x, sympy.Integer(0), sympy.Rational(length)]
    assert max(corners) - min(corners) == sympy.Rational(cut.blank)
    plumb = Line(point(Fr(0), Fr(0)), point(Fr(0), Fr(1)))
    for wall, end in zip(walls, (cut.end1, cut.end2), strict=True):
        off = math.degrees(float(plumb.smallest_angle_between(wall)))
        assert abs(end.angle_deg) == pytest.approx(off, abs=1e-9)


def drawn(length: Fr, height: Fr, end1: EndReading, end2: EndReading) -> shapely.Polygon:
    """The board: the strip from the bottom line up to the height, between the walls."""
    lean1 = float(far(end1) / end1.level)
    lean2 = float(far(end2) / end2.level)
    reach, x = 1000.0, float(length)
    room = shapely.Polygon(
        [
            (-lean1 * reach, -reach),
            (x + lean2 * reach, -reach),
            (x - lean2 * reach, reach),
            (lean1 * reach, reach),
        ]
    )
    return shapely.box(-reach, 0, reach, float(height)).intersection(room)


@given(LENGTHS, HEIGHTS, readings(), readings())
def test_the_blank_is_the_least_that_holds_the_drawn_board(
    length: Fr, height: Fr, end1: EndReading, end2: EndReading
) -> None:
    # The room is a simple figure only where the walls don't cross inside the drawing.
    assume(1000 * (abs(far(end1) / end1.level) + abs(far(end2) / end2.level)) < length)
    board = drawn(length, height, end1, end2)
    cut = side_cut(length, height, end1, end2)
    left, _, right, _ = board.bounds
    assert right - left == pytest.approx(float(cut.blank), abs=1e-9)
    assert board.area == pytest.approx(
        float((cut.bottom_length + cut.top_length) / 2 * height), rel=1e-12
    )
    start = -max(0.0, -float(cut.end1.offset))
    blank = shapely.box(start, 0, start + float(cut.blank), float(height))
    assert board.difference(blank.buffer(1e-9)).is_empty
    shorter = shapely.box(start, 0, start + float(cut.blank) - 0.001, float(height))
    assert not board.difference(shorter).is_empty


@given(LENGTHS, HEIGHTS, readings(), readings())
def test_swapping_the_ends_mirrors_the_marks(
    length: Fr, height: Fr, end1: EndReading, end2: EndReading
) -> None:
    cut, mirrored = side_cut(length, height, end1, end2), side_cut(length, height, end2, end1)
    assert (cut.end1, cut.end2) == (mirrored.end2, mirrored.end1)
    assert (cut.top_length, cut.blank) == (mirrored.top_length, mirrored.blank)


@given(LENGTHS, HEIGHTS, readings())
def test_the_lean_decides_the_sign_and_nothing_else(
    length: Fr, height: Fr, reading: EndReading
) -> None:
    there = end_cut(EndReading(reading.gap, "in", reading.level), height)
    back = end_cut(EndReading(reading.gap, "out", reading.level), height)
    assert there.offset == -back.offset >= 0
    assert there.angle_deg == -back.angle_deg
    cut = side_cut(
        length,
        height,
        EndReading(reading.gap, "in", reading.level),
        EndReading(reading.gap, "out", reading.level),
    )
    assert cut.top_length == length  # two walls that lean one way: the board only leans
    assert cut.blank == length + there.offset


@given(LENGTHS, HEIGHTS, st.sampled_from(["in", "out"]), st.integers(1, 78))
def test_no_gap_is_a_square_cut(length: Fr, height: Fr, lean: str, level: int) -> None:
    plumb = EndReading(Fr(0), lean, Fr(level))  # type: ignore[arg-type]
    cut = side_cut(length, height, plumb, PLUMB)
    assert cut.top_length == cut.blank == cut.bottom_length == length
    assert cut.end1.offset == cut.end2.offset == 0
    assert cut.end1.angle_deg == cut.end2.angle_deg == 0


@given(LENGTHS, HEIGHTS, readings(), readings(), st.integers(2, 6))
def test_scaling(length: Fr, height: Fr, end1: EndReading, end2: EndReading, factor: int) -> None:
    cut = side_cut(length, height, end1, end2)
    bigger = side_cut(length * factor, height * factor, end1, end2)
    assert bigger.top_length == factor * cut.top_length
    assert bigger.blank == factor * cut.blank
    assert bigger.end1.angle_deg == cut.end1.angle_deg
    longer_level = EndReading(end1.gap * factor, end1.lean, end1.level * factor)
    assert end_cut(longer_level, height) == cut.end1


@given(LENGTHS, HEIGHTS, readings(), readings())
def test_the_blank_holds_both_edges(
    length: Fr, height: Fr, end1: EndReading, end2: EndReading
) -> None:
    cut = side_cut(length, height, end1, end2)
    assert cut.blank >= max(cut.bottom_length, cut.top_length)
    if cut.end1.offset * cut.end2.offset >= 0:
        assert cut.blank == max(cut.bottom_length, cut.top_length)


def test_show_faces_look_away_from_one_another() -> None:
    # Common practice, no source: side B's show face is seen from the other side of the beam.
    assert ends_left_to_right("A") == (1, 2)
    assert ends_left_to_right("B") == (2, 1)


@pytest.mark.parametrize(
    ("gap", "lean", "level", "why"),
    [
        (Fr(-1, 32), "in", Fr(24), "it must be zero or more"),
        (Fr(1, 8), "in", Fr(0), "it must be more than zero"),
        (Fr(1, 8), "in", Fr(-24), "it must be more than zero"),
        (Fr(25), "in", Fr(24), "Measure the gap at the level's end"),
        (Fr(1, 8), "up", Fr(24), "Type in (toward the beam at the top)"),
        (Fr(1, 8), "", Fr(24), "Type in (toward the beam at the top)"),
        # tan 20 = .36397: .3640 is over it, .3639 is not.
        (Fr("0.3640") * 24, "in", Fr(24), "degrees out of plumb; the limit"),
    ],
)
def test_readings_that_are_refused(gap: Fr, lean: str, level: Fr, why: str) -> None:
    with pytest.raises(BadInput) as caught:
        EndReading(gap, lean, level)  # type: ignore[arg-type]
    assert why in str(caught.value)


def test_the_steepest_wall_is_believed() -> None:
    assert STEEPEST_WALL == 20
    assert EndReading(Fr("0.3639") * 24, "in", Fr(24)).gap == Fr("8.7336")


@pytest.mark.parametrize(
    ("length", "height", "gap", "why"),
    [
        (Fr(0), Fr(8), Fr(0), "it must be more than zero"),
        (Fr(100), Fr(0), Fr(0), "it must be more than zero"),
        (
            Fr(4),
            Fr(8),
            Fr(6),
            "The two ends' offsets leave nothing of the",
        ),  # two offsets of 2 in eat 4 in
    ],
)
def test_sides_that_are_refused(length: Fr, height: Fr, gap: Fr, why: str) -> None:
    end = EndReading(gap, "in", Fr(24))
    with pytest.raises(BadInput) as caught:
        side_cut(length, height, end, end)
    assert why in str(caught.value)
