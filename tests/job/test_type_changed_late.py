"""A type that is changed after steps were done says which of them are done too early for it."""

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.cuts.open_cuts import open_keys, told_since
from crewdesk.job.sync.contradictions import contradictions
from crewdesk.paper.text.progress import progress


@pytest.fixture
def box(record, walk, now):
    """Both beams are boxes, done up to their tops: sides cut, cleats nailed."""
    for row in ("1", "2"):
        record.make(beams.change_beam(record, row, {"form": "box"}, now))
    walk(record, record.make, "fix-top", now)
    return record


def changed(record, form: str, now) -> str:
    before = open_keys(record)
    record.make(beams.change_beam(record, "1", {"form": form}, now))
    return told_since(record, before)


def early(record) -> list[str]:
    return [one for one in contradictions(record) if "done too early" in one]


def test_the_answer_to_the_change_lists_them_and_progress_too(box, now) -> None:
    box.tables["beams"]["1"]["pieces"]["top"]["steps"] = {}  # a piece worked on can't go
    box.forget([("beams", "1")])
    told = changed(box, "usual", now)
    assert told == (
        "Great room Ridge is two sides, bottom between now, and some of its steps were done too "
        "early for that: on side A and side B 'Cut to length', 'Back-bevel the end that slides "
        "in'; on cleats 'Nail a cleat inside each side'. 'Tape the top edge' isn't "
        "done on Great room Ridge side A. Check it off first, in Tape. Progress lists them all."
    )
    assert len(early(box)) == 5
    sheet = progress("hill", box)
    at = sheet.lines.index("Done too early")
    assert [line.strip() for line in sheet.lines[at + 1 : at + 6]] == early(box)
    assert sheet.values["done_too_early"] == early(box)


def test_another_field_or_no_work_says_nothing(box, now) -> None:
    before = open_keys(box)
    box.make(beams.change_beam(box, "1", {"note": "by the stairs"}, now))
    assert told_since(box, before) == ""
    assert "Done too early" not in progress("hill", box).lines


def test_a_new_beam_says_nothing(box, now) -> None:
    before = open_keys(box)
    box.make(beams.add_beam(box, "3", "Hall", now))
    assert told_since(box, before) == ""
