"""Which readings are believed, seen beside the other readings of their beam."""

import random
import re
from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.ceiling import doubtful_ceiling
from crewdesk.job.beams.forms import FORMS
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.beams.readings import READING_KINDS, Reading
from crewdesk.job.cuts.scribing import read_ceiling, scribe_of, typed_stations
from crewdesk.job.steps import ticks
from crewdesk.job.steps.gates import closed
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.notes import caution_lines
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.cuts.shop_machine import Crew


@pytest.fixture
def read(record, now):
    """Takes a reading of beam 1 as it is; gives the doubt about it."""

    def go(key: str, what: str, value: Fr, lean: str = "", level: Fr = Fr(0)):
        reading = Reading(
            value, now, instrument=READING_KINDS[what].instrument, lean=lean, level=level
        )
        record.make(take.take(record, Spot("1", key), what, reading))
        return doubt(record.beam("1"), record.beam("1").piece(key), what)

    return go


def test_what_was_not_read_is_not_doubted(record) -> None:
    assert doubt(record.beam("1"), record.beam("1").piece("A"), "run") is None


@pytest.mark.parametrize(
    ("inches", "fine"),
    [("6", True), ("191/32", False), ("1200", True), ("38401/32", False), ("-5", False)],
)
def test_a_run_is_from_half_a_foot_to_a_hundred_feet(read, inches, fine) -> None:
    said = read("A", "run", Fr(inches))
    assert (said is None) == fine
    if said:
        assert "from 6 in to 100' 0" in said


def test_the_two_runs_of_a_pair_differ_by_no_more_than_the_beam_is_wide(read, record) -> None:
    # A house corner out of square by 45 degrees would make the runs differ by the width.
    read("A", "run", Fr(147))
    read("A", "run", Fr(147))
    said = read("B", "run", Fr(155) + Fr(1, 32))
    assert said is not None
    assert "differ by 8 1/32 in, more than the beam is wide" in said
    read("B", "run", Fr(155))
    assert read("B", "run", Fr(155)) is None
    assert doubt(record.beam("1"), record.beam("1").piece("A"), "run") is None


def test_sides_that_differ_a_lot_need_squares_or_second_readings(read, record, now) -> None:
    """3 in over 8 in of width are 20 degrees between both walls: atan(3 / 8) = 20.6."""
    assert read("A", "run", Fr(120)) is None
    said = read("B", "run", Fr(117))
    assert said is not None
    assert "out of square by 4 1/2 in 12 between them. Measure the walls with the square" in said
    assert doubt(record.beam("1"), record.beam("1").piece("A"), "run") is not None
    assert read("A", "run", Fr(120)) is not None
    assert read("B", "run", Fr(118)) is not None
    assert read("B", "run", Fr(117)) is None
    assert doubt(record.beam("1"), record.beam("1").piece("B"), "run") is None


@pytest.mark.parametrize(("gap", "fine"), [("4 1/2", True), ("4", False), ("0", False)])
def test_sides_that_differ_must_agree_with_the_squares(read, record, now, gap, fine) -> None:
    """A gap of 4 1/2 in over a 24 in leg at both walls makes 2 x 4.5 / 24 x 8 = 3 in."""
    read("A", "run", Fr(120))
    read("B", "run", Fr(117))
    longer = "" if gap == "0" else "A"
    squares = tuple(TypedSquare(end, gap, "24", longer) for end in (1, 2))
    record.make(read_squares(record, "1", squares, now))
    said = doubt(record.beam("1"), record.beam("1").piece("B"), "run")
    assert (said is None) == fine
    if said is not None:
        assert "By the lengths of Great room Ridge, side A is 3 in longer" in said


def test_the_first_run_is_held_against_the_rough_length(read, record, now) -> None:
    record.make(beams.change_beam(record, "1", {"rough": Fr(174)}, now))
    assert read("A", "run", Fr(180)) is None
    record.make(beams.change_beam(record, "1", {"rough": Fr(173)}, now))
    side = record.beam("1").piece("A")
    said = doubt(record.beam("1"), side, "run")
    assert said is not None
    assert "far from the 173 in" in said
    # Read again, or read at the other side too, it stands against the rough length.
    assert read("A", "run", Fr(180)) is None


def test_a_run_of_the_other_side_speaks_against_the_rough_length_too(read, record, now) -> None:
    record.make(beams.change_beam(record, "1", {"rough": Fr(100)}, now))
    assert read("A", "run", Fr(180)) is not None
    assert read("B", "run", Fr(180) + Fr(1, 2)) is None
    assert doubt(record.beam("1"), record.beam("1").piece("A"), "run") is None


