"""What the batches of boards at their place say of leveling a pair."""

from fractions import Fraction as Fr

from crewdesk.job.beams import beams
from crewdesk.job.beams.beams import find_beam
from crewdesk.job.beams.piece import Spot
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import marks
from crewdesk.job.cuts.scribing import read_ceiling, scribe_of, typed_stations
from crewdesk.length import DEFAULT_STEP, show_length
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.notes import scribe_lines
from tests.job.test_cut_figures import CLEATS, Work

A, B = (Spot("1", key) for key in "AB")
NOT_YET = "don't cut cleats to length before both sides are cut to the scribe line"
STATIONS = (("0", "14", "14-1/16"), ("60", "14-1/2", "14-1/4"), ("120", "14-1/4", "14-1/4"))


def test_a_pair_is_leveled_by_the_ceilings_page(record, now) -> None:
    [group] = batch_settings(record, "level", [A, B]).groups
    assert (group.machine, group.why, group.own) == ("", "", {})
    assert "Measure the ceiling" in group.notes[1]
    record.make(read_ceiling(record, "1", typed_stations(record, STATIONS), now))
    beam = record.beam("1")
    pried = [
        line
        for line in scribe_lines(scribe_of(beam), record.job.step, beam)
        if line.startswith("pry")
    ]
    assert pried
    [group] = batch_settings(record, "level", [A, B]).groups
    assert group.notes == ("Level: hold the bottom edges level by the laser's line.",)
    for spot in (A, B):
        own = [line for line in pried if f"side {spot.piece} " in line]
        assert group.own[spot] == ("; ".join(own) or "pushed up it hangs right: pry nothing down")
    # Side B rests at 14 1/16 and 14 1/4 at the ends; the pair hangs at the lowest, 14.
    assert group.own[B] == "pry side B down 1/16 in at end 1; pry side B down 1/4 in at end 2"


def test_a_sloped_pair_is_not_leveled(record, now) -> None:
    record.make(beams.add_beam(record, "new", "Loft", now, ceiling="sloped", pitch="5/12"))
    row = find_beam(record, "Loft new").row
    level, sloped = batch_settings(record, "level", [A, Spot(row, "A"), Spot(row, "B")]).groups
    assert level.spots == (A,)
    assert "parallel to the slope" in sloped.notes[0]
    assert not any("level" in note and "don't level" not in note for note in sloped.notes)


def test_sides_of_two_widths_are_leveled_by_their_bottom_edges(record, now) -> None:
    """Uneven: side B is 12 in wide beside 10. Along a ridge: side B's drop is 1 in more."""
    record.make(beams.add_beam(record, "new", "Attic", now, form="uneven", height_b=Fr(12)))
    row = find_beam(record, "Attic new").row
    [group] = batch_settings(record, "level", [Spot(row, "A"), Spot(row, "B")]).groups
    assert group.own == {
        Spot(row, "B"): "2 in wider than side A: go by the bottom edges, not the top edges"
    }
    more = {"form": "ridge", "height_b": Fr(11), "pitch": "6/12"}
    record.make(beams.add_beam(record, "long", "Attic", now, **more))
    row = find_beam(record, "Attic long").row
    [group] = batch_settings(record, "level", [Spot(row, "A"), Spot(row, "B")]).groups
    assert group.own[Spot(row, "B")].endswith("its bottom edge hangs 1 in below side A's")


def test_the_cleats_batch_has_each_length_once_the_sides_are_scribed(record, now) -> None:
    work = Work(record, now)
    work.to_cut()
    [group] = batch_settings(work.record, "fix-cleats", [CLEATS]).groups
    assert group.own[CLEATS] == NOT_YET
    assert any(NOT_YET in line for line in cut_list("x", work.record).lines)
    for step in ("back-bevel", "tack", "level"):
        work.tick(step, A, B)
    work.ceiling()
    for step in ("scribe", "take-down", "cut-scribe"):
        work.tick(step, A, B)
    beam = work.record.beam("1")
    a, b = marks(beam, beam.piece("cleats")).cleats
    [group] = batch_settings(work.record, "fix-cleats", [CLEATS]).groups
    long, start = (show_length(one, DEFAULT_STEP, way=way) for one, way in
                   ((a.length, "down"), (a.start, "up")))  # fmt: skip
    first, second = group.own[CLEATS].split("; ")
    assert first == (
        f"on side A {long} in long, from {start} in inside the show face's bottom corner at end 1"
    )
    listed = mark_list(marks(beam, beam.piece("cleats")), "cleats")
    assert "from the show face's bottom corner at end 1" in [one.at for one in listed]
    assert second.startswith(f"on side B {show_length(b.length, DEFAULT_STEP, way='down')} in long")
    assert "Cut each cleat to its length first." in group.notes
    listed = cut_list("x", work.record, "Great room Ridge").lines
    assert not any(NOT_YET in line for line in listed)
