"""Labels: where they stand on a sheet, and what they tell of a piece seen from its back."""

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.paper.sheets.labels import LABEL_SHEETS, labels
from crewdesk.paper.sheets.pen import INCH, MM, PAPERS
from crewdesk.trade.cuts.side_board import ends_left_to_right


@pytest.mark.parametrize("paper", PAPERS)
def test_sheets_fill_their_paper_evenly(paper: str) -> None:
    """What is left over at the left and the right, and above and below, is the same, but for
    a millimetre; labels do not overlap (common practice, no source)."""
    assert len(LABEL_SHEETS[paper]) >= 4
    for sheet in LABEL_SHEETS[paper].values():
        x, y = sheet.corner(sheet.count - 1)
        assert sheet.corner(0) == (sheet.left, sheet.top)
        right, below = sheet.paper.width - x - sheet.width, sheet.paper.height - y - sheet.height
        assert right == pytest.approx(sheet.left, abs=MM)
        assert below == pytest.approx(sheet.top, abs=MM)
        assert sheet.across >= sheet.width
        assert sheet.down >= sheet.height
    usual = LABEL_SHEETS["letter"]["30"]
    assert (usual.width / INCH, usual.height / INCH) == (2.625, 1)
    assert (usual.columns, usual.rows) == (3, 10)


def test_the_back_shows_the_ends_the_other_way_round(sample) -> None:
    beam = sample.beams[0]
    made = list(labels(sample, (beam,)))
    walls = {number: f"end {number} {beam.ends[number - 1]}" for number in (1, 2)}
    for one in made:
        if one.mark in ("A", "B"):
            # From behind, what the show face has at its left is at the right.
            left, right = reversed(ends_left_to_right(one.mark))
            assert (one.left, one.right) == (walls[left], walls[right])
            assert one.up == "up, to the ceiling"
    assert [one.mark for one in made] == ["A", "B", "BOT", "CL", "CL"]
    cleats = [one.piece.partition(",")[0] for one in made[3:]]
    assert cleats == ["cleat on side A", "cleat on side B"]


def test_a_label_names_the_stage_that_comes_next(sample) -> None:
    sheet = RunSheet(sample)
    for beam in sample.beams:
        told = {one.mark: one.stage for one in labels(sample, (beam,))}
        for key, mark in (("A", "A"), ("bottom", "BOT"), ("cleats", "CL")):
            ahead = [
                stage.name
                for stage, cell in zip(sample.stages, sheet.cells(beam)[key], strict=True)
                if cell.state not in ("none", "done", "skipped")
            ]
            assert told[mark] == (f"next: {ahead[0]}" if ahead else "all done")


def test_a_begun_sheet_goes_on_where_it_was_left(sample, print_it, read_pdf) -> None:
    sheet = LABEL_SHEETS["letter"]["30"]
    count = len(list(labels(sample, sample.beams)))
    pages = read_pdf(print_it(sample, "labels", first=30))
    first = pages[0].written
    assert {one.text for one in first if one.size > 20} == {"A"}
    x, y = sheet.corner(29)
    assert all(x <= one.x <= x + sheet.width for one in first)
    assert all(one.y <= pages[0].high - y for one in first)
    assert len(pages) == 1 + -(-(count - 1) // 30)
    marks = [one for page in pages for one in page.written if one.text in ("A", "B", "BOT", "CL")]
    assert len(marks) == count
    heads = [c for page in pages for c, how in page.shapes if how == "f" and len(c) == 3]
    arrows = [c for c in heads if c[1][1] == c[2][1]]
    assert len(arrows) == len([one for one in marks if one.text != "CL"])
    assert all(c[0][1] > c[1][1] for c in arrows)  # the point is the highest
    ends = [c for c in heads if c[1][0] == c[2][0]]
    assert len(ends) == 2 * count  # one to each end of the board
    assert sum(c[0][0] < c[1][0] for c in ends) == count  # half of them point to the left


def test_a_beam_along_a_wall_has_a_cleat_on_it(now, fresh_record, print_it, read_pdf) -> None:
    record = fresh_record()
    record.make(beams.add_beam(record, "W", "Hall", now, form="wall"))
    beam = beams.find_beam(record, "Hall W")
    told = [one.piece for one in labels(record, (beam,)) if one.mark == "CL"]
    assert told == ["cleat on side A", "cleat on the wall"]
    [page] = read_pdf(print_it(record, "cuts", beams=(beam,)))
    assert "one inside the side, one on the wall" in page.texts


@pytest.mark.parametrize(
    ("form", "up"),
    [
        *((form, "up, to the ceiling") for form in ("usual", "uneven", "wall", "mitred")),
        *((form, "top edge up") for form in ("box", "mitred box")),
    ],
)
def test_only_a_side_that_meets_the_ceiling_points_to_it(form, up, now, fresh_record) -> None:
    """A box hangs free below the ceiling; the arrow of a flat board points to side A."""
    record = fresh_record()
    more = {"height_b": "12"} if form == "uneven" else {}
    record.make(beams.add_beam(record, "X", "Hall", now, form=form, **more))
    told = {one.mark: one.up for one in labels(record, (beams.find_beam(record, "Hall X"),))}
    assert told["A"] == up
    assert told["BOT"] == "arrow to side A"
    assert told.get("TOP", "arrow to side A") == "arrow to side A"
