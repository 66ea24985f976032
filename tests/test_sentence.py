"""Lengths in a sentence: two that differ never look the same."""

from fractions import Fraction as Fr

import pytest

from crewdesk.errors import BadInput
from crewdesk.length import DEFAULT_STEP, STEPS
from crewdesk.sentence import filled
from crewdesk.trade.cuts.gap import wedge

TEXT = "{gap} in is wider than {back} in."


@pytest.mark.parametrize(
    ("gap", "back", "said"),
    [
        (Fr(3, 16), Fr("0.18418"), "3/16 in is wider than 3/16- in."),
        (Fr("0.19"), Fr("0.18418"), "3/16+ in is wider than 3/16- in."),
        (Fr(3, 16), Fr(3, 16), "3/16 in is wider than 3/16 in."),
        (Fr(3, 16), Fr(1, 8), "3/16 in is wider than 1/8 in."),
        (Fr("0.1968"), Fr(3, 16), "3/16+ in is wider than 3/16 in."),
    ],
)
def test_a_small_remainder_is_signed_where_another_length_looks_the_same(gap, back, said) -> None:
    assert filled(TEXT, {"gap": gap, "back": back}, DEFAULT_STEP) == said


def test_in_millimeters_too() -> None:
    facts = {"gap": Fr(50, 254), "back": Fr("0.192")}
    assert filled(TEXT, facts, STEPS["mm"]) == "5 mm is wider than 5- mm."


def test_a_wedge_just_too_thin_says_so() -> None:
    # 2 x 3/4 x tan 7 degrees: 0.184 in, under 3/16 in.
    with pytest.raises(BadInput, match=r"3/16 in is wider than the wedge's back, 3/16- in"):
        wedge(Fr(3, 4), Fr(7), Fr(3, 16))
