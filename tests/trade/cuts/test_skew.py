"""Skewed walls, against a beam drawn in plan by shapely."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon

from crewdesk.errors import BadInput
from crewdesk.trade.cuts.skew import (
    SQUARE,
    SkewReading,
    board_ends,
    bottom_edges,
    hidden_by,
)

F = Fraction

readings = st.builds(
    lambda gap, longer: SkewReading(F(gap, 32), F(12), longer),
    st.integers(0, 96),
    st.sampled_from(("A", "B")),
)


def turned(reading: SkewReading) -> SkewReading:
    return SkewReading(reading.gap, reading.leg, "B" if reading.longer == "A" else "A")


@given(readings, readings, st.integers(5, 16), st.integers(0, 64))
def test_edges_against_a_beam_drawn_in_plan(
    end1: SkewReading, end2: SkewReading, width: int, inset32: int
) -> None:
    """Side A's show face lies at +width/2; each wall is a line through the beam's middle."""
    bottom_width = width - F(3, 2) - F(inset32, 32)
    k1, k2 = float(end1.ratio), float(end2.ratio)
    room = Polygon([(k1 * 50, -50), (120 - k2 * 50, -50), (120 + k2 * 50, 50), (-k1 * 50, 50)])

    def measured(y: float) -> float:
        return float(room.intersection(LineString([(-999, y), (999, y)])).length)

    sides = (F(measured(width / 2)), F(measured(-width / 2)))
    made = bottom_edges(F(width), bottom_width, (end1, end2), sides)
    assert made.edge_a is not None
    assert made.edge_b is not None
    assert float(made.edge_a) == pytest.approx(measured(float(bottom_width) / 2))
    assert float(made.edge_b) == pytest.approx(measured(-float(bottom_width) / 2))
    assert float(made.a_over_b) == pytest.approx(float(made.edge_a - made.edge_b), abs=1e-9)
    assert made.off is not None
    assert float(made.off) == pytest.approx(0, abs=1e-9)
    assert made.cautions == ()
    alone = bottom_edges(F(width), bottom_width, (end1, end2), None)
    assert float(alone.a_over_b) == pytest.approx(float(made.a_over_b), abs=1e-9)


@given(readings, readings, st.integers(8, 64), st.integers(0, 45))
def test_long_faces_against_a_board_drawn_in_plan(
    end1: SkewReading, end2: SkewReading, thickness32: int, bevel: int
) -> None:
    """A board's two faces are cut by the wall's line; the farther corner is the long one.

    A square end at the show face's corner goes into the wall with its back just where the
    show face is the longer: there the back must be taken off."""
    thickness = F(thickness32, 32)
    for end in board_ends((end1, end2), thickness, F(bevel)):
        reading = end1 if end.end == 1 else end2
        outer = 4.0 if end.side == "A" else -4.0
        inner = outer - math.copysign(float(thickness), outer)
        show, back = float(reading.ratio) * outer, float(reading.ratio) * inner
        longer = "neither" if show == back else "show" if show > back else "back"
        assert end.long_face == longer
        assert float(end.by) == pytest.approx(abs(show - back))
        if longer == "show":
            taken = float(thickness) * math.tan(math.radians(bevel))
            if abs(taken - float(end.by)) > 1e-9:
                assert end.hidden == (taken > float(end.by))
        else:
            assert end.hidden


@given(readings, readings)
def test_the_beam_seen_from_its_other_side_has_the_other_marks(
    end1: SkewReading, end2: SkewReading
) -> None:
    here = board_ends((end1, end2), F(3, 4), F(5))
    there = board_ends((turned(end1), turned(end2)), F(3, 4), F(5))
    other = {"A": "B", "B": "A"}
    assert {(e.side, e.end, e.long_face, e.by, e.hidden) for e in here} == {
        (other[e.side], e.end, e.long_face, e.by, e.hidden) for e in there
    }


def test_square_walls_need_nothing() -> None:
    for end in board_ends((SQUARE, SQUARE), F(3, 4), F(0)):
        assert (end.long_face, end.by, end.hidden) == ("neither", 0, True)
    made = bottom_edges(F(8), F(13, 2), (SQUARE, SQUARE), (F(120), F(120)))
    assert (made.edge_a, made.edge_b, made.off) == (120, 120, 0)


def test_a_quarter_inch_in_a_foot() -> None:
    """1/4 in 12 is 1.19 degrees: over 3/4 in of thickness it takes 1/64 in."""
    reading = SkewReading(F(1, 4), F(12), "A")
    ends = board_ends((reading, SQUARE), F(3, 4), F(5))
    assert [(e.side, e.long_face, e.by) for e in ends if e.end == 1] == [
        ("A", "show", F(1, 64)),
        ("B", "back", F(1, 64)),
    ]
    assert hidden_by(reading) == pytest.approx(1.194, abs=1e-3)


def test_square_and_lengths_that_disagree_are_told() -> None:
    reading = SkewReading(F(1, 4), F(12), "A")
    made = bottom_edges(F(8), F(13, 2), (reading, SQUARE), (F(120), F(120)))
    assert made.off == F(1, 6)
    (apart,) = made.cautions
    assert "apart over the beam's width" in str(apart)
    assert made.edge_a == made.edge_b == 120


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda: SkewReading(F(1), F(12), "C"), "The longer side can't be C"),  # type: ignore[arg-type]
        (lambda: SkewReading(F(-1), F(12), "A"), "it must be zero or more"),
        (lambda: SkewReading(F(1), F(0), "A"), "it must be more than zero"),
        (lambda: SkewReading(F(5), F(12), "A"), "the limit is 20. Measure it again"),
        (lambda: board_ends((SQUARE, SQUARE), F(0), F(5)), "it must be more than zero"),
        (
            lambda: board_ends((SQUARE, SQUARE), F(1), F(50)),
            "degrees is out of range. Type 0 to 45",
        ),
        (
            lambda: bottom_edges(F(8), F(6), None, None),
            "How the walls run isn't known. Measure both",
        ),
        (lambda: bottom_edges(F(8), F(0), None, (F(9), F(9))), "it must be more than zero"),
        (lambda: bottom_edges(F(8), F(6), None, (F(9), F(0))), "it must be more than zero"),
        (lambda: bottom_edges(F(8), F(9), None, (F(9), F(9))), "wide doesn't go into a beam"),
        (
            lambda: bottom_edges(F(8), F(6), None, (F(99), F(90))),
            "wide mean walls over 20 degrees",
        ),
    ],
)
def test_what_is_no_skew(make: object, why: str) -> None:
    with pytest.raises(BadInput) as told:
        make()  # type: ignore[operator]
    assert why in str(told.value)
