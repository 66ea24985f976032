"""A usual step is for the pieces that its own cut or setting can be worked out for."""

import pickle
from collections.abc import Callable
from datetime import timedelta
from functools import cache

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.beams.forms import FORMS
from crewdesk.job.beams.piece import Spot
from crewdesk.job.change import Change, edit
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.cuts.changed_cuts import changed_cuts, not_compared
from crewdesk.job.cuts.dry_fits import beam_as_cut
from crewdesk.job.cuts.machine import cuts_of
from crewdesk.job.record import Record
from crewdesk.job.steps import restage, ticks
from crewdesk.job.steps.stages import KINDS
from crewdesk.job.steps.usual_stages import MADE_FOR, USUAL_STAGES, kinds_told
from crewdesk.job.sync.contradictions import contradictions
from crewdesk.job.sync.exchange import from_document, to_document
from tests.job.opened import open_in_commands

STEPS = [step for stage in USUAL_STAGES for step in stage.steps]
OTHERS = [(step.id, kind) for step in STEPS for kind in KINDS if kind not in step.kinds]
UNFIT = [(id_, kind) for id_, kind in OTHERS if kind not in MADE_FOR.get(id_, KINDS)]
KEY = {"side": "A", "bottom": "bottom", "top": "top", "cleats": "cleats"}
WHY = {"reason": "the mill does it"}


def give(record, step_id, kind, now) -> None:
    """Give a step to one more kind of piece, as an older crewdesk let one."""
    step = record.stages.step(step_id)
    stages = record.stages.with_step(step._replace(kinds=(*step.kinds, kind)))
    record.make(Change("x", (edit(record.tables, ("job", "1", "stages"), stages.to_doc()),), now))


def test_the_table_has_the_usual_pieces_of_each_step() -> None:
    assert set(MADE_FOR) <= {step.id for step in STEPS}
    for step in STEPS:
        assert set(step.kinds) <= set(MADE_FOR.get(step.id, KINDS)), step.id


@pytest.mark.parametrize(("step_id", "kind"), UNFIT)
def test_a_step_is_not_given_to_pieces_that_cant_take_it(
    record, now, refusing, step_id, kind
) -> None:
    step = record.stages.step(step_id)
    kinds = (*step.kinds, kind)
    said = refusing(restage.for_kinds, record, step_id, kinds, now, **WHY)
    assert f"'{step.name}' has a cut or setting of its own" in said
    assert f"can't be a step of {kinds_told((kind,))}" in said
    assert record.stages.step(step_id) == step


def test_a_step_that_is_added_never_takes_the_cut_of_a_dropped_one(record, now) -> None:
    record.make(restage.drop_step(record, "rip-side", now, **WHY))
    record.make(restage.add_step(record, "rip", "Rip side", ("cleats",), now))
    assert [step.id for step in record.stages.stage("rip").steps][-1] == "rip-side-2"


def test_one_rip_may_be_for_all_boards(record, now) -> None:
    record.make(restage.for_kinds(record, "rip-side", ("side", "bottom"), now, **WHY))
    beam = record.beam("1")
    (square, *_), why = cuts_of(record.job, beam, beam.piece("bottom"), "rip-side")
    assert square.name == "square rip to width"
    assert not why


@pytest.fixture(scope="module")
def walked(fresh_record, walk, now) -> Callable[[str], Record]:
    """Makes a record whose first beam is of a form, walked up to its cleats; once for each form."""

    @cache
    def tables(form: str) -> bytes:
        record = fresh_record()
        if form != "usual":
            record.make(beams.change_beam(record, "1", {"form": form}, now))
        walk(record, record.make, "fix-cleats", now)
        return pickle.dumps(record.tables)

    return lambda form: Record(pickle.loads(tables(form)))


@pytest.mark.parametrize(("step_id", "kind"), OTHERS)
def test_an_older_record_with_a_step_of_any_pieces_is_worked_on(walked, now, step_id, kind) -> None:
    key, only = KEY[kind], USUAL_STAGES.step(step_id).only
    forms = [one for one in FORMS.values() if key in one.pieces]
    through = [one for one in forms if not only or only in one.traits]
    record = walked((through or forms)[0].id)
    give(record, step_id, kind, now)
    spot, fits = Spot("1", key), kind in MADE_FOR.get(step_id, KINDS)
    beam = record.beam("1")
    cuts, why = cuts_of(record.job, beam, beam.piece(key), step_id)
    if not fits:
        assert not cuts
        if step_id != "level":
            assert why.startswith("This step has no cut or setting for these pieces. ")
    assert batch_settings(record, step_id, [spot]).groups
    if through and step_id not in beam.piece(key).steps:
        later = now + timedelta(days=1)
        record.make(ticks.tick(record, spot, step_id, later, override="done at the mill"))
    beam = record.beam("1")
    assert [cut for cut in changed_cuts(beam) if cut.step_id == step_id] == []
    assert [one for one in not_compared(beam) if one[1] == step_id and not fits] == []
    assert beam_as_cut(beam).row == beam.row
    wrong = [one for one in contradictions(record) if "has a cut or setting of its own" in one]
    assert len(wrong) == (not fits)


def test_the_papers_of_an_older_record_come_out(job, now, tmp_path) -> None:
    give(job.record, "rip-side", "cleats", now)
    document = to_document(job.record.tables, [])
    desk = open_in_commands(document, tmp_path / "older", kept=True)
    older = desk.open(desk.ids()[0])
    assert older.record.stages.step("rip-side").kinds == ("side", "cleats")
    older.close(now)


def test_a_job_with_such_a_step_is_not_imported(record, now, refusing) -> None:
    give(record, "rip-side", "cleats", now)
    said = refusing(from_document, to_document(record.tables, []))
    assert "'Rip to width' has a cut or setting of its own for sides, bottoms and tops" in said
    assert from_document(to_document(record.tables, []), kept=True)
