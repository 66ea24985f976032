"""The section's marks, against the trade's numbers and an independent drawing of the board."""

import math
from fractions import Fraction as Fr

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import affinity

from crewdesk.errors import BadInput
from crewdesk.trade.cuts.section import (
    Section,
    bottom_back_width,
    bottom_width,
    cleat_line,
    on_relief,
    relief_per_edge,
    with_height,
)

USUAL = Section(width=Fr(6), height=Fr(8))


def sixteenths(least: int, most: int) -> st.SearchStrategy[Fr]:
    return st.integers(least, most).map(lambda n: Fr(n, 16))


@st.composite
def sections(draw: st.DrawFn) -> Section:
    thickness = draw(sixteenths(4, 32))
    return Section(
        width=draw(sixteenths(200, 400)),
        height=draw(sixteenths(100, 300)),
        side_thickness=draw(sixteenths(4, 32)),
        bottom_thickness=thickness,
        reveal=draw(sixteenths(0, 32)),
        flat=draw(sixteenths(0, int(thickness * 16))),
        bevel=Fr(draw(st.integers(0, 45))),
        fit=draw(sixteenths(0, 4)),
    )


def test_cleat_line_of_the_trade() -> None:
    # Common practice, no source: a 3/4 in bottom with a 1/4 in reveal puts the cleats' lower
    # edges 1 in up the sides.
    assert cleat_line(USUAL) == 1


def test_bottom_between_two_sides() -> None:
    # By hand: 6 in over all, two sides of 3/4 in, 1/32 in to let it go up.
    assert bottom_width(USUAL) == Fr("4.5")
    assert bottom_width(Section(width=Fr(6), height=Fr(8), fit=Fr(1, 32))) == Fr(143, 32)


@pytest.mark.parametrize("flat", [Fr(1, 8), Fr(3, 16), Fr(1, 4)])
def test_relief_of_the_trade(flat: Fr) -> None:
    # Common practice, no source: a relief of about 15 degrees that leaves 1/8 to 1/4 in flat.
    # tan 15 = .26795 (five-place natural tangents, from memory), which is 2 - sqrt(3).
    import sympy

    section = Section(width=Fr(6), height=Fr(8), flat=flat)
    per_edge = float(Fr(3, 4) - flat) * 0.26795
    assert float(relief_per_edge(section)) == pytest.approx(per_edge, abs=0.000005)
    exact = Fr(9, 2) - 2 * sympy.Rational(Fr(3, 4) - flat) * (2 - sympy.sqrt(3))
    assert float(bottom_back_width(section)) == pytest.approx(float(exact), rel=1e-14)


def test_relief_is_exact_where_its_tangent_is() -> None:
    for section, back in (
        (Section(width=Fr(6), height=Fr(8), bevel=Fr(0)), Fr(9, 2)),
        (Section(width=Fr(6), height=Fr(8), bevel=Fr(45)), Fr(7, 2)),
        (Section(width=Fr(6), height=Fr(8), flat=Fr(3, 4)), Fr(9, 2)),
    ):
        assert bottom_back_width(section) == back
        assert isinstance(bottom_back_width(section), Fr)


def back_of_a_drawn_board(section: Section) -> float:
    """The back width of a bottom board, drawn and sawn: a rectangle with its show face
    down, and at either edge all beyond a blade line taken off that leaves the flat."""
    width, thickness = float(bottom_width(section)), float(section.bottom_thickness)
    board = shapely.box(0, 0, width, thickness)
    waste = shapely.box(-100, -100, 0, 100)
    at = (0.0, float(section.flat))
    left = affinity.rotate(
        affinity.translate(waste, 0, at[1]), -float(section.bevel), origin=at
    ).intersection(shapely.box(-200, at[1], 200, 200))
    right = affinity.scale(left, xfact=-1, origin=(width / 2, 0))
    sawn = board.difference(left).difference(right)
    top = [x for x, y in sawn.exterior.coords if math.isclose(y, thickness, abs_tol=1e-9)]
    return max(top) - min(top)


@given(sections())
def test_back_width_agrees_with_a_drawn_board(section: Section) -> None:
    assume(section.flat < section.bottom_thickness)
    assert float(bottom_back_width(section)) == pytest.approx(
        back_of_a_drawn_board(section), abs=1e-7
    )


