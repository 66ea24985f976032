"""Which board is tried in which room, and how that is said.

The board that lies there is the one that was cut: common practice, no source.
"""

from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.beams.chosen_cuts import own_cut
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.beams.piece import Spot
from crewdesk.job.cuts.answer_cut import keep_cut
from crewdesk.job.cuts.at_the_wall import bevel_line
from crewdesk.job.cuts.dry_fits import tried
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import marks
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.job.steps import ticks
from crewdesk.length import DEFAULT_STEP, STEPS, show_length
from crewdesk.paper.text.dry_fit import dry_fit_sheet, fit_in_brief, fit_lines
from crewdesk.trade.cuts.dry_fit import BEVEL_FROM, BackBevel
from tests.job.test_cut_figures import BOTTOM, CLEATS, A, B, Work


@pytest.fixture
def work(record, now):
    return Work(record, now)


def fit(work, spot):
    beam = work.record.beam(spot.beam)
    return tried(beam, beam.piece(spot.piece), beam.habits.step)


def said(work) -> list[str]:
    return [line.strip() for line in dry_fit_sheet("hill", work.record).lines]


def of(work, name: str) -> list[str]:
    """The lines of one piece."""
    lines = said(work)
    at = next(i for i, line in enumerate(lines) if line.startswith(name))
    found = [lines[at]]
    for line in lines[at + 1 :]:
        if line.startswith(("side ", "bottom ", "top ")) or not line:
            break
        found.append(line)
    return found


def values(work, piece: str) -> dict:
    beam = dry_fit_sheet("hill", work.record).values["beams"][0]
    return next(one for one in beam["pieces"] if one["piece"] == piece)


def square(work, **ends) -> None:
    """Hold the square at `end1` and `end2`: (gap over 24 in, the longer side)."""
    typed = tuple(
        TypedSquare(int(name[3]), gap, "24", longer) for name, (gap, longer) in ends.items()
    )
    work.make(read_squares(work.record, "1", typed, work.now()))


def to_up(work, runs=("192", "192")) -> None:
    """All up to the bottom, between plumb walls."""
    for step in ("rip-side", "ease", "sand", "cleat-line", "tape", "scrape"):
        work.tick(step, A, B)
    for side, run in zip((A, B), runs, strict=True):
        work.read(side, "run", run)
        work.read(side, "end1", "0", "in")
        work.read(side, "end2", "0", "in")
    work.tick("cut-side", A, B)
    for step in ("back-bevel", "tack", "level"):
        work.tick(step, A, B)
    work.ceiling()
    for step in ("scribe", "take-down", "cut-scribe"):
        work.tick(step, A, B)
    for step in ("rip-cleats", "fix-cleats"):
        work.tick(step, CLEATS)
    work.tick("nail-side", A, B)
    for step in ("rip-bottom", "sand"):
        work.tick(step, BOTTOM)


def edges(work, edge_a: str, edge_b: str = "") -> None:
    work.read(BOTTOM, "opening", edge_a)
    if edge_b:
        work.read(BOTTOM, "edge_b", edge_b)


def test_a_bottom_cut_square_is_too_long_in_a_parallelogram_room(work) -> None:
    """Walls 1 in 24 out of square the same way: 6 1/2 / 24 in over the board, less the 1/32 in
    that it is short; both edges are as long as they were read."""
    to_up(work)
    edges(work, "192", "192")
    work.tick("cut-bottom", BOTTOM)
    square(work, end1=("1", "A"), end2=("1", "B"))
    (first, opened, *_) = of(work, "bottom")
    assert first.startswith("bottom  as cut: doesn't go in: 1/4- in too long")
    assert first.endswith("it touches first at end 1 edge B and end 2 edge A")
    assert opened.endswith(": 9/32- in at end 1 edge A, 9/32- in at end 2 edge B")
    found = values(work, "bottom")
    assert (found["fits"], Fr(found["over"]["exact"])) == (False, Fr(13, 48) - Fr(1, 32))
    gaps = {(one["end"], one["place"]): Fr(one["gap"]["exact"]) for one in found["gaps"]}
    assert gaps[1, "edge A"] - gaps[1, "edge B"] == Fr(13, 48)
    for one in open_cuts(work.record):
        work.make(keep_cut(work.record, one.spot, one.step_id, "as is", work.now()))
    assert values(work, "bottom")["fits"] is False


