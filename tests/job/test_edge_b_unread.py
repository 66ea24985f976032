"""A bottom read along one line between walls that turn out to be out of square: no length and no
slant is a fact, and a bottom that was cut is asked about."""

from datetime import timedelta

import pytest

from crewdesk.job.beams import take
from crewdesk.job.beams.chosen_cuts import own_cut
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.cuts import answer_cut
from crewdesk.job.cuts.machine import cuts_of
from crewdesk.job.cuts.marks import BottomMarks, marks
from crewdesk.job.cuts.open_cuts import open_cuts, open_keys, told_since
from crewdesk.job.record import Record
from crewdesk.job.steps import ticks
from crewdesk.job.steps.gates import closed
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.sync.contradictions import contradictions
from crewdesk.paper.sheets.labels import labels
from crewdesk.paper.text.cutlist import cut_list

A, B, BOTTOM = (Spot("1", key) for key in ("A", "B", "bottom"))
ASKS = (
    "Side A and side B of Great room Ridge differ by 3/8 in, wall to wall, so the two edges of "
    "Great room Ridge bottom differ. Measure edge B too, and type it among its readings."
)


def read(record: Record, spot: Spot, what: str, text: str, at) -> None:
    record.make(
        take.take(record, spot, what, take.typed_reading(record, what, text, at, lean="in"))
    )


def gate(record: Record, step_id: str) -> str | None:
    beam = record.beam("1")
    return closed(record.stages, beam, beam.pieces["bottom"], record.stages.step(step_id))


def made(record: Record) -> BottomMarks:
    beam = record.beam("1")
    found = marks(beam, beam.pieces["bottom"])
    assert isinstance(found, BottomMarks)
    return found


@pytest.fixture
def one_line(record, walk, now):
    """All done up to the bottom's cut; side A 3/8 in longer; the opening along one line."""
    for spot, text in ((A, "147 5/8"), (B, "147 1/4")):
        read(record, spot, "run", text, now)
        for end in ("end1", "end2"):
            reading = take.typed_reading(record, end, "5/32", now, lean="in", level="24")
            record.make(take.take(record, spot, end, reading))
    walk(record, record.make, "cut-bottom", now)
    read(record, BOTTOM, "opening", "147 7/16", now + timedelta(days=1))
    return record


def test_no_length_and_no_slant_is_said_as_a_fact(one_line) -> None:
    assert gate(one_line, "cut-bottom") == ASKS
    assert made(one_line).cut is None
    (bottom,) = (
        piece
        for piece in cut_list("hill", one_line, "Ridge").values["beams"][0]["pieces"]
        if piece["piece"] == "bottom"
    )
    for name in ("length", "edge_a", "edge_b", "back_a", "back_b", "ends"):
        assert bottom["marks"][name] is None
    assert bottom["doubts"] == [ASKS]
    assert bottom["missing"] == [{"piece": "bottom", "reading": "edge_b"}]
    text = "\n".join(cut_list("hill", one_line, "Ridge").lines).partition("  bottom ")[2]
    text = text.partition("  cleats ")[0]
    assert f"! {ASKS}" in text
    assert "length 147 7" not in text
    assert "square across" not in text
    assert "Taken as square" not in text
    beam = one_line.beam("1")
    (label,) = (one for one in labels(one_line, (beam,)) if one.piece.startswith("bottom"))
    assert label.piece == "bottom, back up, measure edge B too"
    assert cuts_of(one_line.job, beam, beam.pieces["bottom"], "cut-bottom") == ((), ASKS)


def test_edge_b_makes_both_lengths_known(one_line, now) -> None:
    read(one_line, BOTTOM, "edge_b", "147 1/8", now + timedelta(days=2))
    cut = made(one_line).cut
    assert cut is not None
    assert [end.known for end in cut.ends] == [False, False]
    assert "nothing says at which end" in (gate(one_line, "cut-bottom") or "")


