"""A check-off of a cut keeps its figures, and what a later change of them holds.

What a step that follows may rest on is common practice, no source: a board is worked on
once it has the length and the width that its place asks for.
"""

import json
import pickle
from collections.abc import Callable
from datetime import datetime, timedelta
from fractions import Fraction as Fr
from pathlib import Path

import pytest

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.chosen_cuts import own_cut
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.beams.missing import HELD, missing
from crewdesk.job.beams.piece import Spot, StepMark
from crewdesk.job.change import ABSENT, Change, edit, look
from crewdesk.job.cuts import answer_cut
from crewdesk.job.cuts.answer_cut import cut_again, keep_cut
from crewdesk.job.cuts.as_cut import CUTS
from crewdesk.job.cuts.changed_cuts import changed_cuts
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import marks
from crewdesk.job.cuts.open_cuts import none_waits, open_cuts, open_keys, told_since
from crewdesk.job.cuts.scribing import read_ceiling, typed_stations
from crewdesk.job.invariants import broken_rules
from crewdesk.job.lumber.boards import change_rules
from crewdesk.job.record import Record
from crewdesk.job.steps import restage, ticks
from crewdesk.job.steps.gates import closed, state
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.steps.usual_stages import USUAL_STAGES
from crewdesk.job.sync.contradictions import contradictions
from crewdesk.job.sync.exchange import from_document
from crewdesk.job.sync.merge import merged
from crewdesk.job.sync.undoing import Undoing
from crewdesk.length import show_length
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.progress import progress
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, Instrument
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.cuts.shop_machine import Crew

A, B, BOTTOM, CLEATS = (Spot("1", key) for key in ("A", "B", "bottom", "cleats"))
SAMPLE = Path(__file__).parents[2] / "sample_data" / "tamarack-bend.json"
FLAT = (("0", "100", "100"), ("96", "100 1/4", "100"), ("192", "100", "100"))


def done_once(walk: Callable[["Work"], None]) -> Callable[["Work"], None]:
    """A walk that is done once for all tests which do it from the same record at the same time."""
    done: dict[tuple[bytes, str, datetime], tuple[bytes, datetime]] = {}

    def go(work: "Work") -> None:
        record = work.record
        start = pickle.dumps(record.tables), repr(record.crew), work.time
        if start not in done:
            walk(work)
            done[start] = pickle.dumps(record.tables), work.time
            return
        tables, work.time = done[start]
        record.tables.clear()
        record.tables.update(pickle.loads(tables))
        record.forget([(table, row) for table, rows in record.tables.items() for row in rows])

    return go


class Work:
    """A job under way, a minute to each act."""

    def __init__(self, record, now) -> None:
        self.record, self.time = record, now

    def now(self):
        self.time += timedelta(minutes=1)
        return self.time

    def make(self, change) -> str:
        """Make a change; gives what is said at once of cuts."""
        before = open_keys(self.record)
        self.record.make(change)
        return told_since(self.record, before)

    def tick(self, step, *spots) -> str:
        return self.make(ticks.tick_all(self.record, spots, step, self.now()))

    def read(self, spot, what, text, lean="") -> str:
        level = "24" if lean else ""
        typed = take.typed_reading(self.record, what, text, self.now(), lean=lean, level=level)
        return self.make(take.take(self.record, spot, what, typed))

    def ceiling(self, rows=FLAT) -> str:
        stations = typed_stations(self.record, rows)
        return self.make(read_ceiling(self.record, "1", stations, self.now()))

    def mark(self, spot, step) -> StepMark:
        return self.record.beam(spot.beam).piece(spot.piece).steps[step]

    def state(self, spot, step_id) -> str:
        beam = self.record.beam(spot.beam)
        step = self.record.stages.step(step_id)
        return state(self.record.stages, beam, beam.piece(spot.piece), step)

    def gate(self, spot, step_id) -> str:
        beam = self.record.beam(spot.beam)
        step = self.record.stages.step(step_id)
        return closed(self.record.stages, beam, beam.piece(spot.piece), step) or ""

    def sides_read(self) -> None:
        for side, run in ((A, "192 5/16"), (B, "192 3/8")):
            self.read(side, "run", run)
            self.read(side, "end1", "5/32", "in")
            self.read(side, "end2", "1/8", "out")

    @done_once
    def to_cut(self) -> None:
        """Both sides ripped, read and cut to length."""
        for step in ("rip-side", "ease", "sand", "cleat-line", "tape", "scrape"):
            self.tick(step, A, B)
        self.sides_read()
        self.tick("cut-side", A, B)

    @done_once
    def to_level(self) -> None:
        """Both sides cut, tacked and leveled."""
        self.to_cut()
        for step in ("back-bevel", "tack", "level"):
            self.tick(step, A, B)

    @done_once
    def to_scribed(self) -> None:
        """Both sides leveled, scribed and cut to the line."""
        self.to_level()
        self.ceiling()
        for step in ("scribe", "take-down", "cut-scribe"):
            self.tick(step, A, B)

    @done_once
    def to_bottom(self) -> None:
        """All up to the bottom, which is cut too."""
        self.to_scribed()
        for step in ("rip-cleats", "fix-cleats"):
            self.tick(step, CLEATS)
        self.tick("nail-side", A, B)
        for step in ("rip-bottom", "sand"):
            self.tick(step, BOTTOM)
        self.read(BOTTOM, "opening", "192 1/4")
        self.tick("cut-bottom", BOTTOM)


