import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.boards.consumables import (
    CUBIC_INCHES_PER_FLUID_OUNCE,
    Spare,
    adhesive,
    feet_of_bead,
    glue,
    nails,
    nails_along,
    packs,
    sandpaper,
    tape,
    wedges,
    with_spare,
)

F = Fraction


@pytest.mark.parametrize(
    ("ounces", "cubic_inches"),
    # a sealant dealer's printed table: quart cartridges filled to 27 and 30 oz
    [(27, 48.7), (30, 54.1)],
)
def test_a_tubes_volume_against_a_printed_table(ounces, cubic_inches):
    assert round(float(ounces * CUBIC_INCHES_PER_FLUID_OUNCE), 1) == cubic_inches


@pytest.mark.parametrize(
    ("ounces", "bead", "feet"),
    # reckoned from 231/128 cubic inches per fluid ounce and a round bead; no maker's
    # coverage line was at hand
    [(10, "1/4", 30.6), (28, "1/4", 85.8), (10, "3/8", 13.6), (28, "3/8", 38.1)],
)
def test_feet_of_bead(ounces, bead, feet):
    assert round(feet_of_bead(F(ounces), F(bead)), 1) == feet


@pytest.mark.parametrize(
    ("ounces", "wide", "deep", "feet"),
    [
        # a chart of the feet that a 10 ounce tube fills at most (angi.com, construction
        # sealants); its column for 3/8 in is left out, which three of its rows contradict
        *((10, "1/4", "1/8", 48), (10, "1/4", "3/8", 16), (10, "1/4", "1/2", 12)),
        *((10, "1/2", "1/8", 24), (10, "1/2", "3/8", 8), (10, "1/2", "1/2", 6)),
        # another printed list, for a 10.3 ounce cartridge
        *((10.3, "1/4", "1/4", 25), (10.3, "3/8", "3/8", 11), (10.3, "3/4", "3/8", 5.5)),
    ],
)
def test_feet_against_printed_coverage_of_joints(ounces, wide, deep, feet):
    # A bead is round: it has the section of the joint at this diameter.
    diameter = (4 / math.pi * float(F(wide)) * float(F(deep))) ** 0.5
    assert feet_of_bead(F(str(ounces)), F(diameter)) == pytest.approx(feet, rel=0.01)


def test_twice_the_bead_goes_a_quarter_as_far():
    assert feet_of_bead(F(10), F(1, 2)) == pytest.approx(feet_of_bead(F(10), F(1, 4)) / 4)


def test_tubes_are_whole_and_enough():
    # 30.6 ft to a tube: 12 runs of 10 ft with a tenth of waste are 132 ft, 4.31 tubes
    found = adhesive([F(120)] * 12, F(1, 4), F(10))
    assert (found.amount, found.buy) == (132, 5)


def test_glue_against_the_coating_trades_constant():
    # one gallon, 128 oz, covers 1604 square feet at one mil (printed in coating guides)
    found = glue(F(1604 * 144), F(1), F(128))
    assert found.buy == 1
    assert float(found.amount) == pytest.approx(128, abs=0.02)
    assert glue(F(1605 * 144), F(1), F(128)).buy == 2


@pytest.mark.parametrize(
    ("length", "spacing", "from_end", "number"),
    [
        # by hand: 96 less 2 at each end is 92; 8 spaces of 11-1/2, so 9 nails
        (96, 12, 2, 9),
        (100, 12, 2, 9),
        (101, 12, 2, 10),
        (4, 12, 2, 1),
        (5, 12, 2, 2),
        (3, 12, 2, 1),
    ],
)
def test_nails_along_a_run(length, spacing, from_end, number):
    assert nails_along(F(length), F(spacing), F(from_end)) == number


@given(st.integers(1, 400), st.integers(1, 24), st.integers(0, 6))
def test_no_two_nails_are_further_apart_than_asked(length, spacing, from_end):
    number = nails_along(F(length), F(spacing), F(from_end))
    between = length - 2 * from_end
    if number > 1:
        assert F(between, number - 1) <= spacing
    if number > 2:
        assert F(between, number - 2) > spacing


def test_boxes_rolls_sheets_and_wedges_by_hand():
    assert nails([F(96)] * 10, F(12), F(2), 1000, F(5)).amount == F(945, 10)
    # a roll of 60 yd is 2160 in: 17 runs of 120 and a tail of 4 are 2108, 18 are 2232
    assert tape([F(120)] * 17).buy == 1
    assert tape([F(120)] * 18).buy == 2
    # 288 square inches are 2 square feet, two grits 4, at 3 to a sheet
    assert sandpaper(F(288), F(3), 2).buy == 2
    # a third of 10 joints is 4 of 12 in: 48 in of a 96 in board
    assert (wedges(10, F(100, 3), F(12), F(96)).amount, wedges(10, F(0), F(12), F(96)).buy) == (
        48,
        0,
    )


def test_the_spare_rule_is_a_percentage_or_a_count_whichever_is_more():
    assert with_spare(41, Spare(F(10))) == 46
    assert with_spare(40, Spare(F(10))) == 44
    assert with_spare(4, Spare(F(10), 2)) == 6
    assert with_spare(41, Spare()) == 41
    assert with_spare(0, Spare(F(10), 2)) == 0


@given(st.fractions(0, 1000), st.fractions(F(1, 10), 100))
def test_packs_are_enough_and_one_less_is_not(amount, pack):
    found = packs(amount, pack)
    assert found.buy * pack >= amount
    assert found.buy == 0 or (found.buy - 1) * pack < amount


def test_wrong_values_are_refused(refused):
    refused("it must be zero or more", Spare, F(-1))
    refused("it must be zero or more", Spare, F(1), -1)
    refused("it must be zero or more", with_spare, -1, Spare())
    refused("it must be zero or more", packs, F(-1), F(1))
    refused("A pack has 0; type a number above zero", packs, F(1), F(0))
    refused("can't be nailed; it must be more than zero", nails_along, F(0), F(1), F(0))
    refused("it must be more than zero", nails_along, F(9), F(0), F(0))
    refused("it must be zero or more", nails_along, F(9), F(1), F(-1))
    refused("it must be more than zero", feet_of_bead, F(10), F(0))
    refused("A pack has 0; type a number above zero", feet_of_bead, F(0), F(1, 4))
    refused("it must be more than zero", glue, F(9), F(0), F(8))
    refused("it must be zero or more", wedges, -1, F(1), F(1), F(1))
