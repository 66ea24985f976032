"""The run sheet's cells, what is ready to batch, and the totals."""

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewdesk.job.record import Record
from crewdesk.job.steps import ticks
from crewdesk.job.steps.run_sheet import RunSheet, Total
from crewdesk.job.steps.ticks import Spot


def states(record, key: str = "A", beam: str = "1") -> list[str]:
    return [one.state for one in RunSheet(record).cells(record.beam(beam))[key]]


def test_a_fresh_job(record) -> None:
    assert states(record) == ["ready", *["not ready"] * 6]
    assert states(record, "bottom")[2:5] == ["none", "none", "none"]
    assert [(b.stage.id, b.step.id, len(b.spots)) for b in RunSheet(record).batches()] == [
        ("rip", "rip-side", 4),
        ("rip", "rip-bottom", 2),
        ("rip", "rip-cleats", 2),
    ]


def test_a_cell_tells_its_next_step_and_how_many_are_behind(record, now) -> None:
    record.make(ticks.tick(record, Spot("1", "A"), "rip-side", now))
    record.make(ticks.tick(record, Spot("1", "A"), "ease", now))
    rip, ease, *_ = RunSheet(record).cells(record.beam("1"))["A"]
    assert (rip.state, rip.next, rip.behind, rip.steps) == ("done", None, 1, 1)
    assert (ease.state, ease.next.id, ease.behind, ease.steps) == ("ready", "sand", 1, 3)


def test_skipped_and_blocked_cells(record, now) -> None:
    a = Spot("1", "A")
    record.make(ticks.set_aside(record, a, "rip-side", "skipped", "came ripped", now))
    assert states(record)[0] == "skipped"
    record.make(ticks.tick(record, a, "ease", now))
    record.make(ticks.set_aside(record, a, "sand", "blocked", "no sheet", now))
    assert states(record)[1] == "blocked"
    assert not any(a in batch.spots for batch in RunSheet(record).batches())
    record.make(ticks.clear(record, a, "sand", now))
    for step in ("sand", "cleat-line"):
        record.make(ticks.set_aside(record, a, step, "skipped", "prefinished", now))
    # One step of the stage was done, so it is not skipped as a whole.
    assert states(record)[1] == "done"


def test_batches_run_a_job_to_its_end(record, walk, now) -> None:
    walk(record, record.make, "", now)
    sheet = RunSheet(record)
    assert sheet.batches() == ()
    total = sheet.total()
    assert total.behind == total.steps == sum(t.steps for t in sheet.totals())
    assert set(states(record, "bottom")) == {"none", "done"}


@settings(deadline=None, max_examples=8)
@given(data=st.data())
def test_kept_cells_are_the_cells_reckoned_anew(data, fresh_record, any_change, now) -> None:
    record = fresh_record()
    sheet = RunSheet(record)
    for _ in range(12):
        change = any_change(data.draw, record, now)
        if change is not None:
            record.make(change)
        fresh = RunSheet(record)
        for beam in record.beams:
            assert sheet.cells(beam) == fresh.cells(beam)
        assert sheet.batches() == fresh.batches()
        counted = Counter()
        for beam in record.beams:
            for piece in beam.pieces.values():
                for place, stage in enumerate(record.stages):
                    for step in stage.steps:
                        if step.is_for(piece.kind, piece.traits):
                            mark = piece.steps.get(step.id)
                            counted[place, "steps"] += 1
                            counted[place, "behind"] += mark is not None and mark.behind
        assert sheet.totals() == tuple(
            Total(counted[place, "behind"], counted[place, "steps"])
            for place in range(len(record.stages.stages))
        )


@settings(deadline=None, max_examples=8)
@given(data=st.data())
def test_whatever_a_batch_offers_can_be_ticked(data, fresh_record, any_change, now) -> None:
    record = fresh_record()
    for _ in range(8):
        if (change := any_change(data.draw, record, now)) is not None:
            record.make(change)
    for batch in RunSheet(record).batches():
        record.make(ticks.tick_all(record, batch.spots, batch.step.id, now))


def test_the_outline_has_what_the_beams_have(record) -> None:
    # Rooms that come again, pieces written in another order, one that is none of the beam's type.
    beams = record.tables["beams"]
    first = beams["1"]
    pieces = {"top": {}, **dict(reversed(first["pieces"].items()))}
    beams["2"] = {**beams["2"], "room": "Loft"}
    beams["10"] = {**first, "name": "Tenth", "pieces": pieces}
    again = Record(record.tables)
    assert again.outline() == [(one.room, one.row, list(one.pieces)) for one in again.beams]
    assert [row for _, row, _ in again.outline()] == ["1", "10", "2"]


@pytest.mark.parametrize("lacking", ["room", "pieces"])
def test_a_damaged_beam_is_refused_by_the_outline_as_by_itself(record, refusing, lacking) -> None:
    record.tables["beams"]["1"] = {
        key: value for key, value in record.tables["beams"]["1"].items() if key != lacking
    }
    again = Record(record.tables)
    assert refusing(again.outline) == refusing(again.beam, "1")
