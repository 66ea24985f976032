"""The ceiling's page of each type of beam: off which line it is read, and over which sides."""

from fractions import Fraction as Fr
from itertools import zip_longest

import pytest
from textual.widgets import Input, Static

from crewdesk.job.beams import beams
from crewdesk.job.cuts.scribing import read_ceiling
from crewdesk.screens.piece.ceiling import CeilingPage, StationRow
from crewdesk.trade.cuts.ceiling import Station
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
        assert "Laser line parallel to the slope; measure up square to it, over each side" in text
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
        assert "measure up over side A, from end 1 on" in text
        assert "over B" not in text
        assert [len(one.query(Input)) for one in page.query(StationRow)] == [2] * 5
        for field, value in zip(page.query(Input), typed, strict=False):
            field.value = value
        await pilot.press("ctrl+s")
        assert app.record.beam(row).pair.ceiling is not None
        read = [(one.height_a, one.height_b) for one in app.record.beam(row).pair.ceiling.stations]
        assert [a == b for a, b in read] == [True] * 3


async def test_the_page_shows_the_ceiling_as_it_is_after_undo(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        page = CeilingPage("1")
        await app.push_screen(page)
        fields = list(page.query(Input))
        typed = ["0", "18", "18", "74", "18.25", "18", "147", "18", "18"]
        for field, text in zip_longest(fields, typed, fillvalue=""):
            field.value = text
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert app.record.beam("1").pair.ceiling is not None
        fields[1].value = "15"
        await pilot.press("ctrl+s")
        await pilot.pause()
        told = str(page.query_one("#scribe", Static).render())
        assert told.startswith(
            "! The ceiling over Great room Ridge rises 3 1/4 in between 0 and 74"
        )
        await pilot.press("ctrl+z")
        await pilot.pause()
        assert next(iter(page.query(StationRow))).typed == ("0", "18", "18")
        await pilot.press("ctrl+z")
        await pilot.pause()
        assert not any(any(row.typed[1:]) for row in page.query(StationRow))


@pytest.mark.parametrize("form", ["box", "mitred box"])
async def test_a_beam_that_was_made_a_box_after_its_ceiling_was_read_opens(
    start_app, job, now, form
) -> None:
    stations = [Station(Fr(at), Fr(14), Fr(57, 4)) for at in (0, 60, 120)]
    job.make(read_ceiling(job.record, "1", stations, now))
    job.make(beams.change_beam(job.record, "1", {"form": form}, now))
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=(100, 60)) as pilot:
        await pilot.pause()
        assert "tape's edge" in await page_text(app, CeilingPage("1"), pilot)


async def test_heights_of_another_kind_of_ceiling_are_asked_for_again(start_app, job, now) -> None:
    stations = tuple(Station(Fr(at), Fr(14), Fr(14)) for at in (0, 60, 120))
    job.make(read_ceiling(job.record, "1", stations, now))
    job.make(beams.change_beam(job.record, "1", {"ceiling": "sloped", "pitch": "6/12"}, now))
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        page = CeilingPage("1")
        await page_text(app, page, pilot)
        told = str(page.query_one("#scribe", Static).content)
        assert (
            "were measured for a flat ceiling. Measure them again off a laser line parallel" in told
        )
        rows = [[one.value for one in row.query(Input)] for row in page.query(StationRow)]
        assert rows[:3] == [["0", "", ""], ["60", "", ""], ["120", "", ""]]
        await pilot.press("ctrl+s")  # nothing is typed, so nothing is confirmed
        assert len(app.record.beam("1").pair.ceilings) == 1


async def test_a_side_that_came_to_a_beam_has_no_heights_yet(start_app, job, now) -> None:
    job.make(beams.add_beam(job.record, "w", "Hall", now, form="wall"))
    row = job.record.beams[-1].row
    stations = tuple(Station(Fr(at), Fr(14), Fr(14)) for at in (0, 60, 120))
    job.make(read_ceiling(job.record, row, stations, now))
    job.make(beams.change_beam(job.record, row, {"form": "usual"}, now))
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        page = CeilingPage(row)
        await page_text(app, page, pilot)
        rows = [[one.value for one in row.query(Input)] for row in page.query(StationRow)]
        assert rows[:3] == [["0", "14", ""], ["60", "14", ""], ["120", "14", ""]]
