"""Ends of boards between walls, against planes and polygons drawn by shapely and by hand."""

import math
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Polygon

from crewdesk.trade.cuts.board_end import (
    EdgeProfile,
    WallAt,
    board_ends,
    edges_between,
    end_as_cut,
    end_need,
)
from crewdesk.trade.cuts.bottom_cut import BottomReading, bottom_cut, top_cut
from crewdesk.trade.cuts.forms import against_wall, four_sided, mitred
from crewdesk.trade.cuts.section import Section

F = Fraction
SECTION = Section(width=F(8), height=F(10))
USUAL = EdgeProfile(F(3, 4), F(1, 4), F(15))
skews = st.integers(-48, 48).map(lambda n: F(n, 240))
leans = st.integers(-60, 60).map(lambda n: F(n, 240))


def test_walls_turned_the_same_way_give_a_parallelogram() -> None:
    """1:24 over 6 1/2 in is 13/48 in at each end, edge A past at one, edge B at the other."""
    walls = (WallAt(skew=F(1, 24)), WallAt(skew=F(-1, 24)))
    made = bottom_cut(SECTION, BottomReading(F(120), F(120)), walls=walls)
    assert made.edge_a == made.edge_b
    assert [(end.longer, end.offset) for end in made.ends] == [("A", F(13, 48)), ("B", -F(13, 48))]
    assert all(end.miter_deg == pytest.approx(math.degrees(math.atan(1 / 24))) for end in made.ends)


def test_unequal_slants_are_told_in_their_own_proportion() -> None:
    """1:24 and 2:24, both with edge A farther: 13/48 and 26/48, not half and half."""
    walls = (WallAt(skew=F(1, 24)), WallAt(skew=F(2, 24)))
    made = bottom_cut(SECTION, BottomReading(F(120), F(120) - F(39, 48)), walls=walls)
    assert [end.offset for end in made.ends] == [F(13, 48), F(26, 48)]


def test_where_only_a_tape_was_held_no_slant_is_known() -> None:
    made = bottom_cut(SECTION, BottomReading(F(120), F(120) + F(5, 16)))
    assert [end.known for end in made.ends] == [False, False]
    one = bottom_cut(
        SECTION, BottomReading(F(120), F(120) + F(5, 16)), walls=(WallAt(skew=F(0)), WallAt())
    )
    assert [end.offset for end in one.ends] == [0, -F(5, 16)]


@given(skews, skews, st.integers(-2, 2))
def test_the_slants_add_up_to_the_edges(first: Fraction, second: Fraction, more: int) -> None:
    """What the squares leave over is shared: each end is off its own square by the same. A slant of
    under 1/128 in is cut square, and no edge gets longer for it."""
    edges = (F(120), F(120) - (first + second) * F(13, 2) + F(more, 32))
    walls = (WallAt(skew=first), WallAt(skew=second))
    ends = board_ends(USUAL, F(13, 2), edges, walls)
    for end, skew in zip(ends, (first, second), strict=True):
        slant = skew * F(13, 2) - F(more, 64)
        assert end.offset == (slant if abs(slant) >= F(1, 128) else 0)
    cut = edges_between(edges, ends, F(13, 2), walls)
    assert cut[0] - cut[1] == ends[0].offset + ends[1].offset
    assert all(0 <= old - new < F(1, 64) for old, new in zip(edges, cut, strict=True))


@given(st.floats(-0.001, 0.001), st.integers(-200, 200), st.integers(60 * 640, 240 * 640))
def test_no_edge_is_longer_than_it_was_read_by_a_floats_last_digit(
    off: float, apart: int, long: int
) -> None:
    """A slope or a tilt makes a slant a float: what is worked out of it was over by 1e-14."""
    edges = (F(long, 640), F(long - apart, 640))
    walls = (WallAt(), WallAt(skew=apart / 640 / 7 + off))
    ends = board_ends(USUAL, F(7), edges, walls)
    for old, new in zip(edges, edges_between(edges, ends, F(7), walls), strict=True):
        assert new <= old


@pytest.mark.parametrize("slant", [F(1, 129), -F(1, 129), F(1, 1000)])
def test_a_slant_that_can_not_be_set_is_square(slant: F) -> None:
    """Under 1/128 in either way: no edge is the longer, and the miter is 0."""
    walls = (WallAt(skew=slant / 6), WallAt(skew=-slant / 6))
    for end in board_ends(USUAL, F(6), (F(100), F(100)), walls):
        assert (end.longer, end.offset, end.miter_deg) == (None, 0, 0)
    kept = end_as_cut(USUAL, F(6), 1, slant, None)
    assert (kept.longer, kept.miter_deg) == (None, 0)