def test_a_bottom_of_the_right_slants_has_one_line(work) -> None:
    to_up(work)
    square(work, end1=("1", "A"), end2=("1", "B"))
    edges(work, "192", "192")
    # 1/24 over 6 1/2 in is 13/48, shown as 9/32 at either end: 1/96 of the 1/32 is lost.
    (line,) = of(work, "bottom")
    assert line.startswith("bottom  goes in straight up, 1/64 in free, gap ")
    brief = fit_in_brief(work.record.beam("1"), work.record.beam("1").piece("bottom"), DEFAULT_STEP)
    assert brief == "As marked it goes in straight up, 1/64 in free"


def test_a_board_that_is_cut_is_tried_as_it_was_cut_though_it_is_not_answered_for(work) -> None:
    work.to_bottom()
    assert of(work, "side A")[0].startswith("side A  as cut: goes in")
    for _ in range(2):
        work.read(A, "run", "191 15/16")
    first = of(work, "side A")[0]
    assert first.startswith("side A  as cut: doesn't go in: 3/8 in too long")
    assert values(work, "A")["as_cut"] is True
    beam = work.record.beam("1")
    brief = fit_in_brief(beam, beam.piece("A"), DEFAULT_STEP)
    assert brief.startswith("As cut it doesn't go in: 3/8 in too long at ")
    found = fit(work, A)
    assert (found.fit.over, found.as_cut) == (Fr(3, 8), True)


def test_a_cut_bottom_stays_what_it_is_when_an_own_length_is_typed(work) -> None:
    to_up(work)
    edges(work, "192")
    work.make(own_cut(work.record, BOTTOM, "190", "", "short", work.now()))
    assert (fit(work, BOTTOM).fit.slack, fit(work, BOTTOM).as_cut) == (2, False)
    work.tick("cut-bottom", BOTTOM)
    work.make(own_cut(work.record, BOTTOM, "191 15/16", "", "", work.now()))
    assert (fit(work, BOTTOM).fit.slack, fit(work, BOTTOM).as_cut) == (2, True)


def test_a_board_cut_before_anything_was_known_of_it_is_not_tried(work) -> None:
    to_up(work)
    work.make(_over_gate(work))
    edges(work, "192")
    found = values(work, "bottom")
    assert (found["fits"], found["as_cut"]) == (None, True)
    assert found["why"] == "nothing says what it was cut to"


def _over_gate(work):

    return ticks.tick(work.record, BOTTOM, "cut-bottom", work.now(), override="held it up")


def test_an_opening_read_along_one_line_between_walls_out_of_square_says_no_fit(work) -> None:
    """What the gate of the cut asks for, the dry fit does too."""
    to_up(work, ("192", "192 3/8"))
    edges(work, "192 1/8")
    found = values(work, "bottom")
    assert (found["fits"], found["way_in"]) == (None, None)
    assert found["why"] == work.gate(BOTTOM, "cut-bottom")
    assert "Measure edge B too" in of(work, "bottom")[0]


def test_a_square_read_with_edge_b_unread_says_no_fit(work) -> None:
    to_up(work)
    square(work, end1=("1", "B"))
    edges(work, "192")
    assert "Measure edge B too" in of(work, "bottom")[0]
    assert fit(work, BOTTOM).fit is None


def test_an_opening_in_doubt_has_its_doubt_beside_the_fit(work) -> None:
    to_up(work)
    edges(work, "192 1/2")
    _, doubt = of(work, "bottom")
    assert "doesn't fit the sides' readings" in doubt
    assert list(values(work, "bottom")["doubts"]) == [doubt.removeprefix("! ")]


@pytest.fixture
def box(record, now):
    work = Work(record, now)
    work.make(beams.change_beam(work.record, "1", {"form": "box"}, work.now()))
    return work


def read_sides(work, run: str, gap: str, lean: str) -> None:
    for side in (A, B):
        work.read(side, "run", run)
        work.read(side, "end1", gap, lean)
        work.read(side, "end2", gap, lean)


