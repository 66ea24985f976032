"""The user is told what is not saved and what came in from elsewhere, and loses nothing."""

import os
from datetime import timedelta
from errno import ENOSPC

import pytest
from textual.widgets import Button, Static

from crewdesk.job.beams import beams, take
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.screens.app import CrewdeskApp
from crewdesk.screens.parts.ask import Choose, Form
from crewdesk.screens.run_sheet.run_sheet import RunSheetPage
from crewdesk.store.history_file import HistoryFile


def sign(app):
    pages = [one for one in app.screen_stack if isinstance(one, RunSheetPage)]
    static = pages[-1].query_one("#sign", Static)
    return str(static.content) if static.display else ""


def question(app):
    return " ".join(
        str(one.content if isinstance(one, Static) else one.label)
        for one in (*app.screen.query(Static), *app.screen.query(Button))
    )


def do(app, act):
    with app._context():
        return app.do(act)


def look(app):
    with app._context():
        app.saving.look()


def note(text):
    return lambda record, now: beams.change_job(record, {"notes": text}, now)


async def test_a_full_disk(hill, start_app, kept, monkeypatch, tmp_path) -> None:
    def full(*_, **__):
        raise OSError(ENOSPC, os.strerror(ENOSPC))

    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        with monkeypatch.context() as patch:
            patch.setattr(HistoryFile, "_write", full)
            await pilot.press("space")
            assert app.told.startswith("Not saved: ")
            assert (
                "says 'No space left on device'. It is kept here until it can be saved." in app.told
            )
            assert sign(app) == "! 1 not saved · Ctrl+s"
            # It is shown, and one can go on.
            assert "rip-side" in app.record.beam("1").piece("A").steps
            assert app.do(note("later"))
            assert sign(app) == "! 2 not saved · Ctrl+s"
            await pilot.press("ctrl+s")
            assert app.told.startswith("Not saved: ")
            # Nobody leaves without being told, neither the job nor the program.
            for key in ("escape", "ctrl+q"):
                await pilot.press(key)
                assert isinstance(app.screen, Choose)
                told = question(app)
                assert "2 changes are not saved" in told
                assert "No space left on device" in told
                assert "checked off 'Rip to width'" in told
                await pilot.press("escape")
            # A copy elsewhere has it all.
            await pilot.press("ctrl+q", "2")
            assert isinstance(app.screen, Form)
            app.screen.query_one("Input").value = str(tmp_path / "copy.json")
            await pilot.press("enter")
            assert "later" in (tmp_path / "copy.json").read_text()
            assert kept(hill).job.notes == ""
        await pilot.press("ctrl+s")
        assert app.told.startswith("Saved: 2 changes that waited.")
        assert sign(app) == ""
        assert kept(hill).job.notes == "later"
        await pilot.press("ctrl+s")
        assert app.told.startswith("Everything you entered is saved.")
        # What was made while the disk was full is undone as anything else.
        await pilot.press("ctrl+z", "ctrl+z")
        assert kept(hill).beam("1").piece("A").steps == {}
        await pilot.press("ctrl+y")
        with monkeypatch.context() as patch:
            patch.setattr(HistoryFile, "_write", full)
            await pilot.press("ctrl+z")
            assert app.told.startswith("Not saved: ")
            assert not app.do_shop(lambda books, now: shop_note(books, now))
            assert sign(app) == "! 2 not saved · Ctrl+s"
            await pilot.press("ctrl+q")
        await pilot.press("1")
        assert app.return_code == 0
    assert kept(hill).beam("1").piece("A").steps == {}
    assert app.desk.shop.shop().who == "Ada"


def shop_note(books, now):
    from crewdesk.job.books.shop_record import change_shop

    return change_shop(books, {"who": "Ada"}, now)


