"""A board that was cut and kept is shown as it was cut, in text, JSON, on paper and labels.

By hand: 2 over 24 is 4.76 degrees, and 6 1/2 in across 13/24 in: a little
more than 17/32, a little less than 9/16.
"""

from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.cuts.answer_cut import cut_again, keep_cut
from crewdesk.job.cuts.marks import as_it_is, marks
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.paper.sheets.labels import labels
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.dry_fit import dry_fit_sheet
from crewdesk.screens.piece.cut_told import piece_picture
from tests.job.test_cut_figures import BOTTOM, A, Work

WHY = "caulk"


@pytest.fixture
def work(record, now):
    return Work(record, now)


def squares(work, *typed: tuple[str, str]) -> None:
    read = tuple(TypedSquare(end, gap, "24", side) for end, (gap, side) in enumerate(typed, 1))
    work.make(read_squares(work.record, "1", read, work.now()))


def keep_all(work) -> None:
    while left := open_cuts(work.record):
        work.make(keep_cut(work.record, left[0].spot, left[0].step_id, WHY, work.now()))


def bottom_text(work) -> str:
    lines = cut_list("hill", work.record).lines
    start = next(at for at, line in enumerate(lines) if line.startswith("  bottom"))
    end = next(at for at, line in enumerate(lines) if line.startswith("  cleats"))
    return "\n".join(lines[start:end])


def bottom_values(work):
    pieces = cut_list("hill", work.record).values["beams"][0]["pieces"]
    return next(one for one in pieces if one["piece"] == "bottom")["marks"]


def joined(pages) -> str:
    return " ".join(" ".join(page.texts) for page in pages)


def label_of(work, piece: str) -> str:
    beam = work.record.beam("1")
    return next(one.piece for one in labels(work.record, (beam,)) if one.piece.startswith(piece))


def test_a_bottom_cut_square_and_kept_is_square_everywhere(work, print_it, read_pdf) -> None:
    """Both walls turned the same way would make it a parallelogram today."""
    work.to_bottom()
    squares(work, ("2", "A"), ("2", "B"))
    keep_all(work)
    assert BOTTOM.piece in work.record.beam("1").built
    values = bottom_values(work)
    assert [(one["longer"], one["miter_deg"]) for one in values["ends"]] == [(None, 0.0)] * 2
    told = bottom_text(work)
    kept = f"as cut, kept: {WHY}; today it would be edge A runs past by 9/16- in"
    assert f"end 1: square across, then relief as on the edges; {kept}" in told
    # Nothing else differs, so nothing else has today's beside it.
    assert told.count("today it would be") == 2
    paper = joined(read_pdf(print_it(work.record, "cuts")))
    assert "square across; relief" in paper
    assert "miter 4.76" not in paper
    assert "edge A longer" not in paper
    assert "today it would be edge A runs past by 9/16- in" in " ".join(paper.split())
    assert label_of(work, "bottom") == "bottom, back up, 192 7/32 in"
    beam = work.record.beam("1")
    piece = beam.piece("bottom")
    is_now = as_it_is(marks(beam, piece))
    draw = piece_picture(beam, piece, marks(beam, piece), work.record.job.step, beside=False,
                         cleat=beam.habits.cleat)  # fmt: skip
    same = piece_picture(beam, piece, is_now, work.record.job.step, beside=False,
                         cleat=beam.habits.cleat)  # fmt: skip
    assert draw(80, 24).rows == same(80, 24).rows


def test_the_edge_that_runs_past_is_named_on_both_sides(work) -> None:
    work.to_bottom()
    squares(work, ("2", "B"), ("2", "A"))
    for one in open_cuts(work.record):
        act = cut_again if one.spot == BOTTOM else keep_cut
        why = () if one.spot == BOTTOM else (WHY,)
        work.make(act(work.record, one.spot, one.step_id, *why, work.now()))
    work.read(BOTTOM, "edge_b", "192 1/4")
    work.tick("cut-bottom", BOTTOM)
    squares(work, ("2", "A"), ("2", "B"))
    keep_all(work)
    told = bottom_text(work)
    assert "end 1: edge B runs past by 17/32+ in" in told
    assert "today it would be edge A runs past by 9/16- in" in told


def test_a_bottom_kept_as_ripped_keeps_its_flat_and_bevel(work) -> None:
    """Ripped 1/4 flat at 15 degrees; the section then asks for 1/8 at 20."""
    work.tick("rip-bottom", BOTTOM)
    new = work.record.beam("1").section._replace(flat=Fr(1, 8), bevel=Fr(20))
    work.make(beams.change_beam(work.record, "1", {"section": new}, work.now()))
    keep_all(work)
    told = bottom_text(work)
    assert "relief bevel on both edges, 1/4 in left flat (15\u00b0)" in told
    assert "today it would be 1/8 in" in told
    values = bottom_values(work)
    assert (values["flat"]["exact"], values["bevel_deg"]) == ("1/4", 15.0)


def test_the_label_of_a_cut_board_says_what_it_was_cut_to_and_that_it_is_held(work) -> None:
    work.to_cut()
    for _ in range(2):
        work.read(A, "run", "192 3/4")
    held = "held: cut to 192 5/16 in, now 192 3/4 in (7/16 in too short)"
    assert label_of(work, "side A") == f"side A, back, 192 5/16 in as cut, {held}"
    keep_all(work)
    assert label_of(work, "side A") == f"side A, back, 192 5/16 in as cut, kept: {WHY}"


def test_the_label_of_a_board_off_by_little_says_what_it_was_cut_to(work) -> None:
    work.to_cut()
    work.read(A, "run", "192 9/32")
    assert not open_cuts(work.record)
    assert label_of(work, "side A") == "side A, back, 192 5/16 in as cut"


def test_the_label_of_a_board_ripped_to_another_width_says_that_it_is_held(work) -> None:
    work.tick("rip-side", A)
    new = work.record.beam("1").section._replace(height=Fr(9))
    work.make(beams.change_beam(work.record, "1", {"section": new}, work.now()))
    held = "held: ripped to 10 in, now 9 in (1 in too wide)"
    assert label_of(work, "side A") == f"side A, back, {held}"


def test_a_board_off_by_little_is_said_to_fit_alike_everywhere(work) -> None:
    """192 5/16 in a room of 192 9/32: both are good to more than the 1/32 between them."""
    work.to_cut()
    work.read(A, "run", "192 9/32")
    may = "o more than it can be off: try it, and plane it to the wall if it binds"
    (line,) = [
        one for one in dry_fit_sheet("hill", work.record, "Ridge").lines if "  side A" in one
    ]
    assert "as cut: may be 1/32 in too long, n" + may in line
    assert "doesn't go in" not in line
    assert any("N" + may in one for one in cut_list("hill", work.record).lines)
    values = dry_fit_sheet("hill", work.record, "Ridge").values["beams"][0]["pieces"][0]
    assert (values["fits"], values["why"].startswith("may be 1/32 in")) == (None, True)
    for _ in range(2):
        work.read(A, "run", "191")
    (line,) = [
        one for one in dry_fit_sheet("hill", work.record, "Ridge").lines if "  side A" in one
    ]
    assert "doesn't go in: 1 5/16 in too long" in line