def test_a_top_is_tried_at_its_own_height(box) -> None:
    """Out by 1/4 in 24 at both ends: 10 in up there is 5/24 in more than the 120 in below."""
    read_sides(box, "120", "1/8", "in")
    found = fit(box, Spot("1", "top"))
    assert found.fit.way == "straight up"
    high = 120 - 2 * Fr(1, 8) / 24 * 10
    made = marks(box.record.beam("1"), box.record.beam("1").piece("top"))
    assert found.fit.slack == high - made.cut.edge_a + (made.cut.edge_a % Fr(1, 32))
    assert any(line.startswith("top     goes in straight up") for line in said(box))


def test_a_box_between_walls_out_at_the_top_goes_up_as_one_or_jams(box) -> None:
    """Out by 1/4 in 24 at both ends: turned in plan a box 120 in long and 8 in wide takes
    8^2 / 240 = 0.267 in more, less 1/32 in that it springs."""
    read_sides(box, "120", "1/4", "out")
    for piece in ("A", "B", "top"):
        found = values(box, piece)
        assert (found["fits"], found["as_one"], found["way_in"]) == (False, True, "no way")
        assert float(Fr(found["jams"]["exact"])) == pytest.approx(8**2 / 240 - 1 / 32, abs=0.02)
    assert "the sides and the top, which go up as one, jam on the way" in of(box, "top")[0]
    assert "the sides and the top, which go up as one, jam on the way" in of(box, "side A")[0]


def test_a_job_in_millimeters_says_no_inches(work) -> None:
    """An inch is 25.4 mm; 3/8 in is 9.525 mm, never shown under."""
    work.to_bottom()
    work.make(beams.change_job(work.record, {"step": "mm"}, work.now()))
    for _ in range(2):
        work.read(A, "run", '191 15/16"')
    lines = said(work)
    dry = [line for line in lines if not line.startswith("!")]
    assert not any(" in " in line.replace("go in ", "").replace("goes in ", "") and "/" in line
                   and "mm" in line for line in dry)  # fmt: skip
    assert of(work, "side A")[0].startswith("side A  as cut: doesn't go in: 10- mm too long")
    assert any(line.endswith(" mm") and "each character is" in line for line in lines)
    for line in dry:
        assert "1/64" not in line
        assert "1/32" not in line
    assert values(work, "A")["over"]["shown"] == "10- mm"


def test_a_back_bevel_says_the_figure_of_the_cut_list_or_none(work) -> None:
    to_up(work)
    square(work, end1=("5/8", "A"))
    beam = work.record.beam("1")
    listed = {one.id: one for one in mark_list(marks(beam, beam.piece("A")), "A")}["relief1"]
    (line,) = [one for one in of(work, "side A") if one.startswith("back bevel")]
    assert f", {show_length(listed.value, DEFAULT_STEP, way='up')} in or more off the back" in line
    # One angle is to be set: the cut list's is named as the least that it must be.
    assert "set 5.00\u00b0" in line
    assert "least" in listed.note
    assert "set the back bevel's angle" in listed.note


def test_a_bevel_only_to_swing_in_has_no_figure_and_its_angle_is_never_under() -> None:
    swing = BackBevel(2, Fr(1, 400), 5.0, BEVEL_FROM, pare=False, swings=True)
    line = bevel_line(swing, DEFAULT_STEP)
    assert "off the back" not in line
    assert line.startswith("back bevel at end 2: set 5.00\u00b0 from 1 in up, to let it swing in")
    # atan(1/8) is 7.12502 degrees: never shown under.
    steep = BackBevel(1, Fr(3, 32), 7.12502, BEVEL_FROM, pare=True, relief=Fr(3, 32))
    assert "7.13\u00b0" in bevel_line(steep, DEFAULT_STEP)
    assert " in" not in bevel_line(steep, STEPS["mm"])


def test_a_bottom_between_walls_out_at_the_top_goes_in_one_end_first(work) -> None:
    for step in ("rip-side", "ease", "sand", "cleat-line", "tape", "scrape"):
        work.tick(step, A, B)
    read_sides(work, "120", "1/4", "out")
    edges(work, "120")
    first, second = of(work, "bottom")[:2]
    assert first.startswith("bottom  goes in one end first")
    assert second.startswith("not straight up")


