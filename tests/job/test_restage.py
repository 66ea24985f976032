"""Stages and steps made one's own, with what was noted before staying true."""

import json

import pytest

from crewdesk.job.change import ABSENT, Change, Edit, edit
from crewdesk.job.cuts.scribing import read_ceiling, typed_stations
from crewdesk.job.record import Record
from crewdesk.job.steps import restage, ticks
from crewdesk.job.steps.gates import closed, state
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.steps.stages import MOST_STAGES, TRUTHS, Need, Stages
from crewdesk.job.steps.step_effects import check_needs, facts_for, never_met
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.steps.usual_stages import USUAL_STAGES
from crewdesk.job.sync.contradictions import contradictions
from crewdesk.job.sync.exchange import from_document, to_document
from crewdesk.job.time import clock
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.progress import progress

A = Spot("1", "A")
WHY = {"reason": "the painter does it"}


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
    assert "the same as before" in refusing(restage.rename_stage, record, "rip", " Mill ", now)
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
    record.make(restage.move_stage(record, "stain", -7, now, **WHY))
    assert sheet.cells(record.beam("1"))["A"][0].state == "ready"
    assert [batch.step.id for batch in sheet.batches()] == ["wipe-on", "rip-cleats"]


def test_a_new_step_closes_the_steps_behind_it(record, now, refusing) -> None:
    record.make(ticks.tick(record, A, "rip-side", now))
    record.make(restage.add_step(record, "rip", "Plane", ("side",), now))
    assert "'Plane' isn't done on Great room Ridge side A" in refusing(
        ticks.tick, record, A, "ease", now
    )
    record.make(restage.move_step(record, "plane", -9, now, **WHY))
    assert record.stages.steps_of("side")[0].id == "plane"


def test_stages_and_steps_move_inside_their_row(record, now, refusing) -> None:
    record.make(restage.move_stage(record, "rip", 2, now, **WHY))
    assert ids(record)[:3] == ["ease", "tape", "rip"]
    record.make(restage.move_stage(record, "rip", 99, now, **WHY))
    assert ids(record)[-1] == "rip"
    assert "the same as before" in refusing(restage.move_stage, record, "rip", 1, now)
    record.make(restage.move_step(record, "sand", 1, now, **WHY))
    assert [step.id for step in record.stages.stage("ease").steps] == ["ease", "cleat-line", "sand"]


def test_a_step_dropped_with_a_reason_is_needed_no_more(record, walk, now) -> None:
    record.make(restage.drop_step(record, "level", now, **WHY))
    assert not any(
        need.step == "level" for stage in record.stages for s in stage.steps for need in s.needs
    )
    walk(record, record.make, "scribe", now)
    level = typed_stations(record, [(spot, "14", "14") for spot in ("0", "73", "147")])
    record.make(read_ceiling(record, "1", level, now))
    beam = record.beam("1")
    scribe = record.stages.step("scribe")
    assert state(record.stages, beam, beam.piece("A"), scribe) == "ready"


def test_a_dropped_stage_goes_with_its_steps_and_its_hours_stay(record, now, refusing) -> None:
    record.make(clock.start(record, "tape", now))
    record.make(restage.drop_stage(record, "tape", now, **WHY))
    assert "tape" not in ids(record)
    assert record.entries[0].stage == "tape"
    assert record.stages.name_of("tape") == "tape"
    assert "There is no step tape" in refusing(ticks.tick, record, A, "tape", now)
    for stage in ids(record)[1:]:
        record.make(restage.drop_stage(record, stage, now, **WHY))
    assert "at least one stage" in refusing(restage.drop_stage, record, "rip", now)


def test_a_new_step_is_not_done_because_a_dropped_one_of_its_name_was(record, now) -> None:
    record.make(ticks.tick(record, A, "rip-side", now))
    record.make(ticks.tick(record, A, "ease", now))
    record.make(restage.drop_step(record, "ease", now, **WHY))
    record.make(restage.add_step(record, "ease", "Ease", ("side",), now))
    new = record.stages.stage("ease").steps[-1]
    assert new.name == "Ease"
    assert new.id not in record.beam("1").piece("A").steps


def test_a_new_stage_does_not_take_the_hours_of_a_dropped_one(record, now) -> None:
    record.make(clock.start(record, "tape", now))
    record.make(restage.drop_stage(record, "tape", now, **WHY))
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
    refusing(Need.alone, need)


