"""Which cuts a change asks about, whichever is answered first, and what it is put down to.

That a board which is cut counts as it was cut, and that what is set has no accuracy of a
reading, is common practice, no source.
"""

from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.beams.chosen_cuts import own_cut
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.change import Change, edit
from crewdesk.job.cuts.answer_cut import cut_again, keep_cut, take_back
from crewdesk.job.cuts.changed_cuts import changed_cuts
from crewdesk.job.cuts.cut_figures import KeptCut
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.job.steps.ticks import tick
from tests.job.test_cut_figures import BOTTOM, CLEATS, A, B, Work

WHY = "packed out at the wall"


@pytest.fixture
def work(record, now):
    return Work(record, now)


def section(work, **fields) -> str:
    new = work.record.beam("1").section._replace(**fields)
    return work.make(beams.change_beam(work.record, "1", {"section": new}, work.now()))


def keep(work, spot, step) -> str:
    return work.make(keep_cut(work.record, spot, step, WHY, work.now()))


def asked(work) -> set[tuple[str, str]]:
    return {(one.spot.piece, one.step_id) for one in open_cuts(work.record)}


@pytest.mark.parametrize("order", [1, -1])
def test_a_change_of_the_height_asks_about_both_rips_alone(work, order) -> None:
    """Neither board nor the ceiling changed, so what both were scribed at stays right."""
    work.to_scribed()
    section(work, height=Fr(19, 2))
    every = {("A", "rip-side"), ("B", "rip-side")}
    assert asked(work) == every
    assert work.gate(CLEATS, "fix-cleats")
    for spot in (A, B)[::order]:
        assert keep(work, spot, "rip-side") == ""
        every -= {(spot.piece, "rip-side")}
        assert asked(work) == every


def test_a_partner_that_is_cut_again_opens_the_scribe_of_a_kept_board(work) -> None:
    """Both take one setting, and B's height is another then."""
    work.to_scribed()
    section(work, height=Fr(19, 2))
    keep(work, A, "rip-side")
    work.make(cut_again(work.record, B, "rip-side", work.now()))
    assert asked(work) == set()
    assert "scribe" not in work.record.beam("1").piece("A").steps


@pytest.mark.parametrize("order", [1, -1])
def test_thicker_sides_ask_as_often_whichever_is_answered_first(work, order) -> None:
    work.to_bottom()
    section(work, side_thickness=Fr(1))
    count = len(open_cuts(work.record))
    while every := open_cuts(work.record):
        keep(work, every[::order][0].spot, every[::order][0].step_id)
        assert len(open_cuts(work.record)) == len(every) - 1
    assert count == 2  # side A and side B; not what goes by the boards as cut, as the cleats do


def test_a_bottom_ripped_from_other_stock_holds_what_goes_by_its_thickness(work) -> None:
    for step in ("rip-side", "ease", "sand", "cleat-line"):
        work.tick(step, A, B)
    work.tick("rip-bottom", BOTTOM)
    section(work, bottom_thickness=Fr(1, 2))
    assert asked(work) == {("bottom", "rip-bottom")}
    assert "bottom was ripped from 3/4 in stock" in work.gate(A, "tape")
    keep(work, BOTTOM, "rip-bottom")
    assert not work.gate(A, "tape")


def test_sides_of_another_height_hold_a_partners_scribe(work) -> None:
    work.to_level()
    work.ceiling()
    work.tick("scribe", A)
    section(work, height=Fr(19, 2))
    keep(work, B, "rip-side")
    assert "side A was ripped to 10 in wide" in work.gate(B, "scribe")


@pytest.mark.parametrize("again", [False, True])
def test_a_change_of_section_after_keep_asks_whatever_was_read_again(work, again) -> None:
    work.to_bottom()
    for _ in range(2):
        work.read(BOTTOM, "opening", "192")
    keep(work, BOTTOM, "cut-bottom")
    if again:
        work.read(BOTTOM, "opening", "192")
    assert not open_cuts(work.record)
    told = section(work, undercut=Fr(3, 32))
    assert "bottom was cut to 192 7/32 in" in told
    assert work.gate(BOTTOM, "nail-bottom")


@pytest.mark.parametrize("kept", [False, True])
def test_a_change_of_ones_own_length_asks_whatever_was_read_again(work, kept) -> None:
    work.to_bottom()
    work.make(own_cut(work.record, BOTTOM, "192 1/8", "", "", work.now()))
    if kept:
        keep(work, BOTTOM, "cut-bottom")
    else:
        work.make(cut_again(work.record, BOTTOM, "cut-bottom", work.now()))
        work.tick("cut-bottom", BOTTOM)
    work.read(BOTTOM, "opening", "192 1/4")
    assert not open_cuts(work.record)
    told = work.make(own_cut(work.record, BOTTOM, "192 1/16", "", "", work.now()))
    assert "its own length now makes 192 1/16 in" in told


def test_an_answer_comes_back_with_what_was_set_then(work) -> None:
    work.to_bottom()
    section(work, width=Fr(9))
    keep(work, BOTTOM, "rip-bottom")
    kept = work.mark(BOTTOM, "rip-bottom").kept
    assert kept.section["width"] == "9"
    assert KeptCut.from_doc(kept.to_doc()) == kept
    old = {key: one for key, one in kept.to_doc().items() if key not in ("section", "settings")}
    assert KeptCut.from_doc(old).section is None


