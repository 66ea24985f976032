"""The sheet of settings: never more settings than any other order would take."""

from fractions import Fraction
from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.trade.cuts.settings import Need, setting_sheet, times_set

F = Fraction


def saw(piece: str, length: int, tilt: int, fence: int) -> Need:
    return Need(piece, "saw", F(length), (("tilt", F(tilt)), ("fence", F(fence))))


needs = st.lists(
    st.builds(
        lambda machine, length, one, two: Need(
            "p", machine, F(length), (("tilt", F(one)), ("fence", F(two)))
        ),
        st.sampled_from(("saw", "planer")),
        st.integers(20, 200),
        st.integers(0, 2),
        st.integers(5, 7),
    ),
    max_size=6,
)


@given(needs)
def test_no_order_sets_the_machines_less_often(given_needs: list[Need]) -> None:
    """Every order of the pieces is tried and counted; none does with fewer settings."""
    sheet = setting_sheet(given_needs)
    fewest = min(times_set(order) for order in permutations(given_needs))
    assert sheet.times_set == fewest
    worked = [need for group in sheet.groups for need in group.needs]
    assert times_set(worked) == sheet.times_set
    assert sheet.times_set <= sheet.beam_by_beam == times_set(given_needs)


@given(needs)
def test_every_piece_stands_once_and_the_longest_first(given_needs: list[Need]) -> None:
    sheet = setting_sheet(given_needs)
    worked = [need for group in sheet.groups for need in group.needs]
    key = repr
    assert sorted(worked, key=key) == sorted(given_needs, key=key)
    for group in sheet.groups:
        assert all(a.length >= b.length for a, b in pairwise(group.needs))
        assert {(n.machine, n.setting) for n in group.needs} == {(group.machine, group.setting)}


@given(needs)
def test_the_slowest_part_is_set_once_for_each_of_its_values(given_needs: list[Need]) -> None:
    sheet = setting_sheet(given_needs)
    for machine in {need.machine for need in given_needs}:
        tilts = [group.setting[0] for group in sheet.groups if group.machine == machine]
        changes = 1 + sum(a != b for a, b in pairwise(tilts))
        assert changes == len(set(tilts))


def test_two_beams_by_hand() -> None:
    """Sides at 10, bottoms at 6 1/2 with 15 degrees: four settings beam by beam, two here."""
    pieces = [
        saw("1 side", 120, 0, 10),
        saw("1 bottom", 119, 15, 6),
        saw("2 side", 144, 0, 10),
        saw("2 bottom", 143, 15, 6),
    ]
    sheet = setting_sheet(pieces)
    assert (sheet.times_set, sheet.beam_by_beam) == (2, 4)
    assert [[n.piece for n in group.needs] for group in sheet.groups] == [
        ["2 bottom", "1 bottom"],
        ["2 side", "1 side"],
    ]


def test_nothing_to_do_is_an_empty_sheet() -> None:
    sheet = setting_sheet([])
    assert (sheet.groups, sheet.times_set, sheet.beam_by_beam) == ((), 0, 0)


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda: Need("p", "saw", F(9), ()), "Type at least one"),
        (lambda: Need("p", "saw", F(9), (("fence", F(-1)),)), "it must be zero or more"),
        (
            lambda: setting_sheet([saw("p", 9, 0, 5), Need("q", "saw", F(9), (("fence", F(5)),))]),
            "has other settings for the",
        ),
    ],
)
def test_what_is_no_setting(make: object, why: str) -> None:
    with pytest.raises(BadInput) as told:
        make()  # type: ignore[operator]
    assert why in str(told.value)
