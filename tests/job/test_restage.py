"""Stages and steps made one's own, with what was noted before staying true."""

import pytest

from crewdesk.job import clock, restage, ticks
from crewdesk.job.change import Change, edit
from crewdesk.job.gates import state
from crewdesk.job.run_sheet import RunSheet
from crewdesk.job.stages import MOST_STAGES, Need, Stages
from crewdesk.job.ticks import Spot
from crewdesk.job.usual_stages import USUAL_STAGES

A = Spot("1", "A")


def ids(record) -> list[str]:
    return [stage.id for stage in record.stages]


def test_the_usual_stages_go_out_and_come_in() -> None:
    assert Stages.from_doc(USUAL_STAGES.to_doc()) == USUAL_STAGES


def test_every_need_of_the_usual_stages_speaks_of_an_earlier_step_of_a_kind_that_has_it() -> None:
    order = [step.id for stage in USUAL_STAGES for step in stage.steps]
    kinds = {"partner": "side", "sides": "side", "bottom": "bottom", "top": "top"}
    kinds["cleats"] = "cleats"
    for stage in USUAL_STAGES:
        for step in stage.steps:
            for need in step.needs:
                if need.step:
                    assert order.index(need.step) < order.index(step.id)
                    assert kinds[need.who] in USUAL_STAGES.step(need.step).kinds


def test_renamed_stages_and_steps_keep_their_ticks(record, now, refusing) -> None:
    record.make(ticks.tick(record, A, "rip-side", now))
    record.make(restage.rename_stage(record, "rip", "Mill", now))
    record.make(restage.rename_step(record, "rip-side", "Rip on the long fence", now))
    assert record.stages.stage("rip").name == "Mill"
    assert record.beam("1").piece("A").steps["rip-side"].state == "done"
    assert "'Rip on the long fence' is already done" in refusing(
        ticks.tick, record, A, "rip-side", now
    )
    assert "Nothing is different" in refusing(restage.rename_stage, record, "rip", " Mill ", now)
    assert "needs a name" in refusing(restage.rename_step, record, "rip-side", "", now)
    assert "There is no stage paint" in refusing(restage.rename_stage, record, "paint", "x", now)


def test_the_run_sheet_follows_new_stages(record, now) -> None:
    sheet = RunSheet(record)
    assert len(sheet.cells(record.beam("1"))["A"]) == 7
    before = sheet.total()
    record.make(restage.add_stage(record, "Stain", now))
    assert ids(record)[-1] == "stain"
    assert sheet.cells(record.beam("1"))["A"][-1].state == "none"
    record.make(restage.add_step(record, "stain", "Wipe on", ("side", "bottom"), now))
    assert sheet.cells(record.beam("1"))["A"][-1].state == "not ready"
    # Two beams of two sides and a bottom each.
    assert sheet.total().steps == before.steps + 6
    record.make(restage.move_stage(record, "stain", -7, now))
    assert sheet.cells(record.beam("1"))["A"][0].state == "ready"
    assert [batch.step.id for batch in sheet.batches()] == ["wipe-on", "rip-cleats"]


def test_a_new_step_closes_the_steps_behind_it(record, now, refusing) -> None:
    record.make(ticks.tick(record, A, "rip-side", now))
    record.make(restage.add_step(record, "rip", "Plane", ("side",), now))
    assert "not through 'Plane'" in refusing(ticks.tick, record, A, "ease", now)
    record.make(restage.move_step(record, "plane", -9, now))
    assert record.stages.steps_of("side")[0].id == "plane"


def test_stages_and_steps_move_inside_their_row(record, now, refusing) -> None:
    record.make(restage.move_stage(record, "rip", 2, now))
    assert ids(record)[:3] == ["ease", "tape", "rip"]
    record.make(restage.move_stage(record, "rip", 99, now))
    assert ids(record)[-1] == "rip"
    assert "Nothing is different" in refusing(restage.move_stage, record, "rip", 1, now)
    record.make(restage.move_step(record, "sand", 1, now))
    assert [step.id for step in record.stages.stage("ease").steps] == ["ease", "cleat-line", "sand"]


def test_a_dropped_step_is_needed_no_more(record, walk, now) -> None:
    record.make(restage.drop_step(record, "level", now))
    assert not any(
        need.step == "level" for stage in record.stages for s in stage.steps for need in s.needs
    )
    walk(record, record.make, "scribe", now)
    beam = record.beam("1")
    scribe = record.stages.step("scribe")
    assert state(record.stages, beam, beam.piece("A"), scribe) == "ready"


def test_a_dropped_stage_goes_with_its_steps_and_its_hours_stay(record, now, refusing) -> None:
    record.make(clock.start(record, "tape", now))
    record.make(restage.drop_stage(record, "tape", now))
    assert "tape" not in ids(record)
    assert record.entries[0].stage == "tape"
    assert record.stages.name_of("tape") == "tape"
    assert "There is no step tape" in refusing(ticks.tick, record, A, "tape", now)
    for stage in ids(record)[1:]:
        record.make(restage.drop_stage(record, stage, now))
    assert "at least one stage" in refusing(restage.drop_stage, record, "rip", now)


def test_a_new_step_is_not_done_because_a_dropped_one_of_its_name_was(record, now) -> None:
    record.make(ticks.tick(record, A, "rip-side", now))
    record.make(ticks.tick(record, A, "ease", now))
    record.make(restage.drop_step(record, "ease", now))
    record.make(restage.add_step(record, "ease", "Ease", ("side",), now))
    new = record.stages.stage("ease").steps[-1]
    assert new.name == "Ease"
    assert new.id not in record.beam("1").piece("A").steps


def test_a_new_stage_does_not_take_the_hours_of_a_dropped_one(record, now) -> None:
    record.make(clock.start(record, "tape", now))
    record.make(restage.drop_stage(record, "tape", now))
    record.make(restage.add_stage(record, "Tape", now))
    assert record.stages.stages[-1].id != "tape"


def test_a_step_is_for_kinds_that_are_known(record, now, refusing) -> None:
    for kinds in ((), ("post",), "side"):
        assert "side, bottom, top, cleats" in refusing(
            restage.add_step, record, "rip", "Saw", kinds, now
        )


def test_there_is_a_most_of_stages(record, now, refusing) -> None:
    row = record.stages.to_doc()
    row += [{"id": f"s{number}", "name": "S", "steps": []} for number in range(MOST_STAGES - 7)]
    record.make(Change("x", (edit(record.tables, ("job", "1", "stages"), row),), now))
    assert f"from 1 to {MOST_STAGES} stages" in refusing(restage.add_stage, record, "Over", now)


@pytest.mark.parametrize(
    "need",
    [
        {},
        {"sort": "later"},
        {"sort": "done", "who": "partner"},
        {"sort": "done", "who": "neighbour", "step": "tack"},
        {"sort": "reading", "what": "depth"},
        {"sort": "read after", "what": "run", "who": "sides"},
        {"sort": ["earlier"]},
    ],
)
def test_a_need_that_makes_no_sense_is_refused(refusing, need) -> None:
    refusing(Need.from_doc, need)


def test_a_name_as_long_as_may_be_can_be_given_twice(record, now) -> None:
    for _ in range(3):
        record.make(restage.add_step(record, "rip", "W" * 80, ["side"], now))
        record.make(restage.add_stage(record, "\u00df" * 40 + "w" * 40, now))
    assert (
        len({step.id for stage in record.stages for step in stage.steps})
        == len([step for stage in USUAL_STAGES for step in stage.steps]) + 3
    )