@pytest.fixture
def work(record, now):
    return Work(record, now)


def test_every_step_that_cuts_keeps_what_it_cut_to(work) -> None:
    work.to_bottom()
    beam = work.record.beam("1")
    kept = {
        (key, id_): mark.cut.figures
        for key, piece in beam.pieces.items()
        for id_, mark in piece.steps.items()
        if mark.cut is not None
    }
    ticked = {
        (key, id_) for key, piece in beam.pieces.items() for id_ in piece.steps if id_ in CUTS
    }
    assert set(kept) == ticked
    assert all(kept.values())
    shown = {at: {name: one.shown for name, one in found.items()} for at, found in kept.items()}
    # By hand: the top is the run less 5/32 x 10/24 and plus 1/8 x 10/24.
    assert kept["A", "cut-side"]["bottom_length"].exact == Fr("192.3125")
    assert (
        kept["A", "cut-side"]["top_length"].exact
        == Fr("192.3125") - Fr(5, 32) * 10 / 24 + Fr(1, 8) * 10 / 24
    )
    assert shown["A", "rip-side"] == {"height": "10", "thickness": "3/4"}
    assert shown["A", "cleat-line"] == {"cleat_line": "1"}
    assert shown["cleats", "rip-cleats"] == {"projection": "3/4", "thickness": "3/4"}
    assert shown["A", "scribe"] == {"setting": "3/8"}
    # The highest gap, 1/4, at the center, and 1/8, what the setting can be off by.
    assert shown["A", "cut-scribe"]["height@0"] == "9 5/8"
    assert shown["A", "cut-scribe"]["height@96"] == "9 7/8"
    assert shown["bottom", "cut-bottom"]["edge_a"] == "192 7/32"
    assert shown["bottom", "cut-bottom"]["edge_b"] == "192 7/32"
    assert shown["bottom", "rip-bottom"]["bevel_deg"] == "15\u00b0"
    cut = work.mark(A, "cut-side").cut
    assert cut.readings["run"]["value"] == "3077/16"
    assert cut.readings["end1"]["lean"] == "in"
    assert (cut.section["height"], cut.step) == ("10", "1/32")


def test_a_step_of_ones_own_and_one_that_cuts_nothing_keep_none(work) -> None:
    work.to_cut()
    assert work.mark(A, "ease").cut is None
    assert "glue-up" not in CUTS
    usual = {step.id for stage in USUAL_STAGES for step in stage.steps}
    assert set(CUTS) <= usual


def test_the_mark_comes_back_from_the_record_as_it_went(work) -> None:
    work.to_cut()
    work.read(A, "run", "192 11/16")
    work.make(keep_cut(work.record, A, "cut-side", "packed out at the wall", work.now()))
    mark = work.mark(A, "cut-side")
    assert mark.kept is not None
    assert StepMark.from_doc(mark.to_doc()) == mark


@pytest.mark.parametrize(
    "broken",
    [
        {"cut": 7},
        {"cut": {"figures": {}}},
        {"cut": {"figures": [], "step": "1/32", "section": {}, "readings": {}, "settings": {}}},
        {"cut": {"figures": {}, "step": "1/7", "section": {}, "readings": {}, "settings": {}}},
        {"cut": {"figures": {}, "step": "1/32", "section": 3, "readings": {}, "settings": {}}},
        {"cut": {"figures": {"a": {"exact": 1.5, "shown": "1"}}, "step": "1/32", "section": {},
                 "readings": {}, "settings": {}}},
        {"kept": {"reason": "x"}},
        {"kept": {"reason": 7, "when": "2026-03-02T07:30:00-05:00", "figures": {}}},
    ],
)  # fmt: skip
def test_a_mark_that_is_broken_is_refused(record, now, refusing, broken) -> None:
    doc = {"state": "done", "when": now.isoformat(), **broken}
    row = {**record.tables["beams"]["1"]}
    row["pieces"] = {**row["pieces"], "A": {"readings": {}, "steps": {"cut-side": doc}}}
    refusing(record.check, {"beams": {"1": row}})


# Read, cut, read again, answer, go on


