"""A cut that was kept is what the board is: what depends on the board follows it.

That a kept board is what it was cut to, and that both sides of a pair take one setting of the
scriber, is common practice, no source.
"""

import math
from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.beams.uncertainty import how_sure
from crewdesk.job.cuts.answer_cut import cut_again, keep_cut
from crewdesk.job.cuts.dry_fits import dry_fit_of
from crewdesk.job.cuts.machine import cuts_of
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import marks
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.job.cuts.scribing import scribe_by_readings, scribe_of
from crewdesk.job.lumber.boards import change_rules
from crewdesk.paper.sheets.labels import labels
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.dry_fit import dry_fit_sheet
from crewdesk.trade.cuts.cleat import CLEARANCE
from crewdesk.trade.cuts.skew import BACK_BEVEL
from tests.job.test_cut_figures import BOTTOM, CLEATS, A, B, Work

WHY = "packed out at the wall"


@pytest.fixture
def work(record, now):
    return Work(record, now)


def section(work, **fields) -> str:
    new = work.record.beam("1").section._replace(**fields)
    return work.make(beams.change_beam(work.record, "1", {"section": new}, work.now()))


def keep(work, spot, *steps) -> None:
    for step in steps:
        work.make(keep_cut(work.record, spot, step, WHY, work.now()))


def made(work, spot):
    beam = work.record.beam("1")
    return marks(beam, beam.piece(spot.piece), projection=beam.habits.cleat)


def listed(work, spot):
    return {one.id: one for one in mark_list(made(work, spot), spot.piece)}


def lines(work) -> list[str]:
    return cut_list("hill", work.record).lines


def test_a_side_that_was_kept_as_ripped_is_cut_and_scribed_at_that_width(work) -> None:
    """By hand: 5/32 over 24 comes to 5/32 x 10/24 over the 10 in that the board has."""
    work.tick("rip-side", A, B)
    section(work, height=Fr(9))
    keep(work, A, "rip-side")
    keep(work, B, "rip-side")
    work.sides_read()
    cut = made(work, A).cut
    assert (cut.height, cut.end1.offset) == (10, Fr(5, 32) * 10 / 24)
    work.ceiling()
    finished = {(m.side, m.at): m.finished_height for m in scribe_of(work.record.beam("1")).marks}
    assert finished["A", Fr(0)] == 10 - Fr(3, 8)
    mark = listed(work, A)["height"]
    assert (mark.value, mark.kept, mark.today.value) == (10, WHY, 9)
    assert made(work, A).height == 9  # by the section, for those who ask for that
    line = next(one for one in lines(work) if one.startswith("  side A"))
    assert "side width 10 in as cut, kept: packed out at the wall; today it would be 9 in" in line


def test_cleats_and_dry_fit_follow_the_side_as_it_was_cut(work) -> None:
    """By hand: on a plumb-cut side a cleat is the length less two bevels and clearances."""
    for step in ("rip-side", "ease", "sand", "cleat-line", "tape", "scrape"):
        work.tick(step, A, B)
    for side in (A, B):
        work.read(side, "run", "192")
        work.read(side, "end1", "0", "in")
        work.read(side, "end2", "0", "in")
    work.tick("cut-side", A, B)
    for _ in range(2):
        work.read(A, "run", "192 3/8")
    keep(work, A, "cut-side")
    bevel = Fr(3, 4) * Fr(math.tan(math.radians(BACK_BEVEL)))
    cleats = made(work, CLEATS).cleats
    assert abs(cleats[0].length - (192 - 2 * (bevel + CLEARANCE))) < Fr(1, 1000)
    assert cleats[0].length == cleats[1].length
    beam = work.record.beam("1")
    fit = dry_fit_of(beam, beam.piece("A"), beam.habits.step)
    other = dry_fit_of(beam, beam.piece("B"), beam.habits.step)
    assert (fit.slack - other.slack, fit.over) == (Fr(3, 8), 0)
    mark = listed(work, A)["bottom_length"]
    assert (mark.value, mark.today.value) == (192, Fr("192.375"))
    assert any("192 in as cut, kept: packed out at the wall; today it would be 192 3/8 in" in one
               for one in lines(work))  # fmt: skip
    values = cut_list("hill", work.record).values["beams"][0]["pieces"][0]["marks"]
    assert values["bottom_length"]["exact"] == "192"
    (entry,) = [one for one in values["list"] if one["id"] == "bottom_length"]
    assert entry["value"]["exact"] == "192"
    assert entry["kept"]["reason"] == WHY
    assert entry["kept"]["today"]["exact"] == "1539/8"
    (label,) = [
        one.piece
        for one in labels(work.record, (work.record.beam("1"),))
        if one.piece.startswith("side A")
    ]
    assert "192 in as cut, kept: packed out at the wall" in label


