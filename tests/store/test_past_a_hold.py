"""Redo checks nothing off past a cut that waits for an answer; undo comes to no dead end."""

from datetime import timedelta

import pytest

from crewdesk.job.beams import take
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot

A = Spot("1", "A")


@pytest.fixture
def cut(job, walk, now):
    """All sides cut to 147 1/4 in, and back-bevelled."""
    walk(job.record, job.make, "tack", now - timedelta(days=1))
    return job


def read_again(job, at) -> None:
    for minute in range(2):
        when = at + timedelta(minutes=minute)
        typed = take.typed_reading(job.record, "run", "147 5/8", when)
        job.make(take.take(job.record, A, "run", typed))
    assert len(open_cuts(job.record)) == 1


def test_redo_checks_nothing_off_that_is_held_by_now(desk, cut, now, refusing) -> None:
    """The step was checked off here; elsewhere the wall was read again; here the step is
    taken back, which is the latest that was done here, and made again."""
    cut.make(ticks.tick(cut.record, A, "tack", now))
    other = desk.open(cut.id)
    read_again(other, now)
    cut.look()
    cut.undo(now)
    assert "tack" not in cut.record.beam("1").piece("A").steps
    told = refusing(cut.redo, now)
    assert "side A was cut to 147 1/4 in; its readings now make 147 5/8 in" in told
    assert "tack" not in cut.record.beam("1").piece("A").steps
    other.close(now)


def test_undoing_a_take_back_puts_the_check_off_back_and_the_hold_stays(desk, cut, now) -> None:
    """It was checked off before it was taken back; nothing is checked off anew."""
    cut.make(ticks.tick(cut.record, A, "tack", now))
    read_again(cut, now)
    cut.make(ticks.clear(cut.record, A, "tack", now))
    cut.undo(now)
    assert "tack" in cut.record.beam("1").piece("A").steps
    assert len(open_cuts(cut.record)) == 1
    for _ in range(3):  # the readings, then the check-off: undo comes to no dead end
        cut.undo(now)
    assert "tack" not in cut.record.beam("1").piece("A").steps
    assert not open_cuts(cut.record)


def test_it_is_so_too_where_the_hold_came_after_the_take_back(desk, cut, now) -> None:
    cut.make(ticks.tick(cut.record, A, "tack", now))
    cut.make(ticks.clear(cut.record, A, "tack", now))
    other = desk.open(cut.id)
    read_again(other, now)
    cut.look()
    cut.undo(now)
    assert "tack" in cut.record.beam("1").piece("A").steps
    assert len(open_cuts(cut.record)) == 1
    other.close(now)


def test_redo_sees_what_was_saved_elsewhere_first(desk, cut, now, refusing) -> None:
    cut.make(ticks.tick(cut.record, A, "tack", now))
    cut.undo(now)
    other = desk.open(cut.id)
    read_again(other, now)
    refusing(cut.redo, now)
    assert "tack" not in cut.record.beam("1").piece("A").steps
    other.close(now)


def test_what_was_done_before_the_question_comes_back_with_it(cut, now) -> None:
    """Cutting again opens later steps; undoing that brings them and the question back."""
    from crewdesk.job.cuts.answer_cut import cut_again

    cut.make(ticks.tick(cut.record, A, "tack", now))
    read_again(cut, now)
    cut.make(cut_again(cut.record, A, "cut-side", now))
    cut.undo(now)
    assert "tack" in cut.record.beam("1").piece("A").steps
    assert len(open_cuts(cut.record)) == 1
    cut.redo(now)
    assert not open_cuts(cut.record)
