"""The sample job: built by the job's own commands, whole, and of the kind that it says it is."""

import json
from datetime import datetime
from fractions import Fraction
from pathlib import Path

from crewdesk.job.beam import Beam
from crewdesk.job.change import Change
from crewdesk.job.exchange import from_document
from crewdesk.job.record import Record
from crewdesk.job.run_sheet import RunSheet
from crewdesk.paper.job_document import document_text
from crewdesk.store.desk import Desk
from tests.sample.build_sample import build

SAMPLE = Path(__file__).parent.parent / "sample_data" / "tamarack-bend.json"
DOCUMENT = json.loads(SAMPLE.read_text())


def test_it_is_what_its_builder_builds() -> None:
    assert document_text(build()) == SAMPLE.read_text()


def test_in_and_out_again_is_exact(tmp_path: Path) -> None:
    desk = Desk(tmp_path)
    now = datetime.fromisoformat("2026-03-06T08:00:00-07:00")
    id_ = desk.take_in(json.loads(SAMPLE.read_text()), now)
    assert desk.give_out(id_) == DOCUMENT
    assert document_text(desk.give_out(id_)) == SAMPLE.read_text()


def test_its_history_made_again_from_nothing_gives_the_same_job() -> None:
    record = Record({})
    for doc in DOCUMENT["history"]:
        record.make(Change.from_doc(doc))
    tables, _ = from_document(json.loads(SAMPLE.read_text()))
    assert record.tables == tables


def test_it_has_beams_at_every_stage() -> None:
    record = Record(from_document(json.loads(SAMPLE.read_text()))[0])
    sheet = RunSheet(record)
    assert len(record.beams) >= 8
    assert len({beam.room for beam in record.beams}) == 3

    def stages_in_hand(beam: Beam) -> set[int]:
        """Where each piece of a beam stands: the place of its first stage with work left."""
        found = set()
        for cells in sheet.cells(beam).values():
            left = [place for place, cell in enumerate(cells) if cell.behind < cell.steps]
            found.add(left[0] if left else len(cells))
        return found

    places = set().union(*(stages_in_hand(beam) for beam in record.beams))
    assert places == set(range(8))
    assert any(stages_in_hand(beam) == {7} for beam in record.beams), "none is finished"


def test_its_readings_are_those_of_a_real_site() -> None:
    record = Record(from_document(json.loads(SAMPLE.read_text()))[0])
    taken = [
        (what, reading)
        for beam in record.beams
        for piece in beam.pieces.values()
        for what, readings in piece.readings.items()
        for reading in readings
    ]
    runs = [reading.value for what, reading in taken if what in ("run", "opening")]
    assert all(9 * 12 <= run <= 18 * 12 for run in runs)
    assert all((run * 32).denominator == 1 for run in runs)
    assert any((run * 16).denominator > 1 for run in runs)
    leans = {reading.lean for what, reading in taken if reading.value and what == "end1"}
    assert leans == {"in", "out"}
    assert max(abs(run - round(run)) for run in runs) <= Fraction(1, 2)


def test_its_notes_and_hours() -> None:
    marks = [
        mark
        for beam in DOCUMENT["beams"].values()
        for piece in beam["pieces"].values()
        for mark in piece["steps"].values()
    ]
    assert [bool(mark["gate"]) for mark in marks if "override" in mark] == [True]
    assert [bool(mark["reason"]) for mark in marks if mark["state"] == "blocked"] == [True]
    assert [bool(mark["reason"]) for mark in marks if mark["state"] == "skipped"] == [True]
    entries = DOCUMENT["entries"].values()
    assert all("stop" in entry for entry in entries), "a clock runs"
    assert len({entry["start"][:10] for entry in entries}) == 4
    assert {entry["stage"] for entry in entries} == {
        stage["id"] for stage in DOCUMENT["job"]["stages"]
    }
    assert any("undoes" in change for change in DOCUMENT["history"])
