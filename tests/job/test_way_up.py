"""Which end of a board goes up first and which back is beveled: one wording everywhere."""

import math
from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import take
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.dry_fit import dry_fit_sheet
from crewdesk.trade.cuts.dry_fit import (
    SPRINGS,
    FlatBoard,
    FlatEnd,
    FlatRoom,
    SideRoom,
    flat_fit,
    side_fit,
)

A, B, BOTTOM = (Spot("1", key) for key in ("A", "B", "bottom"))
FIRST = "put end 1 up first, then swing end 2 in"
SWINGS = (
    "back bevel at end 2: set 5.00\u00b0 from 1 in up, to let it swing in; "
    "the part below stays square"
)
SQUARED = (
    "back bevel at end 1: set 5.00\u00b0 from 1 in up, 1/32 in or more off the back, for the "
    "wall out of square; pare as much off the part below"
)


def out_at_the_top(record, now) -> None:
    """Both walls go away from the beam above: a side goes in one end first. At end 1 the wall is
    out of square by 1/32, so side A's back loses 3/4 / 32 there."""
    squares = (TypedSquare(1, "3/4", "24", "A"), TypedSquare(2, "0", "24", "A"))
    record.make(read_squares(record, "1", squares, now))
    for spot in (A, B):
        for what, gap in (("run", "147"), ("end1", "1/4"), ("end2", "1/4")):
            one = take.typed_reading(record, what, gap, now, lean="out", level="24")
            record.make(take.take(record, spot, what, one))


def test_every_place_says_the_same(record, now) -> None:
    out_at_the_top(record, now)
    listed = cut_list("x", record).lines
    tried = dry_fit_sheet("x", record).lines
    assert f"{FIRST}; {SQUARED}; {SWINGS}" in [line.strip() for line in listed]
    found = [line.strip() for line in tried]
    at = found.index(FIRST)
    assert found[at : at + 3] == [FIRST, SQUARED, SWINGS]
    for step in ("tack", "nail-side"):
        [group] = batch_settings(record, step, [A, B]).groups
        assert group.own == {
            A: f"{FIRST}; {SQUARED}; {SWINGS}",
            B: f"{FIRST}; {SWINGS}",
        }
    beveled = batch_settings(record, "back-bevel", [A, B]).groups
    assert {one.own[A] for one in beveled if A in one.own} == {
        f"{FIRST}; {SQUARED}",
        f"{FIRST}; {SWINGS}",
    }
    assert not any("stays square" in note for one in beveled for note in one.notes)


@pytest.mark.parametrize(("length", "pared"), [(144, False), (10, False), (8, True)])
def test_a_swing_needs_the_lowest_inch_pared_only_past_what_a_board_springs(length, pared) -> None:
    """Swung in plan about the far end's show corner, a square end's back corner sweeps
    sqrt(L^2 + t^2) - L past the show face: by Pythagoras, 0.002 in at 144 in, 0.028 in at 10 in
    and 0.035 in at 8 in. A board springs 1/32 in."""
    thick = Fr(3, 4)
    assert (math.hypot(length, thick) - length > SPRINGS) == pared
    room = SideRoom(Fr(length), (Fr(-1, 96), Fr(-1, 96)), (Fr(0), Fr(0)))
    (bevel,) = side_fit(room, Fr(length), (Fr(-1, 10), Fr(-1, 10)), Fr(10), thick).bevels
    assert (bevel.end, bevel.swings, bevel.pare) == (2, True, pared)
    skewed = room._replace(behind=(Fr(0), Fr(1, 32)))
    (bevel,) = side_fit(skewed, Fr(length), (Fr(-1, 10), Fr(-1, 10)), Fr(10), thick).bevels
    assert bevel.pare


@pytest.mark.parametrize(("walls", "first"), [((1, 2), 2), ((2, 1), 1)])
def test_a_bottom_goes_in_at_the_wall_that_goes_out_more_first(walls, first) -> None:
    """Tilted, the end that hangs lower needs its own wall to go out the less."""
    out = (Fr(-walls[0], 96), Fr(-walls[1], 96))
    room = FlatRoom(Fr(144), (Fr(0), Fr(0)), out, Fr(13, 2))
    square = FlatEnd(Fr(0), Fr(1, 4), Fr(1, 8))
    fit = flat_fit(room, FlatBoard(Fr(144), Fr(13, 2) - Fr(1, 32), Fr(3, 4), (square, square)))
    assert (fit.way, fit.first) == ("one end first", first)
