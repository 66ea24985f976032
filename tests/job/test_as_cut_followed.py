"""Boards that are cut later go by those that were cut before, also where the difference is noted.

The rooms' widths are worked out here from the boards as they are. That mitered corners close
between boards of one thickness, and that a pair shares one setting and one line, is common
practice, no source.
"""

from fractions import Fraction as Fr

import pytest

from crewdesk.errors import NotAllowed
from crewdesk.job.beams import beams
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.cuts.answer_cut import cut_again, keep_cut
from crewdesk.job.cuts.changed_cuts import changed_cuts
from crewdesk.job.cuts.dry_fits import dry_fit_of
from crewdesk.job.cuts.machine import cuts_of
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.job.cuts.scribing import read_ceiling, scribe_of, typed_stations
from crewdesk.job.lumber.blanks import boards_to_cut
from crewdesk.job.steps import ticks
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, Crew
from tests.job.test_cut_figures import BOTTOM, CLEATS, A, B, Work
from tests.job.test_kept_clash import beam_of, made, to_line
from tests.job.test_kept_clash import section as change_section
from tests.job.test_merge import Side, bring
from tests.job.test_old_check_offs import OldWork

STEP = Fr(1, 32)
"""What the job's lengths are shown to, in inches."""


@pytest.fixture
def work(record, now) -> Work:
    return Work(record, now)


def section(work, **fields) -> str:
    new = work.record.beam("1").section._replace(**fields)
    return work.make(beams.change_beam(work.record, "1", {"section": new}, work.now()))


def steps_asked(work) -> set[tuple[str, str]]:
    return {(one.spot.piece, one.step_id) for one in open_cuts(work.record)}


def cut_now(work, spot, step):
    """The first machine's cut of a step today."""
    beam = work.record.beam(spot.beam)
    (first, *_), _ = cuts_of(work.record.job, beam, beam.piece(spot.piece), step)
    return first


def test_a_bottom_goes_between_sides_whose_stock_is_only_noted(work) -> None:
    """Sides ripped from 3/4, then 23/32 in the section: 8 less twice 3/4 is 6 1/2, not 6 9/16."""
    work.tick("rip-side", A, B)
    assert section(work, side_thickness=Fr(23, 32)) == ""
    assert not open_cuts(work.record)
    assert {one.step_id for one in changed_cuts(work.record.beam("1"))} == {"rip-side"}
    assert made(work, BOTTOM).width == Fr(13, 2)
    fence = {one.name: one.value for one in cut_now(work, BOTTOM, "rip-bottom").parts}["fence"]
    assert fence == Fr(13, 2)
    assert [one.height for one in made(work, CLEATS).cleats] == [Fr(3, 4)] * 2
    assert "the stock's own 3/4 in goes up the side" in cut_now(work, CLEATS, "rip-cleats").notes[0]
    assert boards_to_cut(work.record.beam("1"))["bottom"].width == Fr(13, 2)
    work.tick("rip-bottom", BOTTOM)
    work.tick("rip-cleats", CLEATS)
    assert not open_cuts(work.record)
    assert {one.step_id for one in changed_cuts(work.record.beam("1"))} == {"rip-side"}


def test_the_bottom_goes_in_though_the_sides_stock_is_noted(work) -> None:
    work.to_bottom()
    beam = work.record.beam("1")
    was = dry_fit_of(beam, beam.piece("bottom"), beam.habits.step)
    section(work, side_thickness=Fr(25, 32))
    assert not open_cuts(work.record)
    beam = work.record.beam("1")
    now = dry_fit_of(beam, beam.piece("bottom"), beam.habits.step)
    assert was.over == now.over == 0
    assert was.edges == now.edges


def test_a_cleat_line_lies_over_the_bottom_as_it_was_ripped(work) -> None:
    work.tick("rip-bottom", BOTTOM)
    section(work, bottom_thickness=Fr(23, 32))
    assert not open_cuts(work.record)
    assert made(work, A).cleat_line == 1


def test_a_box_top_goes_between_its_sides_as_they_are(work) -> None:
    spots = beam_of(work, "box")
    width = made(work, spots["top"]).width
    work.tick("rip-side", spots["A"], spots["B"])
    change_section(work, side_thickness=Fr(23, 32))
    assert not open_cuts(work.record)
    assert made(work, spots["top"]).width == width