def test_a_name_as_long_as_may_be_can_be_given_twice(record, now) -> None:
    for _ in range(3):
        record.make(restage.add_step(record, "rip", "W" * 80, ["side"], now))
        record.make(restage.add_stage(record, "\u00df" * 40 + "w" * 40, now))
    assert (
        len({step.id for stage in record.stages for step in stage.steps})
        == len([step for stage in USUAL_STAGES for step in stage.steps]) + 3
    )


def needs_of(record, step_id: str) -> set[tuple[str, str, str]]:
    return {(one.sort, one.who, one.step) for one in record.stages.step(step_id).needs}


@pytest.mark.parametrize(
    ("dropped", "opened", "who"),
    [
        ("nail-side", "cut-bottom", "sides"),
        ("cleat-line", "fix-cleats", "sides"),
        ("level", "scribe", "partner"),
    ],
)
def test_dropping_a_step_opens_none_without_a_reason(
    record, now, refusing, dropped, opened, who
) -> None:
    said = refusing(restage.drop_step, record, dropped, now)
    names = [record.stages.step(id_).name for id_ in (opened, dropped)]
    assert all(f"'{name}'" in said for name in names)
    assert "give the reason" in said
    assert "give the reason" in refusing(restage.drop_step, record, dropped, now, reason=" ")
    record.make(restage.drop_step(record, dropped, now, **WHY))
    assert ("done", who, dropped) not in needs_of(record, opened)
    (waiver,) = record.stages.waived
    assert (waiver.what, waiver.reason) == (f"removed step '{names[1]}'", WHY["reason"])
    assert (opened, Need("done", who=who, step=dropped)) in waiver.needs


def test_the_reason_for_a_waived_need_is_shown_and_kept(record, now) -> None:
    record.make(restage.drop_step(record, "nail-side", now, **WHY))
    told = "\n".join(progress("hill", record).lines)
    assert "Removed step 'Push up and nail': the painter does it" in told
    assert "'Cut to length, both ends to fit'" in told
    assert progress("hill", record).values["waived"][0]["reason"] == WHY["reason"]
    assert "the painter does it" in "\n".join(cut_list("hill", record).lines)
    document = json.loads(json.dumps(to_document(record.tables, [])))
    back, _ = from_document(document)
    assert Record(back).stages == record.stages


def test_a_step_that_nothing_waits_for_is_dropped_without_a_reason(record, now) -> None:
    record.make(restage.drop_step(record, "tape-off", now))
    assert record.stages.waived == ()
    assert not record.stages.has("tape-off")


@pytest.mark.parametrize(
    ("moved", "by", "opened", "no_longer"),
    [
        ("cut-scribe", -2, "cut-scribe", "scribe"),
        ("scrape", 9, "cut-side", "scrape"),
        ("ease", 2, "cleat-line", "ease"),
    ],
)
def test_moving_a_step_opens_none_without_a_reason(
    record, now, refusing, moved, by, opened, no_longer
) -> None:
    said = refusing(restage.move_step, record, moved, by, now)
    for id_ in (opened, no_longer):
        assert f"'{record.stages.step(id_).name}'" in said
    record.make(restage.move_step(record, moved, by, now, **WHY))
    (waiver,) = record.stages.waived
    assert (opened, Need("done", who="piece", step=no_longer)) in waiver.needs
    # Moved back, the step waits again, and the waiver has done its time. Whatever waited for
    # the moved step meanwhile is let go of then, so that takes a reason too.
    record.make(restage.move_step(record, moved, -by, now, **WHY))
    again = {one for waiver in record.stages.waived for one in waiver.needs}
    assert (opened, Need("done", who="piece", step=no_longer)) not in again


def test_moving_a_stage_opens_none_without_a_reason(record, now, refusing) -> None:
    said = refusing(restage.move_stage, record, "tape", 2, now)
    assert "'Tape the top edge'" in said
    record.make(restage.move_stage(record, "tape", 2, now, **WHY))
    assert record.stages.waived[0].reason == WHY["reason"]


def test_a_move_that_makes_steps_wait_for_one_another_waives_what_could_never_be(
    record, now, refusing
) -> None:
    # Scribed before it is tacked, a side waits for its partner's tacking, and that for this.
    record.make(restage.move_stage(record, "scribe", -1, now, **WHY))
    assert ("done", "partner", "tack") not in needs_of(record, "scribe")
    lost = {one for waiver in record.stages.waived for one in waiver.needs}
    assert ("scribe", Need("done", who="partner", step="tack")) in lost


