"""A board that is ripped again: what is done on it already, and which edge takes the cut."""

import copy
from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.cuts.answer_cut import cut_again, steps_opened
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.job.steps import ticks
from tests.job.test_cut_figures import BOTTOM, A, B, Work


@pytest.fixture
def work(record, now):
    return Work(record, now)


def narrowed(work, *, new_board: bool = False):
    """Side B was ripped to 10 in, eased, cleat-lined and cut; then 9 in are wanted."""
    work.to_cut()
    section = work.record.beam("1").section._replace(height=Fr(9))
    work.make(beams.change_beam(work.record, "1", {"section": section}, work.now()))
    change = cut_again(work.record, B, "rip-side", work.now(), new_board=new_board)
    work.make(change)
    return change


def only(work, step):
    [group] = batch_settings(work.record, step, [B]).groups
    return group


def test_the_waste_of_a_second_rip_comes_off_the_top(work) -> None:
    change = narrowed(work)
    assert steps_opened(change) == len(change.edits) - 1
    rip = only(work, "rip-side")
    assert dict(rip.setting) == {"blade tilt": 0, "fence": 9}
    assert rip.own[B] == (
        "ripped to 10 in before: run the bottom edge (eased and cleat line inside) along the "
        "fence, so that the waste, 1 in, comes off the top edge"
    )
    for step in ("ease", "cleat-line"):
        assert only(work, step).own[B] == "done on this board before: check it, then check it off"
    assert not batch_settings(work.record, "rip-side", [A]).groups[0].own


def test_the_ends_of_a_board_that_is_ripped_again_stay(work) -> None:
    """The walls are the same, so a narrower board's ends are the same planes."""
    narrowed(work)
    group = only(work, "cut-side")
    assert (group.machine, group.setting) == ("", ())
    assert group.why.startswith("Both ends are cut already and stay as they are")
    # Read again: 1/8 in less is cut off the ends, with no blank; 1/8 in more takes a new board.
    run = work.record.beam("1").piece("B").latest("run").value
    work.read(B, "run", str(run - Fr(1, 8)))
    groups = batch_settings(work.record, "cut-side", [B]).groups
    assert [one.machine for one in groups] == ["miter saw", "miter saw"]
    work.read(B, "run", str(run + Fr(1, 8)))
    assert only(work, "cut-side").why.endswith("is needed: take a new board.")


def test_nothing_was_done_on_a_new_board(work) -> None:
    narrowed(work)
    assert work.record.beam("1").piece("B").before
    work.tick("rip-side", B)
    section = work.record.beam("1").section._replace(height=Fr(8))
    work.make(beams.change_beam(work.record, "1", {"section": section}, work.now()))
    work.make(cut_again(work.record, B, "rip-side", work.now(), new_board=True))
    assert not work.record.beam("1").piece("B").before
    assert not only(work, "rip-side").own
    assert batch_settings(work.record, "cut-side", [B]).groups[0].machine == "saw stop"


def test_a_board_that_is_too_narrow_is_said(work) -> None:
    work.to_cut()
    section = work.record.beam("1").section._replace(height=Fr(11))
    work.make(beams.change_beam(work.record, "1", {"section": section}, work.now()))
    work.make(cut_again(work.record, B, "rip-side", work.now()))
    assert "too narrow for 11 in: take a new board" in only(work, "rip-side").own[B]


def set_height(work, inches: Fr) -> None:
    section = work.record.beam("1").section._replace(height=inches)
    work.make(beams.change_beam(work.record, "1", {"section": section}, work.now()))


def test_a_held_cut_that_is_taken_back_keeps_what_it_was_cut_to(work) -> None:
    work.tick("rip-side", A, B)
    set_height(work, Fr(12))
    before = copy.deepcopy(work.record.tables["beams"]["1"])
    change = ticks.clear(work.record, A, "rip-side", work.now())
    work.make(change)
    assert change.what.endswith("side A; what was done on this board is kept")
    was = work.record.beam("1").piece("A").before["rip-side"].cut
    assert was is not None
    assert was.figures["height"].exact == 10
    [rip] = batch_settings(work.record, "rip-side", [A]).groups
    assert "ripped to 10 in before, too narrow for 12 in" in rip.own[A]
    # Undone, it waits for an answer again.
    work.make(change.taken_back(1, work.now()))
    assert work.record.tables["beams"]["1"] == before
    assert [one.spot for one in open_cuts(work.record)] == [A, B]
    # Checked off again, what the board was before stays known.
    work.make(change.made_again(1, work.now()))
    work.tick("rip-side", A)
    assert work.record.beam("1").piece("A").before["rip-side"].cut == was


def test_a_check_off_that_asks_nothing_is_taken_back_without_a_board_before(work) -> None:
    work.tick("rip-side", A, B)
    work.make(ticks.clear(work.record, A, "rip-side", work.now()))
    assert not work.record.beam("1").piece("A").before


def test_a_bottom_that_was_cut_shorter_or_narrower_takes_a_new_board(work) -> None:
    work.to_bottom()
    for _ in range(2):
        work.read(BOTTOM, "opening", "192 3/4")
    work.make(cut_again(work.record, BOTTOM, "cut-bottom", work.now()))
    [group] = batch_settings(work.record, "cut-bottom", [BOTTOM]).groups
    assert group.why == (
        "Cut to 192 7/32 in along edge A before, and now 192 23/32 in is needed: take a new board."
    )
    section = work.record.beam("1").section._replace(width=Fr(9))
    work.make(beams.change_beam(work.record, "1", {"section": section}, work.now()))
    work.make(cut_again(work.record, BOTTOM, "rip-bottom", work.now()))
    groups = batch_settings(work.record, "rip-bottom", [BOTTOM]).groups
    assert groups[0].own[BOTTOM] == (
        "the sides are up: measure between the sides first; ripped to 6 1/2 in before, too narrow "
        "for 7 1/2 in: take a new board"
    )
    work.tick("rip-bottom", BOTTOM)
    section = work.record.beam("1").section._replace(width=Fr(10))
    work.make(beams.change_beam(work.record, "1", {"section": section}, work.now()))
    work.make(cut_again(work.record, BOTTOM, "rip-bottom", work.now(), new_board=True))
    own = batch_settings(work.record, "rip-bottom", [BOTTOM]).groups[0].own
    assert own[BOTTOM] == "the sides are up: measure between the sides first"
    [cut, *_] = batch_settings(work.record, "cut-bottom", [BOTTOM]).groups
    assert cut.machine == "miter saw"
