"""How sure a piece's marks are, as the record feeds the readings to the trade."""

from fractions import Fraction as Fr
from itertools import product

import pytest

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.chosen_cuts import own_cut
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.beams.piece import Spot
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.beams.uncertainty import how_sure
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import marks
from crewdesk.paper.text.cutlist import cut_list, piece_lines
from crewdesk.trade.cuts.instruments import REPEATS, USUAL_INSTRUMENTS
from crewdesk.trade.cuts.shop_machine import Crew

RUN = Fr(1, 64) + Fr(1, 16)
"""Half a laser's 1/32, and its own error."""
TAPE = Fr(1, 32) + Fr(1, 16)
LEAN = Fr(1, 64) / 24 + Fr(1, 2000)
"""Half of 1/32 over a level or a square of 24 in, and its own error an inch."""


def read(record, row, key, what, text, now, *, level="24", instrument="") -> None:
    gap, _, lean = text.partition(":")
    one = take.typed_reading(record, what, gap, now, lean=lean, level=level, instrument=instrument)
    record.make(take.take(record, Spot(row, key), what, one))


def read_side(record, row, key, run, end1, end2, now, **more) -> None:
    for what, text in (("run", run), ("end1", end1), ("end2", end2)):
        read(record, row, key, what, text, now, **more)


def added(record, now, **more):
    record.make(beams.add_beam(record, "new", "Attic", now, **more))
    return beams.find_beam(record, "Attic new").row


def within(record, row, key, **more):
    beam = record.beam(row)
    return how_sure(beam, beam.piece(key), **more).within


def test_marks_are_as_sure_as_the_instruments_that_read_them(record, now) -> None:
    read_side(record, "1", "A", "147", "5/32:in", "1/8:out", now)
    sure = within(record, "1", "A")
    assert sure["bottom_length"] == RUN
    assert sure["end1"] == LEAN * 10
    assert sure["top_length"] == RUN + 20 * LEAN
    # A reading keeps the step it was taken to.
    record.make(take.change_read_to(record, {"laser": "1/16", "level": "1/32"}, now))
    read_side(record, "1", "B", "147", "5/32:in", "1/8:out", now)
    assert within(record, "1", "B")["bottom_length"] == Fr(1, 32) + Fr(1, 16)
    assert within(record, "1", "A")["bottom_length"] == RUN


def test_a_run_is_as_sure_as_the_instrument_that_it_was_read_with(record, now) -> None:
    """With the laser it is off by the laser's own error, with the tape by the tape's."""
    read_side(record, "1", "A", "147", "0:in", "0:in", now)
    read_side(record, "1", "B", "147", "0:in", "0:in", now)
    read(record, "1", "B", "run", "147", now, instrument="tape")
    own = USUAL_INSTRUMENTS.with_own({"laser": "1/8", "tape": "1/32"})
    by_laser, by_tape = (within(record, "1", key, instruments=own)["bottom_length"] for key in "AB")
    assert by_laser == Fr(1, 64) + Fr(1, 8)
    assert by_tape == Fr(1, 32) + Fr(1, 32)


def test_the_crew_s_instruments_come_with_the_beam(record, now) -> None:
    read_side(record, "1", "A", "147", "0:in", "0:in", now)
    before = record.beam("1")
    record.ask_crew = lambda: Crew(USUAL_INSTRUMENTS.with_own({"laser": "1/8"}))
    record.look_at_crew()
    after = record.beam("1")
    sides = [how_sure(beam, beam.piece("A")).within["bottom_length"] for beam in (before, after)]
    assert sides == [RUN, Fr(1, 64) + Fr(1, 8)]
    # A square is read to the step of the job.
    record.make(take.change_read_to(record, {"square": "1/8"}, now))
    assert record.beam("1").instruments.square.step == Fr(1, 8)
    assert record.beam("1").instruments.laser.own == Fr(1, 8)


def test_a_slope_is_no_surer_than_its_pitch_was_read(record, now) -> None:
    """6 in 12 is 6 1/16 at most: tan is 0.00521 more, and a plumb end's offset 10 times that. By
    the readings of the walls alone it were 0.0145."""
    row = added(record, now, ceiling="sloped", pitch="6/12")
    read_side(record, row, "A", "120", "0:in", "0:in", now)
    sure = within(record, row, "A")
    t, off = Fr(1, 2), Fr(1, 192)
    most = (t + off + LEAN) / (1 - (t + off) * LEAN)
    assert sure["end1"] == 10 * (most - t)
    assert float(sure["end1"]) > 0.052
    # The same slope takes from the top edge at one end what it gives at the other: by the
    # formula's derivative 1 + t^2 is left of the level's part, at both ends.
    level_alone = float(sure["top_length"] - sure["bottom_length"])
    assert level_alone == pytest.approx(2 * 10 * float(LEAN) * 1.25, rel=0.02)


