"""The drawn face of a flat board: slants on the right end, the right way and in proportion."""

from fractions import Fraction

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.cuts.face import board_face

WIDE = Fraction(6)
offsets = st.integers(-32, 32).map(lambda n: Fraction(n, 32))


def polygon(face):
    return shapely.Polygon([(float(x), float(y)) for x, y in face.outline])


def corners(face):
    """Edge B's left and right corner, edge A's right and left one, from the leftmost x."""
    (b_left, b_right, a_right, a_left) = face.outline
    assert b_left[1] == b_right[1] == 0
    assert a_left[1] == a_right[1] == WIDE
    return b_left[0], b_right[0], a_right[0], a_left[0]


@given(offsets, offsets, st.sampled_from([1, 2]))
def test_both_edges_have_their_lengths_and_each_end_its_offset(first, second, left):
    edge_b = Fraction(100)
    edge_a = edge_b + first + second
    face = board_face((edge_a, edge_b), WIDE, (first, second), left=left)
    b_left, b_right, a_right, a_left = corners(face)
    assert b_right - b_left == edge_b
    assert a_right - a_left == edge_a
    at_left, at_right = (first, second) if left == 1 else (second, first)
    # Edge A runs past edge B: to the left at the left end, to the right at the right one.
    assert b_left - a_left == at_left
    assert a_right - b_right == at_right
    assert (face.left, face.right) == (left, 3 - left)
    assert min(b_left, a_left) == 0
    # A trapezoid's area, height x mean of its parallel sides (Euclid, Elements, I 38-41).
    assert polygon(face).area == pytest.approx(float(WIDE * (edge_a + edge_b) / 2))


def test_walls_turned_the_same_way_give_a_parallelogram():
    """1 in 24 at either wall, A longer at end 1 and B at end 2: both edges are equal."""
    slant = WIDE / 24
    face = board_face((Fraction(100), Fraction(100)), WIDE, (slant, -slant))
    b_left, b_right, a_right, a_left = corners(face)
    assert b_left - a_left == b_right - a_right == slant
    assert face.known == (True, True)


def test_walls_turned_against_one_another_give_a_trapezoid_the_right_way_round():
    slant = WIDE / 24
    longer_a = board_face((100 + 2 * slant, Fraction(100)), WIDE, (slant, slant))
    b_left, b_right, a_right, a_left = corners(longer_a)
    assert a_left < b_left < b_right < a_right
    longer_b = board_face((100 - 2 * slant, Fraction(100)), WIDE, (-slant, -slant))
    b_left, b_right, a_right, a_left = corners(longer_b)
    assert b_left < a_left < a_right < b_right


@pytest.mark.parametrize("times", [1, 5, 20])
def test_unequal_slants_keep_their_proportion(times):
    """1:24 at end 1, 2:24 at end 2."""
    first, second = WIDE / 24, 2 * WIDE / 24
    face = board_face((100 + first + second, Fraction(100)), WIDE, (first, second), times=times)
    b_left, b_right, a_right, a_left = corners(face)
    assert b_left - a_left == times * first
    assert a_right - b_right == 2 * (b_left - a_left)


def test_an_end_whose_slant_is_unknown_is_broken_and_takes_no_side():
    face = board_face((Fraction(101), Fraction(100)), WIDE, (None, None), tooth=Fraction(1))
    assert face.known == (False, False)
    assert len(face.outline) == 10
    shape = polygon(face)
    assert shape.is_valid
    turned = shapely.affinity.scale(shape, yfact=-1, origin=(0, float(WIDE) / 2))
    assert shape.symmetric_difference(turned).area == pytest.approx(0, abs=1e-9)
    assert not shape.minimum_rotated_rectangle.equals(shape)
    assert shape.area < 100.5 * float(WIDE)
    assert face.length == Fraction(201, 2)