@given(st.integers(-60, 60), st.integers(-60, 60))
def test_ends_that_are_cut_square_still_go_in(first: int, second: int) -> None:
    """Each edge's corners against both walls, drawn by hand: a board 6 in wide touches each wall,
    and enters none, though neither slant was cut: also where one wall is turned as the other,
    so that both edges are as long as one another and the square board's room is shorter."""
    width, slant1, slant2 = F(6), F(first, 8000), F(second, 8000)
    edges = (F(100), F(100) - slant1 - slant2)
    walls = (WallAt(skew=slant1 / width), WallAt(skew=slant2 / width))
    edge_a, edge_b = edges_between(edges, board_ends(USUAL, width, edges, walls), width, walls)
    assert edge_a == edge_b
    start = max(F(0), slant1)  # Wall 1 is at 0 along edge A, at slant1 along edge B.
    room = min(F(100), F(100) - slant2) - start
    assert edge_a == room


@given(skews, skews, st.integers(1, 40), st.integers(1, 40), st.integers(-3, 3))
def test_what_is_left_over_goes_by_the_accuracy_of_both_squares(
    first: Fraction, second: Fraction, off1: int, off2: int, more: int
) -> None:
    """The slants make the sum of (what each is off its square / how far that can be off)^2 the
    least of all that add up to the edges: no shift from the one end to the other lowers it."""
    across, rest = F(13, 2), F(more, 64)
    edges = (F(120), F(120) - (first + second) * across - rest)
    walls = (WallAt(F(0), first, F(off1, 9999)), WallAt(F(0), second, F(off2, 9999)))
    ends = board_ends(USUAL, across, edges, walls)
    assume(all(end.offset for end in ends))  # Tiny slants are cut square.
    one = (ends[0].offset or 0) - first * across
    two = (ends[1].offset or 0) - second * across
    assert one + two == rest

    def squares(shift: Fraction) -> Fraction:
        return F((one + shift) / off1) ** 2 + F((two - shift) / off2) ** 2

    assert all(squares(F(0)) < squares(shift) for shift in (F(1, 999), -F(1, 999)))


@given(leans, leans, st.integers(0, 24), st.integers(0, 30), st.integers(0, 4))
def test_the_end_never_enters_the_wall_and_shows_no_gap(
    lean1: Fraction, lean2: Fraction, flat32: int, bevel: int, undercut32: int
) -> None:
    """A long section: the board as cut, slid from wall to wall, drawn with shapely."""
    section = Section(
        width=F(8), height=F(10), flat=F(flat32, 32), bevel=F(bevel), undercut=F(undercut32, 32)
    )
    walls = (WallAt(lean1), WallAt(lean2))
    made = bottom_cut(section, BottomReading(F(100)), walls=walls)
    length, thick = float(made.edge_a), 0.75
    outline = [(0.0, 0.0), (length, 0.0)]
    for end, sign in ((made.ends[1], -1), (made.ends[0], 1)):
        foot = length if sign < 0 else 0.0
        side = [(foot, float(end.flat)), (foot + sign * float(end.back_short), thick)]
        outline += side if sign < 0 else side[::-1]
    board = Polygon(outline)
    room = Polygon(
        [(0, 0), (100, 0), (100 - float(lean2) * thick, thick), (float(lean1) * thick, thick)]
    )
    slack = 100 - length
    assert min(
        Polygon([(x + slack * part / 40, y) for x, y in board.exterior.coords])
        .difference(room.buffer(1e-9))
        .area
        for part in range(41)
    ) == pytest.approx(0, abs=1e-6)
    assert slack <= max(float(section.undercut), 2 / 64) + 1e-12
    assert made.edge_a <= 100 - section.undercut


def test_a_bottom_under_six_in_twelve_has_a_plumb_cut_at_its_low_end() -> None:
    """The plumb wall comes in by 1/2 an inch per inch: over 3/4 in that is 3/8, and the usual
    relief takes 0.134 of it. Cut with the relief alone it would be 0.241 too long."""
    profile = EdgeProfile(F(3, 4), F(1, 4), F(15))
    assert float(profile.need(F(1, 2))) == pytest.approx(0.375 - 0.5 * math.tan(math.radians(15)))
    walls = (WallAt(F(1, 2)), WallAt(F(-1, 2)))
    made = bottom_cut(SECTION, BottomReading(F(100)), walls=walls)
    low, high = made.ends
    assert (low.joint, low.back_short, low.flat) == ("bevel", F(3, 8), 0)
    assert low.blade_deg == pytest.approx(math.degrees(math.atan(1 / 2)))
    assert (high.joint, high.flat) == ("relief", F(1, 4))
    assert made.edge_a == 100 - F(1, 32)
    assert end_need(profile, WallAt(F(1, 2))) == 0