@pytest.mark.parametrize("form", ["mitred", "mitred box"])
def test_mitered_boards_ask_at_the_least_other_thickness(work, form) -> None:
    """Their corners close only between boards of one thickness, so nothing can follow."""
    spots = beam_of(work, form)
    work.tick("rip-side", spots["A"], spots["B"])
    other = {"side_thickness": Fr(47, 64), "bottom_thickness": Fr(47, 64)}
    said = change_section(work, **other)
    assert "mitered corners close only between boards of one thickness" in said
    assert steps_asked(work) == {("A", "rip-side"), ("B", "rip-side")}
    assert "is held until you answer" in work.gate(spots["bottom"], "rip-bottom")
    change_section(work, side_thickness=Fr(3, 4), bottom_thickness=Fr(3, 4))
    assert not open_cuts(work.record)
    work.tick("rip-bottom", spots["bottom"])
    change_section(work, width=Fr(8) + Fr(1, 64))
    assert steps_asked(work) == {("bottom", "rip-bottom")}


def test_sides_under_a_top_ask_until_both_are_ripped_alike(work) -> None:
    """A top sits flush with both: 1/32 in of a step under one side would show."""
    spots = beam_of(work, "box")
    work.tick("rip-side", spots["A"])
    high = work.record.beam("3").section.height
    change_section(work, height=high + STEP)
    assert steps_asked(work) == {("A", "rip-side")}
    change_section(work, height=high)
    work.tick("rip-side", spots["B"])
    change_section(work, height=high + STEP)
    assert not open_cuts(work.record)


def test_a_check_off_without_figures_asks_at_any_difference(record, now) -> None:
    """Its figures are in the history alone, where no later board finds them until the answer
    keeps them."""
    old = OldWork(record, now)
    old.tick("rip-side", A)
    assert "side A was ripped from 3/4 in stock" in old.section(side_thickness=Fr(23, 32))
    assert {(one.spot, one.step_id) for one in open_cuts(record)} == {(A, "rip-side")}
    old.make(keep_cut(record, A, "rip-side", "thicker", old.now()))
    assert made(old, BOTTOM).width == 8 - Fr(3, 4) - Fr(23, 32)


# One setting and one line for a pair.

BULGE = (("0", "100", "100"), ("96", "100 1/4", "100"), ("192", "100", "100"))
HIGHER = (("0", "100", "100"), ("96", "100 5/16", "100"), ("192", "100", "100"))
"""The same ceiling, 1/16 in higher in the middle: no more than the laser line can be off."""


def to_one_scribed(work, *tools) -> None:
    work.record.ask_crew = lambda: Crew(machine=USUAL_MACHINE._replace(scribers=tools))
    work.record.look_at_crew()
    work.to_level()
    work.ceiling(BULGE)
    work.tick("scribe", A)


def test_the_second_side_takes_the_setting_of_the_first(work) -> None:
    """Read anew within what the laser is good for: at another setting side B would end lower or
    higher than side A all along."""
    to_one_scribed(work)
    assert work.ceiling(HIGHER) == ""
    assert not open_cuts(work.record)
    at = work.mark(A, "scribe").cut.figures["setting"].exact
    assert cut_now(work, B, "scribe").parts[0].value == at
    values = cut_list("hill", work.record).values["beams"][0]["scribe"]
    assert Fr(values["setting"]["exact"]) == at
    assert values["kept"]["side"] == "A"
    assert values["kept"]["today"]["exact"] != str(at)
    with pytest.raises(NotAllowed, match="no more than a cut can be off, and stays as cut"):
        keep_cut(work.record, A, "scribe", "fine", work.now())
    work.tick("scribe", B)
    assert work.mark(B, "scribe").cut.figures["setting"].exact == at
    assert not open_cuts(work.record)
    # Read far off: side A asks, and side B waits with it.
    far = (("0", "100", "100"), ("96", "101", "100"), ("192", "100", "100"))
    assert "side A was scribed at" in work.ceiling(far)
    assert steps_asked(work) == {("A", "scribe")}
    assert "is held until you answer" in work.gate(B, "take-down")


def test_a_first_side_that_is_scribed_again_takes_todays_setting(work) -> None:
    to_one_scribed(work)
    work.ceiling((("0", "100", "100"), ("96", "101", "100"), ("192", "100", "100")))
    work.make(cut_again(work.record, A, "scribe", work.now()))
    today = cut_now(work, A, "scribe").parts[0].value
    assert today == cut_now(work, B, "scribe").parts[0].value
    work.tick("scribe", A)
    assert work.mark(A, "scribe").cut.figures["setting"].exact == today


