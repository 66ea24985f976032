"""What was read for one shape of a beam is doubted once the beam has another one."""

import json
from datetime import timedelta
from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.ceiling import doubtful_ceiling
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.beams.missing import Heights
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.beams.readings import CeilingRead, Reading
from crewdesk.job.cuts.answer_cut import cut_again, keep_cut
from crewdesk.job.cuts.scribing import scribe_of
from crewdesk.job.record import Record
from crewdesk.job.sync.exchange import from_document, to_document
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.trade.read_length import read_length
from tests.job.test_cut_figures import BOTTOM, A, B, Work
from tests.job.test_merge import Side, bring

SLOPED = {"ceiling": "sloped", "pitch": "5/12"}
LEVEL_LINE = (("0", "14", "13 3/4"), ("60", "14 1/4", "13 1/2"), ("120", "14 1/8", "13 3/4"))


@pytest.fixture
def work(record, now):
    return Work(record, now)


def change(work, **fields) -> str:
    return work.make(beams.change_beam(work.record, "1", fields, work.now()))


def wide(work, width: str) -> str:
    section = work.record.beam("1").section._replace(width=read_length(width))
    return change(work, section=section)


def doubted(work, key: str, what: str = "run") -> str:
    beam = work.record.beam("1")
    return doubt(beam, beam.piece(key), what) or ""


def runs(work, a: str = "120", b: str = "120") -> None:
    for side, run in ((A, a), (B, b)):
        work.read(side, "run", run)
        work.read(side, "end1", "0", "in")
        work.read(side, "end2", "0", "in")


def ripped(work) -> None:
    for step in ("rip-side", "ease", "sand", "cleat-line", "tape", "scrape"):
        work.tick(step, A, B)


def unsaid(record) -> Record:
    """The job as an older version exported it, without its history: nothing says what its
    readings were taken for."""
    doc = to_document(record.tables, [])
    text = json.dumps(doc)
    doc = json.loads(text)
    doc.pop("history", None)
    for beam in doc["beams"].values():
        for piece in beam["pieces"].values():
            for taken in piece.get("readings", {}).values():
                for one in taken:
                    one.pop("for", None)
        for one in beam.get("pair", {}).get("ceiling", []):
            one.pop("for", None)
    return Record(from_document(doc)[0])


# A ceiling of the other kind.


def test_a_level_run_is_doubted_along_a_slope_and_the_change_says_so(work) -> None:
    """120 level at 5/12 is 130 along it: 5, 12, 13."""
    runs(work)
    ripped(work)
    assert work.state(A, "cut-side") == "ready"
    told = change(work, **SLOPED)
    assert told.startswith(
        "Great room Ridge: its sides' lengths were measured for a flat ceiling. Measure "
        "them again along the slope."
    )
    assert doubted(work, "A") == (
        "Great room Ridge side A: its length wall to wall was measured for a flat ceiling. "
        "Measure it again along the slope."
    )
    assert work.gate(A, "cut-side") == doubted(work, "A")
    assert work.state(B, "cut-side") == "not ready"
    lines = cut_list("hill", work.record).lines
    assert sum("Measure it again along the slope." in one for one in lines) == 2
    # Read along the slope it counts, and does not have to agree with the level one.
    work.read(A, "run", "130")
    assert doubted(work, "A") == ""
    assert work.state(A, "cut-side") == "ready"
    assert doubted(work, "B")
    work.read(B, "run", "130")
    assert doubted(work, "B") == ""


def test_a_second_reading_alike_confirms_it(work) -> None:
    runs(work)
    change(work, **SLOPED)
    work.read(A, "run", "120")
    assert doubted(work, "A") == ""


def test_a_run_along_a_slope_is_doubted_under_a_flat_ceiling(work) -> None:
    change(work, **SLOPED)
    runs(work, "130", "130")
    told = change(work, ceiling="flat", pitch="")
    assert told == (
        "Great room Ridge: its sides' lengths were measured for a sloped ceiling. "
        "Measure them again level."
    )
    assert "Measure it again level." in doubted(work, "A")


def test_changed_back_it_holds_again(work) -> None:
    runs(work)
    change(work, **SLOPED)
    assert doubted(work, "A")
    change(work, ceiling="flat", pitch="")
    assert doubted(work, "A") == ""


