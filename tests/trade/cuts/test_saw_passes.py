"""Tilted passes: the fence at the table leaves the flat that the section asks for."""

import math
from fractions import Fraction as Fr

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.cuts.board_end import BoardEnd
from crewdesk.trade.cuts.saw_passes import TiltedEdge, end_passes, fence_side
from crewdesk.trade.cuts.section import Section, bottom_width

# The half-angle formula: tan 15 = 2 - sqrt(3), without a tangent's series.
TAN_15 = 2 - math.sqrt(3)


def test_the_default_bottom() -> None:
    section = Section(Fr(8), Fr(10))
    edge = TiltedEdge(section.bottom_thickness, section.bevel, section.flat)
    back, show = (edge.at_table(bottom_width(section), down) for down in ("back", "show"))
    # 1/2 in of the thickness is tilted over, and 1/4 in of it stays flat.
    assert float(back) == pytest.approx(6.5 - TAN_15 / 2, abs=1e-12)
    assert float(show) == pytest.approx(6.5 + TAN_15 / 4, abs=1e-12)
    assert [round(float(one), 3) for one in (back, show)] == [6.366, 6.567]


@given(
    st.fractions(4, 12, max_denominator=64),
    st.fractions(Fr(1, 2), 2, max_denominator=64),
    st.integers(0, 10),
    st.integers(1, 45),
    st.booleans(),
)
def test_a_blade_set_so_cuts_the_section(width, thickness, tenths, blade, back_longer) -> None:
    """A line through the figure at the table, tilted as the blade, meets the board's edge at
    the top of the flat, seen from either face."""
    flat = thickness * tenths / 10
    edge = TiltedEdge(thickness, Fr(blade), flat, back_longer)
    slope = math.tan(math.radians(blade))
    for down in ("back", "show"):
        height = float(flat if down == "show" else thickness - flat)  # over the table
        outward = edge.leans_away(down)
        at_flat = float(edge.at_table(width, down)) + (height if outward else -height) * slope
        assert at_flat == pytest.approx(float(width), abs=1e-9)


def test_the_side_of_the_fence() -> None:
    """A blade that tilts left leans away from a fence at its right (common practice, no source)."""
    assert fence_side("left", away=True) == fence_side("right", away=False) == "right"
    assert fence_side("right", away=True) == fence_side("left", away=False) == "left"
    relief, ridge = TiltedEdge(Fr(1), Fr(15)), TiltedEdge(Fr(1), Fr(15), back_longer=True)
    assert (relief.narrow_face, ridge.narrow_face) == ("back", "show")
    assert relief.leans_away("back")
    assert not relief.leans_away("show")


def square(end: int, joint: str = "relief") -> BoardEnd:
    """An end at a plumb, square wall, with the default section's relief."""
    if joint == "square":
        return BoardEnd(end, Fr(0), 0.0, joint, 0.0, Fr(3, 4), Fr(0))
    return BoardEnd(end, Fr(0), 0.0, joint, 15.0, Fr(1, 4), TAN_15 / 2)


def skewed(end: int, over: int) -> BoardEnd:
    """An end whose wall is turned 1 in over so many, edge A the longer where positive. Along
    the edge a relief square to it is its hypotenuse: r x sqrt(1 + 1 / over^2)."""
    miter = math.degrees(math.atan(1 / abs(over)))
    along = TAN_15 / 2 * math.sqrt(1 + 1 / over**2)
    return BoardEnd(end, Fr(13, 2) / over, miter, "relief", 15.0, Fr(1, 4), along)


def test_square_ends_are_cut_and_relieved_with_one_stop_each() -> None:
    length, relief = end_passes(Fr(120), (square(1), square(2)), "back")
    assert (length.ends, length.blade, length.stop) == ((1, 2), 0, 120)
    assert (relief.ends, relief.blade) == ((1, 2), 15)
    assert float(relief.stop) == pytest.approx(120 - TAN_15 / 2, abs=1e-12)
    _, show = end_passes(Fr(120), (square(1), square(2)), "show")
    assert float(show.stop) == pytest.approx(120 + TAN_15 / 4, abs=1e-12)


def test_slanted_ends_have_miters_of_their_own_and_one_stop_along_edge_a() -> None:
    first, second, *reliefs = end_passes(Fr(120), (skewed(1, 24), skewed(2, -12)), "back")
    assert (first.ends, first.stop, first.long_point) == ((1,), None, "A")
    assert (second.ends, second.stop, second.long_point) == ((2,), 120, "B")
    # Arctangent of 1/24 and of 1/12, in degrees (tables).
    assert [round(one.miter, 3) for one in (first, second)] == [2.386, 4.764]
    for one, over in zip(reliefs, (24, 12), strict=True):
        along = TAN_15 / 2 * math.sqrt(1 + 1 / over**2)
        assert float(one.stop) == pytest.approx(120 - along, abs=1e-12)


def test_a_bevel_is_one_tilted_cut_and_a_square_end_takes_no_tilt() -> None:
    one, two = (BoardEnd(end, Fr(0), 0.0, "bevel", 3.0, Fr(0), Fr(1, 25)) for end in (1, 2))
    length, bevel = end_passes(Fr(96), (square(1, "square"), two), "back")
    assert (length.ends, length.blade, length.stop) == ((1,), 0, None)
    assert (bevel.ends, bevel.cut, bevel.blade) == ((2,), "length", 3)
    assert bevel.stop == 96 - Fr(1, 25)
    assert end_passes(Fr(96), (one, two), "show")[0].stop == 96
    plain = end_passes(Fr(96), (square(1, "square"), square(2, "square")), "back")
    assert [(one.blade, one.stop) for one in plain] == [(0, 96)]


def test_an_unknown_slant_has_no_pass() -> None:
    unknown = square(2)._replace(offset=None, miter_deg=None)
    assert end_passes(Fr(96), (square(1), unknown), "back") is None