def test_the_second_side_takes_the_tool_of_the_first(work) -> None:
    """Scribed with a block of 7/16, which is sold since: the other side is set to 7/16 too."""
    to_one_scribed(work, ("block", Fr(7, 16)))
    work.record.ask_crew = lambda: Crew(
        machine=USUAL_MACHINE._replace(scribers=(("thick", Fr(1, 2)),))
    )
    work.record.look_at_crew()
    assert cut_now(work, B, "scribe").parts[0].value == Fr(7, 16)


def test_the_second_line_is_level_with_the_first(work) -> None:
    """Marked at 1 in, then the reveal is 1/32 in more: both cleats stay level."""
    spots = beam_of(work, "usual")
    to_line(work, spots, "A")
    change_section(work, reveal=Fr(9, 32))
    assert not open_cuts(work.record)
    assert made(work, spots["B"]).cleat_line == 1
    assert [one.line for one in made(work, spots["cleats"]).cleats] == [1, 1]
    to_line(work, spots, "B")
    assert not open_cuts(work.record)
    # A step more is too much for side A; side B shares its line, so it asks nothing by itself.
    change_section(work, reveal=Fr(3, 8))
    assert steps_asked(work) == {("A", "cleat-line")}


# A side that was cut to its line is what the other one hangs level with.

OVER_B = (("0", "100", "100"), ("96", "100", "100 1/4"), ("192", "100", "100"))
TO_THE_WALL = ("rip-side", "ease", "sand", "cleat-line", "tape", "scrape", "cut-side")


def hangs(work, side: str, at: int) -> Fr:
    """How far over the laser line a side's bottom edge hangs: the ceiling less the side's width."""
    over = {"A": 1, "B": 2}[side]
    read = {Fr(row[0]): row[over] for row in OVER_B}[Fr(at)]
    ceiling = sum((Fr(part) for part in read.split()), Fr(0))
    (left,) = [
        one.finished_height
        for one in scribe_of(work.record.beam("1")).marks
        if (one.side, one.at) == (side, Fr(at))
    ]
    return ceiling - left


def cut_over_b(work) -> None:
    """Both sides cut to the line; the ceiling is highest over side B."""
    work.to_level()
    work.ceiling(OVER_B)
    for step in ("scribe", "take-down", "cut-scribe"):
        work.tick(step, A, B)


def test_a_new_side_hangs_level_with_one_that_is_cut_to_its_line(work) -> None:
    """Side A was left 9 5/8 in wide, so it hangs 90 3/8 up. Then 1/4 in more depth: side A is
    kept, side B cut again from a wider board, which has to come down to the same height."""
    cut_over_b(work)
    assert hangs(work, "A", 0) == hangs(work, "B", 96) == Fr("90.375")
    section(work, height=Fr(41, 4))
    work.make(keep_cut(work.record, A, "rip-side", "no more stock", work.now()))
    work.make(cut_again(work.record, B, "rip-side", work.now(), new_board=True))
    for step in (*TO_THE_WALL, "back-bevel", "tack"):
        work.tick(step, B)
    work.tick("level", A, B)
    scriber = cut_now(work, B, "scribe")
    assert scriber.parts[0].value == Fr(5, 8)
    assert "Side A was cut to its line before" in scriber.notes[0]
    assert {hangs(work, side, at) for side in "AB" for at in (0, 96, 192)} == {Fr("90.375")}
    for step in ("scribe", "take-down", "cut-scribe"):
        work.tick(step, A, B)
    assert not open_cuts(work.record)


def test_a_side_that_is_scribed_again_is_left_no_wider_than_it_was_cut(work) -> None:
    """The ceiling is flat after all, which would take 1/8 in; 3/8 in are off both boards."""
    cut_over_b(work)
    work.ceiling((("0", "100", "100"), ("96", "100", "100"), ("192", "100", "100")))
    while open_cuts(work.record):
        spot = open_cuts(work.record)[0].spot
        work.make(cut_again(work.record, spot, "scribe", work.now()))
    assert {one.finished_height for one in scribe_of(work.record.beam("1")).marks} == {Fr("9.625")}


def test_a_new_board_has_all_its_width_to_scribe(work) -> None:
    cut_over_b(work)
    section(work, height=Fr(41, 4))
    for side in (A, B):
        work.make(cut_again(work.record, side, "rip-side", work.now(), new_board=True))
    assert scribe_of(work.record.beam("1")).setting == Fr(3, 8)


