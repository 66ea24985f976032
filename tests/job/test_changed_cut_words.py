"""How a changed cut is told, what a skipped step opens, and which kept figures make sense."""

from fractions import Fraction as Fr

import pytest

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams import beams
from crewdesk.job.beams.chosen_cuts import own_cut
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.change import ABSENT, Change, edit
from crewdesk.job.cuts import answer_cut
from crewdesk.job.cuts.changed_cut import _TOLD
from crewdesk.job.cuts.changed_cuts import changed_cuts
from crewdesk.job.cuts.cut_figures import NAMES, figures_from_doc
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import marks
from crewdesk.job.steps import ticks
from crewdesk.length import DEFAULT_STEP, show_length
from tests.job.test_cut_figures import BOTTOM, A, B, Work


@pytest.fixture
def work(record, now):
    return Work(record, now)


def told(work, spot) -> list[str]:
    return [one.told for one in changed_cuts(work.record.beam("1")) if one.spot == spot]


def squares(work, *typed) -> None:
    read = tuple(TypedSquare(end, gap, "24", side) for end, gap, side in typed)
    work.make(read_squares(work.record, "1", read, work.now()))


def test_a_relief_that_was_not_cut_is_told_so(work) -> None:
    """1/4 over 24 over a 3/4 board is 1/128 in, less than is shown."""
    work.to_cut()
    squares(work, (1, "1/4", "A"))
    assert told(work, A) == [
        "Great room Ridge side A was cut with no relief off the back at end 1; its readings now "
        "make 1/32- in (under 1/32 in too little)."
    ]


def cut_the_bottom(work) -> None:
    """Sides that are scribed go up, and the bottom is cut to equal edges."""
    for step in ("rip-cleats", "fix-cleats"):
        work.tick(step, ticks.Spot("1", "cleats"))
    work.tick("nail-side", A, B)
    for step in ("rip-bottom", "sand"):
        work.tick(step, BOTTOM)
    for what in ("opening", "edge_b"):
        work.read(BOTTOM, what, "192 1/4")
    work.tick("cut-bottom", BOTTOM)


def test_a_slant_names_the_edge_that_runs_past(work) -> None:
    """1 over 24 over a bottom of 6 1/2 in is a little more than 1/4 in; side B is the longer
    side at end 1, so edge B runs past."""
    work.to_scribed()
    squares(work, (1, "1", "B"), (2, "1", "A"))
    cut_the_bottom(work)
    squares(work, (1, "1", "A"), (2, "1", "B"))
    (said,) = told(work, BOTTOM)
    # As the cut list rounds both, so that edge B never comes out over: 6 1/2 / 24 is 0.271 in.
    assert "was cut with edge B past edge A by 1/4+ in at end 1" in said
    assert "its readings now put edge A past edge B by 9/32- in (17/32+ in off" in said


def test_other_stock_is_named_first(work) -> None:
    """A board that is too thick, or too thin, is no board for this beam at all."""
    for step in ("rip-side", "ease"):
        work.tick(step, A, B)
    section = work.record.beam("1").section
    section = section._replace(height=Fr(9), side_thickness=Fr(1, 2))
    said = work.make(beams.change_beam(work.record, "1", {"section": section}, work.now()))
    assert "was ripped from 3/4 in stock; its section now makes 1/2 in" in said
    assert "1 more figure differs" in said


def test_a_skipped_step_names_what_it_opens(work) -> None:
    work.to_scribed()
    change = ticks.set_aside(work.record, A, "nail-side", "skipped", "glued", work.now())
    assert change.what.startswith(
        "skipped 'Push up and nail' on Great room Ridge side A; no longer waiting for it: "
    )
    assert "'Cut to length, both ends to fit' on the bottom" in change.what
    blocked = ticks.set_aside(work.record, A, "nail-side", "blocked", "rain", work.now())
    assert blocked.what == "blocked 'Push up and nail' on Great room Ridge side A"


def test_skipping_names_the_next_step_of_the_piece(work) -> None:
    work.tick("rip-side", A)
    change = ticks.set_aside(work.record, A, "ease", "skipped", "came eased", work.now())
    assert "no longer waiting for it: 'Sand the show faces'" in change.what


SIDE = {
    name: {"exact": "1", "shown": "1"}
    for name in ("bottom_length", "top_length", "end1_offset", "end2_offset")
}


@pytest.mark.parametrize(
    "figures",
    [
        {"bottom_length": {"exact": "190", "shown": "190"}},
        {"edge_a": {"exact": "190", "shown": "190"}},
        {"edge_b": {"exact": "190", "shown": "190"}},
        {"width": {"exact": "0", "shown": "0"}},
        {"height": {"exact": "-5", "shown": "-5"}},
        {"thickness": {"exact": "0", "shown": "0"}},
        {"zzz": {"exact": "1", "shown": "1"}},
        {"height@-5": {"exact": "1", "shown": "1"}},
        {"height@": {"exact": "1", "shown": "1"}},
        {"setting": {"exact": "10000000", "shown": "1"}},
        {**SIDE, "bottom_length": {"exact": "0", "shown": "0"}},
    ],
)
def test_figures_that_make_no_board_are_refused(figures) -> None:
    with pytest.raises(CrewdeskError):
        figures_from_doc(figures)