def test_undone_nothing_is_doubted(job, now) -> None:
    work = Work(job.record, now)
    typed = take.typed_reading(job.record, "run", "120", work.now())
    job.make(take.take(job.record, A, "run", typed))
    before = json.dumps(job.record.tables["beams"]["1"], sort_keys=True)
    job.make(beams.change_beam(job.record, "1", SLOPED, work.now()))
    assert doubted(work, "A")
    job.undo(work.now())
    assert doubted(work, "A") == ""
    assert json.dumps(job.record.tables["beams"]["1"], sort_keys=True) == before


def test_without_a_history_nothing_is_known_until_the_change(work) -> None:
    """What an older version wrote says nothing; a change made here says what it was before."""
    runs(work)
    work.ceiling(LEVEL_LINE)
    change(work, **SLOPED)
    assert doubted(work, "A")
    came = Work(unsaid(work.record), work.now())
    assert doubted(came, "A") == ""
    assert doubtful_ceiling(came.record.beam("1")) is None
    change(came, ceiling="flat", pitch="")
    assert "for a sloped ceiling" in doubted(came, "A")
    assert "for a sloped ceiling" in (doubtful_ceiling(came.record.beam("1")) or "")


def test_what_it_was_read_for_goes_out_and_comes_in(work) -> None:
    runs(work)
    work.ceiling(LEVEL_LINE)
    change(work, **SLOPED)
    doc = json.loads(json.dumps(to_document(work.record.tables, [])))
    reading = doc["beams"]["1"]["pieces"]["A"]["readings"]["run"][0]
    line = {"below": "ceiling", "A": "10", "B": "10", "reveal": "1/4"}
    assert reading["for"] == {"ceiling": "flat", "width": "8", "over": "AB", "line": line}
    assert "for" not in doc["beams"]["1"]["pieces"]["A"]["readings"]["end1"][0]
    came = Work(Record(from_document(doc)[0]), work.now())
    assert doubted(came, "A") == doubted(work, "A") != ""
    assert Reading.from_doc(reading).to_doc() == reading
    heights = doc["beams"]["1"]["pair"]["ceiling"][0]
    assert CeilingRead.from_doc(heights).to_doc() == heights


FLAT_8 = {"ceiling": "flat", "width": "8"}


@pytest.mark.parametrize(
    "bad",
    [
        "flat",
        {"ceiling": "flat"},
        {"ceiling": 3, "width": "8"},
        {**FLAT_8, "line": "low"},
        {**FLAT_8, "line": {"below": "ceiling", "A": "10", "B": "10"}},
        {**FLAT_8, "line": {"below": 3, "A": "10", "B": "10", "reveal": "0"}},
        {**FLAT_8, "line": {"below": "ceiling", "A": "low", "B": "10", "reveal": "0"}},
    ],
)
def test_what_makes_no_sense_is_refused(work, refusing, bad) -> None:
    doc = {"value": "120", "when": work.now().isoformat(), "for": bad}
    assert refusing(Reading.alone, doc)


def test_merged_with_a_reading_of_a_machine_that_did_not_know_it_is_doubted(
    record, copied, now
) -> None:
    """It says what it was taken for itself, so it doesn't matter which came first."""
    for first in ("change", "reading"):
        changed, read = Side(record, copied), Side(record, copied)
        days = {"change": (0, 1), "reading": (1, 0)}[first]
        at = [now + timedelta(days=one) for one in days]
        changed.make(beams.change_beam(changed.record, "1", SLOPED, at[0]))
        typed = take.typed_reading(read.record, "run", "120", at[1])
        read.make(take.take(read.record, A, "run", typed))
        for mine, theirs in ((changed, read), (read, changed)):
            _, made = bring(mine, theirs, copied)
            assert made.beam("1").ceiling == "sloped"
            assert "for a flat ceiling" in doubted(Work(made, now), "A")


