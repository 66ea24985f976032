"""A cut whose step was dropped, or isn't one of the beam's type, stays what it was cut to."""

from fractions import Fraction as Fr

import pytest

from crewdesk.commands.trust import came_lines
from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.beams import beams
from crewdesk.job.beams.forms import FORMS
from crewdesk.job.change import ABSENT, Change, edit
from crewdesk.job.cuts.answer_cut import cut_again
from crewdesk.job.cuts.changed_cuts import changed_cuts
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import SideMarks, marks
from crewdesk.job.cuts.open_cuts import cut_of_step, none_waits, open_cuts, question
from crewdesk.job.record import Record
from crewdesk.job.steps import restage
from crewdesk.job.sync.contradictions import Before, came_in
from crewdesk.job.sync.merge import merged
from crewdesk.job.sync.undoing import Undoing
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.progress import progress
from tests.job.test_cut_figures import A, B, Work


@pytest.fixture
def work(record, now):
    return Work(record, now)


def drop(work, step_id: str):
    return restage.drop_step(work.record, step_id, work.now(), reason="done at the shop")


def bottom_length(record) -> Fr:
    beam = record.beam("1")
    made = marks(beam, beam.piece("A"))
    assert isinstance(made, SideMarks)
    assert made.built is not None
    assert made.built.cut is not None
    return Fr(made.built.cut.bottom_length)


def test_a_dropped_cut_keeps_what_was_cut_and_tells_a_change(work) -> None:
    """Both sides are cut to length, the step is dropped, then the wall is read again."""
    work.to_cut()
    work.make(drop(work, "cut-side"))
    told = work.read(A, "run", "192 11/16")
    assert (
        "side A was cut to 192 5/16 in; its readings now make 192 11/16 in (3/8 in too short)"
        in told
    )
    assert "It stays as cut" in told
    work.read(A, "run", "192 11/16")
    assert not open_cuts(work.record)
    assert none_waits(work.record) == "No cut needs an answer; 1 was kept as cut."
    assert bottom_length(work.record) == Fr(192) + Fr(5, 16)
    for sheet in (cut_list("hill", work.record), progress("hill", work.record)):
        assert any("192 11/16 in (3/8 in too short). It stays as cut" in one for one in sheet.lines)
    beam = work.record.beam("1")
    shown = {one.id: one for one in mark_list(marks(beam, beam.piece("A")), "A")}
    assert shown["bottom_length"].value == Fr(192) + Fr(5, 16)
    assert shown["bottom_length"].kept


def test_an_older_check_off_keeps_its_figures_when_its_step_is_dropped(work) -> None:
    work.to_cut()
    for spot in (A, B):
        at = ("beams", "1", "pieces", spot.piece, "steps", "cut-side", "cut")
        work.make(Change("older", (edit(work.record.tables, at, ABSENT),), work.now()))
    work.make(drop(work, "cut-side"))
    mark = work.mark(A, "cut-side")
    assert mark.cut is not None
    assert mark.cut.figures["bottom_length"].shown == "192 5/16"
    assert "It stays as cut" in work.read(A, "run", "192 11/16")
    assert bottom_length(work.record) == Fr(192) + Fr(5, 16)


