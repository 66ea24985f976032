"""The drawn section along a ridge against shapely: tilted bottom, beveled tops, true cleats."""

import math
from fractions import Fraction

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.job.beams.beam import Beam
from crewdesk.job.cuts.section_shapes import section_shapes
from crewdesk.trade.cuts.section import Section

SECTION = Section(Fraction(8), Fraction(12))


def beam(height_b="12", pitch="6/12", cleat_form="ridge", **section):
    values = {k: str(v) for k, v in SECTION._replace(**section)._asdict().items()}
    return Beam.from_doc(
        "1",
        {
            "name": "1", "room": "Hall", "ends": ["", ""], "ceiling": "flat", "form": "ridge",
            "pitch": pitch, "height_b": height_b, "section": values,
            "pieces": {key: {} for key in ("A", "B", "bottom", "cleats")},
        },
    )  # fmt: skip


def polygon(shape):
    return shapely.Polygon([(float(x), float(y)) for x, y in shape])


drops = st.integers(10 * 16, 14 * 16).map(lambda n: str(Fraction(n, 16)))


@given(
    drops,
    st.sampled_from(["3/12", "6/12", "12/12"]),
    st.sampled_from([Fraction(0), Fraction(1, 16)]),
    st.sampled_from([Fraction(1, 2), Fraction(3, 4), Fraction(1)]),
)
def test_no_piece_lies_in_another_and_each_touches_what_it_is_nailed_to(drop, pitch, fit, cleat):
    drawn = section_shapes(beam(drop, pitch, fit=fit), cleat)
    side_a, side_b, bottom, cleat_a, cleat_b = shapes = [
        polygon(one) for one in (*drawn.sides, drawn.bottom, *drawn.cleats)
    ]
    assert all(shape.is_valid for shape in shapes)
    for at, one in enumerate(shapes):
        for other in shapes[at + 1 :]:
            assert one.intersection(other).area == pytest.approx(0, abs=1e-6)
    assert cleat_a.distance(side_a) == cleat_b.distance(side_b) == 0
    # Under a cleat the bottom's relief leaves a little open where the bottom is tilted.
    lean = abs(float(Fraction(drop)) - 12) / 6.5
    assert max(cleat_a.distance(bottom), cleat_b.distance(bottom)) <= 0.4 * lean + 1e-6
    for one in (cleat_a, cleat_b):
        x1, y1, x2, y2 = one.bounds
        assert (x2 - x1, y2 - y1) == pytest.approx((float(cleat), 0.75))
    # One side's clearance is half of the fit, measured along the tilted board.
    assert min(bottom.distance(side_a), bottom.distance(side_b)) <= float(fit) / 2 + 1e-6


@pytest.mark.parametrize(("drop", "lower"), [("11", "A"), ("13", "B"), ("12", None)])
def test_the_bottom_tilts_down_to_the_side_with_the_larger_drop(drop, lower):
    drawn = section_shapes(beam(drop))
    (x1, y1), (x2, y2) = drawn.bottom[:2]
    rise = (y2 - y1) / (x2 - x1)
    # 1 in over the 6 1/2 in between the inner faces, as an engineer's slope.
    assert rise == pytest.approx({"A": 1 / 6.5, "B": -1 / 6.5, None: 0}[lower])
    low_a, low_b = (min(y for _, y in side) for side in drawn.sides)
    assert (low_a < low_b, low_b < low_a) == (lower == "A", lower == "B")


def test_each_top_rises_to_its_back_by_the_slope_over_it():
    """6/12 is 1 in 2: over 3/4 in the back is 3/8 in the higher."""
    side_a, side_b = section_shapes(beam("12", "6/12")).sides
    (_, up_back), (_, up_show) = side_a[2:4]
    assert float(up_back) - float(up_show) == pytest.approx(3 / 8)
    (outer, up_show), (inner, up_back) = side_b[2:4]
    assert outer > inner
    assert float(up_back) - float(up_show) == pytest.approx(3 / 8)
    # The ridge is 12 in over both bottom edges, 4 in from either show face: 12 - 2.
    assert float(up_show) == pytest.approx(10)
    assert math.isclose(float(side_a[3][1]), 10)
