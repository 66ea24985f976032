"""The rows of strips: none is hidden, all are in order, and to scale where there is room."""

from fractions import Fraction
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.boards.stock import strip_rows

widths = st.lists(st.integers(1, 160).map(lambda n: Fraction(n, 16)), min_size=1, max_size=6)
KERF = Fraction(1, 8)


def side_by_side(each):
    strips, edge = [], Fraction(0)
    for wide in each:
        strips.append((edge, edge + wide))
        edge += wide + KERF
    return strips


@given(widths, st.integers(0, 64), st.integers(1, 8))
def test_every_strip_has_rows_of_its_own(each, left, rows):
    strips = side_by_side(each)
    found = strip_rows(strips, strips[-1][1] + Fraction(left, 16), rows)
    taken = [found[one] for one in strips]
    assert all(0 <= first < after <= rows for first, after in taken)
    if len(strips) <= rows:
        assert all(one[1] <= other[0] for one, other in pairwise(taken))


@given(widths)
def test_with_rows_enough_all_are_to_scale(each):
    strips = side_by_side(each)
    width = strips[-1][1]
    rows = int(width * 32)
    for (near, far), (first, after) in strip_rows(strips, width, rows).items():
        assert abs(first - near * rows / width) <= 1
        assert abs(after - far * rows / width) <= 1


def test_two_cleats_beside_a_side_keep_a_row_each():
    """Common sizes, no source: a side 5 1/2 in, two cleats 3/4 in, a board 7 1/4 in."""
    strips = side_by_side((Fraction(11, 2), Fraction(3, 4), Fraction(3, 4)))
    assert list(strip_rows(strips, Fraction(29, 4), 4).values()) == [(0, 2), (2, 3), (3, 4)]


def test_strips_that_overlap_are_rounded_each_by_itself():
    strips = [(Fraction(0), Fraction(5)), (Fraction(0), Fraction(3))]
    found = strip_rows(strips, Fraction(10), 10)
    assert found == {strips[0]: (0, 5), strips[1]: (0, 3)}
