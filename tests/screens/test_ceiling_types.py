"""The ceiling's page of each type of beam: off which line it is read, and over which sides."""

import pytest
from textual.widgets import Input

from crewdesk.job import beams
from crewdesk.screens.ceiling import CeilingPage, StationRow
from tests.pictures.run_sheet import screen_text


async def page_text(app, page: CeilingPage, pilot) -> str:
    app.push_screen(page)
    await pilot.pause()
    return " ".join(screen_text(app).split())


async def test_a_sloped_beam_is_read_off_a_line_parallel_to_the_slope(start_app, job, now) -> None:
    change = {"ceiling": "sloped", "pitch": "6/12"}
    job.make(beams.change_beam(job.record, "1", change, now))
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        text = await page_text(app, CeilingPage("1"), pilot)
        assert "Laser line parallel to the slope; read up square to it, over each side" in text
        assert "Laser level" not in text
        app.pop_screen()
        assert "Laser level at any height" in await page_text(app, CeilingPage("2"), pilot)


@pytest.mark.parametrize("typed", [("0", "14", "60", "14-1/4", "120", "14-1/2")])
async def test_a_beam_along_a_wall_has_one_height_a_station(start_app, job, now, typed) -> None:
    job.make(beams.add_beam(job.record, "w", "Hall", now, form="wall"))
    row = job.record.beams[-1].row
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        page = CeilingPage(row)
        text = await page_text(app, page, pilot)
        assert "read up over side A, from end 1 on" in text
        assert "over B" not in text
        assert [len(one.query(Input)) for one in page.query(StationRow)] == [2] * 5
        for field, value in zip(page.query(Input), typed, strict=False):
            field.value = value
        await pilot.press("ctrl+s")
        assert app.record.beam(row).pair.ceiling is not None
        read = [(one.height_a, one.height_b) for one in app.record.beam(row).pair.ceiling.stations]
        assert [a == b for a, b in read] == [True] * 3
