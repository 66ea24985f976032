"""Angles and their tangents."""

import math
from contextlib import suppress
from fractions import Fraction as Fr

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.trade.angle import arctangent, read_angle, tangent, times


@pytest.mark.parametrize(
    ("degrees", "printed"),
    # Natural tangents to five places, as in any five-place table (from memory).
    [
        (1, ".01746"),
        (2, ".03492"),
        (5, ".08749"),
        (10, ".17633"),
        (15, ".26795"),
        (20, ".36397"),
        (22.5, ".41421"),
        (25, ".46631"),
        (30, ".57735"),
        (35, ".70021"),
        (40, ".83910"),
        (45, "1.00000"),
        (60, "1.73205"),
    ],
)
def test_natural_tangents(degrees: float, printed: str) -> None:
    assert float(tangent(Fr(degrees))) == pytest.approx(float(printed), abs=0.000005)
    assert arctangent(float(printed)) == pytest.approx(degrees, abs=0.0005)


def test_taper_a_foot_of_a_handbook() -> None:
    # Taper per inch at 15 degrees included is 2 tan 7.5 = .26330; a handbook's .28330 is a
    # misprint, and so is its .07984 for 4 degrees, 2 tan 2 = .06984.
    assert 2 * float(tangent(Fr(15, 2))) == pytest.approx(0.26330, abs=0.000005)
    assert 2 * float(tangent(Fr(2))) == pytest.approx(0.06984, abs=0.00001)


@given(st.integers(0, 89), st.integers(1, 16))
def test_tangent_agrees_with_sympy(whole: int, sixteenths: int) -> None:
    import sympy

    degrees = whole + Fr(sixteenths, 16) - Fr(1, 16)
    want = sympy.tan(sympy.Rational(degrees.numerator, degrees.denominator) * sympy.pi / 180)
    assert float(tangent(degrees)) == pytest.approx(float(want.evalf(20)), rel=1e-12, abs=0)


def test_tangent_is_exact_only_where_niven_lets_it_be() -> None:
    # I. Niven, Irrational Numbers, 1956, corollary 3.12: of a rational multiple of pi the
    # tangent is rational at 0 and 45 degrees only (in the first quadrant).
    import sympy

    assert [d for d in range(90) if isinstance(tangent(Fr(d)), Fr)] == [0, 45]
    assert tangent(Fr(0)) == 0
    assert tangent(Fr(45)) == 1
    for d in range(90):
        root = sympy.tan(sympy.Rational(d, 180) * sympy.pi)
        assert isinstance(tangent(Fr(d)), Fr) == (root in (0, 1))


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("15", Fr(15)),
        ("15 degrees", Fr(15)),
        ("15 deg", Fr(15)),
        ("15\u00b0", Fr(15)),
        ("26.565deg", Fr("26.565")),
        ("22-1/2", Fr("22.5")),
        ("22 1/2", Fr("22.5")),
        (".5", Fr(1, 2)),
        ("15.", Fr(15)),
        (" 0 ", Fr(0)),
        ("89.999", Fr("89.999")),
    ],
)
def test_angles_that_are_read(text: str, degrees: Fr) -> None:
    assert read_angle(text) == degrees


@pytest.mark.parametrize(
    "text", ["", "90", "180", "-1", "22 1/0", "22 4/4", "22 5/4", "steep", "1e1", "15 rad", "1/2"]
)
def test_angles_that_are_refused(text: str) -> None:
    with pytest.raises(BadInput) as caught:
        read_angle(text)
    assert "isn't an angle. Type degrees from 0 to" in str(caught.value)


@given(st.one_of(st.text(max_size=40), st.text("0123456789./- deg\u00b0", max_size=8)))
def test_any_text_at_all_is_read_or_refused(text: str) -> None:
    with suppress(BadInput):
        assert 0 <= read_angle(text) < 90


@given(st.decimals("0", "89.99", places=3).filter(lambda d: d < 90))
def test_decimal_degrees_read_exactly(degrees: object) -> None:
    assert read_angle(f"{degrees:f} deg") == Fr(str(degrees))


@given(st.fractions(0, 89, max_denominator=64))
def test_arctangent_undoes_tangent(degrees: Fr) -> None:
    assert arctangent(tangent(degrees)) == pytest.approx(float(degrees), rel=1e-12, abs=1e-12)


def test_times_stays_exact_where_it_can() -> None:
    assert times(Fr(1, 2), Fr(1, 3)) == Fr(1, 6)
    nothing = times(Fr(0), math.sqrt(2))
    assert nothing == 0
    assert isinstance(nothing, Fr)
    product = times(Fr(3), math.sqrt(2))
    assert isinstance(product, float)
    assert product == pytest.approx(math.sqrt(18), rel=1e-15)
