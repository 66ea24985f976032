"""What holds for every job, and what is true of one; each asked for and kept."""

from textual.widgets import Static

from crewdesk.screens.ask import Ask
from crewdesk.screens.job_form import ask_job
from crewdesk.screens.lines import Lines
from crewdesk.screens.shop import ShopPage
from crewdesk.store.desk import Desk


async def answer(pilot, app, **lines: str) -> str:
    for key, text in lines.items():
        app.screen.query_one(f"#line-{key}").value = text
    await pilot.press("ctrl+s")
    await pilot.pause()
    if not isinstance(app.screen, Ask):
        return ""
    return str(app.screen.query_one(".wrong", Static).content)


async def test_the_shop_from_anywhere(start_app, desk: Desk, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("f7", "f7")
        await pilot.pause()
        assert [type(one) for one in app.screen_stack].count(ShopPage) == 1
        lines = app.screen.query_one(Lines)
        await pilot.press("enter")
        await pilot.pause()
        assert await answer(pilot, app, who="  Ada   Quill ") == ""
        lines.go_to("level")
        await pilot.press("enter")
        await pilot.pause()
        assert "not" in await answer(pilot, app, level="a stick")
        assert "more than zero" in await answer(pilot, app, level="0")
        assert await answer(pilot, app, level="6'") == ""
        lines.go_to("step")
        await pilot.press("enter", "1")
        await pilot.pause()
        lines.go_to("theme")
        await pilot.press("enter", "1")
        await pilot.pause()
        assert app.theme == "daylight"
        shop = desk.shop.shop()
        assert (shop.who, shop.level, shop.step, shop.theme) == (
            "Ada Quill",
            "6'",
            "1/16",
            "daylight",
        )
        await pilot.press("escape", "f2", "f7")
        await pilot.pause()
        assert not any(isinstance(one, ShopPage) for one in app.screen_stack)


async def test_about_this_job(start_app, hill: str, kept) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        ask_job(app)
        await pilot.pause()
        assert "needs a name" in await answer(pilot, app, name=" ")
        assert "can be shown to 1/16" in await answer(pilot, app, name="Hill house", step="1/10")
        assert "no time zone" in await answer(pilot, app, step="mm", zone="Here/There")
        assert await answer(pilot, app, zone="America/Denver", notes="key at the gate") == ""
        job = kept(hill).job
        assert (job.name, job.step.name, job.zone, job.notes) == (
            "Hill house",
            "mm",
            "America/Denver",
            "key at the gate",
        )
        ask_job(app)
        await pilot.pause()
        assert await answer(pilot, app) == ""
        assert "changed what is true of the job" in app.told