async def test_the_folder_is_gone_and_comes_back(hill, start_app, kept) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        there = app.desk.jobs_folder
        there.rename(there.with_name("away"))
        await pilot.press("space")
        assert "is gone. It is kept here" in app.told
        assert not there.exists()
        app.saving.look()
        there.with_name("away").rename(there)
        await pilot.press("ctrl+s")
        assert app.told.startswith("Saved: 1 change that waited.")
        there.rename(there.with_name("away"))
        await pilot.press("space")
        # Told, and left all the same: the user chose to lose it.
        await pilot.press("escape", "3")
        assert app.job is None
        there.with_name("away").rename(there)
    assert "rip-side" in kept(hill).beam("1").piece("A").steps


async def test_a_clock_that_was_set_back(hill, start_app, kept, now) -> None:
    app = start_app(hill, minutes=-60 * 24)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("space")
        assert "this computer's clock says 2026-03-01 07:30" in app.told
        assert "last change was made at 2026-03-02 07:30" in app.told
        assert sign(app) == "! 1 not saved · Ctrl+s"
        # Leaving the page or the program does not save it unasked.
        for key in ("escape", "ctrl+q"):
            await pilot.press(key)
            assert isinstance(app.screen, Choose)
            assert "held up by the clock" in question(app)
            assert not kept(hill).beam("1").piece("A").steps
            await pilot.press("1")  # try again: the clock is as it was
            assert isinstance(app.screen, Choose)
            assert not kept(hill).beam("1").piece("A").steps
            await pilot.press("escape")
        await pilot.press("ctrl+q", "2")
        assert app.return_code == 0
    assert kept(hill).beam("1").piece("A").steps["rip-side"].when == now - timedelta(days=1)
    # Trying again with the clock set right takes the right time.
    app = start_app(hill, minutes=-60 * 24)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("space")
        assert not app.record.beam("1").piece("B").steps
        app.at = now + timedelta(minutes=9)
        await pilot.press("ctrl+s")
        assert app.told.startswith("Saved: 1 change")
    assert kept(hill).beam("1").piece("B").steps["rip-side"].when == now + timedelta(minutes=9)


async def test_two_apps_on_one_folder(hill, desk, start_app, kept, now, monkeypatch) -> None:
    """Both are open on one job; each sees what the other does, and no change is lost."""
    monkeypatch.setattr(CrewdeskApp, "set_interval", lambda *_: None)  # it looks when it is told to
    mine, other = start_app(hill), start_app(hill)
    async with mine.run_test(size=(80, 24)) as pilot, other.run_test(size=(80, 24)) as there:
        await pilot.pause()
        await there.pause()
        await pilot.press("space")
        look(other)
        await there.pause()
        assert other.told.startswith("Changed on another computer: checked off 'Rip to width'")
        assert "rip-side" in other.record.beam("1").piece("A").steps
        # Seen before a save, shown beside it.
        assert do(other, note("theirs"))
        assert do(mine, lambda rec, at: ticks.tick(rec, Spot("1", "B"), "rip-side", at))
        assert "Changed on another computer: changed the job settings" in mine.told
        # Both change one thing: both are kept, and the user chooses.
        for app, length in ((other, "12' 3 1/8"), (mine, "12' 3 1/4")):
            reading = take.typed_reading(app.record, "run", length, now)
            assert do(app, lambda rec, _, r=reading: take.take(rec, Spot("1", "A"), "run", r))
        assert mine.told.startswith("Changed in two places: ")
        assert "Both are kept. Press Ctrl+r to choose." in mine.told
        assert sign(mine) == "! 1 changed twice · Ctrl+r"
        await pilot.press("ctrl+r")
        told = question(mine)
        assert "stands:      12' 3 1/8" in told
        assert "other:  12' 3 1/4" in told
        await pilot.press("2")
        assert sign(mine) == ""
        look(other)
        await there.pause()
        for app in (mine, other):
            assert str(app.record.beam("1").piece("A").latest("run").value) == "589/4"
        # Undo in each takes back what was done in it.
        await there.press("ctrl+z")
        assert "was changed again on" in other.told
        await pilot.press("ctrl+z", "ctrl+z")
        look(other)
        await there.pause()
        assert sign(other) == ""
        await there.press("ctrl+z")
        assert other.told.startswith("Undone: measured wall-to-wall length along")
        await pilot.press("ctrl+r")
        assert "Nothing was changed in two places" in mine.told
    for one in (mine, other):
        if one.job:
            one.close_job()
    history = desk.open(hill, writing=False).history()
    assert len(history) >= 8


