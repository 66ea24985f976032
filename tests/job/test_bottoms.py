"""The bottom board read along one line or both edges, and cut by the user's own choice."""

from datetime import timedelta
from fractions import Fraction as Fr

import pytest

from crewdesk.errors import BadInput
from crewdesk.job.beams import beams, take
from crewdesk.job.beams.chosen_cuts import own_cut
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.beams.missing import missing
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.beams.uncertainty import how_sure
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import BottomMarks, marks
from crewdesk.job.record import Record
from crewdesk.job.steps import ticks
from crewdesk.job.steps.gates import closed
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.text.cutlist import cut_list, missing_of
from crewdesk.paper.text.notes import square_lines
from crewdesk.paper.text.progress import progress

BOTTOM = Spot("1", "bottom")


def read(record: Record, what: str, text: str, now) -> None:
    reading = take.typed_reading(record, what, text, now)
    record.make(take.take(record, BOTTOM, what, reading))


def cut(record: Record):
    beam = record.beam("1")
    made = marks(beam, beam.piece("bottom"))
    assert isinstance(made, BottomMarks)
    return made.cut


def of_bottom(record: Record) -> dict:
    pieces = cut_list("id", record, "Ridge").values["beams"][0]["pieces"]
    return next(one for one in pieces if one["piece"] == "bottom")


def test_one_line_stands_for_both_edges_until_edge_b_is_read(record, now) -> None:
    assert cut(record) is None
    read(record, "opening", "147", now)
    beam = record.beam("1")
    assert missing_of(beam, beam.piece("bottom")) == []
    # The reading less 1/32 (common practice, no source).
    assert (cut(record).edge_a, cut(record).edge_b) == (Fr("4703/32"), Fr("4703/32"))
    read(record, "edge_b", "146-3/4", now)
    assert (cut(record).edge_a, cut(record).edge_b) == (Fr("4703/32"), Fr("4695/32"))
    lines = cut_list("id", record, "Ridge").lines
    assert any("edge A 146 31/32 in, edge A at the back 146 11/16+ in" in line for line in lines)
    assert any("edge B 146 23/32 in, " in line for line in lines)


def test_every_length_of_the_bottom_is_shown_rounded_down(record, now) -> None:
    read(record, "opening", "147.03", now)
    read(record, "edge_b", "147.02", now)
    shown = of_bottom(record)["marks"]
    for key in ("length", "edge_a", "edge_b", "back_a", "back_b"):
        whole, _, part = shown[key]["shown"].rstrip("+").partition(" ")
        exact = float(Fr(shown[key]["exact"]))
        assert 0 <= exact - float(Fr(whole) + Fr(part or "0")) < 1 / 32
    assert shown["edge_a"]["shown"] == "146 31/32+"


def test_a_board_longer_than_its_reading_takes_a_reason_that_shows_on_every_sheet(
    record, now, refusing
) -> None:
    assert "Measure it first" in refusing(own_cut, record, BOTTOM, "147", "", "", now)
    read(record, "opening", "147", now)
    with pytest.raises(BadInput, match=r"and wouldn't go up. Cut no more than the"):
        own_cut(record, BOTTOM, "147-1/16", "", " ", now)
    record.make(own_cut(record, BOTTOM, "146-1/2", "", "", now))
    assert (cut(record).edge_a, cut(record).cautions) == (Fr("293/2"), ())
    assert of_bottom(record)["overrides"] == []
    record.make(own_cut(record, BOTTOM, "147-1/16", "147", "plaster comes off", now))
    (told,) = of_bottom(record)["overrides"]
    assert told["reason"] == "plaster comes off"
    assert "147 1/16 in is longer than its reading of 147 in" in told["gate"]
    assert progress("id", record).values["overrides"] == [told]
    assert any("plaster comes off" in line for line in progress("id", record).lines)
    record.make(own_cut(record, BOTTOM, "", "", "", now))
    assert cut(record).edge_a == Fr("4703/32")
    assert "No length was typed for edge A" in refusing(own_cut, record, BOTTOM, "", "", "", now)
    assert "Only the bottom" in refusing(own_cut, record, Spot("1", "A"), "1", "", "", now)


