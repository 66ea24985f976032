"""The bottom board's length."""

from fractions import Fraction as Fr

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.trade.cuts.bottom_cut import WIDEST_UNDERCUT, bottom_length


def test_exact_or_a_32nd_under_of_the_trade() -> None:
    # Common practice, no source: cut to the reading or 1/32 in under, never over.
    assert bottom_length(Fr("146.75")) == Fr("146.71875")
    assert bottom_length(Fr("146.75"), Fr(0)) == Fr("146.75")


@given(
    st.fractions(1, 300, max_denominator=64),
    st.fractions(0, WIDEST_UNDERCUT, max_denominator=128),
)
def test_never_over_the_reading_and_never_far_under(reading: Fr, undercut: Fr) -> None:
    length = bottom_length(reading, undercut)
    assert reading - Fr(1, 4) <= length <= reading
    assert length + undercut == reading


@pytest.mark.parametrize(
    ("reading", "undercut", "why"),
    [
        (Fr(100), Fr(-1, 32), "can't be cut -1/32 in short. Type 0 to 1/4 in"),
        (Fr(100), Fr(9, 32), "can't be cut 9/32 in short. Type 0 to 1/4 in"),
        (Fr(0), Fr(0), "leaves nothing of the bottom board once"),
        (Fr(-5), Fr(1, 32), "leaves nothing of the bottom board once"),
        (Fr(1, 32), Fr(1, 32), "leaves nothing of the bottom board once"),
    ],
)
def test_lengths_that_are_refused(reading: Fr, undercut: Fr, why: str) -> None:
    with pytest.raises(BadInput) as caught:
        bottom_length(reading, undercut)
    assert why in str(caught.value)
