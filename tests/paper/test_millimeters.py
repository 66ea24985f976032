"""A job in millimeters: no sentence of its lists, sheets, doubts and refusals has an inch in it."""

import re
from fractions import Fraction as Fr
from io import BytesIO

import pytest
from pypdf import PdfReader

from crewdesk.errors import BadInput
from crewdesk.job.beams import beams, take
from crewdesk.job.beams.ceiling import doubtful_ceiling
from crewdesk.job.beams.chosen_cuts import own_cut
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.beams.piece import Spot
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.cuts.scribing import read_ceiling, typed_stations
from crewdesk.length import STEPS, show_length
from crewdesk.paper.sheets.parts import Printing, printed
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.dry_fit import dry_fit_sheet
from crewdesk.paper.text.progress import progress
from crewdesk.trade.cuts.bottom_cut import OVER_READING
from crewdesk.trade.cuts.section import Section

MM = STEPS["mm"]
INCH = re.compile(r"\d[+-]? in\b(?! plan)|\binch(?:es)?\b")
A, B, BOTTOM = (Spot("1", key) for key in ("A", "B", "bottom"))


def inches_in(text: str) -> list[str]:
    return [text[max(0, one.start() - 60) : one.end() + 30] for one in INCH.finditer(text)]


@pytest.fixture
def metric(record, now):
    """A beam whose readings are doubted in every way, in a job in millimeters."""
    record.make(beams.change_job(record, {"step": "mm"}, now))

    def read(spot, what, text, lean="", level="610"):
        one = take.typed_reading(record, what, text, now, lean=lean, level=level)
        record.make(take.take(record, spot, what, one))

    for spot, run in ((A, "2438"), (B, "2350")):
        read(spot, "run", run)
        read(spot, "end1", "60", "in")
        read(spot, "end2", "3", "out")
    squares = (TypedSquare(1, "12", "600", "A"), TypedSquare(2, "9", "600", "A"))
    record.make(read_squares(record, "1", squares, now))
    read(BOTTOM, "opening", "2413")
    read(BOTTOM, "edge_b", "2431")
    heights = (("0", "300", "302"), ("1200", "340", "301"), ("2400", "300", "310"))
    record.make(read_ceiling(record, "1", typed_stations(record, heights), now))
    low = Section(Fr(4), Fr(2))
    record.make(beams.add_beam(record, "low", "Hall", now, form="box", section=low))
    return record


def test_its_lists_and_its_sheets(metric, now) -> None:
    lists = (cut_list("hill", metric), dry_fit_sheet("hill", metric), progress("hill", metric))
    text = "\n".join(line for sheet in lists for line in sheet.lines)
    assert "doesn't fit the sides' readings" in text or "between the walls" in text
    assert inches_in(text) == []
    data, _ = printed(metric, Printing(now.date()), now)
    paper = " ".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages)
    assert " mm" in paper
    assert inches_in(" ".join(paper.split())) == []


def test_its_doubts(metric) -> None:
    beam = metric.beam("1")
    found = [
        one
        for spot, whats in ((A, ("run", "end1")), (B, ("run",)), (BOTTOM, ("opening", "edge_b")))
        for what in whats
        if (one := doubt(beam, beam.piece(spot.piece), what))
    ]
    found.append(doubtful_ceiling(beam))
    assert len(found) >= 4
    assert [one for one in found if " mm" not in one or inches_in(one)] == []


def test_a_doubt_in_millimeters_has_the_same_figures(metric) -> None:
    """One inch is 25.4 mm by definition (NIST SP 811, 2008, B.8)."""
    beam = metric.beam("1")
    assert "60 mm over 610 mm" in doubt(beam, beam.piece("A"), "end1")


@pytest.mark.parametrize(
    ("text", "facts", "says"),
    [
        ("A gap of {gap} in is longer.", {"gap": Fr(20) / Fr(254, 10)}, "20 mm is longer"),
        # 3.175 mm, to the next half up
        ("The instruments allow {allowed} in.", {"allowed": "1/8"}, "allow 3.5 mm"),
        ("Nothing of the top edge ({top} in).", {"top": Fr(0)}, "(0 mm)"),
    ],
)
def test_a_refusal_of_the_trade(text, facts, says) -> None:
    refusal = BadInput(text, **facts)
    assert says in refusal.shown(MM)
    assert inches_in(refusal.shown(MM)) == []
    assert inches_in(str(refusal)) != []


def test_own_lengths_over_the_reading(metric, now) -> None:
    with pytest.raises(BadInput) as refused:
        metric.make(own_cut(metric, BOTTOM, "2450", "2450", "", now))
    told = refused.value.shown(MM)
    assert "2450 mm is longer than its reading of 2413 mm" in told
    assert inches_in(told) == []


@pytest.mark.parametrize(("step", "shown"), [("1/32", "120 7/32+ in"), ("mm", "3054+ mm")])
def test_a_cut_is_shown_in_its_note_as_its_mark_is(step, shown) -> None:
    """120.2485 in is 3054.31 mm: a cut is shown rounded down."""
    over = BadInput(OVER_READING, cut=Fr("120.2485"), reading=Fr(120))
    assert f"A cut of {shown} is longer" in over.shown(STEPS[step])
    assert show_length(Fr("120.2485"), STEPS[step], way="down") in shown


def test_a_command_refuses_in_millimeters_where_the_job_shows_them(desk, now, told) -> None:
    """An inch is 25.4 mm: 25 mm by 150 mm is a section too narrow, from 3 in (76.2 mm) on."""
    job = desk.open(desk.create(beams.new_job("Metric", Section(Fr(8), Fr(10)), now, step="mm")))
    job.close(now)
    status, said = told("beams", "Metric", "Hall: 1 beam 25x150")
    assert status == 2
    assert "25 mm wide and 150 mm high. Width comes first, over the sides, from 76+ mm to" in said
    assert not inches_in(said)
    status, said = told("takeoff", "Metric", "cleat=800 in")
    assert status == 2
    assert not inches_in(said)