def test_an_own_cut_that_a_later_reading_shows_too_long_closes_the_gate(record, now) -> None:
    read(record, "opening", "147", now)
    record.make(own_cut(record, BOTTOM, "147", "", "", now))
    assert doubt(record.beam("1"), record.beam("1").piece("bottom"), "opening") is None
    read(record, "opening", "146-31/32", now)
    beam = record.beam("1")
    assert "longer than its reading" in str(doubt(beam, beam.piece("bottom"), "opening"))


def test_edge_b_must_be_read_with_the_sides_up_too(record, now, walk) -> None:
    read(record, "edge_b", "147-1/8", now)
    walk(record, record.make, "cut-bottom", now + timedelta(hours=1))
    beam, step = record.beam("1"), record.stages.step("cut-bottom")
    later = now + timedelta(days=1)
    read(record, "opening", "147-1/4", later)
    beam = record.beam("1")
    gate = closed(record.stages, beam, beam.piece("bottom"), step)
    assert gate is not None
    assert "along edge B" in gate
    assert "was measured before" in gate
    read(record, "edge_b", "147-1/4", later)
    record.make(ticks.tick(record, BOTTOM, "cut-bottom", later))


@pytest.mark.parametrize("answer", ["square", "own cut"])
def test_a_bottom_whose_slant_is_unknown_is_not_cut(record, now, walk, refusing, answer) -> None:
    """Edges 1/16 in apart, which two readings may be by themselves: the batch has no miter."""
    walk(record, record.make, "cut-bottom", now)
    at = now + timedelta(days=1)
    read(record, "opening", "147-1/4", at)
    read(record, "edge_b", "147-3/16", at)

    def batched() -> bool:
        ready = [one for one in RunSheet(record).batches() if one.step.id == "cut-bottom"]
        return any(BOTTOM in one.spots for one in ready)

    def asked() -> list[str]:
        found = missing(record)
        return [one.why for one in found if one.spot == BOTTOM and "square1" in one.readings]

    assert "Measure the walls with the square, or type your own" in refusing(
        ticks.tick, record, BOTTOM, "cut-bottom", at
    )
    assert not batched()
    [why] = asked()
    assert why == "the square at each wall: edge A and edge B differ"
    if answer == "square":
        squares = (TypedSquare(1, "0", "24", ""), TypedSquare(2, "", "24", ""))
        record.make(read_squares(record, "1", squares, at))
    else:
        record.make(own_cut(record, BOTTOM, "147-1/8", "", "", at))
    assert batched()
    assert not asked()
    record.make(ticks.tick(record, BOTTOM, "cut-bottom", at))


def test_edges_that_no_wall_would_make_are_doubted(record, now) -> None:
    read(record, "opening", "147", now)
    read(record, "edge_b", "140", now)
    beam = record.beam("1")
    assert "apart" in str(doubt(beam, beam.piece("bottom"), "edge_b"))


def test_the_surer_square_keeps_its_slant(record, now) -> None:
    """A leg of 48 in reads finer than one of 8 in. Edges differ by 1/4 where both squares say 0:
    each takes of it by the square of what it can be off, 1/64 over its leg and 1/2000."""
    read(record, "opening", "147", now)
    read(record, "edge_b", "146-3/4", now)
    squares = (TypedSquare(1, "0", "48", "A"), TypedSquare(2, "0", "8", "A"))
    record.make(read_squares(record, "1", squares, now))
    fine, rough = Fr(1, 64) / 48 + Fr(1, 2000), Fr(1, 64) / 8 + Fr(1, 2000)
    first, second = (end.offset for end in cut(record).ends)
    assert first + second == Fr(1, 4)
    assert first / second == (fine / rough) ** 2
    beam = record.beam("1")
    sure = how_sure(beam, beam.piece("bottom"))
    assert sure is not None
    assert sure.within["cut1"] < sure.within["cut2"]


