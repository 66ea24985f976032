"""The first start, from five questions to a job with beams; and the sample job."""

from textual.widgets import Input, Static, TextArea

from crewdesk.screens.business.lists import FormsPage
from crewdesk.screens.parts.ask import Choose, Form
from crewdesk.screens.run_sheet.beam_list import BeamList, Cell
from crewdesk.screens.run_sheet.jobs import JobsPage
from crewdesk.screens.run_sheet.run_sheet import RunSheetPage
from crewdesk.store.desk import Desk


def told_of(app) -> str:
    return str(app.screen.query_one("#told", Static).content)


def fill(app, **lines: str) -> None:
    for key, text in lines.items():
        app.screen.query_one(f"#line-{key}", Input).value = text


async def test_from_the_first_start_to_a_job_of_one_s_own(start_app, desk: Desk, kept, now) -> None:
    desk.shop.change(now, layout="large")
    app = start_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, Form)
        fill(app, who="Sam", step="cubits", hour="85")
        await pilot.press("ctrl+s")
        assert "inches or mm" in str(app.screen.query_one(".wrong", Static).content)
        # It stands in the line that is refused; Up and Down go through the lines.
        assert app.focused.id == "line-step"
        await pilot.press("up")
        assert app.focused.id == "line-who"
        await pilot.press("down")
        assert app.focused.id == "line-step"
        # A saw's blade tilts left or right: the fence of each tilted batch goes by it.
        fill(app, step="1/16", saw_tilt="up")
        await pilot.press("ctrl+s")
        assert app.focused.id == "line-saw_tilt"
        fill(app, saw_tilt="right", miter_tilt="both")
        await pilot.press("ctrl+s")
        shop = desk.shop.shop()
        assert (shop.who, shop.step, str(shop.hour)) == ("Sam", "1/16", "85.00")
        assert (shop.saw_tilt, shop.miter_tilt) == ("right", "both")

        # A form of one's own, kept for later jobs.
        await pilot.press("2")
        fill(app, name="Mill Lane")
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert isinstance(app.screen, Choose)
        await pilot.press("6")
        fill(app, width="7-1/4", height="6", name="Lounge form")
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert isinstance(app.screen, BeamList)

        # A pasted list; what can't be read is told, and nothing is begun on it.
        app.screen.query_one(TextArea).text = "Lounge: 2 beams 14'\nthe long one"
        await pilot.pause()
        assert "Line 2, the long one, can't be read." in told_of(app)
        await pilot.press("ctrl+s")
        assert isinstance(app.screen, BeamList)
        app.screen.query_one(TextArea).text = "Lounge: 2 beams 14'"
        await pilot.pause()
        assert "2 beams, 14' 0\" long" in told_of(app)

        # The same as a table, gone through with the arrows: the second row gets its room.
        await pilot.press("f3")
        await pilot.pause()
        cells = [cell.value for cell in app.screen.query(Cell)][:5]
        assert cells == ["Lounge", "2", "14' 0\"", "", ""]
        await pilot.press("down")
        for typed in ("Hall", "1", "9'", "6"):
            app.screen.focused.insert_text_at_cursor(typed)
            await pilot.press("right")
        await pilot.press("8", "left", "left", "up")
        assert [cell.value for cell in app.screen.query(Cell)].index("Hall") == 5
        assert app.screen.focused is list(app.screen.query(Cell))[3]
        assert "Hall: 1 beam, 9' 0\" long, 6 in wide, sides 8 in high" in told_of(app)
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert isinstance(app.screen, RunSheetPage)
        (id_,) = desk.ids()
        record = kept(id_)
        assert [beam.label for beam in record.beams] == ["Lounge 1", "Lounge 2", "Hall 1"]
        assert [str(beam.section.width) for beam in record.beams] == ["29/4", "29/4", "6"]
        assert (record.job.name, record.job.step.name) == ("Mill Lane", "1/16")

        # More of them, taken back at one go; the form is there for the next job.
        await pilot.press("q")
        app.screen.query_one(TextArea).text = "Den: 3 beams sloped 5/12"
        await pilot.pause()
        assert "Den: 3 beams, ceiling sloped 5/12" in told_of(app)
        await pilot.press("f3")  # as a table, which keeps the slope
        await pilot.pause()
        assert app.screen.query(Cell).first().value == "Den sloped 5/12"
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert [one.ceiling for one in kept(id_).beams][3:] == ["sloped"] * 3
        await pilot.press("ctrl+z")
        assert len(kept(id_).beams) == 3
        await pilot.press("f7", "f")
        await pilot.pause()
        assert isinstance(app.screen, FormsPage)
        await pilot.press("delete", "1")
        assert "removed beam type Lounge form" in app.told


async def test_the_sample_job_is_gone_when_one_comes_back(start_app, desk: Desk) -> None:
    app = start_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("ctrl+s", "1")
        await pilot.pause()
        assert isinstance(app.screen, RunSheetPage)
        folder = app.desk.folder
        assert folder != desk.folder
        await pilot.press("space", "escape")
        await pilot.pause()
        assert isinstance(app.screen, JobsPage)
        assert app.told == ""  # neither of the answers before nor of the job that was left
        assert (app.desk.folder, folder.exists(), desk.ids()) == (desk.folder, False, [])


async def test_who_has_data_is_asked_nothing(start_app, desk: Desk, now) -> None:
    desk.shop.change(now, who="Sam")
    app = start_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, JobsPage)
