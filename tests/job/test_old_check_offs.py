"""Check-offs from before crewdesk kept cut figures: what they were cut to is worked out of
the history, with the section, the settings and the readings of that time."""

from datetime import timedelta
from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.chosen_cuts import own_cut
from crewdesk.job.change import Change, edit
from crewdesk.job.cuts import answer_cut
from crewdesk.job.cuts.answer_cut import keep_cut
from crewdesk.job.cuts.changed_cut import OLD
from crewdesk.job.cuts.changed_cuts import changed_cuts
from crewdesk.job.cuts.cut_figures import HISTORY, READINGS
from crewdesk.job.cuts.open_cuts import open_cuts, open_keys, told_since
from crewdesk.job.lumber.boards import change_rules
from crewdesk.job.record import Record
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.text.cutlist import cut_list

A, B, BOTTOM, CLEATS = (Spot("1", key) for key in ("A", "B", "bottom", "cleats"))


class OldWork:
    """A job whose check-offs keep no figures, with its history, a minute to each act."""

    def __init__(self, record, now) -> None:
        self.record, self.time, self.changes = record, now, []
        record.history = lambda: self.changes

    def now(self):
        self.time += timedelta(minutes=1)
        return self.time

    def make(self, change) -> str:
        before = open_keys(self.record)
        self.record.make(change)
        self.changes.append(change)
        return told_since(self.record, before)

    def tick(self, step, *spots) -> None:
        """Check off as an earlier crewdesk did: state and time alone, gates passed over."""
        now = self.now()
        mark = {"state": "done", "when": now.isoformat()}
        for row, key in spots:
            at = ("beams", row, "pieces", key, "steps", step)
            change = Change("ticked", (edit(self.record.tables, at, mark),), now)
            self.make(change)

    def read(self, spot, what, text, lean="") -> str:
        level = "24" if lean else ""
        typed = take.typed_reading(self.record, what, text, self.now(), lean=lean, level=level)
        return self.make(take.take(self.record, spot, what, typed))

    def section(self, **fields) -> str:
        section = self.record.beam("1").section._replace(**fields)
        return self.make(beams.change_beam(self.record, "1", {"section": section}, self.now()))

    def sides_read(self) -> None:
        for side, run in ((A, "192 5/16"), (B, "192 3/8")):
            self.read(side, "run", run)
            self.read(side, "end1", "5/32", "in")
            self.read(side, "end2", "1/8", "out")


@pytest.fixture
def old(record, now):
    return OldWork(record, now)


def test_a_section_that_changed_since_is_told_by_the_section_of_then(old) -> None:
    old.tick("rip-side", A)
    told = old.section(height=Fr(9))
    assert told.startswith(
        "Great room Ridge side A was ripped to 10 in wide; its section now makes 9 in "
        f"(1 in too wide). {OLD[HISTORY]}"
    )
    (one,) = open_cuts(old.record)
    assert (one.cut.source, one.old, one.causes) == (HISTORY, True, ("section",))
    assert any("out of the history" in line for line in cut_list("hill", old.record).lines)
    old.make(answer_cut.take_back(old.record, A, "rip-side", old.now()))
    assert old.record.beam("1").section.height == 10
    assert not open_cuts(old.record)


def test_the_section_as_it_was_at_the_check_off_counts_not_the_first_nor_the_last(old) -> None:
    old.section(height=Fr(11))
    old.tick("rip-side", A)
    old.section(height=Fr(12))
    told = old.section(height=Fr(9))
    assert "was ripped to 11 in wide; its section now makes 9 in" in told


def test_settings_the_cleat_rule_and_the_stock_of_then_count_too(old) -> None:
    old.tick("rip-cleats", CLEATS)
    told = old.make(change_rules(old.record, {"cleat": "1"}, old.now()))
    assert "cleats were ripped to 3/4 in wide; their cleat rule now makes 1 in" in told
    old.make(answer_cut.take_back(old.record, CLEATS, "rip-cleats", old.now()))
    assert old.record.job.cutting.cleat == Fr(3, 4)
    told = old.section(side_thickness=Fr(1, 2))
    assert "cleats were ripped from 3/4 in stock; their section now makes 1/2 in" in told


