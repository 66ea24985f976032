"""A kind of reading is one row: the record, doubts, the screens and the form follow it."""

import subprocess
import sys
from pathlib import Path

from crewdesk.job.beams import readings
from crewdesk.job.beams.readings import NAMES, OF_KIND, READING_KINDS

HEAD = "READING_KINDS: Mapping[str, ReadingKind] = {\n"
ROW = """\
    "bow": ReadingKind(
        "bow of the board", "bow", "side", "tape", "A string along the edge; the widest gap.",
        field="bow", afterward=True, believed=(Fraction(0), Fraction(1)), trait="ceiling",
    ),
"""
TAKEN = """
import sys, types
from fractions import Fraction
from pathlib import Path

path, head, row = Path(sys.argv[1]), sys.argv[2], sys.argv[3]
text = path.read_text("utf-8")
assert head in text
name = "crewdesk.job.beams.readings"
module = sys.modules[name] = types.ModuleType(name)
exec(text.replace(head, head + row), module.__dict__)

from crewdesk.errors import BadInput
from crewdesk.job.beams import beams
from crewdesk.job.beams import take
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.findable import findable
from crewdesk.job.record import Record
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.sheets import readings_form
from crewdesk.screens.piece.numbers import BoardNumber
from crewdesk.screens.piece.readings import hint_of
from tests.conftest import BEAMS, NOW, SECTION

record = Record({})
record.make(beams.new_job("Hill house", SECTION, NOW))
record.make(beams.add_beam(record, *BEAMS[0][:2], NOW))
spot, drawn = Spot("1", "A"), []
record.make(take.take_typed(record, spot, "bow", take.typed_reading(record, "bow", "1/8", NOW)))
beam = record.beam("1")
piece = beam.piece("A")
assert piece.latest("bow").value == Fraction(1, 8)
assert piece.latest("bow").instrument == "tape"
assert "bow" in piece.takes
assert "bow" not in piece._replace(traits=frozenset()).takes
assert Record(record.tables).beam("1").piece("A").latest("bow") == piece.latest("bow")
assert doubt(beam, piece, "bow") is None
wide = take.typed_reading(record, "bow", "2", NOW)
assert "bow of the board" in doubt(beam, piece, "bow", wide)
try:
    take.take_typed(record, spot, "bow", wide)
    raise AssertionError("a bow of 2 in was saved")
except BadInput:
    pass
assert hint_of(beam, beam.piece("B"), "bow", {}, record.job.step).startswith("A string")
assert any("bow of the board 1/8" in one.text for one in findable(record))
readings_form._field = lambda pages, x, y, name, wide, read: drawn.append((name, read)) or x
class Pages:
    left, right, wide = 0, 500, 500
for strip in readings_form._fields(Pages, piece, record.job.step):
    strip.draw(Pages, 0)
assert drawn == [("bow", "1/8")], drawn
"""


def test_every_row_says_how_it_is_read() -> None:
    for what, kind in READING_KINDS.items():
        assert kind.name
        assert kind.label
        assert kind.how.endswith(".")
        assert kind.instrument in readings.READ_TO
        assert what in OF_KIND[kind.piece]
        assert not kind.beside or kind.beside in NAMES
        assert bool(kind.called) == bool(kind.name_on_slope)


def test_one_more_row_is_one_more_reading() -> None:
    done = subprocess.run(
        [sys.executable, "-c", TAKEN, readings.__file__, HEAD, ROW],
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