def test_the_heights_off_a_level_line_are_read_again(work) -> None:
    runs(work)
    work.ceiling((("0", "14", "14"), ("60", "14 1/4", "14"), ("120", "14 1/8", "14")))
    told = change(work, **SLOPED)
    beam = work.record.beam("1")
    said = (
        "The heights over Great room Ridge were measured for a flat ceiling. Measure "
        "them again off a laser line parallel to the slope."
    )
    assert doubtful_ceiling(beam) == said
    assert said in told
    assert any(said in one for one in cut_list("hill", work.record).lines)
    scribe = cut_list("hill", work.record).values["beams"][0]["scribe"]
    assert scribe["cautions"].count(said) == 1
    # They are asked for again one by one, and none of the old ones fills up a new reading.
    heights = Heights()
    assert heights.height(beam, Fr(0), "A") is None
    assert heights.places_over(beam) == (Fr(0), Fr(60), Fr(120))
    assert not heights.with_height(beam, Fr(0), "A", Fr(10)).whole(beam)
    work.ceiling((("0", "10", "10"), ("60", "10 1/4", "10"), ("120", "10 1/8", "10")))
    assert doubtful_ceiling(work.record.beam("1")) is None


# Another width.


def test_a_run_read_for_another_width_is_doubted_between_walls_out_of_square(work) -> None:
    """3/4 in 24 at end 1: side B is 1/4 shorter at 8 in, so at 12 in it is another length."""
    runs(work, "120", "119 3/4")
    ripped(work)
    assert work.state(B, "cut-side") == "ready"
    told = wide(work, "12")
    assert told.startswith(
        "Great room Ridge: its sides' lengths were measured for a beam 8 in wide, and "
        "the walls are out of square or not known to be square. Measure them again at 12 in."
    )
    assert "Measure it again." in work.gate(B, "cut-side")
    work.read(A, "run", "120 1/16")
    work.read(B, "run", "119 11/16")
    assert doubted(work, "A") == doubted(work, "B") == ""
    assert work.state(B, "cut-side") == "ready"


def test_a_run_alone_says_nothing_of_the_walls(work) -> None:
    work.read(A, "run", "120")
    wide(work, "12")
    assert "not known to be square" in doubted(work, "A")


def test_between_square_walls_the_width_makes_no_difference(work) -> None:
    runs(work)
    assert wide(work, "12") == ""
    assert doubted(work, "A") == ""


def test_squares_held_square_make_a_run_hold_too(work) -> None:
    work.read(A, "run", "120")
    squares = tuple(TypedSquare(end, "0", "24", "") for end in (1, 2))
    work.make(read_squares(work.record, "1", squares, work.now()))
    wide(work, "12")
    assert doubted(work, "A") == ""


def test_an_eighth_more_width_is_no_other_length(work) -> None:
    """1/4 over 8 in is 1/32 an inch, so 1/8 in of width makes 1/256 in: nothing that is read."""
    runs(work, "120", "119 3/4")
    assert wide(work, "8 1/8") == ""
    assert doubted(work, "A") == ""


def test_other_fields_leave_the_readings_alone(work) -> None:
    runs(work, "120", "119 3/4")
    before = work.record.tables["beams"]["1"]["pieces"]["A"]["readings"]["run"]
    assert change(work, note="by the stairs", rough=Fr(121)) == ""
    tall = work.record.beam("1").section._replace(height=Fr(12))
    change(work, section=tall)
    assert doubted(work, "A") == ""
    assert work.record.tables["beams"]["1"]["pieces"]["A"]["readings"]["run"] == before


def test_a_bottom_read_for_another_width_is_doubted_too(work) -> None:
    runs(work, "120", "119 3/4")
    work.read(BOTTOM, "opening", "119 31/32")
    wide(work, "12")
    assert "for a beam 8 in wide" in doubted(work, "bottom", "opening")


# One side alone under the ceiling.


def test_along_a_wall_only_the_heights_over_the_side_that_is_there_count(work) -> None:
    """Over A the ceiling is 14 to 14 1/4, so the setting is 1/4 and the margin of 1/16 or more;
    13 1/2 over B makes it 3/4 and a margin."""
    work.ceiling(LEVEL_LINE)
    both = scribe_of(work.record.beam("1")).setting
    change(work, form="wall")
    beam = work.record.beam("1")
    over_a = scribe_of(beam)
    assert both - over_a.setting == Fr(1, 2)
    # The same as where it is typed, over A alone.
    typed = tuple(one._replace(height_b=one.height_a) for one in beam.pair.ceiling.stations)
    assert scribe_of(beam, typed) == over_a
    sheet = cut_list("hill", work.record)
    json_setting = sheet.values["beams"][0]["scribe"]["setting"]["exact"]
    assert Fr(json_setting) == over_a.setting
    assert {one.side for one in over_a.marks if one.gap < 0} == set()