def test_both_sides_take_the_setting_that_one_was_scribed_at_and_kept(work) -> None:
    work.to_level()
    work.ceiling()
    work.tick("scribe", A)
    work.ceiling((("0", "100", "100"), ("96", "100 1/2", "100"), ("192", "100", "100")))
    keep(work, A, "scribe")
    beam = work.record.beam("1")
    assert scribe_by_readings(beam).setting == Fr(5, 8)
    assert scribe_of(beam).setting == Fr(3, 8)
    work.tick("scribe", B)
    assert work.mark(B, "scribe").cut.figures["setting"].exact == Fr(3, 8)
    assert not open_cuts(work.record)
    (line,) = [one for one in lines(work) if one.startswith("  scribe")]
    assert "set the scriber to 3/8 in for both sides" in line
    assert "kept" in line
    assert WHY in line
    # 1/2 in of gap, 3/8 in of scriber: 1/8 in stays open there.
    assert "1/8 in stays open" in line
    values = cut_list("hill", work.record).values["beams"][0]["scribe"]
    assert values["setting"]["exact"] == "3/8"
    assert values["kept"]["reason"] == WHY
    assert values["kept"]["today"]["exact"] == "5/8"


def test_the_bottom_goes_between_sides_as_thick_as_they_are(work) -> None:
    """8 less two sides of 3/4, with no clearance asked for, though the section says 1/2 now."""
    work.tick("rip-side", A, B)
    section(work, side_thickness=Fr(1, 2))
    assert made(work, BOTTOM).width == 8 - Fr(3, 2)
    keep(work, A, "rip-side")
    assert made(work, BOTTOM).width == 8 - Fr(3, 2)
    work.make(cut_again(work.record, B, "rip-side", work.now()))
    assert made(work, BOTTOM).width == 8 - Fr(5, 4)


def test_cleats_come_from_the_stock_of_sides_that_were_kept(work) -> None:
    """Sides of 3/4 in under a section of 1 in: the cleats' stock is 3/4 in, as the sides are."""
    work.tick("rip-side", A, B)
    section(work, side_thickness=Fr(1))
    assert [one.height for one in made(work, CLEATS).cleats] == [Fr(3, 4)] * 2
    keep(work, A, "rip-side")
    keep(work, B, "rip-side")
    assert [one.height for one in made(work, CLEATS).cleats] == [Fr(3, 4)] * 2
    beam = work.record.beam("1")
    (cut,), _ = cuts_of(work.record.job, beam, beam.piece("cleats"), "rip-cleats")
    assert "the stock's own 3/4 in goes up the side" in cut.notes[0]
    work.tick("rip-cleats", CLEATS)
    assert work.mark(CLEATS, "rip-cleats").cut.figures["thickness"].exact == Fr(3, 4)
    assert not open_cuts(work.record)


def test_cleats_are_nailed_as_they_were_ripped(work) -> None:
    work.tick("rip-cleats", CLEATS)

    def nail():
        beam = work.record.beam("1")
        (cut,), _ = cuts_of(work.record.job, beam, beam.piece("cleats"), "fix-cleats")
        return cut.parts[0].value

    short = nail()
    work.make(change_rules(work.record, {"cleat": "1"}, work.now()))
    assert nail() == short
    keep(work, CLEATS, "rip-cleats")
    assert made(work, CLEATS).cleats[0].projection == Fr(3, 4)
    assert nail() == short
    work.make(change_rules(work.record, {"cleat": "1 1/4"}, work.now()))
    work.make(cut_again(work.record, CLEATS, "rip-cleats", work.now()))
    assert nail() > short