def test_the_drawing_says_its_scale_in_plain_words(work) -> None:
    to_up(work)
    edges(work, "192")
    work.make(own_cut(work.record, BOTTOM, "192 1/8", "", "bow it in", work.now()))
    assert of(work, "bottom")[-1] == "X: 1/8 in across (/ wall, # board); each character is 1/64 in"


@pytest.mark.parametrize(("width", "open_by"), [("6", Fr(1, 4)), ("6 1/4", Fr(1, 8))])
def test_a_bottom_ripped_too_narrow_is_open_along_both_edges(work, width, open_by) -> None:
    """It is 8 in over all between sides of 3/4 in, 6 1/2: half of what the board lacks."""
    to_up(work)
    edges(work, "192", "192")
    beam = work.record.beam("1")
    assert beam.section.width - 2 * beam.section.side_thickness == Fr(13, 2)
    form = beam.boards["bottom"]
    made = work.record.beam("1").piece("bottom")
    steps = dict(made.steps)
    cut = steps["rip-bottom"].cut
    figures = {**cut.figures, "width": cut.figures["width"]._replace(exact=_inches(width))}
    figures["back_width"] = cut.figures["back_width"]._replace(
        exact=_inches(width) - (form.width - Fr(form.back_width))
    )
    steps["rip-bottom"] = steps["rip-bottom"]._replace(cut=cut._replace(figures=figures))
    narrow = beam._replace(pieces={**beam.pieces, "bottom": made._replace(steps=steps)})
    found = tried(narrow, narrow.piece("bottom"), narrow.habits.step).fit
    assert [(one.end, one.place, one.gap) for one in found.edges] == [
        (None, "edge A", open_by),
        (None, "edge B", open_by),
    ]
    assert found.opens.gap == open_by
    (line, *_) = fit_lines(found, narrow.habits.step)
    assert f"gap up to {show_length(open_by)} in along each long edge" in line


def _inches(text: str) -> Fr:
    return sum((Fr(one) for one in text.split()), Fr(0))


def test_what_is_meant_to_stay_free_along_the_edges_is_no_gap(work) -> None:
    to_up(work)
    edges(work, "192", "192")
    assert fit(work, BOTTOM).fit.edges == ()
    assert {one["end"] for one in values(work, "bottom")["gaps"]} == {1, 2}


def test_a_gap_is_the_same_figure_in_the_lines_and_in_json(work) -> None:
    """Rounded up in both: it is more than 1/64 in and less than 2/64."""
    to_up(work)
    edges(work, "192 1/127", "192 1/127")  # 1/32 short and 1/127 rounded off, half at each end
    (line, *_) = of(work, "bottom")
    shown = values(work, "bottom")["opens"]["gap"]
    assert Fr(shown["exact"]) == (Fr(1, 32) + Fr(1, 127)) / 2
    assert shown["shown"] == "1/32-"
    assert f"gap up to {shown['shown']} in" in line


def lean_again(work, side, *ends: tuple[str, str]) -> None:
    """Read both ends of a side again, twice, so that it is believed: (gap over 24 in, lean)."""
    for _ in range(2):
        for what, (gap, lean) in zip(("end1", "end2"), ends, strict=True):
            work.read(side, what, gap, lean)


def test_a_side_cut_square_does_not_go_in_between_walls_that_lean_the_same_way(work) -> None:
    """Its side width is 10 in. Out of plumb by 1/2 over 24, end 1's top must go 5/24 in toward
    end 2, and end 2's bottom corner stands at its wall already: 5/24 in too long, also kept."""
    to_up(work)
    assert work.record.beam("1").height("A") == 10
    lean_again(work, A, ("1/2", "in"), ("1/2", "out"))
    lines = of(work, "side A")
    assert lines[0] == (
        "side A  as cut: doesn't go in: 7/32- in too long; "
        "it touches first at end 1 top and end 2 bottom"
    )
    found = values(work, "A")
    assert (found["fits"], Fr(found["over"]["exact"])) == (False, Fr(5, 24))
    assert {Fr(one["gap"]["exact"]) for one in found["touching"]} == {Fr(-5, 48)}
    for one in open_cuts(work.record):
        work.make(keep_cut(work.record, one.spot, one.step_id, "good enough", work.now()))
    assert values(work, "A")["fits"] is False
    assert len(values(work, "A")["kept"]) == 1