@pytest.mark.parametrize(
    ("gap", "lean", "level", "fine"),
    [
        ("5/32", "in", "24", True),
        ("0", "out", "24", True),
        ("5/32", "", "24", False),
        ("5/32", "up", "24", False),
        ("-1/32", "in", "24", False),
        ("5/32", "in", "0", False),
        ("25", "in", "24", False),
        # 20 degrees is the most: tan 20 = 0.36397 (handbook tables), so 8.735 in over 24.
        ("8.735", "in", "24", True),
        ("8.736", "in", "24", False),
    ],
)
def test_an_end_is_a_gap_over_a_level_that_leans(read, gap, lean, level, fine) -> None:
    read("A", "end1", Fr(gap), lean, Fr(level))
    said = read("A", "end1", Fr(gap), lean, Fr(level))
    assert (said is None) == fine
    if said:
        assert said.startswith("Great room Ridge side A, end 1: ")


def test_a_wall_that_leans_a_lot_is_read_twice(read) -> None:
    assert read("A", "end1", Fr(2), "in", Fr(24)) is None
    # 3 typed for 3/16: over 24 more than 1 in 12.
    said = read("A", "end2", Fr(3), "in", Fr(24))
    assert said is not None
    assert "3 in over 24 in is a wall far out of plumb." in said
    assert read("A", "end2", Fr(3), "in", Fr(24)) is None
    assert "apart" in read("A", "end2", Fr(3, 16), "in", Fr(24))


def test_a_run_that_leaves_no_top_edge_makes_no_board(read, record, now) -> None:
    tall = Section(Fr(8), Fr(24))
    record.make(beams.change_beam(record, "1", {"section": tall}, now))
    for end in ("end1", "end2"):
        read("A", end, Fr(8), "in", Fr(24))
        assert read("A", end, Fr(8), "in", Fr(24)) is None
    # Each end takes 8 x 24/24 = 8 in off the top.
    assert read("A", "run", Fr(17)) is None
    said = read("A", "run", Fr(16))
    assert said is not None
    assert "leave nothing of the top edge" in said


# What an opening may leave the sides' readings by: half of 1/32 and a laser's own 1/16, half of
# 1/16 and a tape's own 1/16 (NIST Handbook 44, 5.52, table 2), and 1/32 for the line.
ALLOWED = Fr(1, 64) + Fr(1, 16) + Fr(1, 32) + Fr(1, 16) + Fr(1, 32)


def test_an_opening_half_an_inch_off_both_sides_is_doubted(read) -> None:
    read("A", "run", Fr(120))
    read("B", "run", Fr(120))
    said = read("bottom", "opening", Fr("120.5"))
    assert said is not None
    assert "120 1/2 in between the walls of Great room Ridge doesn't fit" in said
    assert "which give 120 in, within 13/64 in" in said
    assert "Measure it again; if it stays, measure both sides wall to wall again." in said


ASKS = {
    "usual": {},
    "uneven": {"height_b": Fr(12)},
    "wall": {},
    "ridge": {"pitch": "6/12", "pitch_b": "4/12"},
    "mitred": {"section": Section(Fr(8), Fr(10), bottom_thickness=Fr(3, 4))},
    "box": {},
    "mitred box": {"section": Section(Fr(8), Fr(10), bottom_thickness=Fr(3, 4))},
}


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("what", ["opening", "edge_b"])
@pytest.mark.parametrize("sloped", [False, True])
def test_an_opening_half_an_inch_off_is_doubted_on_every_type(
    record, read, now, form, what, sloped
) -> None:
    """And so is edge B; on a slope with plumb walls too, whose lengths run up the slope."""
    slope = {"ceiling": "sloped", "pitch": "6/12", "low": 1} if sloped else {"note": "level"}
    if sloped and form == "ridge":
        pytest.skip("a ridge beam hangs level")
    record.make(beams.change_beam(record, "1", {"form": form, **ASKS[form], **slope}, now))
    for key in record.beam("1").form.pieces:
        if key in "AB":
            read(key, "run", Fr(120))
            for end in ("end1", "end2"):
                read(key, end, Fr(0), "in", Fr(24))
    if what == "edge_b":
        assert read("bottom", "opening", Fr(120)) is None
    for off in (Fr(1, 2), -Fr(1, 2)):
        said = read("bottom", what, Fr(120) + off)
        assert said is not None
        assert re.search(r"which give 120 in, within (13/64|7/32) in", said)
        assert ("and the square at both walls" in said) == (form == "wall")
    assert read("bottom", what, Fr(120) + ALLOWED) is None


