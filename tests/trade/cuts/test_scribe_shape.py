"""The drawn scribe: parallel to its ceiling, side B in the mirror of its own stations."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.cuts.ceiling import Station, scribe
from crewdesk.trade.cuts.face import scribe_shape

LENGTH = Fraction(120)
heights = st.integers(0, 32).map(lambda n: 96 + Fraction(n, 32))
stations = st.lists(st.tuples(heights, heights), min_size=3, max_size=9).map(
    lambda rows: tuple(
        Station(LENGTH * at / (len(rows) - 1), *pair) for at, pair in enumerate(rows)
    )
)


@given(stations)
def test_the_scribe_line_is_the_ceiling_lowered_by_the_setting(read):
    made = scribe(read, Fraction(10))
    shapes = [scribe_shape(made, side, LENGTH) for side in ("A", "B")]
    for shape in shapes:
        for (x, ceiling), (at, line) in zip(shape.ceiling, shape.scribe, strict=True):
            assert x == at
            assert ceiling - line == made.setting
        assert [x for x, _ in shape.ceiling] == sorted(x for x, _ in shape.ceiling)
    # The pair is pushed up as one until the lowest of both ceilings touches.
    assert min(y for shape in shapes for _, y in shape.ceiling) == 0


@given(stations)
def test_side_b_is_drawn_as_side_a_would_be_of_the_beam_turned_round(read):
    made = scribe(read, Fraction(10))
    turned = tuple(Station(LENGTH - s.at, s.height_b, s.height_a) for s in reversed(read))
    other = scribe(turned, Fraction(10))
    drawn, mirrored = scribe_shape(made, "B", LENGTH), scribe_shape(other, "A", LENGTH)
    assert (drawn.ceiling, drawn.scribe) == (mirrored.ceiling, mirrored.scribe)
    assert (drawn.left, drawn.right) == (2, 1)