def test_a_ceiling_read_over_one_side_is_read_over_the_other_one_too(work) -> None:
    change(work, form="wall")
    rows = [(at, a, a) for at, a, _ in LEVEL_LINE]
    work.ceiling(rows)
    told = change(work, form="usual")
    said = (
        "The ceiling over Great room Ridge hasn't been measured over side B. Measure it there too."
    )
    assert told == said == doubtful_ceiling(work.record.beam("1"))
    heights, beam = Heights(), work.record.beam("1")
    assert heights.height(beam, Fr(0), "A") == 14
    assert heights.height(beam, Fr(0), "B") is None
    work.ceiling(LEVEL_LINE)
    assert doubtful_ceiling(work.record.beam("1")) is None


# Another height, between walls out of plumb.


def leaning(work, *, out: bool = False) -> None:
    """Both walls come in, or go out, by 1/2 in 24: each inch down makes a run 1/24 longer."""
    for side in (A, B):
        work.read(side, "run", "120")
        for end in ("end1", "end2"):
            work.read(side, end, "1/2", "out" if out else "in")


def high(work, **fields) -> str:
    return change(work, section=work.record.beam("1").section._replace(**fields))


@pytest.mark.parametrize("out", [False, True])
def test_a_run_read_at_another_height_is_doubted_between_walls_out_of_plumb(work, out) -> None:
    """4 in higher, 2 x 4 / 48 is 1/6 in of another length."""
    leaning(work, out=out)
    told = high(work, height=Fr(6))
    assert told == (
        "Great room Ridge: its sides' lengths were measured 10 in below the ceiling, and the walls "
        "are out of plumb or not known to be plumb. Measure them again 6 in below the ceiling."
    )
    assert doubted(work, "A") == (
        "Great room Ridge side A: its length wall to wall was measured 10 in below the ceiling. It "
        "is 6 in below the ceiling now, and the walls are out of plumb or not known to be plumb. "
        "Measure it again."
    )
    ripped(work)
    assert work.gate(B, "cut-side") == doubted(work, "B")
    work.read(A, "run", "119 27/32")
    assert doubted(work, "A") == ""


def test_walls_that_lean_alike_or_not_at_all_leave_a_run_as_it_is(work) -> None:
    """One in and one out by the same: the beam is the same length at every height."""
    leaning(work)
    for side in (A, B):
        for _ in range(2):
            work.read(side, "end2", "1/2", "out")
    assert high(work, height=Fr(6)) == ""
    # 1/32 in 24 makes 1/768 in an inch: 11 in are less than 1/64 in of length, 13 in more.
    for side in (A, B):
        for _ in range(2):
            work.read(side, "end2", "15/32", "out")
    assert high(work, height=Fr(21)) == ""
    assert high(work, height=Fr(23)) != ""


def test_a_height_changed_before_the_walls_are_read_is_doubted_until_they_are_plumb(work) -> None:
    work.read(A, "run", "120")
    assert "not known to be plumb" in high(work, height=Fr(6))
    for end in ("end1", "end2"):
        assert doubted(work, "A")
        work.read(A, end, "0", "in")
    assert doubted(work, "A") == ""


def test_a_drop_that_is_asked_for_moves_nothing_and_hides_no_other_height(work) -> None:
    """It is the least that may be left: the sides hang as low as they are wide, less the scribe.
    2 in more is 1/12 in of length, so sides cut to the old one jam where the walls go out."""
    leaning(work, out=True)
    assert change(work, drop="8") == ""
    assert doubted(work, "A") == ""
    told = high(work, height=Fr(12))
    assert "were measured 10 in below the ceiling" in told
    assert "It is 12 in below the ceiling now" in doubted(work, "A")
    ripped(work)
    assert work.gate(A, "cut-side") == doubted(work, "A")


def test_a_box_and_a_ridge_hang_on_another_line(work) -> None:
    leaning(work)
    # A scribe takes up to an inch off, and a box is not scribed: 1/24 in.
    assert "Measure them again 10 in below the box's top" in change(work, form="box")
    change(work, form="usual")
    assert doubted(work, "A") == ""
    change(work, form="ridge", pitch="6/12")
    assert "10 in below the ceiling. It is 10 in below the ridge now" in doubted(work, "A")
    for side in (A, B):
        for _ in range(2):
            work.read(side, "run", "120 1/4")
    told = change(work, height_b="12")
    assert doubted(work, "A") == ""
    assert "10 in below the ridge. It is 12 in below the ridge now" in doubted(work, "B")
    assert "Measure them again 12 in below the ridge" in told


