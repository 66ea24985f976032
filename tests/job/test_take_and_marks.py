"""From what is typed to a reading, and from readings to the marks on the board."""

from fractions import Fraction as Fr
from math import radians, tan

import pytest
import shapely

from crewdesk.errors import BadInput
from crewdesk.job.beams import beams, take
from crewdesk.job.beams.readings import Reading
from crewdesk.job.cuts.marks import BottomMarks, CleatMarks, SideMarks, marks
from crewdesk.job.steps.ticks import Spot
from crewdesk.trade.cuts.section import Section

A, BOTTOM = Spot("1", "A"), Spot("1", "bottom")


@pytest.fixture
def read(record, now):
    def go(key: str, what: str, text: str, lean: str = "in", level: str = "24") -> None:
        reading = take.typed_reading(record, what, text, now, lean=lean, level=level)
        record.make(take.take(record, Spot("1", key), what, reading))

    return go


def test_a_typed_reading_keeps_what_was_written(record, now) -> None:
    reading = take.typed_reading(record, "end1", " 5/32 ", now, lean="out", level="48", who="Ada")
    assert reading == Reading(Fr(5, 32), now, "Ada", "level", "5/32", "out", Fr(48))
    assert take.typed_reading(record, "run", "3738 mm", now).instrument == "laser"
    assert take.typed_reading(record, "opening", "147", now, instrument="rule").instrument == "rule"
    # Only an end leans.
    assert take.typed_reading(record, "run", "147", now, lean="in", level="24").lean == ""


def test_in_a_job_in_millimetres_a_bare_number_is_millimetres(record, now) -> None:
    record.make(beams.change_job(record, {"step": "mm"}, now))
    # NIST SP 811, appendix B: 1 in = 25.4 mm exactly.
    assert take.typed_reading(record, "run", "254", now).value == 10
    assert take.typed_reading(record, "end1", "5", now, lean="in", level="600").level == Fr(
        6000, 254
    )


def test_what_makes_no_reading_is_refused(record, now, refusing) -> None:
    for what, text, more, why in (
        ("run", "", {}, "Type a length, for example 12'"),
        ("run", "12 5", {}, "can be read in more than one way. Type"),
        ("end1", "1/8", {"lean": "in"}, "Type a length, for example 12'"),
        ("end1", "1/8", {"level": "24"}, "Type in (toward the beam at the top)"),
        ("end2", "30", {"lean": "in", "level": "24"}, "Measure the gap at the level's end"),
    ):
        with pytest.raises(BadInput) as caught:
            take.typed_reading(record, what, text, now, **more)
        assert why in str(caught.value)
    assert "There is no reading depth" in refusing(take.typed_reading, record, "depth", "1", now)
    assert "the limit is 80" in refusing(
        take.typed_reading, record, "run", "147", now, who="x" * 81
    )
    run = take.typed_reading(record, "run", "147", now)
    assert "A bottom has no reading" in refusing(take.take, record, BOTTOM, "run", run)
    assert "A side A has no reading depth" in refusing(take.take, record, A, "depth", run)


def test_every_reading_stays_and_the_last_counts(record, read) -> None:
    read("A", "run", "147")
    read("A", "run", "147-5/16")
    piece = record.beam("1").piece("A")
    assert [one.value for one in piece.readings["run"]] == [Fr(147), Fr("147.3125")]
    assert piece.latest("run").value == Fr("147.3125")
    assert piece.asked_for == ("end1", "end2")
    assert record.beam("1").piece("cleats").asked_for == ()


