from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.books.rounding import Share, batch_shares, shares

_WEIGHTS = st.lists(st.integers(0, 25_600).map(lambda n: Fraction(n, 64)), min_size=1, max_size=12)


@given(st.integers(0, 10**6), _WEIGHTS)
def test_shares_add_up_and_none_is_off_by_a_whole_second(total, weights):
    found = shares(total, weights)
    assert sum(found) == total
    whole = sum(weights)
    for part, weight in zip(found, weights, strict=True):
        fair = total * weight / whole if whole else Fraction(total, len(weights))
        assert abs(part - fair) < 1


@given(st.integers(0, 10**6), st.integers(1, 40))
def test_even_shares_differ_by_a_second_at_most(total, count):
    found = shares(total, [1] * count)
    assert found == tuple(sorted(found, reverse=True))
    assert max(found) - min(found) <= 1


@given(st.integers(0, 10**5), _WEIGHTS, st.integers(1, 50))
def test_only_proportions_count(total, weights, scale):
    assert shares(total, weights) == shares(total, [w * scale for w in weights])


# The United States' first apportionment as Hamilton's method gives it: 120 seats by the
# census of 1790, his own bill's outcome (Balinski and Young, Fair Representation; from memory).
def test_hamiltons_own_apportionment():
    people = {
        "Virginia": 630_560, "Massachusetts": 475_327, "Pennsylvania": 432_879,
        "North Carolina": 353_523, "New York": 331_589, "Maryland": 278_514,
        "Connecticut": 236_841, "South Carolina": 206_236, "New Jersey": 179_570,
        "New Hampshire": 141_822, "Vermont": 85_533, "Georgia": 70_835,
        "Kentucky": 68_705, "Rhode Island": 68_446, "Delaware": 55_540,
    }  # fmt: skip
    seats = (21, 16, 14, 12, 11, 9, 8, 7, 6, 5, 3, 2, 2, 2, 2)
    assert shares(120, list(people.values())) == seats


def test_a_batch_is_shared_by_length_or_evenly():
    pieces = [
        ("B1 side A", Fraction(120)),
        ("B1 side B", Fraction(120)),
        ("B2 side A", Fraction(60)),
    ]
    assert batch_shares(1001, pieces) == (
        Share("B1 side A", 401), Share("B1 side B", 400), Share("B2 side A", 200),
    )  # fmt: skip
    assert [s.seconds for s in batch_shares(1001, pieces, "evenly")] == [334, 334, 333]


def test_a_length_that_is_a_float_is_taken_as_it_is():
    assert shares(3, [0.5, 1.0]) == (1, 2)


def test_pieces_without_a_length_share_evenly():
    assert shares(5, [0, 0]) == (3, 2)


@pytest.mark.parametrize(
    ("why", "arguments"),
    [
        ("can't be made; it must be zero", (-1, [1])),
        ("A piece has a length below zero. Lengths", (10, [1, -1])),
        ("There is no piece to share the time among", (10, [])),
    ],
)
def test_what_can_not_be_shared_is_refused(why, arguments, refused):
    refused(why, shares, *arguments)


def test_a_way_must_be_known(refused):
    refused(
        "isn't a way to share a batch's time. Type",
        batch_shares,
        10,
        [("a", Fraction(1))],
        "fairly",
    )