def test_only_what_a_cut_follows_is_blamed_and_put_back(work) -> None:
    """A side's length follows its readings, not what is taken off the bottom's length."""
    work.to_cut()
    section(work, undercut=Fr(1, 8), width=Fr(9))
    for _ in range(2):
        told = work.read(A, "run", "192 3/4")
    (one,) = [one for one in changed_cuts(work.record.beam("1")) if one.held]
    assert (one.causes, one.settings) == (("readings",), ())
    assert "its readings now make" in one.told, told
    change = take_back(work.record, A, "cut-side", work.now())
    assert change.what == "put the readings of Great room Ridge side A back to what it was cut by"
    work.make(change)
    assert (work.record.beam("1").section.undercut, asked(work)) == (Fr(1, 8), set())


def test_of_a_section_only_the_fields_that_a_cut_follows_are_put_back(work) -> None:
    work.to_cut()
    section(work, height=Fr(9), undercut=Fr(1, 8))
    work.make(take_back(work.record, A, "rip-side", work.now()))
    now = work.record.beam("1").section
    assert (now.height, now.undercut) == (10, Fr(1, 8))


def test_the_same_reading_once_more_is_not_blamed(work) -> None:
    work.to_bottom()
    work.read(BOTTOM, "opening", "192 1/4")
    assert "its section now makes" in section(work, undercut=Fr(1, 8))


def test_a_back_bevel_that_none_needed_holds_once_one_is_needed(work) -> None:
    """Walls 1/4 in out over 24 at both ends open by 1/2 in over 24 from below: a board can't
    go straight up, so end 2 swings in and its back must be beveled, by 5 degrees."""
    work.to_cut()
    for side in (A, B):
        work.tick("back-bevel", side)
        figures = work.mark(side, "back-bevel").cut.figures
        assert [(name, one.exact) for name, one in figures.items()] == [
            ("bevel1_deg", 0), ("bevel2_deg", 0),
        ]  # fmt: skip
    for end in ("end1", "end2"):
        for _ in range(2):
            work.read(A, end, "1/4", "out")
    assert asked(work) == {("A", "cut-side"), ("A", "back-bevel")}
    keep(work, A, "cut-side")
    assert asked(work) == {("A", "back-bevel")}
    assert "side A was not back-beveled at end 2; its readings now make 5\u00b0" in work.gate(
        A, "tack"
    )


def test_a_back_bevel_that_is_no_longer_needed_is_fine(work) -> None:
    work.to_cut()
    for end in ("end1", "end2"):
        work.read(A, end, "1/4", "out")
    keep(work, A, "cut-side")
    work.tick("back-bevel", A)
    assert work.mark(A, "back-bevel").cut.figures["bevel2_deg"].shown == "5\u00b0"
    assert work.mark(A, "back-bevel").cut.figures["bevel_from"].exact == 1
    for end in ("end1", "end2"):
        work.read(A, end, "1/8", "in")
    assert "back-bevel" not in {one.step_id for one in changed_cuts(work.record.beam("1"))}


def test_a_wall_that_asks_for_less_than_is_shown_is_only_noted(work) -> None:
    """By hand: 1/4 over 24 is 1/128 over a board of 3/4, 2 over 24 is 1/16."""
    work.to_cut()
    work.tick("back-bevel", A, B)
    for gap, held in (("1/4", False), ("2", True)):
        typed = (TypedSquare(1, gap, "24", "A"),)
        work.make(read_squares(work.record, "1", typed, work.now()))
        (one,) = [one for one in changed_cuts(work.record.beam("1")) if one.step_id == "back-bevel"]
        assert (one.spot, one.held) == (A, held)


def test_a_wall_edge_keeps_the_width_that_it_was_scribed_to(record, now) -> None:
    """By hand: 8 in less one side of 3/4; of a wider beam more would have to be left."""
    work = Work(record, now)
    work.make(beams.change_beam(record, "1", {"form": "wall"}, work.now()))
    stages = record.stages
    for stage in stages:
        for step in stage.steps:
            for key, piece in record.beam("1").pieces.items():
                if step.is_for(piece.kind, piece.traits) and step.id != "nail-bottom":
                    doc = {"state": "done", "when": work.now().isoformat()}
                    at = ("beams", "1", "pieces", key, "steps", step.id)
                    if step.id not in ("rip-bottom", "scribe-wall"):
                        work.make(Change("so", (edit(record.tables, at, doc),), work.now()))
    for step in ("rip-bottom", "scribe-wall"):
        change = tick(record, BOTTOM, step, work.now(), override="by hand")
        work.make(change)
    assert work.mark(BOTTOM, "scribe-wall").cut.figures["wall_width"].exact == Fr(29, 4)
    section(work, width=Fr(9))
    assert asked(work) == {("bottom", "rip-bottom"), ("bottom", "scribe-wall")}
    (told,) = [one.told for one in open_cuts(record) if one.step_id == "scribe-wall"]
    assert "scribed to 7 1/4 in wide along the wall; its section now makes 8 1/4 in" in told
    assert work.gate(BOTTOM, "nail-bottom")


def test_what_is_put_back_is_named_with_what_it_belongs_to(work) -> None:
    """A section is the beam's, not its side's."""
    work.to_bottom()
    section(work, width=Fr(9))
    change = take_back(work.record, BOTTOM, "rip-bottom", work.now())
    assert change.what == (
        "put the section of Great room Ridge back to what Great room Ridge bottom was cut by"
    )
