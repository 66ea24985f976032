"""Every kind of page, whatever the job holds: all within the margins, black and grey alone."""

from collections.abc import Iterator
from fractions import Fraction
from io import BytesIO

import pytest
from fpdf.fonts import CORE_FONTS_CHARWIDTHS
from pypdf import PdfReader

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.forms import FORMS
from crewdesk.job.record import Record
from crewdesk.job.steps import restage, ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.sheets.labels import LABEL_SHEETS
from crewdesk.paper.sheets.parts import PARTS
from crewdesk.paper.sheets.pen import PAPERS
from crewdesk.trade.cuts.section import Section

QUARTER = 18
"""No printer is sure to reach closer to the edge than a quarter of an inch (common practice)."""
MARKUP = "%s {nb} {0} **a** (b\\) <</T>> ) Tj ET"


@pytest.fixture(scope="module")
def forms(now) -> Record:
    """A beam of every form, read at steep walls, with long names and marks of all sorts."""
    record = Record({})
    job = beams.new_job("J" * 80, Section(Fraction(8), Fraction(10)), now, site="s " * 100)
    record.make(job)
    for form in FORMS:
        more = {"pitch": "9/12"} if form == "ridge" else {}
        more |= {"height_b": Fraction(12)} if form == "uneven" else {}
        ends = (MARKUP, "wall " * 16)
        record.make(beams.add_beam(record, form, "R " * 39, now, form=form, ends=ends, **more))
    sloped = {"ceiling": "sloped", "pitch": "12/12", "low": 1}
    record.make(beams.add_beam(record, "sloped", "Hall", now, **sloped))
    record.make(restage.rename_stage(record, "rip", "S " * 40, now))
    record.make(restage.rename_step(record, "rip-side", "step " * 16, now))
    for beam in record.beams:
        for key, piece in beam.pieces.items():
            if piece.kind == "side":
                for what, text in (("run", "10' 3 5/16"), ("end1", "6"), ("end2", "5 7/8")):
                    lean = "out" if key == "A" else "in"
                    one = take.typed_reading(record, what, text, now, lean=lean, level="24")
                    record.make(take.take(record, Spot(beam.row, key), what, one))
            if piece.kind == "bottom":
                for what, text in (("opening", "10' 3"), ("edge_b", "10' 2 1/4")):
                    one = take.typed_reading(record, what, text, now)
                    record.make(take.take(record, Spot(beam.row, key), what, one))
    return record


def ink(page) -> Iterator[tuple[float, float, object]]:
    """The outermost points of all that is on a page, each with what it belongs to."""
    for corners, _ in page.shapes:
        for x, y in corners:
            yield x, y, corners
    for one in page.written:
        widths = CORE_FONTS_CHARWIDTHS["helveticaB" if one.bold else "helvetica"]
        wide = sum(widths[letter] for letter in one.text) * one.size / 1000
        yield one.x, one.y - 0.22 * one.size, one
        yield one.x + wide, one.y + 0.75 * one.size, one


def test_all_ink_is_grey_and_within_the_margins(forms, print_it, read_pdf, whole) -> None:
    for paper, pages in (
        ("letter", whole),
        ("letter", read_pdf(print_it(forms, "cuts", "batches", "readings", "progress"))),
        (
            "A4",
            read_pdf(
                print_it(
                    forms, "cuts", "readings", "cautions", paper=PAPERS["A4"], beams=forms.beams[:3]
                )
            ),
        ),
    ):
        for page in pages:
            assert (page.wide, page.high) == pytest.approx(
                (PAPERS[paper].width, PAPERS[paper].height), abs=0.01
            )
            # ISO 32000-1, table 74: g and G are the greys; these would be colours or images.
            assert page.operators.isdisjoint({b"rg", b"RG", b"k", b"K", b"sc", b"scn", b"SCN"})
            assert page.operators.isdisjoint({b"cs", b"CS", b"Do", b"sh"})
            assert 0 in page.shades
            for x, y, what in ink(page):
                assert QUARTER <= x <= page.wide - QUARTER, what
                assert QUARTER <= y <= page.high - QUARTER, what


def test_every_label_stays_on_its_label(forms, print_it, read_pdf) -> None:
    few = forms.beams[1:3]
    for paper, sheets in LABEL_SHEETS.items():
        for sheet in sheets.values():
            pages = read_pdf(
                print_it(forms, "labels", paper=PAPERS[paper], labels=sheet, first=2, beams=few)
            )
            count = 0
            for page in pages:
                for x, y, what in ink(page):
                    column, over = divmod(x - sheet.left, sheet.across)
                    row, down = divmod(page.high - y - sheet.top, sheet.down)
                    assert 2 <= over <= sheet.width - 2, what
                    assert 2 <= down <= sheet.height - 2, what
                    assert 0 <= column < sheet.columns
                    assert 0 <= row < sheet.rows
                    assert 11 <= x <= page.wide - 11, what  # some sheets' labels go to the edge
                    assert 11 <= y <= page.high - 11, what
                    count += 1
            assert count


def test_no_text_breaks_a_page(now, print_it, read_pdf) -> None:
    names = {
        "Stra\u00dfe \u0141\u0105ka": "Stra\u00dfe \u0141\u0105ka",
        "\u0417\u0430\u043b": "\u0417\u0430\u043b",
        "\u03a3\u03b1\u03bb\u03cc\u03bd\u03b9": "\u03a3\u03b1\u03bb\u03cc\u03bd\u03b9",
        "\u6881 beam \U0001f9f1": "? beam ?",
        "\u05d7\u05d3\u05e8": "\u05d7\u05d3\u05e8",
        MARKUP: "%s {nb} {0} **a** (b\\)",
    }
    record = Record({})
    record.make(beams.new_job("\u0417\u0430\u043b", Section(Fraction(8), Fraction(10)), now))
    given = iter(names)
    for name, first, second in zip(given, given, given, strict=True):
        record.make(beams.add_beam(record, name, "Hall", now, ends=(first, second)))
    reason = "\u0161\u013e" * 9
    record.make(ticks.set_aside(record, Spot("1", "A"), "rip-side", "blocked", reason, now))
    for parts in (("cuts", "progress"), ("labels",)):
        data = print_it(record, *parts, labels=LABEL_SHEETS["letter"]["6"])
        text = "\n".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages)
        assert [shown for shown in names.values() if shown not in text] == []
    assert print_it(record)


def test_every_part_can_be_had_by_itself(record, print_it, read_pdf) -> None:
    for part, head in PARTS.items():
        if part == "yard":
            continue  # it needs a plan of boards, see test_yard_list
        pages = read_pdf(print_it(record, part))
        assert pages
        if part != "labels":
            assert all(page.texts[0].startswith(head) for page in pages)
            assert pages[-1].texts[-1] == f"{len(pages)} of {len(pages)}"
            assert any("Beams are decorative. Follow local code" in one for one in pages[0].texts)
