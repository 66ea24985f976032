"""What is noted about steps: one piece, a batch, set aside, past a gate, taken back."""

from datetime import timedelta

import pytest

from crewdesk.job.cuts.scribing import read_ceiling, typed_stations
from crewdesk.job.record import Record
from crewdesk.job.steps import ticks
from crewdesk.job.steps.gates import state
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.steps.ticks import Spot

A, B, BOTTOM, CLEATS = (Spot("1", key) for key in ("A", "B", "bottom", "cleats"))


def marked(record: Record, spot: Spot, step: str):
    return record.beam(spot.beam).piece(spot.piece).steps.get(step)


def test_a_tick_is_noted_with_its_time(record, now) -> None:
    record.make(ticks.tick(record, A, "rip-side", now))
    mark = marked(record, A, "rip-side")
    assert (mark.state, mark.when, mark.override, mark.gate) == ("done", now, "", "")
    assert marked(record, B, "rip-side") is None


def test_no_second_tick_no_step_of_another_kind_no_unknown_piece(record, now, refusing) -> None:
    record.make(ticks.tick(record, A, "rip-side", now))
    assert "already done on Great room Ridge side A" in refusing(
        ticks.tick, record, A, "rip-side", now
    )
    assert "a step of a side" in refusing(ticks.tick, record, A, "rip-bottom", now)
    assert "a step of a bottom" in refusing(
        ticks.set_aside, record, BOTTOM, "tape", "skipped", "why", now
    )
    assert "There is no step plane" in refusing(ticks.tick, record, A, "plane", now)
    assert "has no piece C" in refusing(ticks.tick, record, Spot("1", "C"), "ease", now)
    assert "no row 9" in refusing(ticks.tick, record, Spot("9", "A"), "ease", now)


def test_a_closed_gate_is_passed_only_with_a_reason_and_the_reason_stays(
    record, now, refusing
) -> None:
    gate = refusing(ticks.tick, record, A, "tape", now)
    for empty in ("", "   ", "\n"):
        assert "Give a reason in a few words to override" in refusing(
            ticks.tick, record, A, "tape", now, override=empty
        )
    change = ticks.tick(record, A, "tape", now, override=" boards came taped ")
    assert "on Great room Ridge side A early, by override" in change.what
    record.make(change)
    mark = marked(record, A, "tape")
    assert (mark.state, mark.override, mark.gate) == ("done", "boards came taped", gate)
    tape = [stage.id for stage in record.stages].index("tape")
    cells = RunSheet(record).cells(record.beam("1"))
    assert cells["A"][tape].overridden
    assert not cells["B"][tape].overridden
    # It shows also after the gate would be open.
    for step in ("rip-side", "ease", "sand", "cleat-line"):
        record.make(ticks.tick(record, A, step, now))
    assert marked(record, A, "tape").override == "boards came taped"


def test_a_reason_at_an_open_gate_is_no_override(record, now) -> None:
    record.make(ticks.tick(record, A, "rip-side", now, override="just so"))
    assert marked(record, A, "rip-side").override == ""


def test_a_batch_is_ticked_whole_or_not_at_all(record, now, refusing) -> None:
    before = RunSheet(record).total()
    refusing(ticks.tick_all, record, (A, B, Spot("2", "bottom")), "rip-side", now)
    record.make(ticks.tick(record, A, "rip-side", now))
    said = refusing(ticks.tick_all, record, (B, A), "rip-side", now)
    assert "side A" in said
    assert RunSheet(record).total().behind == before.behind + 1
    change = ticks.tick_all(record, (B, B, Spot("2", "A"), Spot("2", "B")), "rip-side", now)
    assert change.what == "checked off 'Rip to width' on 3 pieces"
    record.make(change)
    assert RunSheet(record).total().behind == before.behind + 4
    assert "No piece is ready" in refusing(ticks.tick_all, record, (), "rip-side", now)
    assert ticks.tick_all(record, (CLEATS,), "rip-cleats", now).what.endswith("on 1 piece")


