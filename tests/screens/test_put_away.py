"""The list of jobs: one key puts a job away, one removes it, one shows what is out of the list."""

from textual.widgets import OptionList

from crewdesk.screens.find import Wanted
from crewdesk.screens.parts.lines import Lines
from crewdesk.screens.run_sheet.jobs import JobsPage
from crewdesk.screens.run_sheet.run_sheet import RunSheetPage
from crewdesk.store.put_away import set_put_away


def listed(app) -> str:
    options = app.screen.query_one(OptionList)
    return "\n".join(str(one.prompt) for one in options.options) if options.display else ""


async def test_a_job_is_put_away_shown_and_brought_back(start_app, hill: str) -> None:
    app = start_app()
    async with app.run_test(size=(90, 30)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, JobsPage)
        assert "Hill house" in listed(app)
        await pilot.press("x")
        await pilot.pause()
        assert "Hill house" not in listed(app)
        assert "1 job put away: v" in listed(app)
        assert "is put away; v shows it" in app.told
        await pilot.press("v")
        await pilot.pause()
        assert "put away" in listed(app).splitlines()[0]
        # It opens as ever, and is found.
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, RunSheetPage)
        await pilot.press("escape")
        await pilot.pause()
        await pilot.press("x")
        await pilot.pause()
        assert "put away" not in listed(app)
        assert "Hill house" in listed(app)


async def test_a_job_is_removed_after_a_question_and_brought_back(
    start_app, hill: str, desk
) -> None:
    app = start_app()
    async with app.run_test(size=(90, 30)) as pilot:
        await pilot.pause()
        await pilot.press("delete")
        await pilot.pause()
        assert not isinstance(app.screen, JobsPage)
        await pilot.press("escape")
        await pilot.pause()
        assert desk.ids() == [hill]
        await pilot.press("delete")
        await pilot.pause()
        await pilot.press("1")
        await pilot.pause()
        assert desk.ids() == []
        assert "is removed" in app.told
        await pilot.press("v")
        await pilot.pause()
        assert "removed" in listed(app)
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("1")
        await pilot.pause()
        assert desk.ids() == [hill]
        assert "Hill house" in listed(app)


async def test_a_job_whose_clock_runs_stays(start_app, hill: str, desk, now) -> None:
    from crewdesk.job.time import clock

    job = desk.open(hill)
    job.make(clock.start(job.record, "rip", now))
    job.close(now)
    app = start_app()
    async with app.run_test(size=(90, 30)) as pilot:
        await pilot.pause()
        await pilot.press("escape") if not isinstance(app.screen, JobsPage) else None
        await pilot.press("x")
        await pilot.pause()
        assert "Stop it first" in app.told
        assert "Hill house" in listed(app)


async def test_find_knows_a_job_put_away_and_how_one_is_removed(
    start_app, hill: str, desk, now
) -> None:
    set_put_away(desk, hill, now, away=True)
    app = start_app()
    async with app.run_test(size=(90, 30)) as pilot:
        await pilot.pause()
        await pilot.press("ctrl+f")
        for text, found in (("delete job", "Remove"), ("hill house", "Hill house")):
            app.screen.query_one(Wanted).value = text
            await pilot.pause(0.5)
            lines = app.screen.query_one(Lines)
            told = ["".join(part for part, _ in row.parts).strip() for row in lines.rows]
            assert any(line.startswith(found) for line in told), told