@given(skews, leans)
def test_a_bevels_miter_and_blade_make_the_walls_plane(skew: Fraction, lean: Fraction) -> None:
    """Miter m and blade b cut the plane whose normal is (cos m cos b, sin m cos b, -sin b);
    it must be the wall's, (1, s, -c)."""
    if lean * F(3, 4) <= F(1, 64):
        return
    walls = (WallAt(lean, skew), WallAt(F(0), F(0)))
    edges = (F(120), F(120) - skew * F(13, 2))
    end = board_ends(EdgeProfile(F(3, 4), F(3, 4)), F(13, 2), edges, walls)[0]
    assert end.joint == "bevel"
    assert end.miter_deg is not None
    miter = math.radians(end.miter_deg) * (1 if end.longer == "A" else -1)
    blade = math.radians(end.blade_deg)
    normal = (
        math.cos(miter) * math.cos(blade),
        math.sin(miter) * math.cos(blade),
        -math.sin(blade),
    )
    size = math.sqrt(1 + float(skew) ** 2 + float(lean) ** 2)
    assert normal == pytest.approx((1 / size, float(skew) / size, -float(lean) / size))


def test_a_top_board_between_walls_that_go_out_is_cut_to_its_lower_face() -> None:
    """Room 100 at the upper face; both walls 1/24 closer per inch down: the lower face of a
    3/4 in board has 1/32 less at each end, so each end is beveled."""
    board = four_sided(SECTION)[3]
    walls = (WallAt(F(1, 24)), WallAt(F(1, 24)))
    made = top_cut(SECTION, board, (F(100), F(100)), walls)
    assert [end.joint for end in made.ends] == ["bevel", "bevel"]
    assert (made.edge_a, made.back_a) == (100 - F(1, 32), 100 - F(1, 32) - 2 * F(1, 32))
    square = top_cut(SECTION, board, (F(100), F(100)), (WallAt(F(-1, 24)), WallAt(F(-1, 24))))
    assert [end.joint for end in square.ends] == ["square", "square"]
    assert square.back_a == square.edge_a == 100 - F(1, 32)


def test_a_slanted_end_drawn_in_plan() -> None:
    """The face as a polygon: measured at its middle it is the mean of both edges."""
    walls = (WallAt(skew=F(1, 12)), WallAt(skew=F(-1, 48)))
    made = bottom_cut(SECTION, BottomReading(F(120), F(120) - F(1, 16) * F(13, 2)), walls=walls)
    first, second = (float(end.offset or 0) for end in made.ends)
    a, width = float(made.edge_a), float(made.width)
    face = Polygon([(0, width), (a, width), (a - second, 0), (first, 0)])
    low = face.intersection(LineString([(-99, 1e-12), (999, 1e-12)])).length
    assert low == pytest.approx(float(made.edge_b), abs=1e-9)


def test_a_board_with_stock_to_scribe_is_slanted_over_all_its_width() -> None:
    """7 1/4 in from the side to the wall, walls 1:24 at both ends: edge B is read 2 x 7.25/24
    shorter; the stock goes 1/4 in on, so the blank's edge B is 2 x 7.5/24 shorter."""
    board = against_wall(SECTION)[1]
    walls = (WallAt(skew=F(1, 24)), WallAt(skew=F(1, 24)))
    read_b = 100 - 2 * F(29, 4) / 24
    made = bottom_cut(SECTION, BottomReading(F(100), read_b), board=board, walls=walls)
    assert [end.offset for end in made.ends] == [F(15, 2) / 24] * 2
    assert made.edge_a - made.edge_b == 2 * F(15, 2) / 24
    # Edge B has no relief, so its back is as long as its face but for the ends.
    short = made.ends[0].back_short + made.ends[1].back_short
    assert float(made.edge_b - made.back_b) == pytest.approx(float(short))


def test_a_mitered_back_lies_a_thickness_inside_its_face() -> None:
    """Walls 1:24 at both ends: the back's edge A, 3/4 in inside the face's, is 2 x 0.75/24
    shorter than it, and edge B's that much longer than its own."""
    board = mitred(F(8), F(10))[2]
    walls = (WallAt(skew=F(1, 24)), WallAt(skew=F(1, 24)))
    made = bottom_cut(SECTION, BottomReading(F(100)), board=board, walls=walls)
    assert made.edge_a - made.back_a == made.back_b - made.edge_b == 2 * F(3, 4) / 24
