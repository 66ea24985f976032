"""What lists say of beams: a type that a list can't take, what is missing of a piece."""

from datetime import timedelta

from textual.widgets import Static

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.missing import DOUBTFUL, missing
from crewdesk.job.beams.piece import Spot
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import marks
from crewdesk.length import DEFAULT_STEP
from crewdesk.screens.run_sheet.beam_list import BeamList
from crewdesk.screens.run_sheet.whole_job import _told


async def test_a_type_in_the_list_is_answered_by_the_key_that_sets_it(start_app, hill) -> None:
    app = start_app(hill)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        page = BeamList(DEFAULT_STEP)
        app.push_screen(page)
        await pilot.pause()
        page.query_one("TextArea").text = "Great room: 1 sloped beam"
        await pilot.pause()
        told = str(page.query_one("#told", Static).content)
        assert "leave out sloped" in told
        assert told.endswith("Its key there is e.")
        page.query_one("TextArea").text = "\n".join(f"Room {n}: 1 beam" for n in "abcde")
        await pilot.pause()
        assert "5 beams in all; 1 more line." in str(page.query_one("#told", Static).content)


def test_a_piece_is_named_once_in_what_is_missing(record, now) -> None:
    for text, key in (("147", "A"), ("174", "B")):
        one = take.typed_reading(record, "run", text, now)
        record.make(take.take(record, Spot("1", key), "run", one))
    one = take.typed_reading(record, "end1", "8", now + timedelta(hours=1), lean="in", level="24")
    record.make(take.take(record, Spot("1", "B"), "end1", one))
    doubtful = [_told(record, one) for one in missing(record) if one.sort == DOUBTFUL]
    assert doubtful
    assert all(told.count("side B") == 1 for told in doubtful if "gap" in told)


def test_a_mitered_sides_width_names_its_face(record, now) -> None:
    record.make(beams.add_beam(record, "m", "Hall", now, form="mitred"))
    beam = record.beams[-1]
    found = {one.id: one for one in mark_list(marks(beam, beam.piece("A")), "A")}
    assert found["height"].at == "at the show face"