@pytest.mark.parametrize("first", ["read", "cut"])
def test_a_drop_that_is_merged_keeps_what_was_cut(work, record, first) -> None:
    """Here the wall is read again, or the side is cut; elsewhere the step is dropped."""
    for step in ("rip-side", "ease", "sand", "cleat-line", "tape", "scrape"):
        work.tick(step, A, B)
    work.sides_read()
    if first == "read":
        work.tick("cut-side", A, B)
    base = {table: dict(rows) for table, rows in work.record.tables.items()}
    elsewhere = Work(Record({table: dict(rows) for table, rows in base.items()}), work.time)
    theirs = drop(elsewhere, "cut-side")
    elsewhere.make(theirs)
    ours: list[Change] = []
    made = work.record.make
    work.record.make = lambda change: (ours.append(change), made(change))[1]
    if first == "cut":
        work.tick("cut-side", A, B)
    for _ in range(2):
        work.read(A, "run", "192 11/16")
    for change in merged(
        Record, base, ours, elsewhere.record.tables, [theirs], 0, lambda: Undoing([1])
    ):
        elsewhere.record.make(change)
    assert not elsewhere.record.tables.get("unsettled")
    (one,) = changed_cuts(elsewhere.record.beam("1"))
    assert one.gone
    assert one.kept
    assert "It stays as cut" in question(elsewhere.record, one)
    assert bottom_length(elsewhere.record) == Fr(192) + Fr(5, 16)


def test_undoing_the_drop_asks_again(work) -> None:
    work.to_cut()
    dropping = drop(work, "cut-side")
    work.make(dropping)
    for _ in range(2):
        work.read(A, "run", "192 11/16")
    work.make(dropping.taken_back(1, work.now()))
    assert [one.step_id for one in open_cuts(work.record)] == ["cut-side"]
    assert work.gate(A, "back-bevel")


def test_a_cut_that_is_none_of_the_type_any_more_asks_nothing(work) -> None:
    """Mitered corners have no cleats, so no line for them."""
    for step in ("rip-side", "ease", "sand", "cleat-line"):
        work.tick(step, A, B)
    told = work.make(beams.change_beam(work.record, "1", {"form": "mitred"}, work.now()))
    open_ = {(one.spot.piece, one.step_id) for one in open_cuts(work.record)}
    assert ("A", "cleat-line") not in open_
    assert ("A", "rip-side") in open_
    assert told
    gone = {one.step_id for one in changed_cuts(work.record.beam("1")) if one.gone}
    assert gone == {"cleat-line"}
    with pytest.raises(NotAllowed, match="is no longer a step of Great room Ridge side A"):
        cut_of_step(work.record, A, "cleat-line")
    with pytest.raises(NotAllowed, match="is no longer a step"):
        cut_again(work.record, A, "cleat-line", work.now())


@pytest.mark.parametrize("form", sorted(set(FORMS) - {"ridge", "usual"}))
def test_every_question_after_a_change_of_type_can_be_answered(work, form) -> None:
    work.to_scribed()
    fields = {"form": form, **({"height_b": "12"} if form == "uneven" else {})}
    try:
        work.make(beams.change_beam(work.record, "1", fields, work.now()))
    except CrewdeskError:
        return  # a piece that was worked on isn't one of that type
    section = work.record.beam("1").section._replace(height=Fr(11))
    work.make(beams.change_beam(work.record, "1", {"section": section}, work.now()))
    work.ceiling((("0", "100", "100"), ("96", "101", "100"), ("192", "100", "100")))
    assert open_cuts(work.record)
    for one in open_cuts(work.record):
        assert cut_again(work.record, one.spot, one.step_id, work.now()).edits


def test_a_re_reading_from_elsewhere_says_of_a_dropped_cut_what_one_here_does(work) -> None:
    """Both are told at once, and neither sends to a list in which nothing waits."""
    work.to_cut()
    work.make(drop(work, "cut-side"))
    before = Before.of(work.record)
    told = work.read(A, "run", "192 11/16")
    work.read(A, "run", "192 11/16")
    came = came_in(work.record, before, ())
    assert "It stays as cut" in came.cuts
    assert came.cuts.startswith(told.partition(" A reading taken")[0])
    assert not came.asks
    assert came_lines("hill-house", came) == [came.cuts]
    # Of a cut that waits it says how to answer.
    section = work.record.beam("1").section._replace(height=Fr(9))
    work.make(beams.change_beam(work.record, "1", {"section": section}, work.now()))
    came = came_in(work.record, before, ())
    assert came.asks
    assert "lists the cuts" in came_lines("hill-house", came)[-1]
