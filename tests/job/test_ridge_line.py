"""A beam along a ridge hangs level: three slopes at once are not worked out."""

from fractions import Fraction as Fr

import pytest

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.beams import beams, take
from crewdesk.job.beams.piece import Spot
from crewdesk.job.cuts.marks import marks
from crewdesk.job.record import Record
from crewdesk.trade.cuts.section import Section


def test_a_ridge_that_falls_is_refused_and_an_old_one_makes_no_marks(record, now) -> None:
    section = Section(Fr(8), Fr(14))
    along = {"form": "ridge", "section": section, "pitch": "4/12"}
    record.make(beams.change_beam(record, "1", along, now))
    with pytest.raises(NotAllowed, match="along a ridge hangs level"):
        record.make(beams.change_beam(record, "1", {"ceiling": "sloped"}, now))
    for what, text in (("run", "120"), ("end1", "0"), ("end2", "0")):
        reading = take.typed_reading(record, what, text, now, lean="in", level="24")
        record.make(take.take(record, Spot("1", "A"), what, reading))
    assert marks(record.beam("1"), record.beam("1").piece("A")).cut is not None
    # A job that an older version kept still opens; its side can't be cut.
    tables = {table: dict(rows) for table, rows in record.tables.items()}
    tables["beams"]["1"] = {**tables["beams"]["1"], "ceiling": "sloped"}
    old = Record(tables)
    with pytest.raises(BadInput, match="along a ridge hangs level"):
        marks(old.beam("1"), old.beam("1").piece("A"))