def test_a_side_whose_back_was_not_relieved_is_too_long_at_its_back(work) -> None:
    """A wall 3 in 24 out of square comes in 3/4 x 3/24 = 3/32 in behind side A's show face, and
    goes away behind side B's."""
    to_up(work)
    square(work, end1=("3", "A"), end2=("0", "A"))
    for one in open_cuts(work.record):
        work.make(keep_cut(work.record, one.spot, one.step_id, "leave it", work.now()))
    lines = of(work, "side A")
    assert lines[0] == (
        "side A  as cut: doesn't go in: 3/32 in too long; "
        "it touches first at end 1 back and end 2 bottom"
    )
    assert len([one for one in lines if one.endswith("Kept as cut: leave it")]) == 2
    assert Fr(values(work, "A")["over"]["exact"]) == Fr(3, 32)
    assert values(work, "B")["fits"] is True


def test_a_side_that_is_too_short_stays_open_where_its_back_touches(work) -> None:
    """Read 1/4 in longer: the show face stands off by what its back touches with, 3/32 in, and by
    half of what is left, 5/32 in."""
    to_up(work)
    for _ in range(2):
        work.read(A, "run", "192 1/4")
    square(work, end1=("3", "A"), end2=("0", "A"))
    found = values(work, "A")
    assert (found["fits"], Fr(found["slack"]["exact"])) == (True, Fr(5, 32))
    assert Fr(found["opens"]["gap"]["exact"]) == Fr(5, 64) + Fr(3, 32)
    assert (found["opens"]["end"], found["touches"]["place"]) == (1, "back")


def test_a_back_that_was_beveled_and_pared_is_tried_as_it_is(work) -> None:
    """Beveled for 3/24, it goes in; then the wall is read at 4/24, 1/8 in behind a 3/4 in board,
    of which 3/32 in is off by then."""
    for step in ("rip-side", "ease", "sand", "cleat-line", "tape", "scrape"):
        work.tick(step, A, B)
    read_sides(work, "192", "0", "in")
    square(work, end1=("3", "A"), end2=("3", "B"))
    for step in ("cut-side", "back-bevel"):
        work.tick(step, A, B)
    assert (values(work, "A")["fits"], values(work, "A")["over"]["exact"]) == (True, "0")
    square(work, end1=("4", "A"), end2=("4", "B"))
    off = float(Fr(values(work, "A")["over"]["exact"])) - (1 / 8 - 3 / 32)
    assert abs(off) < 1 / 1000
    square(work, end1=("2", "A"), end2=("2", "B"))
    assert values(work, "A")["over"]["exact"] == "0"


def test_a_top_cut_before_its_slant_was_known_is_tried_with_square_ends(box) -> None:
    """Side A is 1/2 in longer over 8 in, all of it at end 1: over the top's 6 1/2 in the wall goes
    13/32 in off square, less what edge A was cut short and rounded down by."""
    for side, run in ((A, "192 1/2"), (B, "192")):
        box.read(side, "run", run)
        box.read(side, "end1", "0", "in")
        box.read(side, "end2", "0", "in")
    top = Spot("1", "top")
    assert "slant not known" in of(box, "top")[0]
    for step in ("rip-side", "ease", "sand", "cleat-line", "cut-side"):
        box.tick(step, A, B)
    box.tick("rip-top", top)
    box.make(ticks.tick(box.record, top, "fix-top", box.now(), override="the customer waits"))
    square(box, end1=("3/2", "A"), end2=("0", "A"))
    found = values(box, "top")
    assert (found["fits"], found["as_cut"]) == (False, True)
    assert Fr(13, 32) - Fr(1, 16) <= Fr(found["over"]["exact"]) <= Fr(13, 32)
    assert any("slant wasn't known when it was cut" in one for one in found["doubts"])