async def test_an_error_of_the_program_saves_what_waits_and_is_told_by_the_status(
    hill, start_app, kept, monkeypatch
) -> None:
    def full(*_, **__):
        raise OSError(ENOSPC, os.strerror(ENOSPC))

    def fails():
        raise ZeroDivisionError

    async def work():
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            with monkeypatch.context() as patch:
                patch.setattr(HistoryFile, "_write", full)
                await pilot.press("space")
            assert not kept(hill).beam("1").piece("A").steps
            app.call_later(fails)
            await pilot.pause()

    app = start_app(hill)
    with pytest.raises(ZeroDivisionError):
        await work()
    assert app.return_code == 1
    assert app.lost == ""
    assert "rip-side" in kept(hill).beam("1").piece("A").steps


async def test_what_could_not_be_saved_at_the_end_is_told(hill, start_app, monkeypatch) -> None:
    def full(*_, **__):
        raise OSError(ENOSPC, os.strerror(ENOSPC))

    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        monkeypatch.setattr(HistoryFile, "_write", full)
        await pilot.press("space")
        assert not app.do_shop(shop_note)
        app.end_by(15)
        await pilot.pause()
    assert app.return_code == 128 + 15
    assert app.lost.startswith("The program was ended, and 2 changes were lost. Not saved: ")
    assert "No space left on device" in app.lost


async def test_a_tick_that_the_clock_held_up_can_be_left(hill, start_app, kept, now) -> None:
    app = start_app(hill, minutes=-60 * 24)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("space", "escape", "3")
        assert app.job is None
    assert not kept(hill).beam("1").piece("A").steps


async def test_a_clock_set_while_the_program_runs(hill, start_app, kept, now) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("space")
        app.at = now - timedelta(days=1)
        await pilot.press("down", "space")
        assert "this computer's clock says 2026-03-01 07:30" in app.told
        app.at = now + timedelta(days=400)
        await pilot.press("down", "space")
        assert "this computer's clock says 2027-04-06 " in app.told
        assert sign(app) == "! 2 not saved · Ctrl+s"
        app.at = now + timedelta(minutes=1)
        await pilot.press("ctrl+s")
        assert app.told.startswith("Saved: 2 changes")
    steps = [one.when for _, one in marks(kept(hill))]
    assert steps == [now, now + timedelta(minutes=1), now + timedelta(minutes=1)]


def marks(record):
    return sorted(
        (
            (step, mark)
            for beam in record.beams
            for piece in beam.pieces.values()
            for step, mark in piece.steps.items()
        ),
        key=lambda one: one[1].when,
    )


async def test_what_the_clock_held_up_is_saved_at_the_last_change_when_the_program_is_ended(
    hill, start_app, kept, now
) -> None:
    app = start_app(hill, minutes=-60 * 24)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("space")
        app.end_by(15)
        await pilot.pause()
    assert app.return_code == 128 + 15
    assert kept(hill).beam("1").piece("A").steps["rip-side"].when == now


async def test_the_shop_waits_for_the_right_clock_too(hill, start_app, now) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert app.do_shop(shop_note)
        app.at = now - timedelta(days=1)
        other = "Ben"
        assert not app.do_shop(lambda books, at: change_who(books, other, at))
        assert "this computer's clock says 2026-03-01 07:30" in app.told
        assert sign(app) == "! 1 not saved · Ctrl+s"
        await pilot.press("ctrl+q")
        assert isinstance(app.screen, Choose)
        await pilot.press("escape")
        assert app.desk.shop.shop().who == "Ada"
        await pilot.press("ctrl+s")
        assert app.desk.shop.shop().who == "Ben"


def change_who(books, who, now):
    from crewdesk.job.books.shop_record import change_shop

    return change_shop(books, {"who": who}, now)
