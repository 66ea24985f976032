"""A top board whose edges differ waits for the squares, and asks once they say how it slants."""

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.beams.missing import NO_SLANT, missing
from crewdesk.job.cuts.answer_cut import keep_cut
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.job.steps import ticks
from crewdesk.job.steps.gates import unmet
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.progress import progress
from tests.job.test_cut_figures import A, B, Spot, Work

TOP, CLEATS = Spot("1", "top"), Spot("1", "cleats")


@pytest.fixture
def work(record, now):
    """A box whose sides are 1/2 in apart, cut to length, and whose top is ripped."""
    record.make(beams.change_beam(record, "1", {"form": "box"}, now))
    work = Work(record, now)
    stages = work.record.stages
    for run, side in (("192 1/2", A), ("192", B)):
        for _ in range(2):
            work.read(side, "run", run)
            work.read(side, "end1", "0", "in")
            work.read(side, "end2", "0", "in")
    for side in (A, B):
        piece = work.record.beam("1").piece(side.piece)
        for step in stages.steps_of("side", piece.traits):
            if step.id in ("back-bevel", "nail-side"):
                break
            work.tick(step.id, side)
    top = work.record.beam("1").piece("top")
    for step in stages.steps_of("top", top.traits):
        if step.id == "fix-top":
            break
        work.tick(step.id, TOP)
    return work


def squares(work, *typed) -> str:
    made = tuple(TypedSquare(end, *one) for end, one in enumerate(typed, 1))
    return work.make(read_squares(work.record, "1", made, work.now()))


def needs(work) -> str:
    """What the top's own needs lack, whatever else is held."""
    beam, stages = work.record.beam("1"), work.record.stages
    return unmet(stages, beam, beam.piece("top"), stages.step("fix-top")) or ""


def of_top(work):
    return [one for one in open_cuts(work.record) if one.spot == TOP]


def in_cut_list(work, words: str) -> bool:
    return any(words in line for line in cut_list("hill", work.record).lines)


def test_it_waits_for_the_squares_as_a_bottom_does(work) -> None:
    said = needs(work)
    assert said == (
        "Edge A and edge B of Great room Ridge top differ by 13/32 in, by the sides' "
        "readings, and nothing says at which end the slant is. Measure the walls with the square."
    )
    assert in_cut_list(work, "slant not known")
    assert any(one.spot == TOP and one.why == NO_SLANT for one in missing(work.record))
    lines = progress("hill", work.record).lines
    ready = lines[lines.index("Ready") :] if "Ready" in lines else ()
    assert not any("Cut the top to length" in one for one in ready)
    squares(work, ("3/2", "24", "A"), ("0", "24", "A"))
    assert needs(work) == ""
    assert not any(one.why == NO_SLANT for one in missing(work.record))


def test_one_square_leaves_the_rest_to_the_other_wall(work) -> None:
    squares(work, ("3/2", "24", "A"))
    assert needs(work) == ""


def test_equal_edges_need_no_square(work) -> None:
    for _ in range(2):
        work.read(A, "run", "192")
    assert needs(work) == ""


def cut_anyway(work) -> None:
    passed = ticks.tick(work.record, TOP, "fix-top", work.now(), override="the customer waits")
    work.make(passed)
    assert not of_top(work)


@pytest.fixture
def cut(work):
    """The top is cut though its slant wasn't known."""
    cut_anyway(work)
    return work


def test_cut_before_its_slant_was_known_it_asks(cut) -> None:
    squares(cut, ("3/2", "24", "A"), ("0", "24", "A"))
    (one,) = of_top(cut)
    assert (one.step_id, one.held) == ("fix-top", True)
    said = "Its slant wasn't known when it was cut. Its slant is now edge A past edge B by"
    assert said in one.told
    cut.make(keep_cut(cut.record, TOP, "fix-top", "sanded to fit", cut.now()))
    assert not of_top(cut)
    # Another slant than the one that was answered for asks again.
    squares(cut, ("0", "24", "A"), ("3/2", "24", "A"))
    assert of_top(cut)


def test_a_slant_too_small_to_see_asks_nothing(work) -> None:
    """With 1/32 in between the edges there is nothing to ask."""
    for _ in range(2):
        work.read(A, "run", "192 1/32")
    assert "differ by 1/32 in" in needs(work)
    cut_anyway(work)
    squares(work, ("0", "24", "A"), ("0", "24", "A"))
    assert not of_top(work)