def test_read_cut_read_again_is_told_at_once_and_holds_what_follows(work) -> None:
    work.to_cut()
    work.tick("back-bevel", A, B)
    assert work.state(A, "tack") == "ready"
    once = work.read(A, "run", "192 11/16")
    assert once.startswith(
        "Great room Ridge side A was cut to 192 5/16 in; its readings now make 192 11/16 in "
        "(3/8 in too short). A reading taken since then is in doubt. Measure it again."
    )
    assert once.endswith("'Tack with three screws, center first' is held.")
    assert work.read(A, "run", "192 11/16").startswith("Great room Ridge side A was cut to")
    assert work.state(A, "tack") == "not ready"
    assert "was cut to 192 5/16 in" in work.gate(A, "tack")
    assert "is held until you answer" in work.gate(A, "tack")
    # Side B goes up; it is levelled to side A, which is held.
    assert work.state(B, "tack") == "ready"
    work.tick("tack", B)
    assert "side A was cut to 192 5/16" in work.gate(B, "level")
    assert "side A was cut to 192 5/16" in work.gate(BOTTOM, "cut-bottom")
    # Pieces and beams that don't rest on it go on.
    assert work.state(BOTTOM, "rip-bottom") == "ready"
    assert work.state(Spot("2", "A"), "rip-side") == "ready"


def test_it_stands_on_the_run_sheet_in_what_is_missing_in_progress_and_on_the_cut_list(
    work,
) -> None:
    work.to_cut()
    for _ in range(2):
        work.read(A, "run", "192 11/16")
    sheet = RunSheet(work.record)
    tack = [stage.id for stage in work.record.stages].index("tack")
    assert sheet.cells(work.record.beam("1"))["A"][tack].held
    assert not sheet.cells(work.record.beam("1"))["B"][tack].held
    assert all(spot != A for batch in sheet.batches() for spot in batch.spots)
    (one,) = [one for one in missing(work.record) if one.sort == HELD]
    assert (one.spot, "192 5/16" in one.why) == (A, True)
    told = "Great room Ridge side A was cut to 192 5/16 in; its readings now make 192 11/16 in"
    for made in (progress("hill", work.record), cut_list("hill", work.record)):
        assert any(told in line for line in made.lines)
    (values,) = progress("hill", work.record).values["held"]
    assert values["figures"][0]["was"] == {"exact": "3077/16", "shown": "192 5/16"}
    assert values["figures"][0]["now"] == {"exact": "3083/16", "shown": "192 11/16"}
    pieces = cut_list("hill", work.record).values["beams"][0]["pieces"]
    assert pieces[0]["held"] == [values]
    assert [one["step"] for one in pieces[0]["as_cut"]] == ["rip-side", "cleat-line", "cut-side"]


def test_a_cut_that_is_kept_goes_on_with_its_reason_on_every_sheet(work, refusing) -> None:
    work.to_cut()
    work.tick("back-bevel", A, B)
    for _ in range(2):
        work.read(A, "run", "192 11/16")
    assert "Give a reason in a few words to keep a cut" in refusing(
        keep_cut, work.record, A, "cut-side", " ", work.now()
    )
    work.make(keep_cut(work.record, A, "cut-side", "packed out at the wall", work.now()))
    assert not open_cuts(work.record)
    work.tick("tack", A)
    for made in (progress("hill", work.record), cut_list("hill", work.record)):
        assert any("Kept as cut: packed out at the wall" in line for line in made.lines)
    # A further change asks again; one back to what was kept, or to what was cut, does not.
    for _ in range(2):
        again = work.read(A, "run", "193")
    assert "its readings now make 193 in" in again
    assert "side A was cut to" in work.gate(A, "level")
    for text in ("192 11/16", "192 5/16"):
        for _ in range(2):
            work.read(A, "run", text)
        assert not open_cuts(work.record), text


def test_cut_again_opens_the_cut_and_what_rests_on_it_in_one_change(work) -> None:
    work.to_cut()
    work.tick("back-bevel", A, B)
    work.tick("tack", A, B)
    work.tick("level", A, B)
    for _ in range(2):
        work.read(A, "run", "192 11/16")
    before = {key: dict(p.steps) for key, p in work.record.beam("1").pieces.items()}
    change = cut_again(work.record, A, "cut-side", work.now())
    work.make(change)
    assert "opened 'Cut to length' on Great room Ridge side A again" in change.what
    gone = {(edit.at[3], edit.at[5]) for edit in change.edits if edit.at[4] == "steps"}
    # Side B was levelled to side A: that rests on it. That side B is tacked does not.
    assert gone == {("A", "cut-side"), ("A", "back-bevel"), ("A", "tack"), ("A", "level"),
                    ("B", "level")}  # fmt: skip
    assert not open_cuts(work.record)
    assert work.state(A, "cut-side") == "ready"
    work.tick("cut-side", A)
    assert work.mark(A, "cut-side").cut.figures["bottom_length"].shown == "192 11/16"
    undone = ticks.clear(work.record, A, "cut-side", work.now())
    work.make(undone)
    work.make(change.taken_back(1, work.now()))
    assert {key: dict(p.steps) for key, p in work.record.beam("1").pieces.items()} == before


