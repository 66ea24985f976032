"""The run sheet's cursor is where the hands were last, and stays in sight."""

from crewdesk.job.beams import beams
from crewdesk.job.beams.piece import Spot
from crewdesk.screens.parts.sheet import Question
from crewdesk.screens.piece.one_number import OneNumberPage
from crewdesk.screens.run_sheet.run_sheet import RunSheetPage
from tests.pictures.run_sheet import screen_text


def sheet(app) -> RunSheetPage:
    assert isinstance(app.screen, RunSheetPage)
    return app.screen


async def test_it_goes_along_to_the_next_beam_and_the_next_piece(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        first = sheet(app).grid.spot
        await pilot.press("g", "pagedown")
        await pilot.pause()
        page = app.screen
        assert isinstance(page, OneNumberPage)
        assert page.spot.beam != first.beam
        await pilot.press("escape")
        assert sheet(app).grid.spot == page.spot
        await pilot.press("enter", "pagedown", "escape")
        await pilot.pause()
        assert sheet(app).grid.spot == Spot(page.spot.beam, "B")


async def test_it_stays_in_sight_where_the_lines_below_grow(start_app, job, now) -> None:
    """A cut that waits for an answer adds a line to the signs under the grid."""
    for number in range(8):
        job.make(beams.add_beam(job.record, f"n{number}", "Hall", now))
    last = job.record.beams[-1].row
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("ctrl+end", "ctrl+home", *["down"] * 13)
        grid = sheet(app).grid
        await pilot.resize_terminal(80, 22)
        await pilot.pause()
        top = grid.scroll_offset.y
        assert top <= grid.row < top + grid.size.height
        assert last in {line.beam for line in grid.lines}


async def test_a_new_beam_begins_as_the_one_under_the_cursor(start_app, job, now) -> None:
    change = {"ceiling": "sloped", "pitch": "5/12"}
    job.make(beams.add_beam(job.record, "L", "Loft", now, **change))
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=(80, 40)) as pilot:
        await pilot.pause()
        await pilot.press("ctrl+home", "a")
        await pilot.pause()
        assert isinstance(app.screen, Question)
        shown = screen_text(app)
        assert "Great room" in shown
        assert "5/12" not in shown.replace("6/12 or", "")


async def test_a_page_that_can_t_come_over_a_question_says_so(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("a", "f7")
        assert app.last_told == "Answer or leave the question first."
