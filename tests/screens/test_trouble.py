"""A job or a shop that can't be read: what it can be brought back from is offered."""

from pathlib import Path

import pytest
from textual.widgets import Button, Static

from crewdesk.errors import Damaged, NotSaved
from crewdesk.screens.parts.ask import Choose
from crewdesk.screens.run_sheet.run_sheet import RunSheetPage


def question(app):
    assert isinstance(app.screen, Choose)
    return " ".join(
        str(one.content if isinstance(one, Static) else one.label)
        for one in (*app.screen.query(Static), *app.screen.query(Button))
    )


async def test_a_job_whose_file_is_damaged(hill, start_app, desk) -> None:
    path = desk.path(hill)
    path.write_bytes(path.read_bytes()[:-20])
    before = path.read_bytes()
    app = start_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        # The list reads heads alone, so that it is seen when it is opened.
        await pilot.press("enter")
        told = question(app)
        assert "hill-house can't be read" in told
        assert "1  Recover it as of 2026-03-02 " in told
        assert "1: as of 2026-03-02" in told
        assert "nothing is lost" in told
        await pilot.press("escape")
        assert path.read_bytes() == before
        await pilot.press("enter", "1")
        assert app.told.startswith("hill-house is back as of 2026-03-02 07:30.")
        await pilot.press("enter")
        assert isinstance(app.screen, RunSheetPage)
    assert [one.read_bytes() for one in path.parent.glob("*.json.damaged-*")] == [before]


async def test_a_shop_that_is_damaged(hill, start_app, desk, now) -> None:
    for who in ("Ada", "Bo"):
        desk.shop.change(now, who=who)
    path = desk.shop.path
    sound, damaged = path.read_bytes(), path.read_bytes()[:-20]
    path.write_bytes(damaged)
    app = start_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "Your business can't be read" in question(app)
        # Without the shop there is no going on: it is brought back, or crewdesk is left.
        await pilot.press("1")
        assert app.told.startswith("Your business is back as of")
        assert desk.shop.shop().who == "Bo"
        # Damaged while it is used: what was last read goes on being shown, and nothing of
        # the shop is changed.
        path.write_bytes(sound[:50] + b"?" + sound[51:])
        await pilot.press("enter")
        assert isinstance(app.screen, RunSheetPage)
        for key in ("dollar_sign", "f7", "enter"):
            await pilot.press(key)
            assert not isinstance(app.screen, RunSheetPage)
            await pilot.press("escape")
        assert "shop/here.json can't be read" in app.desk.shop.trouble
        await pilot.press("f6")
        assert "shop/here.json can't be read" in app.told
        assert path.read_bytes()[50:51] == b"?"
    path.write_bytes(damaged)
    del desk.shop  # another start remembers nothing
    app = start_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "Your business can't be read" in question(app)
        await pilot.press("escape")
        await pilot.pause()
    assert app.return_code == 0
    assert path.read_bytes() == damaged


@pytest.mark.parametrize("kind", [Damaged, NotSaved])
async def test_trouble_with_a_file_that_nobody_expected_is_shown(hill, start_app, kind) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        app._handle_exception(kind(Path("data/jobs/hill.json"), "the stick is gone"))
        await pilot.pause()
        assert "the stick is gone" in app.told
        assert isinstance(app.screen, RunSheetPage)
    assert not app.return_code
