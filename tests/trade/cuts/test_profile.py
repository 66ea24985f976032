"""The drawn section against shapely: what touches, what overlaps, which areas."""

from fractions import Fraction

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.cuts.profile import box_profile, mitred_profile, profile, wall_profile
from crewdesk.trade.cuts.section import Section, bottom_back_width, bottom_width

sections = st.builds(
    lambda width, height, **lengths: Section(width, height, **lengths),
    st.integers(5 * 16, 14 * 16).map(lambda n: Fraction(n, 16)),
    st.integers(4 * 16, 16 * 16).map(lambda n: Fraction(n, 16)),
    reveal=st.integers(0, 16).map(lambda n: Fraction(n, 32)),
    flat=st.integers(2, 24).map(lambda n: Fraction(n, 32)),
    bevel=st.integers(0, 30).map(Fraction),
    fit=st.sampled_from([Fraction(0), Fraction(1, 32), Fraction(1, 16)]),
)


def polygon(shape):
    return shapely.Polygon([(float(x), float(y)) for x, y in shape])


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


@given(sections)
def test_bottom_has_the_area_of_a_strip_and_a_trapezoid(section):
    wide, back = float(bottom_width(section)), float(bottom_back_width(section))
    flat, rest = float(section.flat), float(section.bottom_thickness - section.flat)
    # Rectangle plus trapezoid, height x mean of its parallel sides (Euclid, Elements, I 38-41).
    expected = flat * wide + rest * (wide + back) / 2
    assert polygon(profile(section).bottom).area == pytest.approx(expected)


@given(sections, st.sampled_from([box_profile, wall_profile, mitred_profile]), st.booleans())
def test_no_form_s_pieces_lie_in_one_another(section, make, boxed):
    drawn = make(section, boxed=boxed) if make is mitred_profile else make(section)
    every = (*drawn.sides, drawn.bottom, *drawn.tops, *drawn.walls)
    if make is not box_profile or section.height > 4:
        every += drawn.cleats
    shapes = [polygon(one) for one in every]
    assert all(shape.is_valid for shape in shapes)
    for at, one in enumerate(shapes):
        for other in shapes[at + 1 :]:
            assert one.intersection(other).area == pytest.approx(0, abs=1e-9)
    assert drawn.height == section.height


@given(sections)
def test_a_mitred_box_is_a_frame_between_two_rectangles(section):
    drawn = mitred_profile(section, boxed=True)
    wide, high, thick = (float(x) for x in (section.width, section.height, section.side_thickness))
    whole = shapely.union_all([polygon(one) for one in (*drawn.sides, drawn.bottom, *drawn.tops)])
    frame = shapely.box(0, 0, wide, high) - shapely.box(thick, thick, wide - thick, high - thick)
    assert whole.symmetric_difference(frame).area == pytest.approx(0, abs=1e-9)


@given(sections, st.integers(-16, 64).map(lambda n: Fraction(n, 16)))
def test_side_b_may_be_the_higher(section, more):
    drawn = profile(section, section.height + more)
    a, b = (polygon(side) for side in drawn.sides)
    assert b.area - a.area == pytest.approx(float(more * section.side_thickness))
    assert drawn.height == section.height + max(more, 0)


@given(
    sections.filter(lambda one: one.height > 5),
    st.sampled_from([profile, box_profile, wall_profile]),
    st.sampled_from([Fraction(1, 2), Fraction(3, 4), Fraction(5, 4)]),
)
def test_a_cleat_is_as_wide_as_its_rule_and_as_high_as_a_side_is_thick(section, make, cleat):
    drawn = make(section, cleat=cleat)
    assert len(drawn.cleats) == 2
    for shape in drawn.cleats:
        x1, y1, x2, y2 = polygon(shape).bounds
        assert x2 - x1 == pytest.approx(float(cleat))
        assert y2 - y1 == pytest.approx(float(section.side_thickness))
        assert y1 == pytest.approx(float(section.reveal + section.bottom_thickness))