def test_a_bottom_that_was_kept_is_tried_as_it_was_cut(work) -> None:
    work.to_bottom()
    for _ in range(2):
        work.read(BOTTOM, "opening", "192")
    keep(work, BOTTOM, "cut-bottom")
    beam = work.record.beam("1")
    fit = dry_fit_of(beam, beam.piece("bottom"), beam.habits.step)
    assert Fr(7, 32) <= fit.over < Fr(1, 4)
    sheet = dry_fit_sheet("hill", work.record)
    assert any(f"Kept as cut: {WHY}" in line for line in sheet.lines)
    tried = {one["piece"]: one for one in sheet.values["beams"][0]["pieces"]}
    assert [one["reason"] for one in tried["bottom"]["kept"]] == [WHY]
    assert tried["A"]["kept"] == tried["bottom"]["held"] == []
    mark = listed(work, BOTTOM)["edge_a"]
    assert (mark.value, mark.today.value) == (Fr("192.21875"), Fr("191.96875"))
    assert mark.kept == WHY


def test_slanted_ends_and_reliefs_are_shown_as_they_were_cut(work) -> None:
    """Cut square; then the wall is found out of square by 4 in 24."""
    work.to_bottom()
    work.make(read_squares(work.record, "1", (TypedSquare(1, "4", "24", "A"),), work.now()))
    for one in open_cuts(work.record):
        keep(work, one.spot, one.step_id)
    while left := open_cuts(work.record):
        keep(work, left[0].spot, left[0].step_id)
    text = "\n".join(lines(work))
    assert "as cut, kept: packed out at the wall" in text
    assert all(one.kept or one.id != "cut1" for one in listed(work, BOTTOM).values())


def test_what_was_not_kept_is_shown_as_ever(work) -> None:
    work.to_bottom()
    assert all(made(work, spot).built is None for spot in (A, BOTTOM, CLEATS))
    assert not any("as cut" in one for one in lines(work))


def test_the_cleat_line_follows_the_bottom_that_was_kept(work) -> None:
    """By hand: reveal 1/4 and a bottom of 3/4, though the section says 1/2 now: 1 in."""
    work.tick("rip-side", A, B)
    for step in ("ease", "sand", "cleat-line"):
        work.tick(step, A, B)
    work.tick("rip-bottom", BOTTOM)
    section(work, bottom_thickness=Fr(1, 2))
    assert {one.spot for one in open_cuts(work.record)} == {BOTTOM}
    assert "bottom was ripped from 3/4 in stock" in work.gate(A, "tape")
    keep(work, BOTTOM, "rip-bottom")
    assert made(work, A).cleat_line == 1
    assert made(work, CLEATS).cleats[0].line == 1
    assert not open_cuts(work.record)


def test_no_side_is_to_be_wider_than_it_was_ripped(work) -> None:
    """Scribed at 3/8 and kept, then the ceiling is read 1/2 higher at the middle: nothing comes
    off there, so the side keeps its 10 in and 1/8 in stays open."""
    work.to_scribed()
    work.ceiling((("0", "100", "100"), ("96", "100 1/2", "100"), ("192", "100", "100")))
    keep(work, A, "scribe")
    beam = work.record.beam("1")
    assert max(one.finished_height for one in scribe_of(beam).marks) == 10
    assert not any("10 1/8" in line for line in lines(work))


def test_a_kept_bottoms_accuracy_goes_by_the_flat_that_it_was_ripped_with(work) -> None:
    """How far the back can be off follows from the flat: with the section's new one it would be
    less sure than the board is."""
    work.to_bottom()
    work.read(A, "end1", "1", "in")
    work.read(B, "end1", "1", "in")
    piece = work.record.beam("1").piece("bottom")
    before = how_sure(work.record.beam("1"), piece)
    keep(work, BOTTOM, *(one.step_id for one in open_cuts(work.record) if one.spot == BOTTOM))
    section(work, flat=Fr(5, 8))
    keep(work, BOTTOM, "rip-bottom")
    after = how_sure(work.record.beam("1"), work.record.beam("1").piece("bottom"))
    assert after.within == before.within