def test_a_side_has_its_cut_once_all_three_are_read(record, read) -> None:
    read("A", "run", "147")
    read("A", "end1", "1/2", "in", "48")
    assert marks(record.beam("1"), record.beam("1").piece("A")).cut is None
    read("A", "end2", "1/4", "out", "24")
    side = marks(record.beam("1"), record.beam("1").piece("A"))
    assert isinstance(side, SideMarks)
    # By hand: 10 in high; 1/2 over 48 is 5/48 in of offset, 1/4 over 24 is 5/48 the other way.
    assert (side.height, side.cleat_line) == (Fr(10), Fr(1))
    assert (side.cut.end1.offset, side.cut.end2.offset) == (Fr(5, 48), Fr(-5, 48))
    assert (side.cut.bottom_length, side.cut.top_length) == (Fr(147), Fr(147))
    # Shapely's box around the drawn board is the least square-ended blank.
    board = shapely.Polygon([(0, 0), (147, 0), (147 + 5 / 48, 10), (5 / 48, 10)])
    left, _, right, _ = board.bounds
    assert float(side.cut.blank) == pytest.approx(right - left, abs=1e-12)


def test_a_cut_is_seen_before_anything_is_saved(record, read, now) -> None:
    read("A", "run", "147")
    read("A", "end1", "0")
    typed = {"end2": take.typed_reading(record, "end2", "1/4", now, lean="in", level="24")}
    piece = record.beam("1").piece("A")
    before = marks(record.beam("1"), piece)
    shown = marks(record.beam("1"), piece, typed)
    assert before.cut is None
    assert shown.cut.end2.offset == Fr(10, 96)
    assert marks(record.beam("1"), piece) == before
    # What is typed for one piece is not taken for another.
    assert marks(record.beam("1"), record.beam("1").piece("B"), typed).cut is None
    # What is typed goes before what was read.
    again = marks(record.beam("1"), piece, typed | {"run": Reading(Fr(100), now)})
    assert again.cut.bottom_length == 100


def test_a_bottom_board(record, read) -> None:
    beam = record.beam("1")
    bottom = marks(beam, beam.piece("bottom"))
    assert isinstance(bottom, BottomMarks)
    # By hand: 8 over all less two sides of 3/4; the relief of common practice, 15 degrees.
    assert (bottom.width, bottom.flat, bottom.bevel, bottom.length) == (
        Fr("6.5"),
        Fr(1, 4),
        Fr(15),
        None,
    )
    assert float(bottom.back_width) == pytest.approx(6.5 - 2 * 0.5 * tan(radians(15)), abs=1e-12)
    read("bottom", "opening", "147")
    # Common practice, no source: 1/32 in under, never over.
    assert marks(record.beam("1"), record.beam("1").piece("bottom")).length == Fr(4703, 32)


def test_a_cleat_is_known_once_its_side_is_measured_and_stays_inside_it(record, read) -> None:
    """Side B: 148 in at the bottom, its wall at end 1 in by 3/16 over 24: at the cleat's top
    edge, 1 3/4 in up, that is 7/512. The back bevel takes 3/4 x tan(5 degrees)."""
    read("B", "run", "148")
    read("B", "end1", "3/16", lean="in", level="24")
    cleats = marks(record.beam("1"), record.beam("1").piece("cleats"))
    assert isinstance(cleats, CleatMarks)
    assert (cleats.line, cleats.lengths) == (1, (None, None))
    read("B", "end2", "3/16", lean="out", level="24")
    cleats = marks(record.beam("1"), record.beam("1").piece("cleats"))
    assert isinstance(cleats, CleatMarks)
    on_b = cleats.cleats[1]
    bevel = 0.75 * tan(radians(5)) + 1 / 16
    assert cleats.lengths[0] is None
    assert on_b.start == pytest.approx(1.75 / 128 + bevel)
    assert on_b.length == pytest.approx(148 + 1 / 128 - 1.75 / 128 - 2 * bevel)


def test_a_beam_of_its_own_section(record, now, read) -> None:
    own = Section(Fr(6), Fr(9), bottom_thickness=Fr(1), reveal=Fr(3, 8))
    record.make(beams.change_beam(record, "1", {"section": own}, now))
    assert marks(record.beam("1"), record.beam("1").piece("cleats")).line == Fr(11, 8)
    assert marks(record.beam("2"), record.beam("2").piece("cleats")).line == 1