@given(sections())
def test_the_parts_fill_the_beam(section: Section) -> None:
    assert bottom_width(section) + section.fit + 2 * section.side_thickness == section.width
    assert cleat_line(section) - section.reveal == section.bottom_thickness
    assert bottom_back_width(section) <= bottom_width(section)


@given(sections(), st.integers(2, 5))
def test_scaling(section: Section, factor: int) -> None:
    lengths = {k: v * factor for k, v in section._asdict().items() if k != "bevel"}
    scaled = Section(**lengths, bevel=section.bevel)
    assert bottom_width(scaled) == factor * bottom_width(section)
    assert cleat_line(scaled) == factor * cleat_line(section)
    assert float(bottom_back_width(scaled)) == pytest.approx(
        factor * float(bottom_back_width(section)), rel=1e-12
    )


def test_another_height_changes_nothing_else() -> None:
    taller = with_height(USUAL, Fr(12))
    assert taller.height == 12
    assert with_height(taller, Fr(8)) == USUAL


@pytest.mark.parametrize(
    ("faults", "why"),
    [
        ({"width": Fr(0)}, "it must be more than zero"),
        ({"height": Fr(-1)}, "it must be more than zero"),
        ({"side_thickness": Fr(0)}, "it must be more than zero"),
        ({"bottom_thickness": Fr(0)}, "it must be more than zero"),
        ({"reveal": Fr(-1, 16)}, "it must be zero or more"),
        ({"flat": Fr(-1, 16)}, "it must be zero or more"),
        ({"bevel": Fr(-1)}, "it must be zero or more"),
        ({"fit": Fr(-1, 32)}, "it must be zero or more"),
        ({"undercut": Fr(-1, 32)}, "it must be zero or more"),
        ({"bevel": Fr("45.1")}, "degrees is too steep; the limit is 45"),
        ({"flat": Fr(7, 8)}, "is more than the bottom board's thickness of"),
        ({"width": Fr("1.5")}, "wide has no room for a bottom board: sides"),
        ({"fit": Fr("4.5")}, "wide has no room for a bottom board: sides"),
        # A bottom 1 in wide, 3/4 in thick, sawn at 45 from a feather edge: 2 x 3/4 over 1.
        (
            {"width": Fr("2.5"), "flat": Fr(0), "bevel": Fr(45)},
            "wide is too narrow for its relief bevels. Use a",
        ),
        ({"height": Fr(1)}, "wide leave nothing above the bottom board"),
    ],
)
def test_sections_that_are_refused(faults: dict[str, Fr], why: str) -> None:
    with pytest.raises(BadInput) as caught:
        Section(**{"width": Fr(6), "height": Fr(8), **faults})
    assert why in str(caught.value)


@pytest.mark.parametrize("degrees", [8, 20, 33.7, 45])
@pytest.mark.parametrize(("flat", "bevel"), [("1/8", 30), ("1/4", 15), ("1/4", 0), ("1/8", 45)])
def test_a_cleat_lies_on_a_tilted_bottom_s_higher_edge(degrees, flat, bevel) -> None:
    """Shapely turns the board's section and cuts off what is under the cleat: the highest point
    of that is where its lower edge goes."""
    made = Section(
        Fr(8), Fr(10), bottom_thickness=Fr(1), flat=Fr(flat), bevel=Fr(bevel), fit=Fr(1, 16)
    )
    relief, half = float(relief_per_edge(made)), float(made.fit) / 2
    shape = shapely.Polygon(
        [(half, 0), (6, 0), (6, 1), (half + relief, 1), (half, float(made.flat)), (half, 0)]
    )
    # Edge up: the side stands at x = 0, the show face's plane meets it a reveal up.
    turned = affinity.rotate(shape, -degrees, origin=(0, 0))
    lying = affinity.translate(turned, 0, float(made.reveal))
    for reach in (0.5, 0.75, 1.5):
        under = lying.intersection(shapely.box(0, -20, reach, 20))
        told = on_relief(made, math.radians(degrees), reach)
        # Never under it, and over it by no more than what the clearance of 1/32 lowers it.
        assert under.bounds[3] - 1e-9 <= told <= under.bounds[3] + 2 * half