def test_a_step_for_other_pieces_opens_none_without_a_reason(record, now, refusing) -> None:
    said = refusing(restage.for_kinds, record, "tack", ["bottom"], now)
    assert "'Level at ends and center' and 'Scribe, one setting for the beam' need 'Tack" in said
    record.make(restage.for_kinds(record, "tack", ["bottom"], now, **WHY))
    assert ("done", "partner", "tack") not in needs_of(record, "level")


def test_undo_brings_a_waived_need_back(job, now) -> None:
    before = job.record.stages
    job.make(restage.drop_step(job.record, "nail-side", now, **WHY))
    job.undo(now)
    assert job.record.stages == before
    assert "waived" not in job.record.tables["job"]["1"]


def test_a_step_of_one_s_own_is_given_facts(record, now, refusing) -> None:
    facts = (Need("done", who="sides", step="tack"), Need("reading", who="sides", what="run"))
    record.make(restage.add_step(record, "rip", "Check the reveal", ("bottom",), now, needs=facts))
    step = record.stages.step("check-the-reveal")
    assert set(facts) < set(step.needs)
    beam = record.beam("1")
    without_order = record.stages.with_step(step._replace(needs=facts))
    assert "side A comes first: 'Tack with three screws" in str(
        closed(without_order, beam, beam.piece("bottom"), without_order.step(step.id))
    )
    every = facts_for(record.stages, step)
    assert every[: len(step.needs)] == step.needs
    assert len(set(every)) == len(every)
    # Each fact on the list can be chosen.
    record.make(restage.change_needs(record, step.id, every, now))
    said = refusing(restage.change_needs, record, step.id, facts, now)
    assert f"'{step.name}' would no longer need" in said
    record.make(restage.change_needs(record, step.id, facts, now, **WHY))
    assert record.stages.step(step.id).needs == facts


@pytest.mark.parametrize(
    ("kinds", "need", "why"),
    [
        (("bottom",), Need("done", who="partner", step="tack"), "the other side of a pair"),
        (("side", "bottom"), Need("done", who="partner", step="tack"), "of a pair"),
        (("side",), Need("done", who="sides", step="mine"), "can't need itself"),
        (("bottom",), Need("reading", what="run"), "measured on bottoms"),
        (("side",), Need("reading", who="cleats", what="run"), "measured on cleats"),
        (("cleats",), Need("read after", who="sides", step="tack", what="run"), "measured on"),
        (("side",), Need("done", who="sides", step="long-gone"), "isn't among the steps"),
        (("side",), Need("done", who="bottom", step="tack"), "on bottoms; that is a step of sides"),
        (("cleats",), Need("done", who="piece", step="tack"), "that is a step of sides"),
        (("side",), Need("out of square", what="edge_b"), "can't need edge B"),
    ],
)
def test_a_need_that_a_piece_can_t_have_is_refused(record, now, refusing, kinds, need, why) -> None:
    assert why in refusing(restage.add_step, record, "nail", "Mine", kinds, now, needs=(need,))
    record.make(restage.add_step(record, "nail", "Mine", kinds, now))
    step = record.stages.step("mine")
    assert why in refusing(restage.change_needs, record, "mine", (*step.needs, need), now)
    # And on import.
    stages = record.stages.with_step(step._replace(needs=(*step.needs, need)))
    record.make(Change("x", (edit(record.tables, ("job", "1", "stages"), stages.to_doc()),), now))
    assert why in refusing(from_document, to_document(record.tables, []))


def test_a_step_that_would_wait_for_itself_through_others_is_refused(record, now, refusing) -> None:
    step = record.stages.step("tack")
    needs = (*step.needs, Need("done", who="partner", step="level"))
    said = refusing(restage.change_needs, record, "tack", needs, now)
    assert "'Tack with three screws, center first' would wait for itself" in said


def test_the_truth_belongs_to_a_usual_step_of_a_job_made_before(record, now) -> None:
    """A job that was saved when the usual steps needed less gets what is true of them; what
    is done stays done, and the record takes it all as it was."""
    old = record.stages.to_doc()
    for stage in old:
        for step in stage["steps"]:
            truths = [one.to_doc() for one in TRUTHS.get(step["id"], ())]
            step["needs"] = [one for one in step["needs"] if one not in truths]
    record.make(Change("x", (edit(record.tables, ("job", "1", "stages"), old),), now))
    at = ("beams", "1", "pieces", "A", "steps", "scribe")
    done = {"state": "done", "when": now.isoformat()}
    record.make(Change("x", (edit(record.tables, at, done),), now))
    for id_, truths in TRUTHS.items():
        assert set(truths) <= set(record.stages.step(id_).needs)
    record.check_all()
    back, _ = from_document(json.loads(json.dumps(to_document(record.tables, []))))
    assert back["job"] == record.tables["job"]
    beam = record.beam("1")
    assert state(record.stages, beam, beam.piece("A"), record.stages.step("scribe")) == "done"
    record.make(ticks.clear(record, A, "scribe", now))
    # Waived with a reason, it stays away.
    step = record.stages.step("scribe")
    left = tuple(need for need in step.needs if need not in TRUTHS["scribe"])
    record.make(restage.change_needs(record, "scribe", left, now, **WHY))
    assert record.stages.step("scribe").needs == left


