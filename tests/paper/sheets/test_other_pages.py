"""Batches, the form for readings, the builder's progress and the cautions on paper."""

from datetime import date
from fractions import Fraction

import pytest

from crewdesk.errors import NotAllowed
from crewdesk.job.beams import beams
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.record import Record
from crewdesk.job.steps.cautions import DECORATIVE, cautions
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.length import DEFAULT_STEP, show_length
from crewdesk.paper.sheets.batch_pages import NOTHING_READY
from crewdesk.paper.sheets.parts import Printing, paper_named
from crewdesk.paper.text.settings_text import setting_parts, setting_told
from crewdesk.trade.cuts.section import Section


def of_part(pages, head: str):
    return [page for page in pages if page.texts[0].startswith(head)]


def joined(pages) -> str:
    return " ".join(" ".join(page.texts) for page in pages)


def boxes(page):
    """The boxes to tick, and how many of them are ticked: four corners, three points."""
    squares = [
        c for c, how in page.shapes
        if how == "S" and len(c) == 4 and c[1][0] - c[0][0] > 8
        if c[1][0] - c[0][0] == pytest.approx(c[0][1] - c[2][1], abs=0.02)
    ]  # fmt: skip
    ticks = [c for c, how in page.shapes if how == "S" and len(c) == 3]
    return squares, ticks


def test_every_ready_piece_has_a_box_under_its_machines_setting(sample, whole) -> None:
    batches = RunSheet(sample).batches()
    pages = of_part(whole, "Batches: ")
    assert len(pages) >= len({batch.stage.id for batch in batches})
    text = joined(pages)
    settings = [batch_settings(sample, b.step.id, b.spots) for b in batches]
    rows = sum(len(group.spots) for one in settings for group in one.groups)
    assert sum(len(boxes(page)[0]) for page in pages) == rows
    assert rows > sum(len(b.spots) for b in batches)  # a bottom's rip takes two cuts
    assert not any(boxes(page)[1] for page in pages)
    for batch in batches:
        assert f" {batch.step.name} " in text
        for group in batch_settings(sample, batch.step.id, batch.spots).groups:
            for part, figure in setting_parts(group.setting, sample.job.step, group.signs):
                assert f" {part} {figure} " in text
            for note in group.notes:
                assert note.removeprefix("! ") in text
            for spot in group.spots:
                assert f" {sample.beam(spot.beam).label} " in text
    assert "the cleat line is marked when it is turned" in text
    assert (
        "+ is a little more, - less. For a miter saw that tilts left (Business settings)." in text
    )
    for stage in {batch.stage.id: batch.stage for batch in batches}.values():
        of_stage = joined(of_part(whole, f"Batches: {stage.name}"))
        assert f"Cautions: {stage.name}" in of_stage
        assert "fastening that must carry weight" in of_stage


def test_a_tilt_that_follows_from_a_slope_is_rounded() -> None:
    told = setting_told("table saw", (("blade tilt", Fraction(36.86989764584402)),), DEFAULT_STEP)
    assert told == "table saw: blade tilt 36.87\u00b0"
    half = setting_told("table saw", (("blade tilt", Fraction(45, 2)),), DEFAULT_STEP)
    assert half == "table saw: blade tilt 22.50\u00b0"


def test_a_long_group_goes_on_under_its_setting(now, fresh_record, print_it, read_pdf) -> None:
    record = fresh_record()
    for number in range(60):
        record.make(beams.add_beam(record, f"B{number}", "Hall", now))
    pages = of_part(read_pdf(print_it(record, "batches")), "Batches: Rip")
    assert len(pages) > 5
    # Two sides and a bottom that takes two cuts, and its cleats: five boxes a beam.
    assert sum(len(boxes(page)[0]) for page in pages) == 5 * len(record.beams)
    for page in pages:
        if boxes(page)[0]:
            assert any(text.startswith("fence") for text in page.texts)
    assert "Rip to width, continued" in joined(pages[1:])
    for number in range(60):
        both = [page for page in pages if f"Hall B{number}" in page.texts]
        assert len(both) <= 4  # once for its sides and its cleats, twice for its bottom


def test_where_nothing_is_ready_it_says_so(sample, print_it, read_pdf) -> None:
    [page] = read_pdf(print_it(sample, "batches", batches=()))
    assert NOTHING_READY in page.texts