def test_a_new_board_opens_every_step_of_its_piece(work) -> None:
    work.to_cut()
    for _ in range(2):
        work.read(A, "run", "192 11/16")
    work.make(cut_again(work.record, A, "cut-side", work.now(), new_board=True))
    assert work.record.beam("1").piece("A").steps == {}
    assert set(work.record.beam("1").piece("B").steps) >= {"rip-side", "cut-side"}


def test_readings_can_be_taken_back_to_those_it_was_cut_by(work, refusing) -> None:
    work.to_cut()
    for _ in range(2):
        work.read(A, "run", "192 11/16")
    work.make(answer_cut.take_back(work.record, A, "cut-side", work.now()))
    assert not open_cuts(work.record)
    assert [one.typed for one in work.record.beam("1").piece("A").readings["run"]] == ["192 5/16"]
    assert "needs no answer: it isn't cut" in refusing(
        answer_cut.take_back, work.record, A, "cut-side", work.now()
    )


def test_a_single_doubtful_re_reading_holds_until_it_is_read_again(work) -> None:
    work.to_cut()
    # A gap of 3/16 where it was 5/32: 1/32 x 10 / 24 in at the top, less than is shown.
    assert work.read(A, "end1", "3/16", "in") == ""
    assert work.gate(A, "back-bevel") == ""
    # Out of all reason: in doubt, and held.
    told = work.read(A, "end1", "1", "in")
    assert "A reading taken since then is in" in told
    assert "side A" in work.gate(A, "back-bevel")
    for _ in range(2):
        work.read(A, "end1", "5/32", "in")
    assert work.gate(A, "back-bevel") == ""


def test_a_change_up_to_the_shown_step_is_noted_and_holds_nothing(work) -> None:
    work.to_cut()
    assert work.read(A, "run", "192 11/32") == ""
    (one,) = changed_cuts(work.record.beam("1"))
    assert (one.held, one.kept) == (False, False)
    assert work.gate(A, "back-bevel") == ""
    (line,) = [line for line in cut_list("hill", work.record).lines if "now make" in line]
    assert "was cut to 192 5/16 in; its readings now make 192 11/32 in (1/32 in too short)" in line
    assert none_waits(work.record) == (
        "No cut needs an answer; 1 differs by no more than a cut can be off, and is only listed."
    )
    # An eighth more is over the step and over what the reading is good for.
    told = work.read(A, "run", "192 7/16")
    assert "(1/8 in too short)" in told


def test_a_coarse_instrument_widens_what_is_only_noted(work) -> None:
    work.to_cut()
    typed = take.typed_reading(work.record, "run", "192 3/8", work.now(), instrument="tape")
    typed = typed._replace(to=Fr(1, 4))  # read to quarters: good to 1/8 either way
    assert work.make(take.take(work.record, A, "run", typed)) == ""
    assert [one.held for one in changed_cuts(work.record.beam("1"))] == [False]


# Section, rules and own lengths


def test_the_section_changed_after_the_rip(work) -> None:
    work.tick("rip-side", A, B)
    told = work.make(
        beams.change_beam(work.record, "1", {"section": Section(Fr(8), Fr(9))}, work.now())
    )
    assert told == (
        "Great room Ridge side A was ripped to 10 in wide; its section now makes 9 in "
        "(1 in too wide). 'Ease both bottom edges' is held. 1 more cut changed with it."
    )
    assert "ripped to 10 in wide" in work.gate(A, "ease")
    work.make(keep_cut(work.record, A, "rip-side", "ripped down on site", work.now()))
    assert work.gate(A, "ease") == ""
    assert "ripped to 10 in wide" in work.gate(B, "ease")
    work.make(answer_cut.take_back(work.record, B, "rip-side", work.now()))
    assert work.record.beam("1").section.height == 10
    assert work.gate(B, "ease") == ""


def test_a_section_is_put_back_where_an_import_left_the_settings_out(work) -> None:
    work.tick("rip-side", A, B)
    for key in "AB":
        work.record.tables["beams"]["1"]["pieces"][key]["steps"]["rip-side"]["cut"]["settings"] = {}
    work.record.forget([("beams", "1")])
    work.make(beams.change_beam(work.record, "1", {"section": Section(Fr(8), Fr(9))}, work.now()))
    work.make(answer_cut.take_back(work.record, B, "rip-side", work.now()))
    assert work.record.beam("1").section.height == 10
    assert work.record.beam("1").ceiling == "flat"