def test_a_usual_step_in_an_order_of_one_s_own_never_waits_for_a_later_one(record, now) -> None:
    old = [one.to_doc() for one in USUAL_STAGES]
    for stage in old:
        for step in stage["steps"]:
            if step["id"] == "fix-cleats":
                step["needs"] = [{"sort": "earlier"}]
    old.insert(0, old.pop([one["id"] for one in old].index("nail")))
    record.make(Change("x", (edit(record.tables, ("job", "1", "stages"), old),), now))
    assert ("done", "sides", "cut-scribe") not in needs_of(record, "fix-cleats")


def test_a_new_step_never_gets_the_id_of_one_that_a_truth_belongs_to(record, now) -> None:
    record.make(restage.drop_step(record, "scribe", now, **WHY))
    record.make(restage.add_step(record, "scribe", "Scribe", ("side",), now))
    assert record.stages.stage("scribe").steps[-1].id == "scribe-2"


SELF = Need("done", who="piece", step="tack")
OTHER_SIDE = Need("done", who="partner", step="tack")


@pytest.mark.parametrize(
    ("needs", "said"),
    [
        ({"tack": SELF}, "'Tack with three screws, center first' can't need itself"),
        ({"tack": OTHER_SIDE}, "'Tack with three screws, center first' can't need itself"),
        (
            {"cut-bottom": Need("done", who="sides", step="ease"),
             "ease": Need("done", who="bottom", step="cut-bottom")},
            "would wait for itself",
        ),
        (
            {"ease": Need("done", who="partner", step="sand"),
             "sand": Need("done", who="piece", step="cleat-line"),
             "cleat-line": Need("done", who="partner", step="ease")},
            "would wait for itself",
        ),
    ],
)  # fmt: skip
@pytest.mark.parametrize("schema", [1, 2])
def test_steps_that_need_themselves_or_each_other_are_refused_on_import(
    record, refusing, needs, said, schema
) -> None:
    """With no order of work between them either, so that only their needs make the circle."""
    stages = record.stages
    for id_, need in needs.items():
        stages = stages.with_step(stages.step(id_)._replace(needs=(need,)))
    if "sand" in needs:  # a need on the piece itself names a step of all its kinds
        stages = stages.with_step(stages.step("sand")._replace(kinds=("side",)))
    document = json.loads(json.dumps(to_document(record.tables, [])))
    document["job"]["stages"] = stages.to_doc()
    document["schema"] = schema
    answer = refusing(from_document, document)
    assert said in answer
    assert "Remove " in answer


def test_a_circle_by_the_order_of_work_is_refused_or_listed(record, now, refusing) -> None:
    """An older version let a stage be moved before what it waits for: that job comes in with
    its history, and says so; one written by hand is refused."""
    old = record.stages.to_doc()
    old.insert(3, old.pop(4))  # scribed before it is tacked
    (edited,) = (edit(record.tables, ("job", "1", "stages"), old),)
    moved = Change("moved stage Scribe", (edited,), now)
    began = Change("began", (Edit(("job", "1"), ABSENT, record.tables["job"]["1"]),), now)
    beams = [
        Change("added", (Edit(("beams", row), ABSENT, doc),), now)
        for row, doc in record.tables["beams"].items()
    ]
    record.make(moved)
    document = json.loads(json.dumps(to_document(record.tables, [began, *beams, moved])))
    back, _ = from_document(document)
    found = contradictions(Record(back))
    assert any("'Scribe, one setting for the beam' would wait for itself" in s for s in found)
    document["history"] = []
    assert "would wait for itself" in refusing(from_document, document)


def test_the_shipped_stages_have_no_circle_and_no_need_that_is_never_met() -> None:
    assert never_met(USUAL_STAGES) == ()
    check_needs(USUAL_STAGES)
