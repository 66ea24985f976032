"""What doesn't fit together in a job that came in from elsewhere, in odd cases too."""

import time
from datetime import timedelta
from pathlib import Path

import pytest

from crewdesk.job.beams import beams, take
from crewdesk.job.record import Record
from crewdesk.job.steps import restage, ticks
from crewdesk.job.steps.stages import Need, read
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.sync.contradictions import contradictions
from crewdesk.job.sync.exchange import from_document
from crewdesk.paper.job_document import read_document

A, B, BOTTOM = (Spot("1", key) for key in ("A", "B", "bottom"))
SAMPLE = Path(__file__).parents[2] / "sample_data" / "tamarack-bend.json"


@pytest.fixture
def noted(record):
    """Puts a mark into the record as an import may bring it, past every gate."""

    def note(spot: Spot, step: str, when, **mark) -> None:
        doc = record.tables["beams"][spot.beam]["pieces"][spot.piece]
        doc["steps"][step] = {"state": "done", "when": when.isoformat(), **mark}
        record.forget([("beams", spot.beam)])

    return note


def test_a_sound_job_has_none(record, walk, now) -> None:
    assert contradictions(record) == ()
    walk(record, record.make, "tape-off", now)
    assert contradictions(record) == ()
    assert contradictions(Record(from_document(read_document(SAMPLE))[0])) == ()


def test_each_of_several_at_once_is_listed_once(record, noted, now) -> None:
    for spot, step in ((A, "cut-side"), (A, "scribe"), (BOTTOM, "cut-bottom"), (B, "nail-side")):
        noted(spot, step, now)
    found = contradictions(record)
    assert len(found) == len(set(found)) == 4
    for step in ("'Cut to length'", "'Scribe, one", "'Cut to length, both", "'Push up and nail'"):
        assert any(one.startswith(step) and "was done too early: " in one for one in found), step


def test_a_gate_passed_on_purpose_a_skipped_step_and_a_dropped_one_are_left_out(
    record, noted, now
) -> None:
    noted(A, "cut-side", now, override="story pole", gate="The length has not been read.")
    noted(A, "tape", now, state="skipped", reason="no paint")
    noted(B, "scrape", now)
    assert len(contradictions(record)) == 1
    record.make(restage.drop_step(record, "scrape", now, reason="smooth ceiling"))
    assert contradictions(record) == ()


def test_a_need_of_one_s_own_counts_and_a_waived_one_does_not(record, walk, noted, now) -> None:
    walk(record, record.make, "tape-off", now)
    later = now + timedelta(days=1)
    record.make(restage.add_step(record, "fix-up", "Wax", ("side",), later))
    step = record.stages.step("wax")
    needs = (Need("done", who="bottom", step="gaps"), read("end1"))
    record.make(restage.change_needs(record, "wax", (*step.needs, *needs), later))
    noted(A, "wax", later)
    (early,) = contradictions(record)
    assert early.startswith("'Wax' on Great room Ridge side A was done too early: ")
    record.make(ticks.tick(record, A, "tape-off", later))
    record.make(ticks.tick(record, B, "tape-off", later))
    assert contradictions(record) == ()
    del record.tables["beams"]["1"]["pieces"]["bottom"]["steps"]["gaps"]
    record.forget([("beams", "1")])
    (early,) = contradictions(record)
    assert "'Find and close the gaps' isn't done on it" in early
    record.make(restage.change_needs(record, "wax", (), later, reason="no need to wait"))
    assert contradictions(record) == ()


@pytest.mark.parametrize(
    ("spot", "step", "said"),
    [
        (
            A,
            "cut-side",
            "before the wall-to-wall length along the bottom line of side A was measured.",
        ),
        (A, "scribe", "before 'Tack with three screws, center first' on side B."),
        (BOTTOM, "cut-bottom", "before 'Push up and nail' on side A."),
        (Spot("1", "cleats"), "fix-cleats", "before 'Mark the cleat line inside' on side A."),
    ],
)
def test_what_is_done_in_the_end_but_in_the_wrong_order_is_listed(
    record, walk, noted, now, spot, step, said
) -> None:
    """Both are done by now; by their times the step came before what it needs."""
    walk(record, record.make, "tape-off", now)
    noted(spot, step, now - timedelta(days=1))
    assert any(one.endswith(f"was checked off {said}") for one in contradictions(record)), (
        contradictions(record)
    )


def test_a_doubtful_reading_after_a_cut_is_asked_about_and_not_called_too_early(
    record, walk, now
) -> None:
    walk(record, record.make, "back-bevel", now)
    later = now + timedelta(days=1)
    typed = take.typed_reading(record, "run", "148", later)
    record.make(take.take(record, A, "run", typed))
    (one,) = contradictions(record)
    assert "too early" not in one
    assert "A reading taken since then is in" in one


def test_200_beams_are_looked_over_soon(record, noted, now) -> None:
    for number in range(198):
        record.make(beams.add_beam(record, f"{number}", "Hall", now))
    for row in range(1, 201):
        noted(Spot(str(row), "A"), "scribe", now)
        noted(Spot(str(row), "bottom"), "cut-bottom", now)
    began = time.perf_counter()
    found = contradictions(record)
    assert time.perf_counter() - began < 3
    assert len(found) == len(set(found)) == 400
