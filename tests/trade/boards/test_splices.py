"""Splices; the distances are common practice, no source."""

from fractions import Fraction
from itertools import accumulate, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.trade.boards.splices import Along, SpliceRule, splice

F = Fraction
BUTT = SpliceRule("butt", F(24), F(12), F(24))


def keeps(found, length, longest, rule, partner):
    """Everything that a splice must keep, seen from its parts alone."""
    assert found.parts[0].start == 0
    assert found.parts[-1].end == length
    assert tuple(p.end for p in found.parts[:-1]) == found.splices
    assert all(a.end == b.start for a, b in pairwise(found.parts))
    for place in found.splices:
        assert abs(place - length / 2) >= rule.from_centre
        assert all(abs(place - other) >= rule.apart for other in partner)
    for part in found.parts:
        assert part.length <= longest
        assert part.end - part.start >= rule.shortest
    joints = len(found.splices)
    assert sum(p.length for p in found.parts) == length + joints * rule.overlap


def test_a_board_that_fits_is_left_whole():
    found = splice("A", F(190), F(191), None)
    assert found.splices == ()
    assert [p.length for p in found.parts] == [190]


def test_a_butt_by_hand():
    # 300 in from 191 in stock: the splice at 191 leaves 109, clear of the centre at 150
    found = splice("A", F(300), F(191), BUTT)
    assert (found.splices, [p.length for p in found.parts]) == ((191,), [191, 109])


def test_the_partner_gives_way():
    # B may not come within 24 in of A's splice at 191, so 167, which is 17 from the centre
    found = splice("B", F(300), F(191), BUTT, (F(191),))
    assert found.splices == (167,)


def test_a_splice_keeps_from_the_centre():
    # 200 in from 105 in stock: 88 to 112 is too near the centre, both parts can't be 105
    found = splice("A", F(200), F(105), BUTT)
    assert len(found.splices) == 2
    keeps(found, F(200), F(105), BUTT, ())


def test_a_scarf_takes_its_overlap():
    # 3/4 in boards at 45 degrees overlap by 3/4: each part is cut 3/8 longer
    rule = SpliceRule("scarf", F(24), F(12), F(24))
    found = splice("A", F(300), F(191), rule)
    assert found.splices == (F(191) - F(3, 8),)
    assert [p.length for p in found.parts] == [191, 300 - 191 + F(3, 4)]
    # a flatter scarf, 8 to 1, overlaps by 6
    assert SpliceRule(slope=F(8)).overlap == 6


def test_what_is_kept_clear_of_is_told_along_the_beam():
    # A side at 45 degrees, 10 in high, whose top runs out past end 1: its blank of 310 begins
    # 10 in before the bottom corner, and is not full in the 10 in at either end.
    along = Along(F(-10), F(150), (F(10), F(10)))
    # 191 on the blank is 181 along the beam: 31 from its middle, 24 from a splice at 157.
    assert splice("A", F(310), F(191), BUTT, (F(157),), along).splices == (191,)
    # A splice at 167 along the beam is 14 from there: the splice gives way to 143 + 10, too
    # near the middle, so to 138 + 10.
    assert splice("A", F(310), F(191), BUTT, (F(167),), along).splices == (148,)
    # From where it is full a splice keeps 24: at least 34 on the blank, at most 276.
    far = splice("A", F(310), F(290), BUTT, (), along)
    assert far.splices == (310 - 10 - 24,)


rules = st.builds(
    SpliceRule,
    st.sampled_from(["scarf", "butt"]),
    st.integers(0, 40).map(F),
    st.integers(0, 30).map(F),
    st.integers(1, 40).map(F),
    st.sampled_from([F(1), F(8)]),
)


@given(
    st.integers(100, 320).map(F),
    st.integers(50, 130).map(F),
    rules,
    st.lists(st.integers(20, 300).map(F), max_size=3),
)
def test_what_is_found_keeps_the_rule_and_no_fewer_parts_would(length, longest, rule, partner):
    found = attempt(length, longest, rule, partner)
    # by trying all places, each 1/8 in (every measure here is a whole number of them)
    fewest = fewest_by_trying(length, longest, rule, partner)
    assert (found is None) == (fewest is None)
    if found is not None:
        keeps(found, length, longest, rule, partner)
        assert len(found.splices) == fewest


def attempt(length, longest, rule, partner):
    try:
        return splice("A", length, longest, rule, partner)
    except BadInput as refusal:
        if "can't be spliced from stock" not in str(refusal):
            raise
        return None


def fewest_by_trying(length, longest, rule, partner, grid=8):
    if length <= longest:
        return 0

    def steps(x):
        return int(x * grid)

    half = rule.overlap / 2
    allowed = [
        n
        for n in range(1, steps(length))
        if abs(F(n, grid) - length / 2) >= rule.from_centre
        and all(abs(F(n, grid) - other) >= rule.apart for other in partner)
    ]
    least, end, middle = steps(rule.shortest), steps(longest - half), steps(longest - 2 * half)
    whole = steps(length)
    reach = [n for n in allowed if least <= n <= end]
    number = 1
    while reach:
        if any(least <= whole - n <= end for n in reach):
            return number
        here = set(reach)
        up_to = list(accumulate((n in here for n in range(whole)), initial=0))
        reach = [
            n
            for n in allowed
            if n > least and up_to[n - least + 1] > up_to[max(0, n - max(middle, 0))]
        ]
        number += 1
    return None


@pytest.mark.parametrize(
    ("why", "args"),
    [
        ("and this job allows no splice. Use a longer", (F(300), F(191), None)),
        (
            "long, can't be spliced from stock",
            (F(300), F(191), SpliceRule(from_centre=F(150))),
        ),
        ("long, can't be spliced from stock", (F(300), F(20), BUTT)),
    ],
)
def test_refusals_name_the_piece(refused, why, args):
    told = refused(why, splice, "side A of beam 3", *args)
    assert told["piece"] == "side A of beam 3"


def test_wrong_rules_are_refused(refused):
    refused("isn't a known joint. A splice is a scarf", SpliceRule, "dovetail")
    refused("it must be more than zero", SpliceRule, "butt", shortest=F(0))
    refused("it must be zero or more", SpliceRule, "butt", F(-1))