def test_along_one_wall_the_squares_say_how_the_edges_differ(record, read, now) -> None:
    """A 1/2 in longer at edge B, 7 in on from edge A, is 1/28 an inch at each of two walls."""
    record.make(beams.change_beam(record, "1", {"form": "wall"}, now))
    read("A", "run", Fr(120))
    assert read("bottom", "opening", Fr(120)) is None
    assert read("bottom", "edge_b", Fr("120.5")) is not None
    squares = (TypedSquare(1, "1", "28", "B"), TypedSquare(2, "1", "28", "B"))
    record.make(read_squares(record, "1", squares, now))
    beam = record.beam("1")
    assert doubt(beam, beam.piece("bottom"), "edge_b") is None


@pytest.mark.parametrize("way", [-1, 1])
def test_an_opening_leaves_the_sides_readings_by_no_more_than_both_can_be_off(read, way) -> None:
    read("A", "run", Fr(120))
    read("B", "run", Fr(120))
    assert read("bottom", "opening", 120 + way * ALLOWED) is None
    assert read("bottom", "opening", 120 + way * (ALLOWED + Fr(1, 1000))) is not None


def test_one_line_between_walls_out_of_square_lies_between_both_edges(read, record, now) -> None:
    """Runs of 147 and 148 over 8 in: the bottom's edges lie 3/4 in in from each show face, so
    they are 147 3/32 and 147 29/32 (similar triangles)."""
    read("A", "run", Fr(147))
    read("B", "run", Fr(148))
    beam = record.beam("1")

    def held(value: Fr):
        one = Reading(value, now, instrument="tape")
        return doubt(beam, beam.piece("bottom"), "opening", one)

    for value in (147 + Fr(3, 32) - ALLOWED, 147 + Fr(29, 32) + ALLOWED):
        assert held(value) is None
    for value in (147 + Fr(5, 64) - ALLOWED, 147 + Fr(59, 64) + ALLOWED):
        assert "which give 147 3/32 to 147 29/32 in, within 13/64 in" in str(held(value))


def test_two_edges_are_each_held_against_their_own(read) -> None:
    """The two tapes written into each other's line."""
    read("A", "run", Fr(147))
    read("B", "run", Fr(148))
    assert read("bottom", "opening", 147 + Fr(7, 8)) is None
    said = read("bottom", "edge_b", 147 + Fr(1, 8))
    assert said is not None
    assert "147 1/8 in between the walls of Great room Ridge along edge B doesn't fit" in said
    assert "give 147 29/32 in" in said
    said = read("bottom", "opening", 147 + Fr(7, 8))
    assert said is not None
    assert "along edge A doesn't fit the sides' readings, which give 147 3/32 in" in said
    assert read("bottom", "edge_b", 147 + Fr(7, 8)) is None
    assert read("bottom", "opening", 147 + Fr(1, 8)) is None


def test_by_one_run_the_squares_say_how_long_the_edges_are(read, record, now) -> None:
    """Side A is the longer by 1/4 in 24 at both ends, so by 1/48 an inch of the beam's width."""
    read("A", "run", Fr(147))
    # Nothing says yet how the walls run, so they count as square.
    assert read("bottom", "opening", Fr(147) + ALLOWED) is None
    said = read("bottom", "opening", Fr(147) + Fr(1, 2))
    assert "if it stays, measure side A wall to wall again and side B's too." in str(said)
    squares = (TypedSquare(1, "1/4", "24", "A"), TypedSquare(2, "1/4", "24", "A"))
    record.make(read_squares(record, "1", squares, now))
    # One line is then edge A's, 3/4 in in from the show face; edge B lies 7 1/4 in in.
    per_inch = Fr(1, 64) / 24 + Fr(1, 2000)
    for what, place in (("opening", Fr(3, 4)), ("edge_b", Fr(29, 4))):
        least = 147 - place / 48 - 2 * place * per_inch - ALLOWED
        assert read("bottom", what, least) is None
        assert read("bottom", what, least - Fr(1, 1000)) is not None


def test_walls_that_lean_leave_less_at_the_reveal(read) -> None:
    """Both walls come in by 1 in 12: at a reveal of 1/4 in there are 2 x 1/48 in less."""
    for key in "AB":
        read(key, "run", Fr(147))
        for end in ("end1", "end2"):
            read(key, end, Fr(2), "in", Fr(24))
    level = 2 * (Fr(1, 64) / 24 + Fr(1, 2000)) / 4
    least = 147 - Fr(2, 48) - ALLOWED - level
    assert read("bottom", "opening", least) is None
    assert read("bottom", "opening", least - Fr(1, 1000)) is not None


