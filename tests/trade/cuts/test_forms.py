"""Forms of beam: their boards laid together in section must make the beam, by shapely."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon, box
from shapely.affinity import rotate, scale, translate
from shapely.ops import unary_union

from crewdesk.errors import BadInput
from crewdesk.trade.cuts.forms import (
    TO_SCRIBE,
    FormBoard,
    against_wall,
    four_sided,
    four_sided_mitred,
    mitred,
    three_board,
)
from crewdesk.trade.cuts.section import Section

F = Fraction


def lying(board: FormBoard) -> Polygon:
    """The board's section, show face down on y = 0, first edge at the left."""
    width, thickness = float(board.width), float(board.thickness)
    first = thickness * math.tan(math.radians(board.first_blade))
    second = thickness * math.tan(math.radians(board.second_blade))
    return Polygon([(0, 0), (width, 0), (width - second, thickness), (first, thickness)])


@given(st.integers(16, 64), st.integers(16, 64), st.integers(2, 6))
def test_four_mitred_boards_make_a_hollow_box(w4: int, h4: int, t8: int) -> None:
    width, height, thickness = F(w4, 4), F(h4, 4), F(t8, 8)
    boards = {board.name: board for board in four_sided_mitred(width, height, thickness)}
    w, h, t = float(width), float(height), float(thickness)
    placed = [
        lying(boards["bottom"]),
        translate(rotate(lying(boards["side B"]), 90, origin=(0, 0)), w, 0),
        translate(rotate(lying(boards["top"]), 180, origin=(0, 0)), w, h),
        translate(rotate(lying(boards["side A"]), -90, origin=(0, 0)), 0, h),
    ]
    whole = box(0, 0, w, h).difference(box(t, t, w - t, h - t))
    assert unary_union(placed).symmetric_difference(whole).area == pytest.approx(0, abs=1e-6)
    assert sum(board.area for board in placed) == pytest.approx(whole.area)
    for board in boards.values():
        assert (board.first_blade, board.second_blade) == (45, 45)
        assert board.back_width == board.width - 2 * thickness


@given(st.integers(90, 170), st.integers(24, 64), st.integers(24, 64))
def test_a_mitred_corner_closes_at_its_angle(corner: int, w4: int, h4: int) -> None:
    """Side and bottom laid at the corner touch along the mitre and nowhere overlap."""
    side, _, bottom = mitred(F(w4, 4), F(h4, 4), F(3, 4), F(corner))
    flat = lying(bottom)
    turned = scale(lying(side), -1, 1, origin=(0, 0))
    up = rotate(turned, -(180 - corner), origin=(0, 0))
    assert up.intersection(flat).area == pytest.approx(0, abs=1e-9)
    mitre = up.intersection(flat.buffer(1e-7)).length / 2
    assert mitre == pytest.approx(0.75 / math.cos(math.radians(90 - corner / 2)), abs=1e-4)


def test_a_mitred_side_loses_its_thickness_at_one_edge_and_the_bottom_at_both() -> None:
    """The box's own section: outside 10 by 8, inside 9 1/4 by 6 1/2, open at the top."""
    side_a, side_b, bottom = mitred(F(8), F(10))
    assert side_a.back_width == side_b.back_width == F(37, 4)
    assert bottom.back_width == F(13, 2)
    assert (side_a.first_edge, side_a.second_edge) == ("mitre", "square")


def test_the_usual_beam_has_the_sections_boards() -> None:
    section = Section(width=F(8), height=F(10), bevel=F(45))
    boards = three_board(section)
    assert [(b.name, b.width, b.back_width) for b in boards] == [
        ("side A", 10, 10),
        ("side B", 10, 10),
        ("bottom", F(13, 2), F(11, 2)),
    ]
    assert boards[2].first_blade == boards[2].second_blade == 45


def test_sides_of_different_height() -> None:
    boards = three_board(Section(width=F(8), height=F(10)), F(12))
    assert [b.width for b in boards[:2]] == [10, 12]
    assert boards[2] == three_board(Section(width=F(8), height=F(10)))[2]
    with pytest.raises(BadInput) as told:
        three_board(Section(width=F(8), height=F(10)), F(1))
    assert "wide leave nothing above the bottom board" in str(told.value)


@pytest.mark.parametrize("bevel", [0, 15, 45])
def test_against_a_wall_the_bottom_has_stock_to_scribe_and_no_relief_there(bevel: int) -> None:
    section = Section(width=F(8), height=F(10), bevel=F(bevel))
    side, bottom = against_wall(section)
    assert (side.name, side.width) == ("side A", 10)
    assert side.thickness + bottom.width == section.width + TO_SCRIBE
    assert (bottom.first_edge, bottom.second_edge, bottom.second_blade) == ("relief", "scribed", 0)
    taken = float(bottom.thickness - section.flat) * math.tan(math.radians(bevel))
    assert float(bottom.width - bottom.back_width) == pytest.approx(taken)


def test_a_box_with_a_top_board() -> None:
    section = Section(width=F(8), height=F(10))
    boards = four_sided(section)
    assert [b.name for b in boards] == ["side A", "side B", "bottom", "top"]
    assert boards[3].width + 2 * section.side_thickness == section.width


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda: mitred(F(0), F(9)), "it must be more than zero"),
        (lambda: mitred(F(8), F(9), F(0)), "it must be more than zero"),
        (lambda: mitred(F(8), F(9), corner=F(89)), "degrees can't be mitered here. Type one from"),
        (lambda: mitred(F(8), F(9), corner=F(180)), "degrees can't be mitered here. Type one from"),
        (lambda: mitred(F(3, 2), F(9)), "wide has no room for that type's boards"),
        (lambda: mitred(F(8), F(3, 4)), "wide has no room for that type's boards"),
        (lambda: four_sided_mitred(F(8), F(3, 2)), "wide has no room for that type's boards"),
        (
            lambda: four_sided(Section(width=F(8), height=F(7, 4))),
            "high have no room for a top board: bottom",
        ),
    ],
)
def test_what_is_no_form(make: object, why: str) -> None:
    with pytest.raises(BadInput) as told:
        make()  # type: ignore[operator]
    assert why in str(told.value)
