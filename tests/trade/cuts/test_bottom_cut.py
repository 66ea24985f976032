"""The bottom board's cut: never over its reading, its back drawn and measured by shapely."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon
from shapely.affinity import rotate

from crewdesk.errors import BadInput
from crewdesk.length import STEPS, exact, rounded, rounded_down
from crewdesk.trade.cuts.board_end import EdgeProfile, WallAt, end_need
from crewdesk.trade.cuts.bottom_cut import OVER_ALLOWED, BottomReading, bottom_cut
from crewdesk.trade.cuts.forms import three_board
from crewdesk.trade.cuts.section import Section, bottom_width

F = Fraction
SECTION = Section(width=F(8), height=F(10))


@given(st.integers(64, 9000), st.integers(-40, 40), st.integers(0, 8))
def test_no_edge_is_ever_over_its_reading(reading: int, more: int, undercut: int) -> None:
    read = BottomReading(F(reading, 32), F(reading + more, 32))
    section = Section(width=F(8), height=F(10), undercut=F(undercut, 32))
    made = bottom_cut(section, read)
    assert read.edge_b is not None
    assert read.edge_a - made.edge_a == read.edge_b - made.edge_b == F(undercut, 32)
    relief, slant = float(made.relief), float((made.edge_a - made.edge_b) / made.width)
    assert float(made.edge_a - made.back_a) == pytest.approx((2 + slant) * relief)
    assert float(made.edge_b - made.back_b) == pytest.approx((2 - slant) * relief)
    assert made.width - made.back_width == pytest.approx(2 * float(made.relief))
    assert made.cautions == ()


@given(st.integers(64, 9000))
def test_one_line_stands_for_both_edges(reading: int) -> None:
    one = bottom_cut(SECTION, BottomReading(F(reading, 32)))
    assert one == bottom_cut(SECTION, BottomReading(F(reading, 32), F(reading, 32)))
    assert one.edge_a == one.edge_b == F(reading - 1, 32)


@pytest.mark.parametrize("bevel", [0, 15, 30, 45])
def test_the_relief_against_a_drawn_end(bevel: int) -> None:
    """A long section through the board: a half-plane at the bevel cuts the back's corner."""
    section = Section(width=F(8), height=F(10), bevel=F(bevel))
    made = bottom_cut(section, BottomReading(F(100)))
    board = Polygon([(0, 0), (50, 0), (50, 0.75), (0, 0.75)])
    cut = LineString([(0, 0.25), (0, 10)])
    edge = rotate(cut, -bevel, origin=(0, 0.25))
    waste = Polygon([(0, 0.25), edge.coords[1], (-20, edge.coords[1][1]), (-20, 0.25)])
    left = board.difference(waste)
    back = left.intersection(LineString([(-99, 0.75), (99, 0.75)]))
    assert 50 - back.length == pytest.approx(float(made.relief), abs=1e-9)


def test_a_cut_over_the_reading_takes_a_reason() -> None:
    read = BottomReading(F(100), F(401, 4))
    with pytest.raises(BadInput) as told:
        bottom_cut(SECTION, read, wanted=(F(401, 4), F(401, 4)))
    assert "and wouldn't go up. Cut no more than the" in str(told.value)
    assert told.value.facts == {"cut": F(401, 4), "reading": F(100)}
    with pytest.raises(BadInput):
        bottom_cut(SECTION, read, wanted=(F(401, 4), F(401, 4)), reason="  ")
    made = bottom_cut(SECTION, read, wanted=(F(401, 4), F(401, 4)), reason="plaster comes off")
    assert [c.text for c in made.cautions] == [OVER_ALLOWED]
    assert made.cautions[0].facts["reason"] == "plaster comes off"
    assert bottom_cut(SECTION, read, wanted=(F(100), F(100))).cautions == ()


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda: BottomReading(F(0)), "it must be more than zero"),
        (lambda: BottomReading(F(9), F(-1)), "it must be more than zero"),
        (
            lambda: bottom_cut(SECTION, BottomReading(F(100), F(110))),
            "degrees out of square would make. Measure both",
        ),
        (
            lambda: bottom_cut(SECTION, BottomReading(F(1, 64))),
            "leaves nothing of the bottom board once",
        ),
        (
            lambda: bottom_cut(SECTION, BottomReading(F(1, 8))),
            "leaves nothing of the bottom board once",
        ),
        (
            lambda: bottom_cut(SECTION, BottomReading(F(9)), wanted=(F(0), F(0))),
            "leaves nothing of the bottom board once",
        ),
        (
            lambda: bottom_cut(
                Section(width=F(8), height=F(10), undercut=F(1)), BottomReading(F(9))
            ),
            "can't be cut 1 in short. Type 0 to 1/4 in",
        ),
    ],
)
def test_what_can_not_be_cut(make: object, why: str) -> None:
    with pytest.raises(BadInput) as told:
        make()  # type: ignore[operator]
    assert why in str(told.value)