def test_on_a_slope_both_ends_take_from_the_room_what_the_other_gives(read, record, now) -> None:
    record.make(
        beams.change_beam(record, "1", {"ceiling": "sloped", "pitch": "6/12", "low": 2}, now)
    )
    for key in "AB":
        read(key, "run", Fr(147))
        for end in ("end1", "end2"):
            read(key, end, Fr(0), "in", Fr(24))
    assert read("bottom", "opening", 147 + ALLOWED) is None
    assert read("bottom", "opening", Fr("147.25")) is not None


def test_honest_readings_are_never_doubted_and_slips_of_half_an_inch_always(record, now) -> None:
    """A Monte Carlo (JCGM 101:2008) of true rooms: instruments that are off by up to all they may
    be, readings rounded to their steps."""
    chance = random.Random(12)
    laser, tape = USUAL_INSTRUMENTS.laser, USUAL_INSTRUMENTS.tape
    base = record.beam("1")
    bottom, width = base.piece("bottom"), float(base.section.width)

    def shown(true: float, with_, own: float) -> Fr:
        return Fr(round((true + own) / float(with_.step))) * with_.step

    for _ in range(300):
        true_a = chance.uniform(90, 240)
        skew = chance.uniform(-0.02, 0.02)
        own_laser = chance.uniform(-1, 1) * float(laser.own)
        own_tape = chance.uniform(-1, 1) * float(tape.own)
        pieces = dict(base.pieces)
        for key, at in (("A", 0.0), ("B", width)):
            run = Reading(shown(true_a + skew * at, laser, own_laser), now, instrument="laser")
            pieces[key] = pieces[key]._replace(readings={"run": (run,)})
        beam = base._replace(pieces=pieces)
        held = true_a + skew * chance.uniform(0.75, width - 0.75) + chance.uniform(-1, 1) / 32
        one = Reading(shown(held, tape, own_tape), now, instrument="tape")
        assert doubt(beam, bottom, "opening", one) is None
        far = max(true_a, true_a + skew * width) + 0.5
        slip = Reading(shown(far, tape, own_tape), now, instrument="tape")
        assert doubt(beam, bottom, "opening", slip) is not None


def test_a_coarser_laser_is_believed_less_but_no_more_is_doubted(read, record) -> None:
    read("A", "run", Fr(120))
    read("B", "run", Fr(120))
    said = read("bottom", "opening", Fr("120.25"))
    assert said is not None
    record.ask_crew = lambda: Crew(USUAL_INSTRUMENTS.with_own({"laser": "1/8"}))
    record.look_at_crew()
    assert doubt(record.beam("1"), record.beam("1").piece("bottom"), "opening") is None


def test_one_laser_s_own_error_is_in_both_of_its_readings(read) -> None:
    """So two of them lie no further apart than their steps and what it is set down otherwise;
    against a tape both own errors count."""
    assert read("A", "run", Fr(147)) is None
    assert read("A", "run", Fr(147) + Fr(1, 16)) is None
    said = read("A", "run", Fr(147) + Fr(5, 32))
    assert said is not None
    assert "3/32 in apart" in said or "5/32 in apart" in said


def test_a_laser_and_a_tape_may_lie_further_apart(record, now) -> None:
    piece = record.beam("1").piece("A")
    laser = Reading(Fr(147), now, instrument="laser")
    piece = piece._replace(readings={"run": (laser,)})
    beam = record.beam("1")._replace(pieces={**record.beam("1").pieces, "A": piece})
    # 1/64 + 1/16 of the laser and 1/32 + 1/16 of the tape: 11/64.
    for by, fine in ((Fr(11, 64), True), (Fr(12, 64), False)):
        tape = Reading(Fr(147) + by, now, instrument="tape")
        assert (doubt(beam, piece, "run", tape) is None) == fine


def test_an_undercut_that_no_bottom_takes_is_told(read, record, now) -> None:
    odd = Section(Fr(8), Fr(10), undercut=Fr(1, 2))
    record.make(beams.change_beam(record, "1", {"section": odd}, now))
    said = read("bottom", "opening", Fr(147))
    assert said is not None
    assert "bottom can't be cut 1/2 in" in said


def test_a_typed_reading_stands_in_for_the_one_in_the_record(record, now) -> None:
    typed = Reading(Fr(3), now)
    piece = record.beam("1").piece("A")
    assert doubt(record.beam("1"), piece, "run", typed) is not None
    assert piece.latest("run") is None