def test_how_sure_every_other_piece_is(record, now) -> None:
    row = added(record, now, form="box")
    beam = record.beam(row)
    assert all(how_sure(beam, beam.piece(key)) is None for key in beam.pieces)
    for key in "AB":
        read_side(record, row, key, "120", "0:in", "0:in", now)
    read(record, row, "bottom", "opening", "120", now)
    # A top board lies at the sides' top edges, 10 in up.
    top = within(record, row, "top")
    assert top["edge_a"] == top["edge_b"] == RUN + 2 * LEAN * 10
    # A cleat of 3/4 in stock sits on the bottom's back, 1/4 + 3/4 in up.
    assert within(record, row, "cleats") == {
        f"{what}_{key}": off
        for key in "AB"
        for what, off in (
            ("start", LEAN * Fr(7, 4)),
            ("length", RUN + 2 * LEAN * Fr(7, 4)),
        )
    }
    # One line alone: either edge may lie off it by what two runs by one laser, 1/32 and 1/32,
    # may differ over 6 1/2 of the 8 in.
    bottom = within(record, row, "bottom")
    assert bottom["edge_a"] == bottom["edge_b"] == TAPE + Fr(1, 16) * Fr(13, 2) / 8
    assert "cut1" not in bottom
    # Both edges, and a square at one wall: the other end gets the rest of the difference.
    read(record, row, "bottom", "edge_b", "120", now)
    record.make(read_squares(record, row, (TypedSquare(1, "1/8", "24", "A"),), now))
    bottom = within(record, row, "bottom")
    assert bottom["edge_a"] == bottom["edge_b"] == TAPE
    across, apart = Fr(13, 2) * LEAN, Fr(1, 16) + REPEATS
    assert (bottom["cut1"], bottom["cut2"]) == (across, across + apart)
    # Side A's show face has more room there: the relief of its back, over 3/4 in; the wall may
    # turn 10 in up by what both sides' leans can be off, over the beam's 8 in.
    side = within(record, row, "A")
    assert side["relief1"] == Fr(3, 4) * (LEAN + 2 * LEAN * Fr(10, 8))
    assert "relief2" not in side
    assert "relief1" not in within(record, row, "B")


def test_edge_b_by_the_squares_is_as_sure_as_both(record, now) -> None:
    """One line is edge A where squares at both walls say how edge B differs."""
    squares = (TypedSquare(1, "1/8", "24", "A"), TypedSquare(2, "0", "24", ""))
    record.make(read_squares(record, "1", squares, now))
    read(record, "1", "bottom", "opening", "147", now)
    bottom = within(record, "1", "bottom")
    assert bottom["edge_a"] == TAPE
    assert bottom["edge_b"] == TAPE + 2 * LEAN * Fr(13, 2)


def test_a_length_that_was_chosen_is_not_told_as_measured(record, now) -> None:
    read(record, "1", "bottom", "opening", "147", now)
    record.make(own_cut(record, Spot("1", "bottom"), "146-7/8", "", "", now))
    assert within(record, "1", "bottom") == {}


def test_each_mark_that_hangs_on_a_reading_has_its_within(record, now) -> None:
    """By the marks' own ids: what is a mark of a reading is never without."""
    row = added(record, now, form="box")
    squares = (TypedSquare(1, "1", "24", "A"), TypedSquare(2, "1/2", "24", "B"))
    record.make(read_squares(record, row, squares, now))
    for key, run in (("A", "120"), ("B", "119-7/8")):
        read_side(record, row, key, run, "3:in", "1/8:out", now)
    read(record, row, "bottom", "opening", "119-3/4", now)
    read(record, row, "bottom", "edge_b", "119-5/8", now)
    fixed = {"height", "cleat_line", "width", "back_width", "edges", "line_A", "line_B"}
    fixed |= {"projection", "stock"}
    beam = record.beam(row)
    for key, piece in beam.pieces.items():
        off = how_sure(beam, piece).within
        listed = mark_list(marks(beam, piece), key, off)
        bare = {one.id for one in listed if one.within is None and one.value is not None}
        assert bare <= fixed, key
        assert {one.id for one in listed if one.within is not None} >= {
            "A": {"bottom_length", "top_length", "blank", "end1", "end2", "relief1"},
            "B": {"bottom_length", "top_length", "blank", "end1", "end2", "relief2"},
            "bottom": {"edge_a", "edge_b", "back_a", "back_b", "cut1", "cut2"},
            "top": {"edge_a", "edge_b", "cut1", "cut2"},
            "cleats": {"length_A", "length_B", "start_A", "start_B"},
        }[key]


def test_squares_and_runs_are_held_against_what_both_can_be_off(record, now) -> None:
    """One laser's two runs may differ by 1/32 and 1/32 more than the walls; two squares of 24 in
    by (1/64 / 24 + 0.0005) x 8 in each: together 5/64 in and a little, and the line that the laser
    was held along is good for 1/32 in more."""
    squares = (TypedSquare(1, "0", "24", ""), TypedSquare(2, "0", "24", ""))
    record.make(read_squares(record, "1", squares, now))
    assert Fr(5, 64) < Fr(1, 16) + 2 * 8 * LEAN < Fr(6, 64)
    for text, apart in (("147-7/64", False), ("147-1/8", True)):
        for key, run in (("A", "147"), ("B", text)):
            read_side(record, "1", key, run, "0:in", "0:in", now)
        beam = record.beam("1")
        doubted = doubt(beam, beam.piece("A"), "run") or ""
        # What is allowed is rounded up, as every accuracy.
        assert ("They may differ by 1/8 in. Measure both lengths again" in doubted) == apart
        # One doubt with one limit and one remedy: nothing more is said of the walls in plan.
        lines = "\n".join(piece_lines(record, beam, beam.piece("A")))
        assert ("may differ by" in lines) == apart
        assert "apart over the beam's width" not in lines