def test_one_square_says_nothing_of_the_other_wall(one_line, now) -> None:
    one_line.make(read_squares(one_line, "1", (TypedSquare(1, "3/8", "8", "A"),), now))
    assert made(one_line).cut is None
    one_line.make(read_squares(one_line, "1", (TypedSquare(2, "0", "8", "A"),), now))
    found = made(one_line)
    assert found.cut is not None
    assert found.cut.edge_a > found.cut.edge_b
    assert found.asks.startswith("The wall at end 1 of Great room Ridge is out of square")


def test_the_users_own_length_has_no_slant(one_line, now) -> None:
    one_line.make(own_cut(one_line, BOTTOM, "147 1/8", "", "", now))
    cut = made(one_line).cut
    assert cut is not None
    assert [end.known for end in cut.ends] == [False, False]
    assert made(one_line).asks == ASKS


@pytest.fixture
def silent(record, walk, now):
    """All done up to the adhesive on the cleat; then both sides are read again, 1/8 apart."""
    walk(record, record.make, "nail-bottom", now)
    at = now + timedelta(days=2)
    before = open_keys(record)
    for spot, text in ((A, "147 3/16"), (B, "147 5/16")):
        for again in range(2):
            read(record, spot, "run", text, at + timedelta(minutes=again))
    return record, before


def test_walls_found_out_of_square_after_the_cut_are_asked_about_at_once(silent) -> None:
    record, before = silent
    asks = ASKS.replace("3/8", "1/8")
    (cut,) = open_cuts(record)
    assert (cut.spot, cut.step_id) == (BOTTOM, "cut-bottom")
    assert told_since(record, before) == (
        f"Great room Ridge bottom was cut by earlier readings. {asks} "
        "'Adhesive on the cleat, clamp, nail' is held."
    )
    assert (gate(record, "nail-bottom") or "").endswith("is held until you answer.")
    assert [one for one in contradictions(record) if "edge B" in one] == [
        told_since(record, before)
    ]


def test_the_answers_keep_cut_again_and_back(silent, copied, now) -> None:
    record, _ = silent
    at = now + timedelta(days=3)
    for answer in ("keep", "again", "back"):
        one = Record(copied(record.tables))
        if answer == "keep":
            one.make(answer_cut.keep_cut(one, BOTTOM, "cut-bottom", "goes in well", at))
            assert "edge B" not in " ".join(contradictions(one))
            assert gate(one, "nail-bottom") is None
        elif answer == "again":
            one.make(answer_cut.cut_again(one, BOTTOM, "cut-bottom", at))
            assert "Measure edge B too" in (gate(one, "cut-bottom") or "")
        else:
            one.make(answer_cut.take_back(one, BOTTOM, "cut-bottom", at))
            assert gate(one, "nail-bottom") is None
        assert open_cuts(one) == ()


def test_a_kept_cut_shows_its_length_and_asks_again_where_edge_b_is_read(silent, now) -> None:
    record, _ = silent
    at = now + timedelta(days=3)
    record.make(answer_cut.keep_cut(record, BOTTOM, "cut-bottom", "goes in well", at))
    told = "\n".join(cut_list("hill", record, "Ridge").lines)
    assert "as cut, kept: goes in well; today it would be none" in told
    read(record, BOTTOM, "edge_b", "147", at)
    assert "cut-bottom" in [one.step_id for one in open_cuts(record)]


def test_a_cut_made_past_that_gate_is_not_asked_about(one_line, now) -> None:
    at = now + timedelta(days=2)
    one_line.make(ticks.tick(one_line, BOTTOM, "cut-bottom", at, override="the walls are straight"))
    assert open_cuts(one_line) == ()
    mark = one_line.beam("1").pieces["bottom"].steps["cut-bottom"]
    assert mark.cut is not None
    assert mark.cut.figures["edge_a"].shown == mark.cut.figures["edge_b"].shown == "147 13/32"
