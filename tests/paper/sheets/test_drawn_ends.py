"""The ends of boards as the cut sheet draws them: the right way round, with their cuts."""

import re
from fractions import Fraction

import pytest

from crewdesk.job.beams import beams, in_plan, take
from crewdesk.job.cuts.marks import marks
from crewdesk.job.record import Record
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.pdf_writer import Lettering, pdf_writer
from crewdesk.paper.sheets.boards_drawn import BoardScale, side_strip
from crewdesk.paper.sheets.pages import Pages
from crewdesk.paper.sheets.pen import PAPERS, TYPE
from crewdesk.trade.cuts.section import Section

UNKNOWN = "Measure the walls with the square to know the slant"
_WIDTHS = Lettering(pdf_writer()(unit="pt"), ()).widths(pdf_writer()(unit="pt"))


def job(
    now, squares: str, edge_b: str = "", *, lean: str = "0", run_b: str = "147", **more: str
) -> Record:
    """A beam 8 in wide, 147 in between its walls; `squares` are gap over 24 in and longer
    side at end 1 and end 2, "-" where none was read; both walls come in by `lean` over 24."""
    record = Record({})
    record.make(beams.new_job("J", Section(Fraction(8), Fraction(10)), now))
    ends = ("north wall", "south wall")
    record.make(beams.add_beam(record, "1", "Hall", now, ends=ends, **more))
    row = record.beams[0].row
    for key in ("A", "B"):
        for what, text in (("run", "147" if key == "A" else run_b), ("end1", lean), ("end2", lean)):
            one = take.typed_reading(record, what, text, now, lean="in", level="24")
            record.make(take.take(record, Spot(row, key), what, one))
    typed = tuple(
        in_plan.TypedSquare(end, read[:-1], "24", read[-1])
        for end, read in enumerate(squares.split(), 1)
        if read != "-"
    )
    if typed:
        record.make(in_plan.read_squares(record, row, typed, now))
    for what, text in (("opening", "147"), ("edge_b", edge_b)):
        if text:
            one = take.typed_reading(record, what, text, now)
            record.make(take.take(record, Spot(row, "bottom"), what, one))
    return record


def faces(page) -> list[list[tuple[float, float]]]:
    """The boards' faces: the filled shapes that are wider than any section."""
    filled = [corners for corners, how in page.shapes if how == "B"]
    return [one for one in filled if max(x for x, _ in one) - min(x for x, _ in one) > 200]


def no_text_on_another(page) -> None:
    """Texts of one line keep clear of one another, by the font's own widths."""
    boxes = sorted(
        (one.x, one.x + _WIDTHS[one.bold](one.text) * one.size / 1000, one.y, one.size, one.text)
        for one in page.written
    )
    for at, (left, right, y, size, text) in enumerate(boxes):
        for other_left, _, other_y, other_size, other in boxes[at + 1 :]:
            if abs(y - other_y) < 0.7 * min(size, other_size):
                assert other_left >= right - 0.01 or other_left < left, (text, other)


SLANTS = [
    ("1A 1B", "", 1, -1),
    ("1B 1A", "", -1, 1),
    ("1A 1A", "146.4583", 1, 1),
    ("1B 1B", "147.5417", -1, -1),
    ("1A 2A", "146.1875", 1, 2),
    ("2A 1A", "146.1875", 2, 1),
]


@pytest.mark.parametrize(("squares", "edge_b", "first", "second"), SLANTS)
def test_a_bottom_is_drawn_with_the_slants_it_is_cut_with(
    squares, edge_b, first, second, now, print_it, read_pdf
) -> None:
    """Slants of 1 or 2 in 24 over a bottom 6 1/2 in wide, edge A above; arctangents of 1/24
    and 2/24 are 2.39 and 4.76 degrees."""
    [page] = read_pdf(print_it(job(now, squares, edge_b), "cuts"))
    bottom = faces(page)[2]
    assert len(bottom) == 4
    (below_left, below_right, above_right, above_left) = bottom
    assert below_left[1] < above_left[1]
    past = below_left[0] - above_left[0], above_right[0] - below_right[0]
    [scale] = {int(m) for m in re.findall(r"length 1 : (\d+), width", " ".join(page.texts))}
    [times] = [int(m) for m in re.findall(r"slant (\d+) x", " ".join(page.texts))]
    inch = times * 72 / scale * 6.5 / 24
    assert past == pytest.approx((first * inch, second * inch), rel=0.02)
    texts = [one for one in page.texts if one.startswith("miter ")]
    for text, slant in zip(texts, (first, second), strict=True):
        assert f"miter {'2.39' if abs(slant) == 1 else '4.76'}\u00b0" in text
        assert f"edge {'A' if slant > 0 else 'B'} longer by " in text
    joints = [one for one in page.texts if one.endswith("relief, blade 15\u00b0")]
    assert len(joints) == 2
    assert UNKNOWN not in page.texts
    no_text_on_another(page)