def test_a_hard_reading_shuts_the_gate_until_it_is_read_again(record, walk, now, refusing) -> None:
    walk(record, record.make, "cut-side", now)
    spot = Spot("1", "A")
    for what, text in (("run", "5"), ("end1", "1/8"), ("end2", "0")):
        one = take.typed_reading(record, what, text, now, lean="out", level="48")
        record.make(take.take(record, spot, what, one))
    assert "seems wrong; it should be from" in refusing(ticks.tick, record, spot, "cut-side", now)
    again = take.typed_reading(record, "run", "12' 3", now)
    record.make(take.take(record, spot, "run", again))
    record.make(ticks.tick(record, spot, "cut-side", now))


def test_two_readings_that_disagree_shut_the_gate_until_a_third_agrees_with_one(read) -> None:
    # Half of both steps together, and 1/32 that one tape repeats to: 3/32.
    assert read("bottom", "opening", Fr(147)) is None
    assert read("bottom", "opening", Fr(147) + Fr(3, 32)) is None
    said = read("bottom", "opening", Fr(147) + Fr(1, 4))
    assert said is not None
    assert "5/32 in apart" in said
    assert "Measure it again" in said
    assert read("bottom", "opening", Fr(147) + Fr(1, 32)) is None


def test_a_reveal_off_the_sections_is_read_twice(record, read) -> None:
    """1/32 in is as near as a tape is read (common practice, no source); the section has 1/4."""
    assert take.takes_now(record.stages, record.beam("1").piece("bottom")) == ("opening", "edge_b")
    assert read("bottom", "reveal", Fr(9, 32)) is None
    said = read("bottom", "reveal", Fr(3, 8))
    assert said is not None
    assert "off the section's 1/4 in" in said
    assert read("bottom", "reveal", Fr(3, 8)) is None
    assert "reveal" in take.takes_now(record.stages, record.beam("1").piece("bottom"))
    # It is asked for by nothing, and the cut list shows it for the next job.
    assert record.beam("1").piece("bottom").asked_for == ("opening",)
    sheet = cut_list("id", record, "Ridge")
    assert any("reveal as it came out: 3/8 in" in line for line in sheet.lines)
    bottom = next(one for one in sheet.values["beams"][0]["pieces"] if one["piece"] == "bottom")
    assert bottom["reveal_reached"] == {"exact": "3/8", "shown": "3/8"}


def test_a_ceiling_that_steps_a_lot_is_read_twice(record, now, typed_ceiling) -> None:
    """A floor joist that hangs 3 in low over 3 ft is a bulkhead, or a reading cut short."""
    smooth = (("0", "18", "18"), ("36", "17 1/8", "18"), ("72", "18", "18"))
    record.make(typed_ceiling(smooth))
    assert doubtful_ceiling(record.beam("1")) is None
    record.make(typed_ceiling((("0", "18", "18"), ("36", "18", "15"), ("72", "18", "18"))))
    said = doubtful_ceiling(record.beam("1"))
    assert said is not None
    assert "drops 3 in between 0 and 36 in from end 1, at side B" in said
    assert said in caution_lines(record.beam("1"), scribe_of(record.beam("1")))
    step = record.stages.step("scribe")
    assert closed(record.stages, record.beam("1"), record.beam("1").piece("A"), step)
    record.make(typed_ceiling((("0", "18", "18"), ("36", "18", "15"), ("72", "18", "18"))))
    assert doubtful_ceiling(record.beam("1")) is None


@pytest.fixture
def typed_ceiling(record, now):
    """The change that reads the ceiling over beam 1."""
    return lambda rows: read_ceiling(record, "1", typed_stations(record, rows), now)


def test_a_sloped_wall_that_leans_neither_way_leaves_the_cut_list_printable(record, now) -> None:
    """An imported reading may lack "in" or "out": it is said there, and the rest is printed."""
    made = {"ceiling": "sloped", "pitch": "4/12", "low": 2}
    record.make(beams.change_beam(record, "1", made, now))
    squares = tuple(TypedSquare(end, "1/16", "24", "A") for end in (1, 2))
    record.make(read_squares(record, "1", squares, now))
    for key in ("A", "B"):
        for what, text in (("run", "120"), ("end1", "1/16"), ("end2", "1/16")):
            lean = "" if what == "run" else "out"
            typed = take.typed_reading(record, what, text, now, lean=lean, level="24")
            record.make(take.take(record, Spot("1", key), what, typed))
    record.tables["beams"]["1"]["pieces"]["A"]["readings"]["end2"][0].pop("lean")
    record.forget([("beams", "1")])
    lines = "\n".join(cut_list("hill", record).lines)
    assert "side A, end 2: A wall can't be out of plumb" in lines
