"""Which readings are believed, seen beside the other readings of their beam."""

from fractions import Fraction as Fr

import pytest

from crewdesk.job import beams, take, ticks
from crewdesk.job.believable import doubt
from crewdesk.job.readings import Reading
from crewdesk.job.ticks import Spot
from crewdesk.paper.cutlist import cut_list
from crewdesk.trade.cuts.section import Section


@pytest.fixture
def read(record, now):
    """Takes a reading of beam 1 as it is; gives the doubt about it."""

    def go(key: str, what: str, value: Fr, lean: str = "", level: Fr = Fr(0)):
        reading = Reading(value, now, lean=lean, level=level)
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
    assert read("A", "run", Fr(147)) is None
    assert read("B", "run", Fr(155)) is None
    said = read("B", "run", Fr(155) + Fr(1, 32))
    assert said is not None
    assert "differ by 8 1/32 in" in said
    assert doubt(record.beam("1"), record.beam("1").piece("A"), "run") is not None


def test_the_first_run_is_held_against_the_rough_length(read, record, now) -> None:
    record.make(beams.change_beam(record, "1", {"rough": Fr(168)}, now))
    assert read("A", "run", Fr(180)) is None
    record.make(beams.change_beam(record, "1", {"rough": Fr(167)}, now))
    side = record.beam("1").piece("A")
    said = doubt(record.beam("1"), side, "run")
    assert said is not None
    assert "far from the 167 in" in said
    # Read again, or read at the other side too, it stands against the rough length.
    assert read("A", "run", Fr(180)) is None


def test_a_run_of_the_other_side_speaks_against_the_rough_length_too(read, record, now) -> None:
    record.make(beams.change_beam(record, "1", {"rough": Fr(100)}, now))
    assert read("A", "run", Fr(180)) is not None
    assert read("B", "run", Fr(181)) is None
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
    assert "3 in over 24 in is a wall that leans a lot" in said
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


def test_the_opening_lies_within_half_an_inch_of_the_runs(read) -> None:
    assert read("bottom", "opening", Fr(147)) is None
    read("A", "run", Fr(147))
    read("B", "run", Fr(148))
    for value in (Fr("146.5"), Fr("148.5")):
        said = read("bottom", "opening", value)
        assert said is not None
        assert "read it again" in said
        assert read("bottom", "opening", value) is None
    for value in (Fr("146.5") - Fr(1, 64), Fr("148.5") + Fr(1, 64)):
        said = read("bottom", "opening", value)
        assert said is not None
        assert "does not fit the sides' runs of 147 and 148 in" in said


def test_an_undercut_that_no_bottom_takes_is_told(read, record, now) -> None:
    odd = Section(Fr(8), Fr(10), undercut=Fr(1, 2))
    record.make(beams.change_beam(record, "1", {"section": odd}, now))
    said = read("bottom", "opening", Fr(147))
    assert said is not None
    assert "under-cut of 1/2 in" in said


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
    assert "hard to believe" in refusing(ticks.tick, record, spot, "cut-side", now)
    again = take.typed_reading(record, "run", "12' 3", now)
    record.make(take.take(record, spot, "run", again))
    record.make(ticks.tick(record, spot, "cut-side", now))


def test_two_readings_that_disagree_shut_the_gate_until_a_third_agrees_with_one(read) -> None:
    # Half of both steps together: tape 1/16 and tape 1/16 allow 1/16.
    assert read("bottom", "opening", Fr(147)) is None
    assert read("bottom", "opening", Fr(147) + Fr(1, 16)) is None
    said = read("bottom", "opening", Fr(147) + Fr(1, 4))
    assert said is not None
    assert "lie" in said
    assert "read it again" in said
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
    assert take.asked_for(record.beam("1").piece("bottom")) == ("opening",)
    sheet = cut_list("id", record, "Ridge")
    assert any("reveal as reached: 3/8 in" in line for line in sheet.lines)
    bottom = next(one for one in sheet.values["beams"][0]["pieces"] if one["piece"] == "bottom")
    assert bottom["reveal_reached"] == {"exact": "3/8", "shown": "3/8"}