def test_another_width_of_cleats_in_the_takeoff(work) -> None:
    work.tick("rip-cleats", CLEATS)
    told = work.make(change_rules(work.record, {"cleat": "1"}, work.now()))
    assert told.startswith(
        "Great room Ridge cleats were ripped to 3/4 in wide; their cleat rule now makes 1 in "
        "(1/4 in too narrow)."
    )
    assert "cleats were ripped to" in work.gate(CLEATS, "fix-cleats")
    work.make(answer_cut.take_back(work.record, CLEATS, "rip-cleats", work.now()))
    assert work.record.job.cutting.cleat == Fr(3, 4)
    assert not open_cuts(work.record)


def test_an_own_length_and_a_ceiling_that_change_after_their_cuts(work) -> None:
    work.to_bottom()
    told = work.make(own_cut(work.record, BOTTOM, "191", "", "", work.now()))
    assert "bottom was cut to 192 7/32 in; its own length now makes 191 in" in told
    assert "(1 7/32 in too long)" in told
    assert work.gate(BOTTOM, "nail-bottom")
    work.make(answer_cut.take_back(work.record, BOTTOM, "cut-bottom", work.now()))
    assert not open_cuts(work.record)
    told = work.ceiling((("0", "100", "100"), ("96", "100 3/4", "100"), ("192", "100", "100")))
    assert "side A was scribed at 3/8 in; its readings now make 7/8 in" in told
    # Side B took side A's setting, and goes by what becomes of that. An earlier station that
    # wasn't read anew is taken from its neighbors.
    assert [(one.spot, one.step_id) for one in open_cuts(work.record)] == [(A, "scribe")]
    assert "side A was scribed at" in work.gate(B, "tape-off")
    work.make(answer_cut.cut_again(work.record, A, "scribe", work.now()))
    assert (B, "scribe") in [(one.spot, one.step_id) for one in open_cuts(work.record)]


def test_a_board_is_compared_at_places_that_were_read_only_once(work) -> None:
    """The ceiling is as high as before at both ends, and so is the scribe's setting, but its
    bulge is at 48 in now, where the board was cut in a straight line."""
    work.to_cut()
    for step in ("back-bevel", "tack", "level"):
        work.tick(step, A, B)
    first, last = ("0", "100", "100"), ("192", "100", "100")
    work.ceiling((first, ("96", "101", "100"), last))
    for step in ("scribe", "take-down", "cut-scribe"):
        work.tick(step, A, B)
    # Places more, in line with those around them, change nothing.
    more = (("48", "100 1/2", "100"), ("96", "101", "100"), ("144", "100 1/2", "100"))
    assert work.ceiling((first, *more, last)) == ""
    assert "side A" in work.ceiling((first, ("48", "101", "100"), last))
    assert {one.step_id for one in open_cuts(work.record)} == {"cut-scribe"}


def test_the_step_that_lengths_are_shown_to_is_the_one_of_the_cut(work) -> None:
    """A width hangs on no reading, so the step alone says what is only noted."""
    work.tick("rip-side", A)
    work.make(beams.change_job(work.record, {"step": "1/16"}, work.now()))

    def wider(by: Fr) -> list[bool]:
        section = Section(Fr(8), Fr(10) + by)
        work.make(beams.change_beam(work.record, "1", {"section": section}, work.now()))
        return [one.held for one in changed_cuts(work.record.beam("1"))]

    assert wider(Fr(1, 32)) == [False]
    assert wider(Fr(1, 32) + Fr(1, 128)) == [True]
    assert wider(Fr(1, 16)) == [True]


# Undo, merge, gates, contradictions


def test_a_reading_that_is_taken_out_after_the_cut_is_told(work) -> None:
    """As where another machine's undo comes in by a sync."""
    for step in ("rip-side", "ease", "sand", "cleat-line", "tape", "scrape"):
        work.tick(step, A, B)
    work.sides_read()
    at = ("beams", "1", "pieces", "A", "readings", "run")
    before = look(work.record.tables, at)
    for _ in range(2):
        work.read(A, "run", "192 7/16")
    work.tick("cut-side", A)
    gone = Change("took readings out", (edit(work.record.tables, at, before),), work.now())
    told = work.make(gone)
    assert (
        "side A was cut to 192 7/16 in; its readings now make 192 5/16 in (1/8 in too long)" in told
    )


def test_a_held_step_can_be_passed_with_a_reason_like_any_gate(work, refusing) -> None:
    work.to_cut()
    for _ in range(2):
        work.read(A, "run", "192 11/16")
    assert "was cut to" in refusing(ticks.tick, work.record, A, "back-bevel", work.now())
    work.make(ticks.tick(work.record, A, "back-bevel", work.now(), override="square wall"))
    assert "was cut to 192 5/16" in work.mark(A, "back-bevel").gate


