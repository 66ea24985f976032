"""The sample job: built by the job's own commands, whole, and of the kind that it says it is."""

import json
from collections import Counter
from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from crewdesk.job.beams.beam import Beam
from crewdesk.job.change import Change, Doc
from crewdesk.job.lumber.kept import label_of, without_board
from crewdesk.job.record import Record
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.sync.exchange import from_document
from crewdesk.paper.job_document import document_text
from crewdesk.store.desk import Desk
from tests.sample.build_sample import build

SAMPLE = Path(__file__).parent.parent / "sample_data" / "tamarack-bend.json"
DOCUMENT = json.loads(SAMPLE.read_text())


def without_boards(document: Doc) -> Doc:
    """The document but for the plan of boards and what became of them: among plans that
    cost the same, the solver's version may choose another one."""

    def of_boards(at: list[str]) -> bool:
        return at[0] == "boards" or at == ["job", "1", "plan"]

    history = [
        {key: value for key, value in change.items() if key not in ("undoes", "redoes")}
        for change in document["history"]
        if not any(of_boards(edit["at"]) for edit in change["edits"])
    ]
    job = {key: value for key, value in document["job"].items() if key != "plan"}
    return {**document, "job": job, "boards": None, "history": history}


def test_it_is_what_its_builder_builds() -> None:
    built = build()
    assert document_text(without_boards(built)) == document_text(without_boards(DOCUMENT))
    told = [
        (one["job"]["plan"]["bound"], sum(Decimal(b["price"]) for b in one["boards"].values()))
        for one in (built, DOCUMENT)
    ]
    assert told[0] == told[1]


def test_its_boards_are_a_plan_with_one_spoiled_and_one_to_buy_for_it() -> None:
    record = Record(from_document(json.loads(SAMPLE.read_text()))[0])
    states = Counter(board.state for board in record.boards)
    assert states["spoiled"] == 1
    assert states["cut"] > 20
    (anew,) = (board for board in record.boards if board.state == "to buy")
    assert [label_of(record, piece) for piece in anew.pieces] == ["Study 3 side B"]
    # The beam that was asked for on Thursday has no board yet.
    assert {one.rsplit(" side", 1)[0] for one in without_board(record)} >= {"Study 4"}


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