def test_a_bottom_read_for_another_reveal_is_doubted(work) -> None:
    """Read with the sides up and no cleat line marked: 3/4 in higher, 1/32 in shorter."""
    leaning(work)
    work.read(BOTTOM, "opening", "120")
    told = high(work, reveal=Fr(1))
    assert told == (
        "Great room Ridge: its bottom's length was measured at a reveal of 1/4 in, and the walls "
        "are out of plumb or not known to be plumb. Measure it again at a reveal of 1 in."
    )
    assert "was measured at a reveal of 1/4 in" in doubted(work, "BOTTOM".lower(), "opening")
    assert doubted(work, "A") == ""


def test_sides_kept_as_ripped_hang_where_they_did(work) -> None:
    """Only when one is ripped again do the bottom edges hang higher: both, for they are level."""
    leaning(work)
    ripped(work)
    assert "side A was ripped to 10 in wide" in high(work, height=Fr(6))
    work.make(keep_cut(work.record, A, "rip-side", "as drawn", work.now()))
    assert doubted(work, "A") == ""
    told = work.make(cut_again(work.record, B, "rip-side", work.now()))
    assert "Measure them again 6 in below the ceiling" in told
    assert doubted(work, "A")
    assert doubted(work, "B")


def test_a_wider_side_hangs_level_with_the_narrower_one_that_was_kept(work) -> None:
    """Side A stays 10 in wide, and its top meets the ceiling: side B's bottom edge hangs no lower,
    so its length is that of 10 in below the ceiling, not of 14."""
    leaning(work)
    ripped(work)
    high(work, height=Fr(14))
    work.make(keep_cut(work.record, A, "rip-side", "as drawn", work.now()))
    work.make(cut_again(work.record, B, "rip-side", work.now()))
    assert doubted(work, "A") == doubted(work, "B") == ""


def test_what_an_older_version_kept_without_its_line_is_taken_for_read_as_it_is(work) -> None:
    leaning(work)
    doc = json.loads(json.dumps(to_document(work.record.tables, [])))
    doc.pop("history", None)
    for key in "AB":
        for one in doc["beams"]["1"]["pieces"][key]["readings"]["run"]:
            del one["for"]["line"]
    came = Work(Record(from_document(doc)[0]), work.now())
    assert doubted(came, "A") == ""
    high(came, height=Fr(6))
    assert "was measured 10 in below the ceiling" in doubted(came, "A")


@pytest.mark.parametrize("first", ["ceiling", "lengths"])
def test_under_a_step_either_sides_width_moves_both_bottom_edges(work, first) -> None:
    """The ceiling is 3 in higher over side B, which is 13 in wide: both bottom edges hang 10 in
    below it over side A. 12 in wide, side B pulls both up by 1 in, and 1/2 in 24 at both walls
    makes 1/24 in of another length."""
    change(work, form="uneven", height_b="13")
    step = (("0", "14", "17"), ("60", "14", "17"), ("120", "14", "17"))
    if first == "ceiling":
        work.ceiling(step)
    leaning(work)
    if first == "lengths":
        work.ceiling(step)
    was = scribe_of(work.record.beam("1")).lowest_drop
    told = change(work, height_b="12")
    now = scribe_of(work.record.beam("1"))
    assert now.lowest_drop == was - 1
    assert "were measured 13 in below the ceiling over side B" in told
    for side in "AB":
        assert "It is 12 in below the ceiling over side B now" in doubted(work, side)
    change(work, height_b="13")
    assert doubted(work, "A") == doubted(work, "B") == ""
    assert "10 in below the ceiling over side A" in high(work, height=Fr(9))
    assert doubted(work, "B")


def test_a_line_that_an_older_version_kept_under_a_step_is_side_as_alone(work) -> None:
    change(work, form="uneven", height_b="13")
    leaning(work)
    readings = work.record.tables["beams"]["1"]["pieces"]["B"]["readings"]["run"]
    assert readings[0]["for"]["line"]["B"] == "13"
    readings[0]["for"]["line"]["B"] = "10"
    work.record.forget([("beams", "1")])
    assert doubted(work, "B") == ""