def test_a_re_reading_here_and_steps_done_there_both_stand_and_ask(work, copied) -> None:
    """What is held keeps no change apart: brought together, both count, and it is asked."""
    work.to_cut()
    base = copied(work.record.tables)
    here, there = (Work(Record(copied(base)), work.now()) for _ in range(2))
    ours, theirs = [], []
    for _ in range(2):
        typed = take.typed_reading(here.record, "run", "192 11/16", here.now())
        ours.append(take.take(here.record, A, "run", typed))
        here.make(ours[-1])
    for step in ("back-bevel", "tack"):
        theirs.append(ticks.tick_all(there.record, (A, B), step, there.now()))
        there.make(theirs[-1])
    made = merged(Record, base, ours, there.record.tables, theirs, 0, Undoing)
    before = open_keys(there.record)
    for change in made:
        there.record.make(change)
    assert "unsettled" not in there.record.tables
    assert "side A was cut to 192 5/16" in told_since(there.record, before)
    assert there.state(A, "tack") == "done"
    assert "side A was cut to" in there.gate(A, "level")


def test_what_is_held_is_not_told_as_done_too_early(work) -> None:
    work.to_cut()
    work.tick("back-bevel", A, B)
    for _ in range(2):
        work.read(A, "run", "192 11/16")
    assert not [key for key in broken_rules(work.record, [("beams", "1")]) if key[0] == "gate"]


def test_a_cut_of_a_step_that_was_dropped_asks_nothing(work) -> None:
    work.to_cut()
    for _ in range(2):
        work.read(A, "run", "192 11/16")
    with pytest.raises(restage.ReasonNeeded) as asked:
        restage.drop_step(work.record, "cut-side", work.now())
    assert (
        "It would end a hold: Great room Ridge side A was cut to 192 5/16 in; its readings now "
        "make 192 11/16 in (3/8 in too short)." in str(asked.value)
    )
    change = restage.drop_step(work.record, "cut-side", work.now(), reason="cut by a mill")
    assert change.what == (
        "removed step 'Cut to length', which keeps Great room Ridge side A as cut"
    )
    work.make(change)
    assert not open_cuts(work.record)
    assert work.state(A, "back-bevel") == "ready"
    for made in (progress("hill", work.record), cut_list("hill", work.record)):
        assert any("Kept as cut: cut by a mill" in line for line in made.lines)
    assert work.make(change.taken_back(1, work.now())) != ""
    assert len(open_cuts(work.record)) == 1


def test_dropping_a_step_that_nothing_waits_for_names_the_hold_it_ends_too(work) -> None:
    work.to_bottom()
    for step in ("nail-bottom", "putty-bottom"):
        if work.record.stages.has(step):
            work.make(restage.drop_step(work.record, step, work.now(), reason="a painter's"))
    for _ in range(2):
        work.read(BOTTOM, "opening", "191")
    with pytest.raises(restage.ReasonNeeded, match="It would end a hold: Great room Ridge bottom"):
        restage.drop_step(work.record, "cut-bottom", work.now())


def test_moving_a_step_out_from_under_a_hold_names_it(work) -> None:
    work.to_cut()
    for _ in range(2):
        work.read(A, "run", "192 11/16")
    with pytest.raises(restage.ReasonNeeded, match="It would end a hold: Great room Ridge side A"):
        restage.move_step(work.record, "tack", -9, work.now())
    renamed = restage.rename_step(work.record, "tack", "Tack it up", work.now())
    assert renamed.what.startswith("renamed")


def test_a_cut_step_that_is_put_back_says_that_it_keeps_no_figures(work) -> None:
    work.make(restage.drop_step(work.record, "cut-side", work.now(), reason="cut by a mill"))
    stage = work.record.stages.find("back-bevel")[0].id
    again = restage.add_step(work.record, stage, "Cut to length", ("side",), work.now())
    assert "keeps no cut figures" in again.what
    other = restage.add_step(work.record, stage, "Wax the edges", ("side",), work.now())
    assert "figures" not in other.what


def test_cutting_again_names_the_board_of_the_plan(work) -> None:
    record = Record(from_document(json.loads(SAMPLE.read_text()))[0])
    beam = next(one for one in record.beams if one.label == "Great room 1")
    told = answer_cut.board_told(record, Spot(beam.row, "A"))
    rows = [
        b.row for b in record.boards if (beam.row, "A") in {(p.beam, p.piece) for p in b.pieces}
    ]
    assert f"board {rows[0]} of the plan" in told
    assert "the rest is planned again" in told
    assert "plan another one" in answer_cut.board_told(work.record, A)


