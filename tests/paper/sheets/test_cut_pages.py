"""The cut list on paper says what `crewdesk cutlist --json` says, and draws it to scale."""

import io
import json
import re
from datetime import timedelta
from fractions import Fraction
from typing import Any

import pytest
from pypdf import PdfReader

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.record import Record
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.sheets.pen import TYPE
from crewdesk.paper.text.cutlist import cut_list, piece_report
from crewdesk.trade.cuts.section import Section

LENGTH = re.compile(r"(?<![\w/])(?:\d+ )?\d+(?:/\d+)?[+-]? in\b")
PIECES = {"A": "Side A", "B": "Side B", "bottom": "Bottom", "top": "Top", "cleats": "Cleats"}


def wanted(piece: dict[str, Any]) -> set[str]:
    """The lengths of a piece's marks, but for its flat, which stands in a sentence."""
    values = [one["value"] for one in piece["marks"]["list"] if one["id"] != "edges"]
    shown = {value["shown"] for value in values if value and "shown" in value}
    return {"1/32 in" if one == "0+" else f"{one} in" for one in shown}


def remarks(record: Record, beam: dict[str, Any], piece: dict[str, Any]) -> list[str]:
    """What stands below a piece's marks in the cut list as text."""
    one = beams.find_beam(record, f"{beam['room']} {beam['name']}")
    told = piece_report(record, one, one.piece(piece["piece"])).remarks
    texts = [" ".join(line.removeprefix("! ").split()) for line in told]
    assert len([t for t in texts if "not measured" in t]) == len(piece["missing"])
    noted = (*piece["overrides"], *piece["blocked"], *piece["skipped"])
    assert all(any(note["reason"] in text for text in texts) for note in noted)
    return texts


def test_every_figure_is_that_of_the_cut_list(sample: Record, print_it) -> None:
    told = cut_list("tamarack-bend", sample).values["beams"]
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(print_it(sample, "cuts"))).pages]
    text = "\n".join(page.partition("licensed professional.\n")[2] for page in pages)
    read = 0
    for beam, after in zip(told, [*told[1:], None], strict=True):
        title = f"{beam['room']} {beam['name']}\n"
        rest = text[text.index(title) :]
        if after:
            rest = rest[: rest.index(f"\n{after['room']} {after['name']}\n")]
        names = [PIECES[one["piece"]] for one in beam["pieces"]]
        starts = [rest.index(f"\n{name} ") for name in names]
        for piece, start, stop in zip(beam["pieces"], starts, [*starts[1:], None], strict=True):
            said = " ".join(rest[start:stop].split())
            assert all(one in said for one in remarks(sample, beam, piece))
            marks = re.sub(r"relief bevel.*?left flat", "", said)
            for one in remarks(sample, beam, piece):
                marks = marks.replace(one, "")
            assert set(LENGTH.findall(marks)) == wanted(piece), (title, piece["piece"])
            read += len(wanted(piece))
            for end in ("end1", "end2"):
                if (one := piece["marks"].get(end)) is not None:
                    where = f"{one['seen_at']}, end {end[-1]}: {one['wall']}"
                    assert where in marks
                    if one["offset"]["exact"] != "0":
                        assert f"{abs(one['angle_deg']):.2f}\u00b0" in marks
    assert read > 100


def boards(page) -> list[list[tuple[float, float]]]:
    """The boards' faces: the filled shapes that are wider than any section."""
    filled = [corners for corners, how in page.shapes if how == "B"]
    return [one for one in filled if max(x for x, _ in one) - min(x for x, _ in one) > 200]