def test_edges_that_the_squares_contradict_are_doubted(record, now) -> None:
    """Two tape readings may differ by a step, 1/16, and 1/32 from one to the next; two squares
    with a leg of 24 in by 1/64 over it and 1/2000 each, over 6 15/32 in: 7/64 in all."""
    read(record, "opening", "147", now)
    squares = (TypedSquare(1, "1/8", "24", "A"), TypedSquare(2, "1/8", "24", "B"))
    record.make(read_squares(record, "1", squares, now))
    read(record, "edge_b", "146-29/32", now)
    beam = record.beam("1")
    assert doubt(beam, beam.piece("bottom"), "edge_b") is None
    read(record, "edge_b", "146-7/8", now + timedelta(minutes=1))
    beam = record.beam("1")
    why = doubt(beam, beam.piece("bottom"), "edge_b")
    assert why is not None
    assert "edge A is 1/8 in longer by its readings, and both edges are equally long" in why
    assert "may differ by 7/64 in" in why


def test_your_own_length_moves_no_wall(record, now, refusing) -> None:
    """Two walls turned opposite ways by 1 in 24 take 6 1/2 / 12 in off edge B. Edge A is what was
    chosen, and edge B follows; two lengths that don't go with that are refused."""
    wide = record.beam("1").boards["bottom"].width
    read(record, "opening", "147", now)
    read(record, "edge_b", "146-29/64", now)
    squares = (TypedSquare(1, "1", "24", "A"), TypedSquare(2, "1", "24", "A"))
    record.make(read_squares(record, "1", squares, now))
    spot = Spot("1", "bottom")
    both = refusing(own_cut, record, spot, "146 1/2", "146 1/4", "", now)
    assert "With edge A at 146 1/2, edge B must be 145 15/16+" in both
    assert "edge B must be" in refusing(own_cut, record, spot, "146 1/2", "146 1/2", "", now)
    before = [end.miter_deg for end in cut(record).ends]
    record.make(own_cut(record, spot, "146 1/2", "", "", now))
    made = cut(record)
    assert (made.edge_a, made.edge_b) == (Fr("146.5"), Fr("146.5") - Fr(35, 64))
    assert [end.miter_deg for end in made.ends] == before
    assert made.ends[0].offset == pytest.approx(float(wide) / 24, abs=1 / 128)
    record.make(own_cut(record, spot, "146 1/2", "145 31/32", "", now))
    assert cut(record).edge_b == Fr(4671, 32)


def test_own_lengths_that_later_readings_contradict_are_doubted(record, now) -> None:
    read(record, "opening", "147", now)
    read(record, "edge_b", "147", now)
    squares = (TypedSquare(1, "0", "24", ""), TypedSquare(2, "0", "24", ""))
    record.make(read_squares(record, "1", squares, now))
    record.make(own_cut(record, Spot("1", "bottom"), "146 1/2", "146 15/32", "", now))
    for _ in "12":
        read(record, "edge_b", "146-1/2", now)
    squares = (TypedSquare(1, "1", "24", "A"), TypedSquare(2, "1", "24", "A"))
    record.make(read_squares(record, "1", squares, now))
    made = cut(record)
    assert (made.edge_a, made.edge_b) == (Fr("146.5"), 146)
    beam = record.beam("1")
    (told,) = square_lines(beam, beam.piece("bottom"))
    assert "with edge A as it is, edge B comes to 146 in" in told


def test_a_flat_of_the_whole_thickness_leaves_square_edges(record, now) -> None:
    section = record.beam("1").section._replace(flat=Fr(3, 4))
    record.make(beams.change_beam(record, "1", {"section": section}, now))
    read(record, "opening", "147", now)
    beam = record.beam("1")
    made = marks(beam, beam.piece("bottom"))
    assert (made.joints, made.bevel) == (("square", "square"), 0)
    names = [one.name for one in mark_list(made, "bottom")]
    assert "edges square" in names
    assert not any("relief" in f"{one.name} {one.note}" for one in mark_list(made, "bottom"))
