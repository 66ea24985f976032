"""A cut that is asked about shows one thing; what can't be made now asks about no other cut.

By hand: the bottom is cut the section's 1/32 in short of its opening. What a board may differ
by is common practice, no source.
"""

from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.beams.chosen_cuts import own_cut
from crewdesk.job.cuts.answer_cut import cut_again, keep_cut
from crewdesk.job.cuts.changed_cuts import shown_marks
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.job.invariants import early
from crewdesk.job.steps.ticks import clear
from crewdesk.paper.sheets.labels import labels
from crewdesk.paper.text.cutlist import cut_list, piece_lines
from crewdesk.paper.text.progress import progress
from tests.job.test_cut_figures import BOTTOM, A, B, Work


@pytest.fixture
def work(record, now):
    return Work(record, now)


def waiting(work) -> list[tuple[str, str]]:
    return [(one.spot.piece, one.step_id) for one in open_cuts(work.record)]


def own(work, text: str) -> str:
    return work.make(own_cut(work.record, BOTTOM, text, "", "", work.now()))


def read_twice(work, spot, what: str, text: str) -> str:
    return [work.read(spot, what, text) for _ in range(2)][-1]


def keep(work, spot, step: str) -> None:
    work.make(keep_cut(work.record, spot, step, "packed out", work.now()))


def text_of(work, spot) -> str:
    beam = work.record.beam("1")
    return "\n".join(piece_lines(work.record, beam, beam.piece(spot.piece)))


def shorter_than_its_own(work) -> None:
    """The bottom cut to its own 192 1/8; then the opening is 192 1/16, so 192 1/32 goes in."""
    work.to_bottom()
    take_back_cut(work)
    own(work, "192 1/8")
    work.tick("cut-bottom", BOTTOM)
    read_twice(work, BOTTOM, "opening", "192 1/16")


def take_back_cut(work) -> None:
    work.make(clear(work.record, BOTTOM, "cut-bottom", work.now()))


def test_an_opening_under_the_own_length_asks_about_the_length_alone(work) -> None:
    shorter_than_its_own(work)
    assert waiting(work) == [("bottom", "cut-bottom")]
    [one] = open_cuts(work.record)
    assert one.told.startswith(
        "Great room Ridge bottom was cut to 192 1/8 in; its readings now make 192 1/32 in (3/32 in "
        "too long)."
    )
    text = text_of(work, BOTTOM)
    assert "length 192 1/32 in" in text
    assert "in your own length" not in text
    assert "longer than its reading of 192 1/16 in" in text


def test_the_own_length_that_is_kept_is_not_done_too_early(work) -> None:
    shorter_than_its_own(work)
    keep(work, BOTTOM, "cut-bottom")
    assert waiting(work) == []
    assert not early(work.record.stages, work.record.beam("1"))
    text = "\n".join(progress("hill", work.record).lines)
    assert "Done too early" not in text
    assert "192 1/8 in as cut, kept: packed out; today it would be 192 1/32 in" in text_of(
        work, BOTTOM
    ).replace(" your own length;", "")
    assert "longer than its reading" not in text_of(work, BOTTOM)


def test_the_cut_opens_again_without_another_question(work) -> None:
    shorter_than_its_own(work)
    work.make(cut_again(work.record, BOTTOM, "cut-bottom", work.now()))
    assert waiting(work) == []
    # The own length is over the reading still, so the gate says that, and the marks are there.
    assert "A cut of 192 1/8 in is longer than its reading" in work.gate(BOTTOM, "cut-bottom")
    assert "length 192 1/32 in" in text_of(work, BOTTOM)


def test_a_misread_edge_asks_about_no_width(work) -> None:
    work.to_bottom()
    work.read(BOTTOM, "edge_b", "100")
    assert waiting(work) == [("bottom", "cut-bottom")]


def test_an_undercut_that_leaves_nothing_asks_about_no_width(work) -> None:
    work.to_bottom()
    section = work.record.beam("1").section._replace(undercut=Fr(5))
    work.make(beams.change_beam(work.record, "1", {"section": section}, work.now()))
    assert waiting(work) == [("bottom", "cut-bottom")]


def test_a_cut_asked_about_again_is_shown_as_held(work) -> None:
    work.to_cut()
    read_twice(work, A, "run", "192 11/16")
    keep(work, A, "cut-side")
    assert "192 5/16 in as cut, kept: packed out" in text_of(work, A)
    read_twice(work, A, "run", "193")
    assert waiting(work) == [("A", "cut-side")]
    text = text_of(work, A)
    assert "kept: packed out" not in text
    assert "bottom edge 192 5/16 in as cut, held until you answer; today it would be 193 in" in text
    [label] = [
        one.piece
        for one in labels(work.record, (work.record.beam("1"),))
        if one.piece.startswith("side A")
    ]
    assert "kept" not in label
    assert "192 5/16 in as cut, held: cut to 192 5/16 in, now 193 in" in label
    marks = cut_list("hill", work.record).values["beams"][0]["pieces"][0]["marks"]["list"]
    [entry] = [one for one in marks if one["id"] == "bottom_length"]
    assert "kept" not in entry
    assert entry["held"]["today"]["shown"] == "193"
    # The other side's cut was never asked about.
    assert "held" not in text_of(work, B)


def test_only_the_cut_that_is_asked_about_again_is_held(work) -> None:
    """Ripped to 10 and kept so; its length, kept too, is asked about again."""
    work.to_cut()
    section = work.record.beam("1").section._replace(height=Fr(9))
    work.make(beams.change_beam(work.record, "1", {"section": section}, work.now()))
    keep(work, A, "rip-side")
    read_twice(work, A, "run", "192 11/16")
    keep(work, A, "cut-side")
    read_twice(work, A, "run", "193")
    beam = work.record.beam("1")
    held = {one.id: one.held for one in mark_list(shown_marks(beam, beam.piece("A")), "A")}
    assert (held["height"], held["bottom_length"]) == (False, True)


def test_a_board_that_is_not_the_own_length_does_not_say_so(work) -> None:
    work.to_bottom()
    read_twice(work, BOTTOM, "opening", "192 1/2")
    keep(work, BOTTOM, "cut-bottom")
    own(work, "192")
    assert "length 192 7/32 in as cut, held until you answer; today it would be 192 in" in text_of(
        work, BOTTOM
    )
    pieces = cut_list("hill", work.record).values["beams"][0]["pieces"]
    [made] = [one["marks"] for one in pieces if one["piece"] == "bottom"]
    assert (made["edge_a"]["shown"], made["own"]) == ("192 7/32", False)


def test_a_board_that_is_the_own_length_says_so(work) -> None:
    work.to_bottom()
    own(work, "192")
    keep(work, BOTTOM, "cut-bottom")
    assert "192 7/32 in as cut, kept" in text_of(work, BOTTOM)
    take_back_cut(work)
    work.tick("cut-bottom", BOTTOM)
    read_twice(work, BOTTOM, "opening", "192")
    pieces = cut_list("hill", work.record).values["beams"][0]["pieces"]
    [made] = [one["marks"] for one in pieces if one["piece"] == "bottom"]
    assert (made["edge_a"]["shown"], made["own"]) == ("192", True)