def test_sides_scribed_apart_on_two_machines_ask_until_answered(record, now, copied) -> None:
    """Side A at 3/8, and elsewhere side B by a reading 1/16 in higher, within the laser line's
    accuracy. Reading the ceiling again brings neither side level with the other."""
    work = Work(record, now)
    work.to_level()
    work.ceiling(BULGE)
    here, there = Side(record, copied), Side(record, copied)
    here.make(ticks.tick(here.record, A, "scribe", work.now()))
    stations = typed_stations(there.record, HIGHER)
    there.make(read_ceiling(there.record, "1", stations, work.now()))
    there.make(ticks.tick(there.record, B, "scribe", work.now()))
    both = Work(bring(here, there, copied)[1], work.now())
    at = [both.mark(side, "scribe").cut.figures["setting"].exact for side in (A, B)]
    assert at[1] - at[0] == Fr(1, 16)
    assert steps_asked(both) == {("B", "scribe")}
    both.ceiling(BULGE)
    assert steps_asked(both) == {("B", "scribe")}
    assert "is held until you answer" in both.gate(B, "take-down")
    both.make(cut_again(both.record, B, "scribe", both.now()))
    both.tick("scribe", B)
    assert both.mark(B, "scribe").cut.figures["setting"].exact == at[0]
    assert not open_cuts(both.record)


RIDGE = (("0", "20", "20"), ("60", "20 1/4", "20"), ("120", "20", "20"))


def test_a_ridges_bottom_lies_as_its_sides_were_scribed(work) -> None:
    """Scribed and nailed level, 6 1/2 in apart. Then side B's drop becomes 1 in more, and B is
    kept: it hangs where it did, so the bottom lies flat, and tilted it would be too wide."""
    spots = beam_of(work, "ridge", width=Fr(8), height=Fr(10))
    work.make(beams.change_beam(work.record, "3", {"height_b": Fr(10)}, work.now()))
    sides = [spots[key] for key in "AB"]
    for side in sides:
        for what, text, lean in (("run", "120", ""), ("end1", "0", "in"), ("end2", "0", "in")):
            work.read(side, what, text, lean)
    for step in (*TO_THE_WALL, "back-bevel", "tack", "level"):
        work.tick(step, *sides)
    stations = typed_stations(work.record, RIDGE)
    work.make(read_ceiling(work.record, "3", stations, work.now()))
    for step in ("scribe", "take-down", "cut-scribe"):
        work.tick(step, *sides)
    work.tick("rip-cleats", spots["cleats"])
    work.tick("fix-cleats", spots["cleats"])
    work.tick("nail-side", *sides)
    said = work.make(beams.change_beam(work.record, "3", {"height_b": Fr(11)}, work.now()))
    assert "side A was scribed at" in said
    while asked := open_cuts(work.record):
        work.make(keep_cut(work.record, asked[0].spot, asked[0].step_id, "it is up", work.now()))
    assert made(work, spots["bottom"]).width == Fr(13, 2)
    assert work.record.beam("3").boards["bottom"].tilt == 0
    assert [one.line for one in made(work, spots["cleats"]).cleats] == [1, 1]


def test_another_width_with_the_sides_up_says_to_measure_between_them(work) -> None:
    """Nailed up 8 in apart, a bottom for 9 in doesn't go in; nothing was cut to the width yet."""
    work.to_scribed()
    for step in ("rip-cleats", "fix-cleats"):
        work.tick(step, CLEATS)
    assert section(work, width=Fr(9)) == ""
    work.tick("nail-side", A, B)
    change = "Great room Ridge: its sides are up already, and its bottom is now to be ripped for a "
    measure = "Measure between the sides before you rip it."
    assert section(work, width=Fr(8)) == f"{change}beam 8 in wide, not 9 in. {measure}"
    # Put back it isn't said to have been nailed up for what it never was.
    assert section(work, width=Fr(9)) == f"{change}beam 9 in wide, not 8 in. {measure}"
    section(work, width=Fr(8))
    assert cut_now(work, BOTTOM, "rip-bottom").own == (
        "the sides are up: measure between the sides first"
    )
    assert section(work, undercut=Fr(1, 16)) == ""
    work.tick("rip-bottom", BOTTOM)
    assert "bottom was ripped to" in section(work, width=Fr(9))