def test_faces_are_drawn_in_proportion(sample: Record, whole) -> None:
    page = whole[0]
    told = cut_list("x", sample, "Great room 1").values["beams"][0]["pieces"]
    side_a, side_b, bottom = boards(page)
    scales = []
    for face, piece in ((side_a, told[0]), (side_b, told[1])):
        marks = piece["marks"]
        (x1, y1), (x2, _), (x3, y3), (x4, _) = face
        exact = {key: float(Fraction(marks[key]["exact"])) for key in ("bottom_length", "height")}
        scales.append(((x2 - x1) / exact["bottom_length"], (y3 - y1) / exact["height"]))
        [times] = {int(m) for m in re.findall(r"offsets (\d+) x", " ".join(page.texts))}
        left, right = ("end1", "end2") if marks["end1"]["seen_at"] == "left" else ("end2", "end1")
        for offset, drawn in ((left, x4 - x1), (right, x2 - x3)):
            true = float(Fraction(marks[offset]["offset"]["exact"]))
            assert drawn / scales[-1][0] == pytest.approx(times * true, abs=0.02 / scales[-1][0])
    assert scales[0] == pytest.approx(scales[1], rel=1e-3)
    # Told is the scale to which it is drawn: points of 1/72 in to the inch.
    along, up = (round(72 / one) for one in scales[0])
    assert scales[0] == pytest.approx((72 / along, 72 / up), rel=1e-3)
    told_scale = f"length 1 : {along}, width 1 : {up}, offsets {times} x"
    assert [one.shade for one in page.written if one.text == told_scale] == [0, 0]
    length = float(Fraction(told[2]["marks"]["edge_a"]["exact"]))
    wide = max(x for x, _ in bottom) - min(x for x, _ in bottom)
    assert wide / length == pytest.approx(scales[0][0], rel=1e-3)
    high = max(y for _, y in bottom) - min(y for _, y in bottom)
    up = 72 * float(Fraction(told[2]["marks"]["width"]["exact"])) / high
    assert up == pytest.approx(round(up), rel=1e-3)
    assert f"length 1 : {along}, width 1 : {round(up)}" in page.texts
    section, *_ = (c for c, how in page.shapes if how == "B" and len(c) == 6)
    wide = max(x for x, _ in section) - min(x for x, _ in section)
    scale = 72 * float(Fraction(told[2]["marks"]["width"]["exact"])) / wide
    assert scale == pytest.approx(round(scale), rel=1e-3)
    words = f"section, show face down, to scale 1 : {round(scale)}"
    assert [one.shade for one in page.written if one.text == words] == [0]


def test_marks_can_be_read_at_arms_length(whole) -> None:
    """16 minutes of arc are the least, 20 are better: ISO 9241-3, and NUREG-0700 rev. 2,
    1.3.1-4, height = 6.283 x distance x minutes / 21600 (both seen). A capital of Helvetica
    is 718/1000 of its size (its published AFM); arm's length as 700 mm is from memory."""
    least, better = (6.283 * 700 / 25.4 * minutes / 21600 * 72 / 0.718 for minutes in (16, 20))
    assert least <= TYPE.word
    assert better <= TYPE.mark
    for page in whole[:10]:
        for one in page.written:
            if LENGTH.fullmatch(one.text):
                assert one.size >= 13, one
    page = whole[0]
    assert {one.size for one in page.written if LENGTH.fullmatch(one.text)} == {17}


def job_of(count: int, now, **more: object) -> Record:
    record = Record({})
    record.make(beams.new_job("Long Hall", Section(Fraction(8), Fraction(10)), now))
    for number in range(1, count + 1):
        record.make(beams.add_beam(record, f"B{number:03}", "Hall", now, **more))
    return record


def streams(data: bytes) -> list[bytes]:
    """The pages' drawings, in which a core font's texts stand as they are."""
    return [page.get_contents().get_data() for page in PdfReader(io.BytesIO(data)).pages]


def test_no_beam_of_two_hundred_is_split(now, print_it) -> None:
    record = job_of(200, now)
    pages = streams(print_it(record, "cuts"))
    assert len(pages) <= 200
    seen = 0
    for page in pages:
        starts = [m.start() for m in re.finditer(rb"\(Hall B\d{3}\) Tj", page)]
        for start, stop in zip(starts, [*starts[1:], len(page)], strict=True):
            names = (b"(Side A) Tj", b"(Side B) Tj", b"(Bottom) Tj", b"(Cleats) Tj")
            assert all(name in page[start:stop] for name in names)
        assert page.count(b"(Side A) Tj") == len(starts)
        seen += len(starts)
    assert seen == 200


def test_a_beam_with_more_notes_than_a_page_holds_stays_whole(now, print_it, read_pdf) -> None:
    record = job_of(2, now, ends=("wall " * 15, "w" * 80))
    reasons: list[tuple[int, str]] = []
    for key in ("A", "B"):
        for what, text in (("run", "15' 2 3/16"), ("end1", "5/32"), ("end2", "1/16")):
            reading = take.typed_reading(record, what, text, now, lean="in", level="24")
            record.make(take.take(record, Spot("1", key), what, reading))
        for at, step in enumerate(record.stages.steps_of("side")):
            when = now + timedelta(minutes=at)
            reasons.append((at, key))
            reason = f"reason {at} of {key} " + "knots and more knots " * 60
            record.make(ticks.set_aside(record, Spot("1", key), step.id, "skipped", reason, when))
    pages = read_pdf(print_it(record, "cuts"))
    first = " ".join(pages[0].texts)
    for name in PIECES.values():
        assert (name in pages[0].texts) == (name != "Top")
    assert "Hall B001" in first
    assert "more: see What was noted, behind the cut list" in first
    # Nothing is lost: all of each reason stands behind the cut list.
    behind = " ".join(" ".join(page.texts) for page in pages[2:])
    assert behind.count("knots and more knots") == 60 * len(reasons)
    assert all(f"reason {at} of {key} " in behind for at, key in reasons)


