from decimal import Decimal
from fractions import Fraction

import pytest

from crewdesk.trade.boards import lumber
from crewdesk.trade.boards.lumber import (
    Sawn,
    board_feet,
    dressed,
    hardwood_thickness,
    price_of_board,
    surface_measure,
    tally,
    unrounded_board_feet,
)

F, D = Fraction, Decimal


@pytest.mark.parametrize(
    ("nominal", "thickness", "width"),
    [
        # printed lumber tables after PS 20
        ("1x4", F(3, 4), F(7, 2)),
        ("1 x 6", F(3, 4), F(11, 2)),
        ("1X8", F(3, 4), F(29, 4)),
        ("1x10", F(3, 4), F(37, 4)),
        ("1x12", F(3, 4), F(45, 4)),
        ("2x4", F(3, 2), F(7, 2)),
        ("2x12", F(3, 2), F(45, 4)),
        # from memory
        ("1x2", F(3, 4), F(3, 2)),
        ("1x3", F(3, 4), F(5, 2)),
        ("5/4x6", F(1), F(11, 2)),
    ],
)
def test_dressed_sizes(nominal, thickness, width):
    found = dressed(nominal)
    assert (found.thickness, found.width) == (thickness, width)


def test_hardwood_surfaced_two_sides():
    # printed table of hardwood thicknesses: 13/16, 1-1/16, 1-5/16, 1-3/4, 2-3/4, 3-3/4
    told = [hardwood_thickness(q) for q in ("4/4", "5/4", "6/4", "8/4", "12/4", "16/4")]
    assert told == [F(13, 16), F(17, 16), F(21, 16), F(7, 4), F(11, 4), F(15, 4)]


def test_every_measure_names_its_source_and_is_below_the_nominal():
    for table in (lumber.SOFTWOOD_THICKNESS, lumber.SOFTWOOD_WIDTH, lumber.HARDWOOD_THICKNESS):
        for name, measure in table.items():
            assert measure.source
            assert measure.inches < F(name)


def test_surface_measure_worked_example():
    # American Hardwood Information Center: 2 in x 6-1/4 in x 8 ft is 4-1/6, so 4, so 8
    board = Sawn(F(2), F(25, 4), 8)
    assert surface_measure(board) == 4
    assert board_feet(board) == 8


def test_halves_go_up_and_down_in_turn():
    # 9 in x 6 ft = 4-1/2: up, down, up
    assert [surface_measure(Sawn(F(1), F(9), 6), half_up=up) for up in (True, False)] == [5, 4]
    assert tally([Sawn(F(1), F(9), 6)] * 3) == 5 + 4 + 5
    assert tally([Sawn(F(1), F(9), 6), Sawn(F(1), F(6), 8), Sawn(F(1), F(9), 6)]) == 5 + 4 + 4


def test_thin_lumber_counts_as_one_inch_and_thick_as_it_is():
    assert board_feet(Sawn(F(3, 4), F(6), 8)) == 4
    assert board_feet(Sawn(F(5, 4), F(6), 8)) == 5


def test_unrounded_board_feet():
    # printed worked example: 1 x 9 x 96 / 144 = 6
    assert unrounded_board_feet(F(1), F(9), F(96)) == 6


def test_price_of_a_board():
    assert price_of_board(D("19.40"), "piece", F(144)) == D("19.40")
    assert price_of_board(D("1.615"), "foot", F(144)) == D("19.38")
    # 8 board feet at 4.255 = 34.04; half a cent goes up: 1 x 0.125 = 0.13
    assert price_of_board(D("4.255"), "board foot", F(96), F(8)) == D("34.04")
    assert price_of_board(D("0.125"), "board foot", F(96), F(1)) == D("0.13")


@pytest.mark.parametrize(
    ("why", "function", "args"),
    [
        ("isn't a known size. Thicknesses are", dressed, ("1x7",)),
        ("isn't a known size. Thicknesses are", dressed, ("3x4",)),
        ("isn't a known size. Thicknesses are", dressed, ("",)),
        ("isn't a known thickness. Known are", hardwood_thickness, ("7/4",)),
        ("it must be more than zero", Sawn, (F(1), F(0), 8)),
        ("it must be zero or more", price_of_board, (D(-1), "piece", F(96))),
        ("Type it per piece, per foot or", price_of_board, (D(1), "metre", F(96))),
    ],
)
def test_refusals(refused, why, function, args):
    refused(why, function, *args)