def test_a_section_and_readings_that_both_changed_are_told_as_they_were(old) -> None:
    """By hand: 5/32 over 24 in comes to 5/32 x 10/24 on a side of 10 in."""
    old.sides_read()
    old.tick("cut-side", A)
    old.section(height=Fr(12))
    for _ in range(2):
        old.read(A, "run", "192 11/16")
    (one,) = [one for one in open_cuts(old.record) if one.step_id == "cut-side"]
    assert one.cut.figures["bottom_length"].exact == Fr("192.3125")
    assert one.cut.figures["end1_offset"].exact == Fr(5, 32) * 10 / 24
    assert one.causes == ("readings", "section")


def test_an_own_length_of_then_and_one_since(old) -> None:
    old.sides_read()
    old.read(BOTTOM, "opening", "192 1/4")
    old.make(own_cut(old.record, BOTTOM, "192", "", "", old.now()))
    old.tick("cut-bottom", BOTTOM)
    told = old.make(own_cut(old.record, BOTTOM, "191", "", "", old.now()))
    assert "bottom was cut to 192 in; its own length now makes 191 in (1 in too long)" in told


def test_without_a_history_the_readings_of_then_are_taken_and_it_says_so(old) -> None:
    old.record.history = tuple
    old.sides_read()
    old.read(BOTTOM, "opening", "192 1/4")
    old.tick("cut-bottom", BOTTOM)
    told = old.make(own_cut(old.record, BOTTOM, "191", "", "", old.now()))
    assert "bottom was cut to 192 7/32 in; its own length now makes 191 in" in told
    assert OLD[READINGS] in told
    (one,) = open_cuts(old.record)
    assert (one.cut.source, one.causes) == (READINGS, ("own length",))


def test_a_history_that_did_not_lead_here_says_nothing(old) -> None:
    old.sides_read()
    old.tick("cut-side", A)
    del old.changes[3]
    for _ in range(2):
        old.read(A, "run", "192 11/16")
    (one,) = open_cuts(old.record)
    assert one.cut.figures["bottom_length"].shown == "192 5/16"


def test_a_check_off_that_was_undone_and_made_again_is_found(old) -> None:
    old.tick("rip-side", A)
    ticked = old.changes[-1]
    old.make(ticked.taken_back(1, old.now()))
    old.section(height=Fr(11))
    old.make(old.changes[-1].taken_back(3, old.now()))
    old.make(ticked.made_again(1, old.now()))
    assert "was ripped to 10 in wide" in old.section(height=Fr(9))


def test_keeping_an_old_cut_keeps_its_figures_from_then_on(old) -> None:
    """Whatever becomes of the history: a copy without it says the same."""
    old.tick("rip-side", A)
    old.section(height=Fr(9))
    old.make(keep_cut(old.record, A, "rip-side", "ripped down on site", old.now()))
    mark = old.record.beam("1").piece("A").steps["rip-side"]
    assert mark.cut is not None
    assert mark.cut.figures["height"].exact == 10
    bare = Record(old.record.tables)
    (one,) = [one for one in changed_cuts(bare.beam("1")) if one.kept]
    assert (one.old, one.cut.source) == (True, HISTORY)
    assert "10 in wide" in one.told


def test_nothing_differs_where_nothing_changed(old) -> None:
    old.sides_read()
    for step in ("rip-side", "cut-side"):
        old.tick(step, A, B)
    assert changed_cuts(old.record.beam("1")) == ()
    gone = edit(old.record.tables, ("beams", "1", "note"), "later")
    old.make(Change("note", (gone,), old.now()))
    assert changed_cuts(old.record.beam("1")) == ()
