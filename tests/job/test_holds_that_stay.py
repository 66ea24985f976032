"""A hold is lifted by an answer, not by a reading of another piece.

How far a tape can be off: half of what it is read to and its own error (JCGM 100:2008, F.2.2.1;
NIST Handbook 44, section 5.52). What a board may differ by is common practice, no source.
"""

from fractions import Fraction as Fr

import pytest

from crewdesk.errors import NotAllowed
from crewdesk.job.beams import beams
from crewdesk.job.change import ABSENT, Change, edit
from crewdesk.job.cuts.answer_cut import keep_cut
from crewdesk.job.cuts.changed_cuts import changed_cuts
from crewdesk.job.cuts.cut_figures import AsCut
from crewdesk.job.cuts.open_cuts import open_cuts
from tests.job.test_cut_figures import BOTTOM, A, B, Work


@pytest.fixture
def work(record, now):
    return Work(record, now)


def waiting(work) -> set[tuple[str, str]]:
    return {(one.spot.piece, one.step_id) for one in open_cuts(work.record)}


def test_a_reading_of_a_side_lifts_no_hold_on_the_bottom(work) -> None:
    """The bottom is 1/4 in too long; then a side's wall is read 5/16 in shorter, twice."""
    work.to_bottom()
    for _ in range(2):
        work.read(BOTTOM, "opening", "192")
    assert waiting(work) == {("bottom", "cut-bottom")}
    for _ in range(2):
        work.read(A, "run", "192")
    assert ("bottom", "cut-bottom") in waiting(work)
    work.make(keep_cut(work.record, A, "cut-side", "pulled in", work.now()))
    assert "192 7/32 in" in work.gate(BOTTOM, "nail-bottom")


def test_a_confirmed_opening_is_held_by_the_tape_alone(work) -> None:
    """1/8 in is more than a tape can be off, though the edges could differ by more."""
    work.to_bottom()
    assert "(1/8 in too long)" in work.read(BOTTOM, "opening", "192 1/8")
    work.read(BOTTOM, "opening", "192 1/8")
    assert waiting(work) == {("bottom", "cut-bottom")}
    assert work.state(BOTTOM, "nail-bottom") == "not ready"


def test_a_re_reading_within_the_tape_is_only_noted(work) -> None:
    work.to_bottom()
    work.read(BOTTOM, "opening", "192 7/32")
    assert not waiting(work)
    assert work.state(BOTTOM, "nail-bottom") == "ready"


def undercut(work, inches: Fr) -> str:
    section = work.record.beam("1").section._replace(undercut=inches)
    return work.make(beams.change_beam(work.record, "1", {"section": section}, work.now()))


def test_a_setting_has_no_accuracy(work) -> None:
    """The bottom is cut 1/32 in short of its opening; 3/32 in more is what was asked for."""
    work.to_bottom()
    assert "bottom was cut to 192 7/32 in; its section now makes 192 1/8 in" in undercut(
        work, Fr(1, 8)
    )
    assert waiting(work) == {("bottom", "cut-bottom")}


def test_a_reading_hides_no_setting(work) -> None:
    """A re-reading that makes up for part of it leaves it asked about."""
    work.to_bottom()
    undercut(work, Fr(1, 8))
    work.read(BOTTOM, "opening", "192 9/32")
    assert waiting(work) == {("bottom", "cut-bottom")}


def test_the_accuracy_is_kept_with_the_cut(work) -> None:
    work.to_bottom()
    mark = work.mark(BOTTOM, "cut-bottom")
    assert mark.cut is not None
    assert mark.cut.within is not None
    before = mark.cut.within["edge_a"]
    for _ in range(2):
        work.read(B, "run", "192 13/16")
    cut = work.mark(BOTTOM, "cut-bottom").cut
    assert cut is not None
    assert cut.within is not None
    assert cut.within["edge_a"] == before
    assert AsCut.from_doc(cut.to_doc()) == cut


def test_a_cut_that_kept_no_accuracy_takes_that_of_its_time(work) -> None:
    """As records have it that were made before the accuracy was kept."""
    work.to_bottom()
    at = ("beams", "1", "pieces", "bottom", "steps", "cut-bottom", "cut", "within")
    work.make(Change("older", (edit(work.record.tables, at, ABSENT),), work.now()))
    for _ in range(2):
        work.read(BOTTOM, "opening", "192")
    for _ in range(2):
        work.read(A, "run", "192")
    assert ("bottom", "cut-bottom") in waiting(work)


@pytest.mark.parametrize("within", [{"edge_a": "-1"}, {"edge_a": "much"}, []])
def test_an_accuracy_that_is_none_is_refused(work, within) -> None:
    work.to_bottom()
    at = ("beams", "1", "pieces", "bottom", "steps", "cut-bottom", "cut", "within")
    with pytest.raises(NotAllowed):
        work.make(Change("damaged", (edit(work.record.tables, at, within),), work.now()))
    assert not [one for one in changed_cuts(work.record.beam("1")) if one.held]
