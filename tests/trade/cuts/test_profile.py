"""The drawn section against shapely: what touches, what overlaps, which areas."""

from fractions import Fraction

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from crewdesk.trade.cuts.profile import profile
from crewdesk.trade.cuts.section import Section, bottom_back_width, bottom_width

sections = st.builds(
    Section,
    st.integers(5 * 16, 14 * 16).map(lambda n: Fraction(n, 16)),
    st.integers(4 * 16, 16 * 16).map(lambda n: Fraction(n, 16)),
    reveal=st.integers(0, 16).map(lambda n: Fraction(n, 32)),
    flat=st.integers(2, 24).map(lambda n: Fraction(n, 32)),
    bevel=st.integers(0, 30).map(Fraction),
    fit=st.sampled_from([Fraction(0), Fraction(1, 32), Fraction(1, 16)]),
)


def polygon(shape):
    return shapely.Polygon([(float(x), float(y)) for x, y in shape])


@settings(max_examples=60, deadline=None)
@given(sections)
def test_the_pieces_fit_without_lying_in_one_another(section):
    drawn = profile(section)
    shapes = [polygon(one) for one in (*drawn.sides, drawn.bottom, *drawn.cleats)]
    assert all(shape.is_valid for shape in shapes)
    for at, one in enumerate(shapes):
        for other in shapes[at + 1 :]:
            assert one.intersection(other).area == pytest.approx(0, abs=1e-9)
    whole = shapely.union_all(shapes)
    assert whole.bounds == pytest.approx((0, 0, float(section.width), float(section.height)))
    side_a, side_b, bottom, cleat_a, cleat_b = shapes
    assert bottom.distance(side_a) == pytest.approx(float(section.fit / 2))
    assert bottom.distance(side_b) == pytest.approx(float(section.fit / 2))
    assert cleat_a.distance(side_a) == cleat_b.distance(side_b) == 0
    assert bottom.bounds[1] == pytest.approx(float(section.reveal))


@settings(max_examples=60, deadline=None)
@given(sections)
def test_bottom_has_the_area_of_a_strip_and_a_trapezoid(section):
    wide, back = float(bottom_width(section)), float(bottom_back_width(section))
    flat, rest = float(section.flat), float(section.bottom_thickness - section.flat)
    # Rectangle plus trapezoid, height x mean of its parallel sides (Euclid, Elements, I 38-41).
    expected = flat * wide + rest * (wide + back) / 2
    assert polygon(profile(section).bottom).area == pytest.approx(expected)