def test_a_bottom_of_unknown_slant_is_drawn_broken_and_says_so(now, print_it, read_pdf) -> None:
    [page] = read_pdf(print_it(job(now, "- -", "146.75"), "cuts"))
    bottom = faces(page)[2]
    assert len(bottom) == 10
    left, right = min(x for x, _ in bottom), max(x for x, _ in bottom)
    ends = [[y for x, y in bottom if abs(x - at) < 0.01] for at in (left, right)]
    assert all(max(one) - min(one) > 30 for one in ends), "neither end slants"
    assert UNKNOWN in page.texts
    assert sum(one.startswith("slant not known") for one in page.texts) == 2
    assert not any("miter" in one for one in page.texts)
    assert not any(re.search(r"slant \d+ x", one) for one in page.texts)
    no_text_on_another(page)


def test_an_end_at_a_wall_that_comes_in_is_a_bevel(now, print_it, read_pdf) -> None:
    """1 in 6 is 9.46 degrees."""
    [page] = read_pdf(print_it(job(now, "0A 1A", "146.73", lean="4"), "cuts"))
    texts = " ".join(page.texts)
    assert "square across; bevel, blade 9.46\u00b0, back shorter" in texts or (
        "square across" in page.texts and "bevel, blade 9.46\u00b0, back shorter" in page.texts
    )
    no_text_on_another(page)


@pytest.mark.parametrize(("form", "edge_b"), [("box", "146.7292"), ("mitred box", "146.6667")])
def test_a_box_s_top_is_drawn_from_above(form, edge_b, now, print_it, read_pdf) -> None:
    """End 1, where A runs 1/3 in past B over 8 in, is at the right as one looks down on it."""
    record = job(now, "1A 0A", edge_b, run_b="146.6667", form=form)
    [page] = read_pdf(print_it(record, "cuts"))
    assert "OUTER FACE OF THE TOP" in page.texts
    assert page.texts.count("SHOW FACE OF THE BOTTOM") == 1
    no_text_on_another(page)
    bottom, top = faces(page)[2:]
    past = []
    for below_left, below_right, above_right, above_left in (bottom, top):
        past.append((below_left[0] - above_left[0], above_right[0] - below_right[0]))
    assert past[0] == pytest.approx((past[1][1], 0), abs=0.1)
    assert past[1] == pytest.approx((0, past[0][0]), abs=0.1)
    assert past[0][0] > 3


@pytest.mark.parametrize(
    ("form", "ceiling"), [("usual", True), ("mitred", True), ("box", False), ("mitred box", False)]
)
def test_a_box_s_top_edge_is_not_to_the_ceiling(form, ceiling, now, read_pdf) -> None:
    """It hangs free below it."""
    record = job(now, "- -", form=form)
    beam = record.beams[0]
    piece, step = beam.piece("A"), record.job.step
    made = marks(beam, piece)
    pages = Pages(PAPERS["letter"], "", (), now)
    pages.part("", "", ())
    strips = [
        side_strip(
            pages, made, made.cut, "A", beam.ends, step, BoardScale(30, 12), TYPE,
            ceiling="ceiling" in piece.traits,
        )
    ]  # fmt: skip
    pages.put(strips)
    [page] = read_pdf(pages.data())
    assert ("top edge, to the ceiling" in page.texts) == ceiling
    assert ("top edge" in page.texts) != ceiling
