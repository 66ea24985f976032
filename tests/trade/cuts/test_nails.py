"""Nails: what they hold and what comes through."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.trade.cuts.nails import CLEAR, GAUGES, SET_BELOW, Stack, longest_nail, nail

F = Fraction
TWO = Stack((F(3, 4), F(3, 4)))


def test_a_cleat_on_a_side() -> None:
    """Common practice, no source: 1 1/4 in goes into two 3/4 in thicknesses, 1 1/2 comes
    through."""
    made = nail(TWO, F(5, 4))
    assert made.hold == F(1, 2)
    assert made.left == F(3, 16)
    assert made.cautions == ()
    assert longest_nail(TWO).length == F(5, 4)
    with pytest.raises(BadInput) as told:
        nail(TWO, F(3, 2))
    assert "of it when its head is set. At most" in str(told.value)
    assert told.value.facts["longest"] == F(21, 16)


@pytest.mark.parametrize(
    ("number", "printed"), [(15, ".072"), (16, ".063"), (18, ".048"), (23, ".025")]
)
def test_gauges_as_makers_print_them(number: int, printed: str) -> None:
    """Makers' catalogues; ASTM F1667 itself not seen."""
    assert GAUGES[number].diameter == F(printed)


@given(
    st.lists(st.integers(8, 64), min_size=2, max_size=4),
    st.integers(8, 100),
    st.sampled_from(sorted(GAUGES)),
)
def test_the_point_is_where_it_is_told(thick32: list[int], length32: int, gauge: int) -> None:
    """The nail is walked piece by piece: its parts in them and what is left make the whole."""
    pieces, length = tuple(F(t, 32) for t in thick32), F(length32, 32)
    depth, parts = length, []
    for piece in pieces:
        parts.append(min(piece, depth))
        depth -= parts[-1]
    inside = length + SET_BELOW + CLEAR <= sum(pieces)
    if parts[1] == 0 or not inside:
        with pytest.raises(BadInput):
            nail(Stack(pieces), length, gauge)
        return
    made = nail(Stack(pieces), length, gauge)
    assert made.hold == parts[1]
    assert made.left is not None
    assert length + SET_BELOW + made.left == sum(pieces)
    assert made.left >= CLEAR
    best = [n for n in GAUGES[gauge].lengths if pieces[0] < n <= sum(pieces) - SET_BELOW - CLEAR]
    if best:
        assert longest_nail(Stack(pieces), gauge).length == max(best)
    else:
        with pytest.raises(BadInput):
            longest_nail(Stack(pieces), gauge)


def test_into_framing_nothing_comes_through() -> None:
    made = longest_nail(Stack((F(3, 4),), into_framing=True), 15)
    assert (made.length, made.hold, made.left) == (F(5, 2), F(7, 4), None)
    (wires,) = made.cautions
    assert "Look for wires and pipes" in str(wires)


def test_cautions() -> None:
    made = nail(TWO, F(15, 16))
    little, unusual = made.cautions
    assert "so glue it too" in str(little)
    assert "isn't usual for that gauge" in str(unusual)


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda: Stack((F(3, 4),)), "A nail holds one piece to another. Type at"),
        (lambda: Stack((), into_framing=True), "A nail holds one piece to another. Type at"),
        (lambda: Stack((F(3, 4), F(0))), "thick; it must be more than zero"),
        (lambda: nail(TWO, F(0)), "it must be more than zero"),
        (lambda: nail(TWO, F(3, 4)), "doesn't get past the first piece"),
        (lambda: nail(TWO, F(1), 17), "isn't known. Known are"),
        (
            lambda: longest_nail(Stack((F(1, 4), F(1, 4)))),
            "gauge nail as sold gets past the first piece",
        ),
    ],
)
def test_what_is_not_driven(make: object, why: str) -> None:
    with pytest.raises(BadInput) as told:
        make()  # type: ignore[operator]
    assert why in str(told.value)
