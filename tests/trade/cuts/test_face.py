"""The drawn face against shapely's polygons, and side B as side A's mirror image."""

from fractions import Fraction

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.affinity import scale

from crewdesk.trade.cuts.face import face, times_drawn
from crewdesk.trade.cuts.side_board import EndReading, side_cut

gaps = st.builds(
    lambda n, lean: EndReading(Fraction(n, 32), lean, Fraction(24)),
    st.integers(0, 128),
    st.sampled_from(["in", "out"]),
)
cuts = st.builds(
    side_cut,
    st.integers(48 * 32, 240 * 32).map(lambda n: Fraction(n, 32)),
    st.integers(4, 16).map(Fraction),
    gaps,
    gaps,
)


def polygon(points):
    return shapely.Polygon([(float(x), float(y)) for x, y in points])


@given(cuts)
def test_board_has_the_area_of_its_trapezoid_and_lies_in_its_blank(cut):
    drawn = face(cut, "A")
    board, blank = polygon(drawn.board), polygon(drawn.blank)
    # A trapezoid's area, height x mean of its parallel sides (Euclid, Elements, I 38-41).
    area = cut.height * (cut.bottom_length + cut.top_length) / 2
    assert board.area == pytest.approx(float(area))
    assert blank.covers(board.buffer(-1e-9))
    assert blank.bounds[2] - blank.bounds[0] == pytest.approx(float(cut.blank))


@given(cuts, st.sampled_from(["A", "B"]))
def test_the_blank_is_the_board_and_its_waste(cut, side):
    drawn = face(cut, side, times=3)
    board, waste = polygon(drawn.board), [polygon(one) for one in drawn.waste]
    assert len(waste) == sum(1 for end in (cut.end1, cut.end2) if end.offset)
    assert all(one.area > 0 and one.intersection(board).area < 1e-6 for one in waste)
    assert board.union(shapely.union_all(waste)).symmetric_difference(
        polygon(drawn.blank)
    ).area == pytest.approx(0, abs=1e-6)


@given(cuts, st.integers(1, 8))
def test_side_b_is_side_a_in_the_mirror(cut, part):
    """The show faces look away from one another, so one is the other's mirror image."""
    times = times_drawn(cut, cut.bottom_length / 4 / part)
    a, b = (face(cut, side, times=times, clear=Fraction(1)) for side in ("A", "B"))
    middle = (float(cut.bottom_length) / 2, 0)
    for shape in ("board", "blank"):
        mirrored = scale(polygon(getattr(a, shape)), xfact=-1, origin=middle)
        drawn = polygon(getattr(b, shape))
        assert drawn.symmetric_difference(mirrored).area == pytest.approx(0, abs=1e-6)
    assert (a.left, a.right) == (b.right, b.left) == (1, 2)
    length = cut.bottom_length
    for near, far in zip(a.walls, reversed(b.walls), strict=True):
        assert [(length - x, y) for x, y in near] == list(far)


@given(cuts)
def test_walls_are_parallel_to_their_cuts_and_clear_of_the_blank(cut):
    drawn = face(cut, "A", times=10, clear=Fraction(3))
    bottom_left, bottom_right, top_right, top_left = drawn.board
    for wall, low, high in (
        (drawn.walls[0], bottom_left, top_left),
        (drawn.walls[1], bottom_right, top_right),
    ):
        assert wall[1][0] - wall[0][0] == high[0] - low[0]
    line = shapely.LineString([(float(x), float(y)) for x, y in drawn.walls[0]])
    assert line.distance(polygon(drawn.blank)) == pytest.approx(3)


def test_an_end_that_leans_in_is_cut_back_at_the_top_on_its_own_side():
    cut = side_cut(
        Fraction(100),
        Fraction(12),
        EndReading(Fraction(1), "in", Fraction(24)),
        EndReading(Fraction(0), "in", Fraction(24)),
    )
    assert face(cut, "A").board[3] == (Fraction(1, 2), Fraction(12))
    assert face(cut, "B").board[2] == (Fraction(199, 2), Fraction(12))
    assert face(cut, "B", times=20).board[2] == (Fraction(90), Fraction(12))


def test_times_drawn_stay_under_what_fits_and_square_ends_are_true():
    lean, plumb = (
        EndReading(Fraction(1, 8), "in", Fraction(24)),
        EndReading(Fraction(0), "in", Fraction(24)),
    )
    cut = side_cut(Fraction(100), Fraction(12), lean, plumb)
    assert cut.end1.offset == Fraction(1, 16)
    assert times_drawn(cut, Fraction(8)) == 100
    assert times_drawn(cut, Fraction(1, 32)) == 1
    assert times_drawn(side_cut(Fraction(100), Fraction(12), plumb, plumb), Fraction(8)) == 1
