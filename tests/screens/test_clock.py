"""The clock: one key starts, switches and stops; one that nobody looked after is asked about."""

from collections.abc import Callable
from datetime import datetime, timedelta
from fractions import Fraction

import pytest
from textual.widgets import Input, Label, Static

from crewdesk.job.beams import beams
from crewdesk.job.record import Record
from crewdesk.job.time import clock
from crewdesk.screens.app import CrewdeskApp
from crewdesk.screens.hours.clock import ClockSheet
from crewdesk.screens.hours.clock_watch import ClockWatch
from crewdesk.screens.parts.ask import Choose, Form
from crewdesk.screens.parts.figure import BigFigures
from crewdesk.screens.parts.lines import Lines
from crewdesk.store import record_file
from crewdesk.store.desk import Desk
from crewdesk.trade.cuts.section import Section
from tests.pictures.run_sheet import screen_text


@pytest.fixture
def other(desk: Desk, now: datetime) -> str:
    """A second job, without beams."""
    return desk.create(beams.new_job("Mill house", Section(8, 10), now))


def running_since(desk: Desk, id_: str, stage: str, at: datetime, changed: datetime) -> None:
    """A clock that an earlier run of crewdesk left, and a later change of the job."""
    job = desk.open(id_)
    job.make(clock.start(job.record, stage, at))
    job.make(beams.change_job(job.record, {"notes": f"at {changed:%H:%M}"}, changed))
    job.close(changed)


def parts(app) -> list[tuple[str, str]]:
    """What the list shows, each with its ink."""
    return [part for row in app.screen.query_one(Lines).rows for part in row.parts]


def title(app) -> str:
    return str(app.screen.query_one(Label).content)


async def test_number_starts_switches_and_s_stops(start_app, hill: str, kept) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("f2", "2")
        await pilot.pause()
        assert not isinstance(app.screen, ClockSheet)
        assert "clock started on Ease" in app.told
        assert app.clock_told() == "Ease 0:00:00"
        app.later(minutes=20)
        await pilot.press("escape")
        await pilot.pause()
        assert app.clock_told() == "Hill house: Ease 0:20:00"
        app.open_job(hill)
        await pilot.pause()
        assert not isinstance(app.screen, Choose)
        app.later(minutes=5)
        await pilot.press("f2", "4")
        await pilot.pause()
        app.later(minutes=5, seconds=7)
        assert app.clock_told() == "Tack 0:05:07"
        await pilot.press("f2", "s")
        await pilot.pause()
        assert app.clock_told() == ""
        await pilot.press("f2", "s")
        await pilot.pause()
        assert "No clock is" in app.told
    spent = [(one.stage, one.lasted(app.at)) for one in kept(hill).entries]
    assert spent == [("ease", timedelta(minutes=25)), ("tack", timedelta(minutes=5, seconds=7))]


