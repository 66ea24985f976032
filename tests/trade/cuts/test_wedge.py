"""Wedges: a taper's included angle, its back, and where it seats."""

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.trade.cuts.gap import bevel_for, wedge

F = Fraction


def test_the_usual_wedge() -> None:
    """Common practice, no source: 5 degrees on 3/4 in gives a back of about 1/8 in."""
    made = wedge(F(3, 4), F(5), F(1, 16))
    assert made.included_deg == 10
    assert made.back_thickness == pytest.approx(0.131, abs=0.0005)
    assert made.seats_at == pytest.approx(0.357, abs=0.0005)


@pytest.mark.parametrize(
    ("taper_per_foot", "degrees", "minutes", "seconds"),
    [
        (F(1, 4), 1, 11, 36),
        (F(1), 4, 46, 18),
    ],
)
def test_tapers_per_foot_against_the_machinists_table(
    taper_per_foot: Fraction, degrees: int, minutes: int, seconds: int
) -> None:
    """Machinery's Handbook, tapers per foot and their included angles (from memory)."""
    included = F(degrees) + F(minutes, 60) + F(seconds, 3600)
    made = wedge(F(12), included / 2)
    assert made.back_thickness == pytest.approx(float(taper_per_foot), abs=1e-4)


@given(st.integers(1, 64), st.integers(1, 90))
@settings(max_examples=6, deadline=None)
def test_against_a_triangle_of_sympy(thirty_seconds: int, halves: int) -> None:
    from sympy import Point, Triangle, deg

    stock, bevel = F(thirty_seconds, 32), F(halves, 2)
    made = wedge(stock, bevel)
    half = float(made.back_thickness) / 2
    shape = Triangle(Point(0, 0), Point(float(stock), half), Point(float(stock), -half))
    point_angle = min(
        (shape.angles[v] for v in shape.vertices if v == Point(0, 0)), key=lambda a: float(a)
    )
    assert float(deg(point_angle)) == pytest.approx(float(made.included_deg), abs=1e-9)


@given(st.integers(1, 64), st.integers(1, 45), st.integers(1, 32))
def test_it_seats_where_it_is_as_thick_as_the_gap(stock32: int, bevel: int, part: int) -> None:
    stock = F(stock32, 32)
    back = F(wedge(stock, F(bevel)).back_thickness)
    gap = back * F(part, 32)
    made = wedge(stock, F(bevel), gap)
    assert made.seats_at is not None
    assert float(made.seats_at) <= float(stock) * (1 + 1e-12)
    assert float(made.seats_at) / float(stock) == pytest.approx(part / 32)


@given(st.integers(1, 32), st.integers(1, 64))
def test_the_bevel_and_the_stock_that_would_do_do(gap32: int, stock32: int) -> None:
    gap, stock = F(gap32, 32), F(stock32, 32)
    bevel = bevel_for(gap, stock)
    if bevel <= 45:
        assert wedge(stock, bevel, gap).back_thickness >= gap
        if bevel > F(1, 10):
            assert 2 * float(stock) * math.tan(math.radians(bevel - F(1, 10))) < float(gap)
    if 2 * float(stock) * math.tan(math.radians(5)) < float(gap):
        with pytest.raises(BadInput) as told:
            wedge(stock, F(5), gap)
        thicker = told.value.facts["stock"]
        assert isinstance(thicker, Fraction)
        assert wedge(thicker, F(5), gap).back_thickness >= gap


def test_at_45_degrees_it_is_exact() -> None:
    made = wedge(F(3, 4), F(45), F(3, 2))
    assert (made.back_thickness, made.seats_at) == (F(3, 2), F(3, 4))
    assert isinstance(made.back_thickness, Fraction)


@pytest.mark.parametrize(
    ("stock", "bevel", "gap", "why"),
    [
        (F(0), F(5), None, "it must be more than zero"),
        (F(-1), F(5), None, "it must be more than zero"),
        (F(3, 4), F(0), None, "degrees makes no wedge; it must be more"),
        (F(3, 4), F(46), None, "degrees makes no wedge; it must be more"),
        (F(3, 4), F(5), F(0), "A wedge needs a gap of more than zero"),
        (F(3, 4), F(5), F(1, 4), "is wider than the wedge's back"),
    ],
)
def test_no_wedge(stock: Fraction, bevel: Fraction, gap: Fraction | None, why: str) -> None:
    with pytest.raises(BadInput) as told:
        wedge(stock, bevel, gap)
    assert why in str(told.value)
