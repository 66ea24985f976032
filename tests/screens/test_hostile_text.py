"""Hostile texts on the screens: every one stands there as text, and drives nothing."""

from collections.abc import Callable
from datetime import datetime

from textual import events
from textual.widgets import Input

from crewdesk.screens.parts.ask import Choose, Field, Form
from crewdesk.screens.run_sheet.run_sheet import RunSheetPage
from crewdesk.store.desk import Desk
from tests.hostile.strings import TAKEN, fill_desk
from tests.hostile.walk import shown, walk

NOW = datetime.fromisoformat("2026-03-06T08:00:00-07:00")
KEYS = ("enter", "t", "h o", "dollar_sign", "m", "f7")


async def test_each_page_of_a_job_shows_it_as_text(
    desk: Desk, start_app: Callable[..., object]
) -> None:
    id_ = fill_desk(desk, NOW)
    app = start_app()
    type(app).at = NOW
    seen, literal = set(), set()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert TAKEN[0][:34] in shown(app)
        app.open_job(id_)
        while not isinstance(app.screen, RunSheetPage):
            await pilot.pause()
        async for name in walk(app, pilot, keys=KEYS):
            text = shown(app)
            assert text.replace("\n", "").isprintable(), name
            seen.add(name)
            if any(mark in text for mark in ("[bold red]oak[/]", "[not closed", "<script>")):
                literal.add(name)
    assert {"PiecePage", "StagesPage", "HoursPage", "MoneyPage", "MaterialPage", "ShopPage"} <= seen
    assert {"PiecePage", "StagesPage", "MoneyPage", "ShopPage"} <= literal


async def test_questions_and_buttons_show_it_as_text(start_app: Callable[..., object]) -> None:
    app, pasted = start_app(), "\x1b]0;x\x07[b]\u202e\x00\u200f"
    async with app.run_test() as pilot:
        app.push_screen(Choose(TAKEN[0], [("1", TAKEN[0]), ("2", TAKEN[1])], about=TAKEN[1]))
        await pilot.pause()
        assert shown(app).count("[bold red]oak[/] [/gone] [@click=app.quit]x[/]") == 2
        assert shown(app).count("[not closed") == 2
        for sign in "\u00b2\u0664":  # digits to Python, the first none that it can count with
            app.post_message(events.Key(sign, sign))
        await pilot.pause()
        await pilot.press("1")
        app.push_screen(Form(TAKEN[0], (Field("x", TAKEN[1], TAKEN[7], TAKEN[0]),), does=TAKEN[1]))
        await pilot.pause()
        assert shown(app).replace("\n", "").isprintable()
        assert app.screen.query_one(Input).value == TAKEN[7]
        app.post_message(events.Paste(pasted))
        await pilot.pause()
        assert "?]0;x?[b]???" in shown(app)
        line = app.screen.query_one(Input)
        assert line.value.endswith(pasted)
        assert line._cursor_offset == len(line.value) + 1