def test_contradictions_are_listed(work) -> None:
    assert contradictions(work.record) == ()
    work.to_cut()
    for _ in range(2):
        work.read(A, "run", "192 11/16")
    (one,) = contradictions(work.record)
    assert "side A was cut to 192 5/16" in one
    steps = dict(work.record.tables["beams"]["1"]["pieces"]["bottom"]["steps"])
    steps["cut-bottom"] = {"state": "done", "when": work.now().isoformat()}
    work.record.tables["beams"]["1"]["pieces"]["bottom"]["steps"] = steps
    work.record.forget([("beams", "1")])
    early, _ = contradictions(work.record)
    assert early.startswith(
        "'Cut to length, both ends to fit' on Great room Ridge bottom was done too early: 'Rip to "
        "width, bevel the edges' isn't done"
    )


def test_a_cut_made_past_its_gate_with_nothing_read_asks_nothing_later(work) -> None:
    for step in ("rip-side", "ease", "sand", "cleat-line", "tape", "scrape"):
        work.tick(step, A, B)
    work.make(ticks.tick(work.record, A, "cut-side", work.now(), override="cut to a story pole"))
    assert work.mark(A, "cut-side").cut.figures == {}
    work.sides_read()
    assert not open_cuts(work.record)


def test_what_was_worked_out_of_a_beam_is_kept_until_it_changes(work) -> None:
    work.to_cut()
    beam = work.record.beam("1")
    assert changed_cuts(beam) is changed_cuts(work.record.beam("1"))
    work.read(B, "run", "192 13/32")
    assert work.record.beam("1") is not beam


def test_an_edge_that_was_ripped_square_and_would_be_tilted_today_asks(work) -> None:
    """The usual beam's sides become mitered ones: 0 degrees at the bottom edge, then 45."""
    work.tick("rip-side", A, B)
    document = json.loads(json.dumps(work.record.tables["beams"]["1"]))
    mitered = Beam.from_doc("1", {**document, "form": "mitred"})
    asked = [one for one in changed_cuts(mitered) if one.spot == A and one.step_id == "rip-side"]
    assert [one.held for one in asked] == [True]
    assert any(one.name == "blade_deg" for one in asked[0].figures)


def test_a_square_that_is_read_after_the_cut_asks_for_the_backs_relief(work) -> None:
    """4 over 24 over a 3/4 in board is 1/8 in off the back of side A, which has more room."""
    work.to_cut()
    told = work.make(read_squares(work.record, "1", (TypedSquare(1, "4", "24", "A"),), work.now()))
    assert "Great room Ridge side A" in told
    assert "off the back at end 1" in told
    brief = [one.brief for one in open_cuts(work.record) if one.spot == A]
    assert brief == [
        "cut with no relief off the back at end 1, now 1/8 in (1/8 in too little)",
    ]
    assert work.state(A, "back-bevel") == "not ready"


def test_a_scribe_that_is_held_holds_the_partners_scribe(work) -> None:
    """Both are scribed at one setting, or the pair comes out uneven."""
    work.to_cut()
    work.tick("back-bevel", A, B)
    work.tick("tack", A, B)
    work.tick("level", A, B)
    work.ceiling()
    work.tick("scribe", A)
    assert work.state(B, "scribe") == "ready"
    work.ceiling((("0", "100", "100"), ("96", "101", "101"), ("192", "100", "100")))
    assert "scribed at" in work.gate(B, "scribe")


# What the accuracy of a cut is, and what an answer holds for


COARSE = USUAL_INSTRUMENTS._replace(laser=Instrument("laser", Fr(1, 32), Fr(1, 2)))


def test_an_instrument_that_is_said_to_be_coarser_later_lifts_no_hold(work) -> None:
    work.to_cut()
    for _ in range(2):
        work.read(A, "run", "192 7/16")
    assert len(open_cuts(work.record)) == 1
    work.record.ask_crew = lambda: Crew(COARSE)
    work.record.look_at_crew()
    assert work.record.beam("1").instruments.laser.own == Fr(1, 2)
    assert len(open_cuts(work.record)) == 1
    assert "was cut to 192 5/16" in work.gate(A, "back-bevel")


def test_a_cut_made_by_a_coarser_instrument_keeps_that_it_was(work) -> None:
    """1/8 in is less than a laser that can be off by half an inch; it stays so when a better
    one is bought."""
    work.record.ask_crew = lambda: Crew(COARSE)
    work.record.look_at_crew()
    work.to_cut()
    mark = work.mark(A, "cut-side")
    assert mark.cut.instruments.laser.own == Fr(1, 2)
    assert mark.to_doc()["cut"]["instruments"] == {"laser": {"step": "1/32", "own": "1/2"}}
    assert StepMark.from_doc(mark.to_doc()) == mark
    work.record.ask_crew = lambda: Crew(USUAL_INSTRUMENTS)
    work.record.look_at_crew()
    for _ in range(2):
        work.read(A, "run", "192 7/16")
    assert [one.held for one in changed_cuts(work.record.beam("1"))] == [False]


