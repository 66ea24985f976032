"""What the batches of boards at their place say of leveling a pair."""

from fractions import Fraction as Fr

from crewdesk.job import beams
from crewdesk.job.beams import find_beam
from crewdesk.job.machine import batch_settings
from crewdesk.job.scribing import read_ceiling, scribe_of, typed_stations
from crewdesk.job.ticks import Spot
from crewdesk.paper.scribe_told import scribe_lines

A, B = (Spot("1", key) for key in "AB")
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
