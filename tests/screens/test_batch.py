"""A batch on the screen: pieces that take several cuts are checked off under their last."""

import re

from crewdesk.job.beams import take
from crewdesk.job.beams.beams import change_beam
from crewdesk.job.beams.piece import Spot
from crewdesk.job.steps.cautions import cautions
from crewdesk.job.steps.run_sheet import Batch, RunSheet
from crewdesk.screens.parts.figure import BigFigures, SettingBlock
from crewdesk.screens.parts.lines import Lines
from crewdesk.screens.parts.page import Told
from crewdesk.screens.run_sheet.batch import BatchPage
from crewdesk.screens.run_sheet.saw_drawing import SawDrawing
from crewdesk.trade.cuts.section import Section
from tests.pictures.run_sheet import screen_text


def figures(app) -> list[tuple[str, str, str]]:
    """The figures to set, each with its name and note."""
    return [tuple(one.figure) for one in app.screen.query(SettingBlock)]


def rows(app) -> list[str]:
    """The lines of the list."""
    every = app.screen.query_one(Lines).rows
    return ["".join(text for text, _ in row.parts) for row in every]


def words(app) -> str:
    """What the screen shows, its lines and frames taken away."""
    return " ".join(re.sub("[^ -~]", " ", screen_text(app)).split())


async def test_a_pass_that_finishes_nothing_checks_nothing_off(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("b", "2")
        sheet = app.screen
        assert isinstance(sheet, BatchPage)
        assert "Setting 1 of 2 · table saw · Pass 1: square rip to width" in screen_text(app)
        assert figures(app) == [("fence", "6 1/2", "in"), ("blade", "0°", "square")]
        assert "0 of 2 boards done; check off under setting 2" in screen_text(app)
        # 6.366 in, as in tests/trade/cuts/test_saw_passes.py, to the nearest 1/32.
        assert any(one.startswith(" □  2  Pass 2: relief bevel, both edges") for one in rows(app))
        await pilot.press("enter")
        await pilot.pause()
        assert "These boards take another cut: check them off under setting 2." in words(app)
        assert not any(one.piece("bottom").steps for one in app.record.beams)
        assert figures(app) == [
            ("fence at the table", "6 3/8-", "in, right of blade"),
            ("blade tilt", "15°", "leans left"),
            ("face down", "BACK", ""),
        ]
        assert "Back down, one edge, then the board turned end for end." in words(app)
        assert "+ is a little more, - less. For a table saw that tilts left (F7)." in words(app)
        # The drawing: its dimension at the table, the upper face, and its scale.
        drawn = screen_text(app)
        assert "6 3/8-" in drawn
        assert "show face" in drawn
        assert "front, 1 row = 1/4 in" in drawn
        await pilot.press("enter")
        assert all(one.piece("bottom").steps for one in app.record.beams)
        assert not isinstance(app.screen, BatchPage)
        assert app.screen.query_one(Told).has_class("saved")


async def test_the_batch_is_set_on_the_shops_saw(start_app, hill: str, desk, now) -> None:
    desk.shop.change(now, saw_tilt="right")
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("b", "2", "down", "down")
        await pilot.pause()
        assert figures(app)[:2] == [
            ("fence at the table", "6 3/8-", "in, left of blade"),
            ("blade tilt", "15°", "leans right"),
        ]


async def test_what_is_checked_off_stays_in_its_group_and_comes_back(
    start_app, hill: str, desk, now
) -> None:
    job = desk.open(hill)
    job.make(change_beam(job.record, "1", {"section": Section(8, 12)}, now))
    job.close(now)
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("b", "1")
        await pilot.pause()
        first = rows(app)
        assert "0 of 4 boards" in screen_text(app)
        assert [one[:3] for one in first if "side" in one] == [" □ "] * 2
        assert figures(app)[0] == ("fence", "12", "in")
        await pilot.press("space")
        assert "1 left out" in screen_text(app)
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, BatchPage)
        # One board of the first setting is done; the cursor went on where more is to do.
        assert "1 of 4 boards" in screen_text(app)
        assert [one[:3] for one in rows(app) if "side" in one] == [" □ "] * 2
        assert figures(app)[0] != ("fence", "12", "in")
        await pilot.press("up")
        await pilot.pause()
        assert [one[:3] for one in rows(app) if "side" in one] == [" ╌ ", " ■ "]
        assert "1 of 2 boards done, 1 left out" in screen_text(app)
        await pilot.press("ctrl+z")
        await pilot.pause()
        assert "0 of 4 boards" in screen_text(app)


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
        app.push_screen(BatchPage(RunSheet(app.record), Batch(stage, step, (spot,))))
        await pilot.pause()
        assert "read the square at each wall" in words(app)


async def test_every_figure_is_in_the_window_and_large_where_there_is_room(
    start_app, hill: str
) -> None:
    heights = {}
    for size in ((60, 20), (80, 24), (120, 40)):
        app = start_app(hill)
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            await pilot.press("b", "2", "down", "down")
            await pilot.pause()
            await pilot.pause()
            blocks = list(app.screen.query(SettingBlock))
            assert len(blocks) == 3
            for one in blocks:
                assert app.screen.region.contains_region(one.region)
            figure = app.screen.query(BigFigures)[1]
            heights[size] = (figure.size.height, figure.size.width)
            # The drawing has its scale wherever it is shown.
            drawn = app.screen.query_one(SawDrawing)
            assert drawn.display == (size != (60, 20))
            assert ("1 row = " in screen_text(app)) == drawn.display
    # Five rows are three half rows of dots, and twice as wide where there is room.
    assert [high for high, _ in heights.values()] == [3, 5, 5]
    assert heights[120, 40][1] > heights[80, 24][1]


async def test_the_cautions_of_a_stage_are_told_until_all_were_shown(start_app, hill: str) -> None:
    for size in ((80, 24), (80, 40)):
        app = start_app(hill)
        async with app.run_test(size=size) as pilot:

            async def opened(pilot=pilot, app=app) -> str:
                await pilot.press("b", "1")
                await pilot.pause()
                await pilot.pause()
                return words(app)

            await pilot.pause()
            told = await opened()
            assert "Table saw: keep blade guard" in told
            every = len(cautions("rip"))
            if size == (80, 24):
                # Some have no room: so they are told again, until all were seen.
                assert "more: press !" in told
                await pilot.press("escape")
                assert "Table saw: keep blade guard" in await opened()
                await pilot.press("exclamation_mark", "escape")
            else:
                assert told.count("! ") == every
            await pilot.press("escape")
            told = await opened()
            assert "Table saw: keep blade guard" not in told
            assert f"! {every} cautions: press !" in told
