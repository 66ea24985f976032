"""What a row is written as, byte for byte, as the first versions with these files wrote it.

`rows_written.json` has documents of each kind of row, out of the sample job and the kept files of
older schemas, and some that only a hand could have written, each with what they were written as.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from crewdesk.job.beams.beam import section_from_doc, section_to_doc
from crewdesk.job.beams.piece import Gap, OwnCut, OwnScribeCut, StepMark
from crewdesk.job.beams.readings import CeilingRead, Reading, SquareRead
from crewdesk.job.books.ledger import Letterhead
from crewdesk.job.change import Change
from crewdesk.job.cuts.cut_figures import AsCut, KeptCut
from crewdesk.job.lumber.stock import HandBoard
from crewdesk.job.lumber.takeoff import Board
from crewdesk.job.steps.stages import Stage, Waiver
from crewdesk.job.sync.conflicts import Unsettled
from crewdesk.job.time.entry import Entry, Planned

KEPT = Path(__file__).with_name("rows_written.json")

AGAIN: dict[str, Callable[[Any], Any]] = {
    "reading": lambda doc: Reading.from_doc(doc).to_doc(),
    "ceiling": lambda doc: CeilingRead.from_doc(doc).to_doc(),
    "square": lambda doc: SquareRead.from_doc(doc).to_doc(),
    "step mark": lambda doc: StepMark.from_doc(doc).to_doc(),
    "cut": lambda doc: AsCut.from_doc(doc).to_doc(),
    "kept cut": lambda doc: KeptCut.from_doc(doc).to_doc(),
    "own cut": lambda doc: OwnCut.from_doc(doc).to_doc(),
    "own scribe cut": lambda doc: OwnScribeCut.from_doc(doc).to_doc(),
    "gap": lambda doc: Gap.from_doc(doc).to_doc(),
    "section": lambda doc: section_to_doc(section_from_doc(doc)),
    "stage": lambda doc: Stage.from_doc(doc).to_doc(),
    "waiver": lambda doc: Waiver.from_doc(doc).to_doc(),
    "planned day": lambda doc: Planned.from_doc(doc).to_doc(),
    "entry": lambda doc: Entry.from_doc("1", doc).to_doc(),
    "board": lambda doc: Board.from_doc("1", doc).to_doc(),
    "board on hand": lambda doc: HandBoard.from_doc("1", doc).to_doc(),
    "unsettled": lambda doc: Unsettled.from_doc("1", doc).to_doc(),
    "letterhead": lambda doc: Letterhead.from_doc(doc).to_doc(),
    "change": lambda doc: Change.from_doc(doc).to_doc(),
}
"""By kind, a row read out of its document and written again."""


@pytest.mark.parametrize("kind", AGAIN)
def test_a_row_is_written_as_ever(kind: str) -> None:
    kept = json.loads(KEPT.read_text(encoding="ascii"))[kind]
    assert kept
    for doc, written in kept:
        assert json.dumps(AGAIN[kind](doc)) == json.dumps(written)