def test_every_figure_that_is_told_may_be_kept(work) -> None:
    assert set(_TOLD) <= set(NAMES)
    assert figures_from_doc(SIDE)
    work.to_bottom()
    for piece in work.record.beam("1").pieces.values():
        for mark in piece.steps.values():
            if mark.cut is not None:
                assert figures_from_doc(mark.cut.to_doc()["figures"]) == mark.cut.figures


def test_a_damaged_kept_cut_is_refused_before_any_sheet_is_made(work) -> None:
    work.to_cut()
    at = ("beams", "1", "pieces", "A", "steps", "cut-side", "cut", "figures", "top_length")
    with pytest.raises(CrewdeskError, match=r"needs top_length too. Without"):
        work.make(Change("damaged", (edit(work.record.tables, at, ABSENT),), work.now()))


def test_a_slant_that_changed_has_the_cut_lists_figure(work) -> None:
    """Cut square; then 1/2 in 24 over 6 1/2 in puts edge A past by 0.135 in at end 1."""
    work.to_scribed()
    cut_the_bottom(work)
    squares(work, (1, "1/2", "A"), (2, "1/2", "B"))
    (said,) = told(work, BOTTOM)
    beam = work.record.beam("1")
    listed = {one.id: one for one in mark_list(marks(beam, beam.piece("bottom")), "bottom")}["cut1"]
    by = show_length(listed.value, DEFAULT_STEP, way=listed.way)
    assert f"edge A past edge B by {by} in ({by} in off" in said


def test_lengths_in_inches_and_in_millimeters_each_say_which(work) -> None:
    """By hand: 192 3/4 in is 4895.85 mm, and 192 5/16 in 4884.74 mm."""
    work.to_cut()
    work.make(beams.change_job(work.record, {"step": "mm"}, work.now()))
    for _ in range(2):
        work.read(A, "run", "4894")
    (said,) = told(work, A)
    assert "was cut to 192 5/16 in; its readings now make 4894 mm (9+ mm too short)" in said
    work.make(answer_cut.cut_again(work.record, A, "cut-side", work.now()))
    work.tick("cut-side", A)
    work.make(beams.change_job(work.record, {"step": "1/32"}, work.now()))
    for _ in range(2):
        work.read(A, "run", "193")
    (said,) = told(work, A)
    assert "was cut to 4894 mm; its readings now make 193 in (5/16+ in too short)" in said


def test_an_own_length_that_was_taken_out_leaves_it_to_the_readings(work) -> None:
    work.to_bottom()
    work.make(own_cut(work.record, BOTTOM, "192", "", "", work.now()))
    work.make(answer_cut.cut_again(work.record, BOTTOM, "cut-bottom", work.now()))
    work.tick("cut-bottom", BOTTOM)
    work.make(own_cut(work.record, BOTTOM, "", "", "", work.now()))
    (said,) = told(work, BOTTOM)
    assert "was cut to 192 in; its readings now make 192 7/32 in" in said


def ends_again(work, *ends: tuple[str, str]) -> None:
    """Read both ends of side A again, twice: (gap over 24 in, lean)."""
    for _ in range(2):
        for what, (gap, lean) in zip(("end1", "end2"), ends, strict=True):
            work.read(A, what, gap, lean)


def test_the_end_that_is_too_long_is_named_before_one_that_stays_open(work) -> None:
    """Both walls were read the wrong way round: over a side width of 10 in, end 2's top is
    2 x 10 / 48 in too long, just under 13/32 in and a 64th; end 1's stays open by as much."""
    for step in ("rip-side", "ease", "sand", "cleat-line", "tape", "scrape"):
        work.tick(step, A, B)
    for side in (A, B):
        work.read(side, "run", "192")
        work.read(side, "end1", "1/2", "in")
        work.read(side, "end2", "1/2", "out")
    work.tick("cut-side", A, B)
    ends_again(work, ("1/2", "out"), ("1/2", "in"))
    (said,) = told(work, A)
    assert (
        "was cut to 3/16+ in out at the top of end 2; its readings now make 7/32- in back "
        "(13/32+ in too long, and 1 more figure differs)" in said
    )


def test_a_side_too_short_at_its_wall_is_named_before_less_at_its_top(work) -> None:
    """3/8 in longer wall to wall, and 10 / 96 in more to be cut back at the top of end 1."""
    for step in ("rip-side", "ease", "sand", "cleat-line", "tape", "scrape"):
        work.tick(step, A, B)
    for side in (A, B):
        work.read(side, "run", "192")
        work.read(side, "end1", "0", "in")
        work.read(side, "end2", "0", "in")
    work.tick("cut-side", A, B)
    for _ in range(2):
        work.read(A, "run", "192 3/8")
    ends_again(work, ("1/4", "in"), ("0", "in"))
    (said,) = told(work, A)
    assert "cut to 192 in; its readings now make 192 3/8 in (3/8 in too short, and 2 more" in said