@pytest.mark.parametrize("as_", ["blocked", "skipped"])
def test_set_aside_takes_a_reason(record, now, refusing, as_) -> None:
    assert "Give a reason in a few words to set a step aside" in refusing(
        ticks.set_aside, record, A, "rip-side", as_, " ", now
    )
    record.make(ticks.set_aside(record, A, "rip-side", as_, "knot at the edge", now))
    mark = marked(record, A, "rip-side")
    assert (mark.state, mark.reason) == (as_, "knot at the edge")
    assert "blocked or skipped, not as lost" in refusing(
        ticks.set_aside, record, A, "rip-side", "lost", "why", now
    )


def test_a_blocked_step_holds_up_and_a_skipped_one_does_not(record, now, refusing) -> None:
    record.make(ticks.set_aside(record, A, "rip-side", "blocked", "board is wet", now))
    said = refusing(ticks.tick, record, A, "rip-side", now)
    assert "board is wet" in said
    assert "Unblock it first" in said
    refusing(ticks.tick, record, A, "ease", now)
    record.make(ticks.clear(record, A, "rip-side", now))
    record.make(ticks.set_aside(record, A, "rip-side", "skipped", "came ripped", now))
    record.make(ticks.tick(record, A, "ease", now))
    # A skipped step may still be done.
    record.make(ticks.tick(record, A, "rip-side", now))
    assert marked(record, A, "rip-side").state == "done"


def test_a_done_step_is_not_set_aside(record, now, refusing) -> None:
    record.make(ticks.tick(record, A, "rip-side", now))
    for as_ in ("blocked", "skipped"):
        assert "Undo that first. Nothing" in refusing(
            ticks.set_aside, record, A, "rip-side", as_, "why", now
        )


def test_a_step_that_others_rest_on_is_not_cleared(record, now, refusing) -> None:
    record.make(ticks.tick(record, A, "rip-side", now))
    record.make(ticks.tick(record, A, "ease", now))
    said = refusing(ticks.clear, record, A, "rip-side", now)
    assert said.startswith("'Ease both bottom edges' on side A rests on 'Rip to width'")
    record.make(ticks.clear(record, A, "ease", now))
    record.make(ticks.clear(record, A, "rip-side", now))
    assert marked(record, A, "rip-side") is None
    assert "isn't checked off, blocked or skipped" in refusing(
        ticks.clear, record, A, "rip-side", now
    )


def test_a_skipped_step_that_others_rest_on_is_not_blocked(record, now, refusing) -> None:
    record.make(ticks.set_aside(record, A, "rip-side", "skipped", "came ripped", now))
    record.make(ticks.tick(record, A, "ease", now))
    assert "rests on" in refusing(
        ticks.set_aside, record, A, "rip-side", "blocked", "came too wide", now
    )
    assert "rests on" in refusing(ticks.clear, record, A, "rip-side", now)


def test_a_step_that_the_partner_rests_on_is_not_cleared(record, walk, now, refusing) -> None:
    walk(record, record.make, "scribe", now)
    at = now + timedelta(days=1)
    level = typed_stations(record, [(spot, "14", "14") for spot in ("0", "73", "147")])
    record.make(read_ceiling(record, "1", level, at))
    record.make(ticks.tick(record, B, "scribe", at))
    assert "'Scribe, one setting for the beam' on side B" in refusing(
        ticks.clear, record, A, "level", at
    )
    record.make(ticks.clear(record, Spot("2", "A"), "level", at))


def test_the_bottom_rests_on_the_nailed_sides(record, walk, now, refusing) -> None:
    walk(record, record.make, "nail-bottom", now)
    at = now + timedelta(days=1)
    assert "on bottom rests on 'Push up and nail'" in refusing(
        ticks.clear, record, A, "nail-side", at
    )


def test_what_was_done_past_its_gate_rests_on_nothing(record, now) -> None:
    record.make(ticks.tick(record, A, "rip-side", now))
    record.make(ticks.tick(record, A, "sand", now, override="sanded at the mill"))
    record.make(ticks.clear(record, A, "rip-side", now))
    piece = record.beam("1").piece("A")
    assert state(record.stages, record.beam("1"), piece, record.stages.step("rip-side")) == "ready"


def test_a_reason_has_a_length_that_shows(record, now, refusing) -> None:
    long = "x" * 2001
    assert "the limit is 2000" in refusing(
        ticks.set_aside, record, A, "rip-side", "blocked", long, now
    )
    assert "can't be shown (U+001B)" in refusing(
        ticks.tick, record, A, "tape", now, override="\x1b[2J"
    )