@pytest.mark.parametrize(
    "broken",
    [
        7,
        {"yardstick": {"step": "1/8", "own": "1/8"}},
        {"laser": {"step": "0", "own": "1/8"}},
        {"laser": {"step": "1/8", "own": "-1"}},
        {"laser": {"step": "1/8"}},
    ],
)
def test_broken_instruments_of_a_cut_are_refused(work, refusing, broken) -> None:
    work.tick("rip-side", A)
    doc = work.mark(A, "rip-side").to_doc()
    row = json.loads(json.dumps(work.record.tables["beams"]["1"]))
    for wrong in ({"instruments": broken}, {"source": "hearsay"}):
        row["pieces"]["A"]["steps"] = {"rip-side": {**doc, "cut": {**doc["cut"], **wrong}}}
        refusing(work.record.check, {"beams": {"1": row}})


def test_a_cut_kept_while_nothing_could_be_made_asks_again_when_something_can(work) -> None:
    work.to_cut()
    at = ("beams", "1", "pieces", "A", "readings", "run")
    was = look(work.record.tables, at)
    gone = Change("took readings out", (edit(work.record.tables, at, ABSENT),), work.now())
    assert "its readings now make none" in work.make(gone)
    work.make(keep_cut(work.record, A, "cut-side", "fits, tried it", work.now()))
    assert work.mark(A, "cut-side").kept.figures == {}
    assert not open_cuts(work.record)
    for _ in range(2):
        work.read(A, "run", "193")
    assert "its readings now make 193 in" in open_cuts(work.record)[0].told
    assert "was cut to 192 5/16" in work.gate(A, "back-bevel")
    # Back to what it was cut by: nothing to ask.
    back = Change("put back", (edit(work.record.tables, at, was),), work.now())
    work.make(back)
    assert not open_cuts(work.record)


def test_one_cleat_of_two_that_can_no_longer_be_made_is_told(work) -> None:
    work.to_bottom()
    at = ("beams", "1", "pieces", "B")
    out = (("readings", "run"), ("steps", "cut-side"))
    edits = tuple(edit(work.record.tables, (*at, *one), ABSENT) for one in out)
    assert work.make(Change("out", edits, work.now()))
    (one,) = [one for one in open_cuts(work.record) if one.spot == CLEATS]
    assert {figure.name for figure in one.figures if figure.now is None} == {
        "length_B", "start_B",
    }  # fmt: skip


def test_where_a_cleat_starts_is_compared_too(work) -> None:
    """Only end 1 comes in more: the cleat starts later by 1/2 x its height over 24, and what
    it loses in length comes with that; a check-off that kept starts tells it."""
    work.to_bottom()
    cut = work.mark(CLEATS, "fix-cleats").cut
    assert cut.figures["start_A"].exact > 0
    beam = work.record.beam("1")
    (mark,) = [
        one for one in mark_list(marks(beam, beam.piece("cleats")), "cleats") if one.id == "start_A"
    ]
    assert cut.figures["start_A"].shown == show_length(mark.value, way=mark.way)
    doc = json.loads(json.dumps(work.record.tables["beams"]["1"]))
    kept = doc["pieces"]["cleats"]["steps"]["fix-cleats"]["cut"]["figures"]
    kept["start_A"] = {"exact": "3", "shown": "3"}
    moved = Beam.from_doc("1", doc)
    (one,) = [one for one in changed_cuts(moved) if one.step_id == "fix-cleats"]
    assert (one.held, one.figures[0].name) == (True, "start_A")
    assert "cut to 3 in from end 1 to the cleat on side A" in one.told


def test_a_tick_keeps_the_offsets_as_the_cut_list_shows_them(work) -> None:
    """Up, with their sign: 5/32 x 10/24 is 0.0651, shown 3/32- rather than 1/16; the top that
    runs out by 1/8 x 10/24 is 0.0521, shown 1/32+."""
    work.to_cut()
    figures = work.mark(A, "cut-side").cut.figures
    assert figures["end1_offset"].shown == "3/32-"
    assert figures["end2_offset"].shown == "-1/32-"
    pieces = cut_list("hill", work.record).values["beams"][0]["pieces"]
    shown = pieces[0]["marks"]["end1"]["offset"]["shown"]
    assert figures["end1_offset"].shown == shown


def test_thinner_stock_after_the_rip_asks(work) -> None:
    work.tick("rip-side", A, B)
    section = work.record.beam("1").section._replace(side_thickness=Fr(1, 2))
    told = work.make(beams.change_beam(work.record, "1", {"section": section}, work.now()))
    assert told.startswith(
        "Great room Ridge side A was ripped from 3/4 in stock; its section now makes 1/2 in "
        "(1/4 in too thick)."
    )
