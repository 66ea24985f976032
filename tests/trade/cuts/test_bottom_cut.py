"""The bottom board's cut: never over its reading, its back drawn and measured by shapely."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon
from shapely.affinity import rotate

from crewdesk.errors import BadInput
from crewdesk.trade.cuts.bottom_cut import OVER_ALLOWED, BottomReading, bottom_cut
from crewdesk.trade.cuts.forms import three_board
from crewdesk.trade.cuts.section import Section

F = Fraction
SECTION = Section(width=F(8), height=F(10))


@given(st.integers(64, 9000), st.integers(-40, 40), st.integers(0, 8))
@settings(max_examples=50, deadline=None)
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
@settings(max_examples=20, deadline=None)
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
    assert "and would not go up; cut no more than the" in str(told.value)
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
            "degrees off square would make; read both",
        ),
        (
            lambda: bottom_cut(SECTION, BottomReading(F(1, 64))),
            "leaves nothing of the bottom board after",
        ),
        (
            lambda: bottom_cut(SECTION, BottomReading(F(1, 8))),
            "leaves nothing of the bottom board after",
        ),
        (
            lambda: bottom_cut(SECTION, BottomReading(F(9)), wanted=(F(0), F(0))),
            "leaves nothing of the bottom board after",
        ),
        (
            lambda: bottom_cut(
                Section(width=F(8), height=F(10), undercut=F(1)), BottomReading(F(9))
            ),
            "is not from 0 to",
        ),
    ],
)
def test_what_can_not_be_cut(make: object, why: str) -> None:
    with pytest.raises(BadInput) as told:
        make()  # type: ignore[operator]
    assert why in str(told.value)


@given(st.integers(-40, 40), st.sampled_from((1, -1)))
@settings(max_examples=20, deadline=None)
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