def test_one_square_alone_speaks_against_no_run(record, now) -> None:
    """The wall that no square was held to takes the rest of what the runs differ by."""
    record.make(read_squares(record, "1", (TypedSquare(1, "0", "24", ""),), now))
    for key, run in (("A", "147"), ("B", "147-1/4")):
        read_side(record, "1", key, run, "0:in", "0:in", now)
    told = piece_lines(record, record.beam("1"), record.beam("1").piece("A"))
    assert not any("The square and the two lengths" in line for line in told)


def test_a_short_level_is_told_on_the_cut_list_too(record, now) -> None:
    """Not on the screen alone: who cuts by paper has not seen it."""
    read_side(record, "1", "A", "147", "1/8:in", "1/8:in", now, level="9")
    sheet = cut_list("id", record, "Great room Ridge")
    lines = [line.strip() for line in sheet.lines]
    told = [line for line in lines if "the 9 in level is shorter than the 10 in side" in line]
    assert [line[:12] for line in told] == ["! At end 1 t", "! At end 2 t"]
    assert any(line.startswith("within (in): bottom edge 5/64, ") for line in lines)
    side = sheet.values["beams"][0]["pieces"][0]
    assert [one[:8] for one in side["cautions"]] == ["At end 1", "At end 2"]
    off = {one["id"]: one["within"] for one in side["marks"]["list"]}
    assert off["bottom_length"] == {"exact": "5/64", "shown": "5/64"}
    assert off["height"] is None


@pytest.mark.parametrize(("pitch", "low"), [(None, 1), ("6/12", 1), ("12/12", 2)])
@pytest.mark.parametrize("held", [(1, 2), (1,), (2,)])
def test_a_top_s_slants_are_as_sure_as_what_is_read_at_their_own_end(
    record, now, pitch, low, held
) -> None:
    """Every reading moved by what it can be off, all ways: no slant of the cut moves by more than
    is stated. What is stated is no more than the tops of both sides can be off at that end, the
    square, and what both runs may differ by."""
    more = {"ceiling": "sloped", "pitch": pitch, "low": low} if pitch else {}
    row = added(record, now, form="box", **more)
    gaps = {("A", 1): Fr(1, 2), ("B", 1): Fr(1, 4), ("A", 2): Fr(1, 4), ("B", 2): Fr(3, 8)}
    for key in "AB":
        ends = (f"{gaps[key, end]}:in" for end in (1, 2))
        read_side(record, row, key, "120", *ends, now)
    squares = tuple(TypedSquare(end, "1", "24", "AB"[end - 1]) for end in held)
    record.make(read_squares(record, row, squares, now))
    beam = record.beam(row)
    stated = how_sure(beam, beam.piece("top")).within
    nominal = offsets(beam)
    across, wide = beam.boards["top"].width, beam.section.width
    runs = (Fr(1, 32) + REPEATS) * across / wide
    for end in (1, 2):
        own = sum(how_sure(beam, beam.piece(key)).within[f"end{end}"] for key in "AB")
        other = runs if held == (1, 2) else runs + across * LEAN * 2
        assert stated[f"cut{end}"] <= own + 2 * across * LEAN * 2 + other
    moved = [
        [abs(float(one) - float(was)) for one, was in zip(offsets(at), nominal, strict=True)]
        for at in moved_by_their_errors(beam)
    ]
    for end in (1, 2):
        worst = max(one[end - 1] for one in moved)
        assert worst <= float(stated[f"cut{end}"]) + 1e-9
        if not pitch and len(held) == 2:
            assert worst > 0.5 * float(stated[f"cut{end}"])


def offsets(beam):
    return [end.offset for end in marks(beam, beam.piece("top")).cut.ends]


def moved_by_their_errors(beam):
    """The beam with its leans and runs moved by all that they can be off."""
    level = LEAN * 24
    for signs in product((-1, 1), repeat=5):
        pieces = dict(beam.pieces)
        for at, key in enumerate("AB"):
            readings = dict(pieces[key].readings)
            for end in (1, 2):
                (one,) = readings[f"end{end}"]
                by = signs[2 * at + end - 1] * level
                readings[f"end{end}"] = (one._replace(value=one.value + by),)
            (run,) = readings["run"]
            by = signs[4] * (1 - 2 * at) * (Fr(1, 64) + REPEATS / 2)
            readings["run"] = (run._replace(value=run.value + by),)
            pieces[key] = pieces[key]._replace(readings=readings)
        yield beam._replace(pieces=pieces)