@given(st.integers(-40, 40), st.sampled_from((1, -1)))
def test_a_tilted_bottom_is_as_long_as_the_room_where_its_lower_edge_lies(
    more: int, lower: int
) -> None:
    """The room along a line between straight walls is interpolated by shapely: the board's
    narrowed edge lies inside the line that was read, its other edge on it."""
    narrowed = F(1, 8)
    board = three_board(SECTION)[2]
    board = board._replace(width=board.width - narrowed, tilt=5.0 * lower, narrowed=narrowed)
    read = BottomReading(F(100), F(100) + F(more, 32))
    made = bottom_cut(SECTION, read, board=board)
    assert read.edge_b is not None
    wall = LineString(
        [(0, float(read.edge_a)), (float(board.width + narrowed), float(read.edge_b))]
    )
    edges = (narrowed, board.width + narrowed) if lower > 0 else (F(0), board.width)
    for cut, y in zip((made.edge_a, made.edge_b), edges, strict=True):
        room = wall.intersection(LineString([(y, 0), (y, 200)])).y
        assert float(cut) == pytest.approx(room - 1 / 32, abs=1e-9)


@given(
    slants=st.tuples(*[st.integers(-400, 400).filter(lambda k: abs(k) > 6)] * 2),
    undercut=st.integers(0, 3),
    leans=st.tuples(*[st.integers(-30, 30)] * 2),
    step=st.sampled_from(["1/64", "1/32", "1/16", "mm"]),
)
def test_a_board_laid_out_by_edge_a_and_its_slants_is_never_over(
    slants: tuple[int, int], undercut: int, leans: tuple[int, int], step: str
) -> None:
    """Two plumb lines out of square by `slants` / 500 in over the board. From edge A's corner, s
    off its wall, edge B's corner stands s + shown - true off: both ends must find room for it."""
    section = Section(width=F(8), height=F(10), undercut=F(undercut, 32))
    wide, size = bottom_width(section), STEPS[step].size
    true = [F(k, 500) for k in slants]
    walls = [WallAt(F(lean, 960), one / wide) for lean, one in zip(leans, true, strict=True)]
    reading = BottomReading(F(100), F(100) - sum(true))
    cut = bottom_cut(section, reading, walls=(walls[0], walls[1]))
    shown = [rounded(end.offset, size, end.way(size)) for end in cut.ends]
    edge_a = rounded_down(cut.edge_a, size)
    short = [max(F(0), one - told) for one, told in zip(true, shown, strict=True)]
    profile = EdgeProfile(section.bottom_thickness, section.flat, section.bevel)
    needs = sum(exact(end_need(profile, wall)) for wall in walls)
    assert sum(short) <= F(100) - edge_a - needs
    for end, told in zip(cut.ends, shown, strict=True):
        half = size / 2 if end.way(size) == "near" else size
        assert abs(told - end.offset) <= half


def test_a_slant_is_shown_to_the_nearest_step_where_the_under_cut_has_room() -> None:
    """Edge B past edge A by 31/1000 is 1/32, not nothing; without an under-cut edge B, laid out
    from edge A, would be too long by that."""
    for undercut, way, told in ((F(1, 32), "near", F(-1, 32)), (F(0), "up", F(0))):
        section = Section(width=F(8), height=F(10), undercut=undercut)
        wide = bottom_width(section)
        walls = (WallAt(F(0), F(-31, 1000) / wide), WallAt(F(0), F(0)))
        cut = bottom_cut(section, BottomReading(F(100), F(100) + F(31, 1000)), walls=walls)
        assert cut.ends[0].way(F(1, 32)) == way
        assert rounded(cut.ends[0].offset, F(1, 32), way) == told
        assert cut.ends[0].way(F(1, 16)) == "up"
