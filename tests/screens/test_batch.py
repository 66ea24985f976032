"""A batch on the screen: pieces that take several cuts are checked off under their last."""

import re

from textual.widgets import OptionList

from crewdesk.job.beams import take
from crewdesk.job.beams.piece import Spot
from crewdesk.job.steps.run_sheet import Batch, RunSheet
from crewdesk.screens.run_sheet.batch import BatchSheet
from tests.pictures.run_sheet import screen_text


def words(app) -> str:
    """What the screen shows, its lines and frames taken away."""
    return " ".join(re.sub("[^ -~]", " ", screen_text(app)).split())


async def test_a_pass_that_finishes_nothing_checks_nothing_off(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("b", "2")
        sheet = app.screen
        assert isinstance(sheet, BatchSheet)
        shown = screen_text(app)
        assert "Pass 1: square rip to width" in shown
        # 6.366 in, as in tests/trade/cuts/test_saw_passes.py, to the nearest 1/32.
        assert "blade tilt 15°, fence at the table 6 3/8- in" in shown
        assert "Fence right of the blade. Back down" in shown
        assert "+ is a little more, - less. For a table saw that tilts left (F7)." in words(app)
        assert "checked off now, later." in words(app)
        await pilot.press("enter")
        assert "Nothing was checked off: these boards take another cut after this" in words(app)
        assert "Check them off under group 2." in words(app)
        assert not any(one.piece("bottom").steps for one in app.record.beams)
        options = sheet.query_one(OptionList)
        while not sheet._here[0].finished:
            await pilot.press("down")
        assert options.highlighted is not None
        await pilot.press("enter")
        assert all(one.piece("bottom").steps for one in app.record.beams)


async def test_the_batch_is_set_on_the_shops_saw(start_app, hill: str, desk, now) -> None:
    desk.shop.change(now, saw_tilt="right")
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("b", "2")
        assert "Fence left of the blade. Back down" in screen_text(app)


async def test_what_has_no_setting_says_why(start_app, job, now) -> None:
    spot = Spot("1", "bottom")
    for what, text in (("opening", "147"), ("edge_b", "147-1/4")):
        job.make(take.take(job.record, spot, what, take.typed_reading(job.record, what, text, now)))
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        stage = next(one for one in app.record.stages if one.id == "nail")
        step = next(one for one in stage.steps if one.id == "cut-bottom")
        app.push_screen(BatchSheet(RunSheet(app.record), Batch(stage, step, (spot,))))
        await pilot.pause()
        assert "read the square at each wall" in words(app)