def test_a_side_cut_to_its_line_leads_though_it_was_unchecked_for_the_others_sake(work) -> None:
    """Read again 1/16 in flatter, which is only noted. Then side A is ruined at the saw: to get at
    it, side B's scribe is unchecked too, though side B is cut to its line at 3/8 in."""
    work.to_level()
    work.ceiling(BULGE)
    for step in ("scribe", "take-down", "cut-scribe"):
        work.tick(step, A, B)
    work.ceiling((("0", "100", "100"), ("96", "100 3/16", "100"), ("192", "100", "100")))
    assert not open_cuts(work.record)
    for step in ("cut-scribe", "take-down", "scribe", "level"):
        for side in (A, B):
            work.make(ticks.clear(work.record, side, step, work.now()))
    for step in reversed((*TO_THE_WALL, "back-bevel", "tack")):
        work.make(ticks.clear(work.record, A, step, work.now()))
    for step in (*TO_THE_WALL, "back-bevel", "tack"):
        work.tick(step, A)
    work.tick("level", A, B)
    assert cut_now(work, A, "scribe").parts[0].value == Fr(3, 8)


def ridge_scribed(work, lean: str) -> dict:
    """A ridge beam, both drops 10 in, whose sides are scribed level; gives its spots."""
    spots = beam_of(work, "ridge", width=Fr(8), height=Fr(10))
    work.make(beams.change_beam(work.record, "3", {"height_b": Fr(10)}, work.now()))
    sides = [spots[key] for key in "AB"]
    for side in sides:
        for what, text in (("run", "120"), ("end1", "1/2"), ("end2", "1/2")):
            work.read(side, what, text, "" if what == "run" else lean)
    for step in (*TO_THE_WALL, "back-bevel", "tack", "level"):
        work.tick(step, *sides)
    stations = typed_stations(work.record, RIDGE)
    work.make(read_ceiling(work.record, "3", stations, work.now()))
    work.tick("scribe", *sides)
    return spots


def test_a_ridges_sides_are_cut_to_the_lines_that_they_were_scribed_at(work) -> None:
    """Both lines are drawn 3/8 in under a level ceiling at the ends. A drop of 1 in more at side B
    moves neither: nothing off side B would leave it 3/8 in too wide to go up level."""
    spots = ridge_scribed(work, "in")
    was = scribe_of(work.record.beam("3"))
    assert {one.cut_depth for one in was.marks if one.at != 60} == {Fr(3, 8)}
    said = work.make(beams.change_beam(work.record, "3", {"height_b": Fr(11)}, work.now()))
    assert "side A was scribed at 3/8 in" in said
    assert scribe_of(work.record.beam("3")).marks == was.marks
    while asked := open_cuts(work.record):
        work.make(keep_cut(work.record, asked[0].spot, asked[0].step_id, "level", work.now()))
    assert scribe_of(work.record.beam("3")).marks == was.marks
    work.tick("take-down", spots["A"], spots["B"])
    work.tick("cut-scribe", spots["A"], spots["B"])
    left = work.mark(spots["B"], "cut-scribe").cut.figures["height@0"].exact
    assert work.mark(spots["B"], "rip-side").cut.figures["height"].exact - left == Fr(3, 8)


def test_a_ridges_lengths_hold_where_its_sides_stay_as_they_were_scribed(work) -> None:
    """Between walls that go out, side A still hangs 10 in below the ridge."""
    ridge_scribed(work, "out")
    said = work.make(beams.change_beam(work.record, "3", {"height_b": Fr(11)}, work.now()))
    assert "below the ridge" not in said
    beam = work.record.beam("3")
    assert doubt(beam, beam.piece("A"), "run") is None
    assert doubt(beam, beam.piece("B"), "run") is None


def test_a_side_cut_to_its_line_leads_though_the_ceiling_is_read_after_it_was_unchecked(
    work,
) -> None:
    """Both sides are unchecked first, side A for a new board, and the ceiling is read then: flat,
    which would take 1/8 in. Side B is cut to its line at 3/8 in."""
    work.to_level()
    work.ceiling(BULGE)
    for step in ("scribe", "take-down", "cut-scribe"):
        work.tick(step, A, B)
    for step in ("cut-scribe", "take-down", "scribe", "level"):
        for side in (A, B):
            work.make(ticks.clear(work.record, side, step, work.now()))
    for step in reversed((*TO_THE_WALL, "back-bevel", "tack")):
        work.make(ticks.clear(work.record, A, step, work.now()))
    work.ceiling((("0", "100", "100"), ("96", "100", "100"), ("192", "100", "100")))
    for step in (*TO_THE_WALL, "back-bevel", "tack"):
        work.tick(step, A)
    work.tick("level", A, B)
    assert cut_now(work, A, "scribe").parts[0].value == Fr(3, 8)
    assert "was cut to its line before" in cut_now(work, A, "scribe").notes[0]