async def test_the_stage_under_the_cursor_is_offered_first(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("right", "right", "f2")
        await pilot.pause()
        assert app.screen.query_one(Lines).key == "tape"
        await pilot.press("enter")
        await pilot.pause()
        assert app.clock_told() == "Tape 0:00:00"
        app.later(hours=1, minutes=4)
        await pilot.press("f2")
        await pilot.pause()
        assert app.screen.query_one(BigFigures).text == "1h04"
        runs = str(app.screen.query_one("#runs", Static).content)
        assert "▶ Tape" in runs
        assert "since 07:30" in runs
        assert "1h04 today, 1h04 in all" in runs
        # 64 of a day's 600 minutes, from half an hour after 7, as a stick with its hours.
        day, hours = str(app.screen.query_one("#today", Static).content).split("\n")
        begin, end = day.index("━"), day.rindex("━") + 1
        width = len(day)
        assert abs(begin - width * 30 / 600) <= 1
        assert abs(end - width * 94 / 600) <= 1
        assert hours.split()[0] == "7"
        await pilot.press("f2")
        await pilot.pause()
        assert not isinstance(app.screen, ClockSheet)


async def test_the_cursor_stands_on_what_runs_and_its_stick_goes_past_the_plan(
    start_app, hill: str, desk: Desk, now: datetime
) -> None:
    job = desk.open(hill)
    for row in "12":
        job.make(beams.change_beam(job.record, row, {"rough": Fraction(120)}, now))
    job.close(now)
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("f2")
        await pilot.pause()
        # Stopped: what Enter would start is the bright line, its row has the sign.
        assert [one.split() for one, ink in parts(app) if ink == "set"] == [["▷"]]
        assert app.screen.query_one(BigFigures).text == "0 min"
        assert "Stopped. ▷ Start Rip: Enter or 1" in screen_text(app)
        assert "stop" not in str(app.screen.query_one("#keys", Static).content)
        await pilot.press("down")
        await pilot.pause()
        assert "Stopped. ▷ Start Ease: Enter or 2" in screen_text(app)
        await pilot.press("1")
        app.later(hours=5)
        await pilot.press("right", "right", "f2")
        await pilot.pause()
        assert app.screen.query_one(Lines).key == "rip"
        assert not [one for one, ink in parts(app) if ink == "set"]
        assert "s stop" in str(app.screen.query_one("#keys", Static).content)
        [row] = [one for one in app.screen.query_one(Lines).rows if one.key == "rip"]
        drawn = "".join(text for text, _ in row.parts)
        # 20 ft and 2 beams at the default rates are 28 min of the five hours.
        assert "━┃═" in drawn.replace("━━", "━")
        assert "5h" in drawn
        assert drawn.endswith("28 min")


async def test_starting_here_stops_the_clock_of_another_job(
    start_app, hill: str, other: str, kept
) -> None:
    app = start_app(other)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("f2", "1")
        await pilot.pause()
        app.later(minutes=40)
        await pilot.press("escape")
        app.open_job(hill)
        await pilot.pause()
        assert app.clock_told() == "Mill house: Rip 0:40:00"
        await pilot.press("f2", "s")
        await pilot.pause()
        assert app.told == "Saved: Rip in Mill house was stopped."
        assert app.clock_told() == ""
        await pilot.press("escape")
        app.open_job(other)
        await pilot.pause()
        await pilot.press("ctrl+z", "escape")
        app.open_job(hill)
        await pilot.pause()
        await pilot.press("f2", "3")
        await pilot.pause()
        assert "Rip in Mill house was stopped" in app.told
        assert app.clock_told() == "Tape 0:00:00"
    (entry,) = kept(other).entries
    assert entry.lasted(app.at) == timedelta(minutes=40)
    assert not entry.running
    assert clock.running(kept(hill)) is not None


async def test_a_clock_left_in_another_job_is_asked_about_before_one_starts(
    start_app, desk: Desk, hill: str, other: str, now: datetime, kept
) -> None:
    running_since(desk, other, "tack", now, now + timedelta(minutes=50))
    app = start_app(hill, minutes=4 * 24 * 60)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("f2", "1")
        await pilot.pause()
        assert isinstance(app.screen, Choose)
        assert "Tack in Mill house has run since Mon Mar 2 07:30" in title(app)
        await pilot.press("escape")
        await pilot.pause()
        assert app.clock_told().startswith("Mill house: Tack 96:")
        await pilot.press("f2", "1")
        await pilot.pause()
        await pilot.press("2")
        await pilot.pause()
        assert app.clock_told() == "Rip 0:00:00"
    (entry,) = kept(other).entries
    assert entry.lasted(app.at) == timedelta(minutes=50)


async def test_a_job_that_another_crewdesk_is_saving_keeps_its_clock(
    start_app, desk: Desk, hill: str, other: str, now: datetime, kept, monkeypatch
) -> None:
    monkeypatch.setattr(record_file, "PATIENCE", 0.05)
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        elsewhere = desk.open(other)
        elsewhere.make(clock.start(elsewhere.record, "nail", now))
        with record_file.locked(elsewhere.path):
            await pilot.press("f2", "1")
            await pilot.pause()
        assert "open in another crewdesk" in app.told
    elsewhere.close(now)
    assert clock.running(kept(other)) is not None
    assert clock.running(kept(hill)) is None


LEFT = (
    (("1",), None),
    (("escape",), None),
    (("3", "escape", "2"), 75),
    (("3", *"8.00", "enter"), 30),
    (("3", *"45m", "enter"), 45),
)
"""What is pressed, and how many minutes of the 133 that the clock ran are then left."""


async def test_a_clock_left_running_asks_on_opening(
    start_app, desk: Desk, hill: str, now: datetime, kept
) -> None:
    running_since(desk, hill, "tack", now, now + timedelta(minutes=75))
    app = start_app(hill, minutes=133)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        for keys, minutes in LEFT:
            assert isinstance(app.screen, Choose)
            assert title(app) == (
                "The clock on Tack in Hill house has run since 07:30 "
                "(2h13), also while crewdesk was closed."
            )
            await pilot.press(*keys)
            await pilot.pause()
            assert not isinstance(app.screen, Form | Choose)
            (entry,) = kept(hill).entries
            if minutes is None:
                assert entry.running
            else:
                assert entry.lasted(app.at) == timedelta(minutes=minutes)
                await pilot.press("ctrl+z")
            app.clocks = ClockWatch(app, app.saving.doubt)  # as a new run of crewdesk would have it
            app.clocks.opened()
            await pilot.pause()
        await pilot.press("3")
        for typed, says in (("9pm", "isn't between them"), ("soon", "isn't a time")):
            app.screen.query_one(Input).value = typed
            await pilot.press("enter")
            await pilot.pause()
            assert says in str(app.screen.query_one(".wrong", Static).content)
    assert clock.running(kept(hill)) is not None


async def test_a_machine_that_slept_asks_with_the_time_before(start_app, hill: str, kept) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("f2", "1")
        await pilot.pause()
        app.later(minutes=20)
        for away, asks in ((timedelta(minutes=10), 0), (timedelta(hours=2), 1)):
            app.at += away
            app.clocks.tick()
            app.clocks.tick()
            await pilot.pause()
            assert sum(isinstance(one, Choose) for one in app.screen_stack) == asks
        assert "also while the computer slept from 08:00" in title(app)
        await pilot.press("f2")
        await pilot.pause()
        assert not isinstance(app.screen, ClockSheet)
        await pilot.press("2")
        await pilot.pause()
    (entry,) = kept(hill).entries
    assert entry.lasted(app.at) == timedelta(minutes=30)


async def test_on_the_jobs_page_it_tells_which_clock_runs_and_stops_it(
    start_app, desk: Desk, hill: str, now: datetime, kept: Callable[[str], Record]
) -> None:
    app = start_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("f2")
        await pilot.pause()
        assert "No clock is running" in app.told
        running_since(desk, hill, "scribe", now, now)
        app.later(minutes=30)
        await pilot.press("f2")
        await pilot.pause()
        assert (
            title(app) == "The clock on Scribe in Hill house has been running since 07:30 (30 min)."
        )
        await pilot.press("1")
        await pilot.pause()
        assert "Scribe in Hill house was stopped" in app.told
        assert app.clock_told() == ""
    (entry,) = kept(hill).entries
    assert entry.lasted(app.at) == timedelta(minutes=30)


async def test_quitting_lets_the_clock_go_on_and_says_so(start_app, hill: str, kept) -> None:
    app = start_app(hill)
    said: list[str] = []
    leave = app.exit
    app.exit = lambda **how: (said.append(str(how["message"])), leave())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("f2", "6")
        await pilot.pause()
        await pilot.press("ctrl+q")
    assert said == [
        "The clock on Final nail in Hill house keeps running, since 07:30. crewdesk asks "
        "about it when you open the job again."
    ]
    assert clock.running(kept(hill)) is not None


async def test_a_clock_that_ran_for_days_is_asked_about_before_it_is_written(
    start_app, hill: str, kept, monkeypatch
) -> None:
    """9,600 hours are 400 days: so it looks where the computer's clock was set ahead."""
    monkeypatch.setattr(CrewdeskApp, "set_interval", lambda *_: None)  # it asks of itself then
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("f2", "2")
        await pilot.pause()
        app.clocks._kept.add((hill, app.at))  # it is known to run rightly
        began = app.at
        app.at = began + timedelta(days=364)
        for keys in (("f2", "s"), ("f2", "p"), ("f2", "3")):
            await pilot.press(*keys)
            await pilot.pause()
            assert isinstance(app.screen, Choose)
            assert "(364 days)." in title(app)
            await pilot.press("escape")
            [entry] = kept(hill).entries
            assert entry.running
        await pilot.press("f2", "s")
        await pilot.pause()
        await pilot.press("1")
        await pilot.pause()
        assert "clock stopped after 364 days" in app.told
    [entry] = kept(hill).entries
    assert entry.stop == began + timedelta(days=364)


async def test_a_running_clock_never_shows_less_than_nothing(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("f2", "2")
        await pilot.pause()
        app.at -= timedelta(days=1)
        assert app.clock_told() == "Ease 0:00:00"
        await pilot.press("escape")
        await pilot.pause()
        assert app.clock_told() == "Hill house: Ease 0:00:00"
        await pilot.press("f2")
        await pilot.pause()
        assert "(0 min)" in title(app)
        # Nor can it be stopped from here before anything was saved.
        app.clocks.stop(app.clocks.elsewhere[0], None)
        assert "Not stopped: this computer's clock says" in app.told