def test_the_form_shows_what_was_read_and_leaves_the_rest_free(sample, whole) -> None:
    pages = of_part(whole, "Readings")
    assert len(pages) == len(sample.beams)
    for page, beam in zip(pages, sample.beams, strict=True):
        assert beam.label in page.texts
        squares, ticked = boxes(page)
        assert len(squares) == 12  # in or out at two ends of two sides; A or B at two walls
        leans = [
            one for p in beam.pieces.values() for e in ("end1", "end2") if (one := p.latest(e))
        ]
        askew = [s for n in (1, 2) if (s := beam.pair.square(n)) and s.reading.gap]
        assert len(ticked) == sum(1 for one in leans if one.value) + len(askew)
        for piece in beam.pieces.values():
            for taken in piece.readings.values():
                assert show_length(taken[-1].value) in page.texts
        for station in beam.pair.ceiling.stations if beam.pair.ceiling else ():
            assert {show_length(station.height_a), show_length(station.height_b)} <= set(page.texts)
    study = next(page for page in pages if "Study 2" in page.texts)
    assert not any(character.isdigit() for text in study.texts[5:-1] for character in text
                   if "end" not in text and text not in ("1st", "2nd", "1/4", "3/4"))  # fmt: skip


def test_the_builder_sees_what_was_done_that_day(sample, whole, print_it, read_pdf) -> None:
    sheet = RunSheet(sample)
    text = joined(of_part(whole, "Progress"))
    total = sheet.total()
    assert f"{total.behind} of {total.steps} steps are done or skipped" in text
    for stage, of in zip(sample.stages, sheet.totals(), strict=True):
        assert f" {stage.name} {of.behind} of {of.steps} " in text
    assert "board cupped 1/4 in across; a new one comes on Friday" in text
    assert "nothing was checked off on this day" in text
    bars = [c for page in of_part(whole, "Progress") for c, how in page.shapes if how == "f"]
    wide = [max(x for x, _ in c) - min(x for x, _ in c) for c in bars]
    first, second, *_ = sheet.totals()
    assert wide[0] / wide[1] == pytest.approx(
        Fraction(first.behind, first.steps) / Fraction(second.behind, second.steps), rel=1e-3
    )
    monday = joined(read_pdf(print_it(sample, "progress", day=date(2026, 3, 2))))
    ticked = [
        mark
        for beam in sample.beams
        for piece in beam.pieces.values()
        for mark in piece.steps.values()
        if mark.state == "done" and mark.when.date() == date(2026, 3, 2)
    ]
    assert ticked
    assert "Done on Monday, Mar 2, 2026" in monday
    assert "Mar 6, 2026" in monday  # the day it was printed, as all else on it stands
    assert "Rip to width: Great room 1 side A, side B" in monday


def test_every_stages_cautions_are_printed_with_their_sources(sample, whole) -> None:
    text = joined(of_part(whole, "Cautions"))
    assert DECORATIVE.text in text
    for stage in sample.stages:
        for one in cautions(stage.id):
            assert one.text in text
            assert one.source in text


def test_what_can_not_be_printed_is_told_in_one_sentence(now, sample, print_it, refusing) -> None:
    day = date(2026, 3, 6)
    assert "no part saw" in refusing(Printing, day, parts=("saw",))
    assert "by themselves" in refusing(Printing, day, parts=("labels", "cuts"))
    assert "1 to 30, not with 31" in refusing(Printing, day, parts=("labels",), first=31)
    assert "letter, A4" in refusing(paper_named, "A3")
    empty = Record({})
    empty.make(beams.new_job("Empty", Section(Fraction(8), Fraction(10)), now))
    with pytest.raises(NotAllowed, match=r"no beam in this job. Add"):
        print_it(empty)


def test_the_form_says_to_hold_the_square_level_on_a_slope(print_it, read_pdf, record, now) -> None:
    flat = " ".join(joined(read_pdf(print_it(record, "readings"))).split())
    assert "square along the beam's line" in flat
    for row in [beam.row for beam in record.beams]:
        record.make(beams.change_beam(record, row, {"ceiling": "sloped", "pitch": "6/12"}, now))
    assert {beam.ceiling for beam in record.beams} == {"sloped"}
    sloped = " ".join(joined(read_pdf(print_it(record, "readings"))).split())
    assert "square held level, not along the slope; gap at the leg's far end" in sloped
    assert "Stock along a level line plumb below the beam's line" in sloped
    assert "square along the beam's line" not in sloped


def test_what_is_printed_without_a_name_is_what_is_still_to_do(
    sample, whole, print_it, read_pdf
) -> None:
    pages = read_pdf(print_it(sample))
    assert len(pages) <= len(whole) / 2
    text = joined(pages)
    # A beam that is done, and a board that is cut, is one checked line.
    assert "Dining room 1: done" in text
    assert "side A: cut, bottom edge 212 5/32 in" in text
    # What is ready is there whole, and each caution once.
    for batch in RunSheet(sample).batches():
        assert f"{batch.stage.name}: {batch.step.name}" in text
    for stage in sample.stages:
        for one in cautions(stage.id):
            assert text.count(one.text) == 1
    # A form only for beams with something to measure.
    forms = joined(of_part(pages, "Readings"))
    assert "Great room 1" not in forms
    assert "Great room 4" in forms