def test_advice_is_wrapped_and_never_cut_off(now, print_it, read_pdf) -> None:
    """Where there is no room for every note, a reason that was typed is cut; what to do about a
    reading that doesn't fit the others stands whole on the beam's own page."""
    record = job_of(1, now)
    for key in ("A", "B"):
        for what, text in (("run", "120"), ("end1", "0"), ("end2", "0")):
            reading = take.typed_reading(record, what, text, now, lean="in", level="24")
            record.make(take.take(record, Spot("1", key), what, reading))
        for at, step in enumerate(record.stages.steps_of("side")):
            when = now + timedelta(minutes=at)
            reason = "knots and more knots " * 60
            record.make(ticks.set_aside(record, Spot("1", key), step.id, "skipped", reason, when))
    opening = take.typed_reading(record, "opening", "119-1/4", now)
    record.make(take.take(record, Spot("1", "bottom"), "opening", opening))
    first = " ".join(read_pdf(print_it(record, "cuts"))[0].texts)
    assert "..." in first
    advice = doubt(record.beam("1"), record.beam("1").piece("bottom"), "opening")
    assert len(advice) > 120
    assert "Measure it again" in advice
    assert advice in first


def test_json_and_paper_agree_on_millimetres(now, print_it, read_pdf) -> None:
    record = job_of(1, now)
    record.make(beams.change_job(record, {"step": "mm"}, now))
    for what, text in (("run", "3738 mm"), ("end1", "4 mm"), ("end2", "0")):
        reading = take.typed_reading(record, what, text, now, lean="out", level="600 mm")
        record.make(take.take(record, Spot("1", "A"), what, reading))
    [page] = read_pdf(print_it(record, "cuts"))
    marks = cut_list("x", record).values["beams"][0]["pieces"][0]["marks"]
    assert marks["bottom_length"]["shown"] == "3738 mm"
    for one in (marks[k]["shown"] for k in ("bottom_length", "top_length", "blank", "height")):
        assert one in page.texts
    assert json.dumps(marks)
    assert "square" in page.texts


def test_a_splice_is_drawn_where_it_is(sample: Record, print_it, read_pdf) -> None:
    board = {
        "species": "Oak", "size": "1x12", "thickness": "3/4", "width": "45/4", "length": "192",
        "price": "1.00", "state": "cut", "first": "rip",
    }  # fmt: skip
    job = {**sample.tables["job"]["1"], "cutting": {"splices": "scarf"}}
    boards = {
        str(part): {**board, "pieces": [["1", key, part, 2, "0", long, near, str(int(near) + 5)]
                                        for key, near in (("A", "0"), ("B", "6"))]}
        for part, long in ((1, "603/8"), (2, "1107/8"))
    }  # fmt: skip
    record = Record({"job": {"1": job}, "beams": sample.tables["beams"], "boards": boards})
    plain, spliced = (
        read_pdf(print_it(one, "cuts"))[0] for one in (Record(dict(sample.tables)), record)
    )
    lines = [s for s, _ in spliced.shapes if len(s) == 2 and s not in [t for t, _ in plain.shapes]]
    leaning = [s for s in lines if abs(abs(s[0][0] - s[1][0]) - 6) < 0.01]
    # The lap of 3/4 in lies half on either side: 75 of 213 in from end 1, which side A has at
    # its left and side B at its right.
    assert len(leaning) == 2
    at_a, at_b = ((a[0] + b[0]) / 2 for a, b in leaning)
    assert at_a < spliced.wide / 2 < at_b
    boards_drawn = [s for s, how in plain.shapes if len(s) >= 4 and how == "B"]
    wide = max(max(x for x, _ in s) - min(x for x, _ in s) for s in boards_drawn)
    assert abs((at_b - at_a) - wide * (1 - 2 * 75 / 213)) < 6
