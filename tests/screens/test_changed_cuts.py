"""On screen: a cut whose figures changed is said at once, held, asked about and answered."""

import shutil
from datetime import timedelta
from fractions import Fraction

import pytest
from textual.widgets import Button, Static

from crewdesk.job.beams import beams, take
from crewdesk.job.books.shop_record import change_shop
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.job.cuts.scribing import read_ceiling
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.screens.parts.ask import Choose, Form
from crewdesk.screens.parts.lines import Lines
from crewdesk.screens.parts.page import Told
from crewdesk.screens.piece.piece import PiecePage
from crewdesk.screens.run_sheet.run_sheet import RunSheetPage
from crewdesk.screens.run_sheet.whole_job import WholeJob
from crewdesk.store.desk import Desk
from crewdesk.trade.cuts.ceiling import Station

SIZE = (80, 24)
A = Spot("1", "A")


@pytest.fixture
def cut(job, now, walk) -> str:
    """Both beams' sides cut to 147 1/4 in, the day before; the job's id, let go."""
    walk(job.record, job.make, "back-bevel", now - timedelta(days=1))
    job.close(now)
    return job.id


def said(app, id_: str) -> str:
    return str(app.screen.query_one(id_, Static).content)


async def open_piece(app, pilot) -> None:
    await pilot.pause()
    app.push_screen(PiecePage(A))
    await pilot.pause()


async def type_run(app, pilot, text: str) -> None:
    """Type a run twice, so that it isn't doubtful."""
    for _ in range(2):
        app.screen.set_focus(app.screen.fields[0])
        await pilot.press(*text, "enter")
        await pilot.pause()
        type(app).at += timedelta(minutes=1)


async def test_read_cut_read_again_keep_and_go_on(cut, start_app, kept) -> None:
    app = start_app(cut)
    async with app.run_test(size=SIZE) as pilot:
        await open_piece(app, pilot)
        await type_run(app, pilot, "147 5/8")
        assert app.told.startswith(
            "Saved. Great room Ridge side A was cut to 147 1/4 in; its readings now make "
            "147 5/8 in (3/8 in too short)."
        )
        assert "Press ? to answer." in app.told
        assert "147 1/4 in; its readings" in said(app, "#next")
        # Its next step is held, with the sentence.
        await pilot.press("f4")
        assert "'Back-bevel the end that slides in' is held" in app.told
        # On the run sheet too, with a sign behind the cell and what it stands for.
        await pilot.press("escape")
        await pilot.pause()
        page = app.screen
        assert isinstance(page, RunSheetPage)
        page.grid.go_to(A, "tack")
        await pilot.pause()
        assert "was cut to 147 1/4 in" in said(app, "#here")
        assert "? cut to other figures" in said(app, "#signs")
        lines = ["".join(s.text for s in page.grid.row_strip(y)) for y in range(2)]
        assert "?" in lines[page.grid.row]
        await pilot.press("space")
        assert "Not checked off: a cut changed, as shown above. Press ? to answer." in app.told
        # What is missing lists it first.
        await pilot.press("u")
        assert isinstance(app.screen, WholeJob)
        await pilot.press("escape")
        # The question, with its three choices and a new board.
        await pilot.press("question_mark")
        await pilot.pause()
        assert isinstance(app.screen, Choose)
        ways = [str(one.label) for one in app.screen.query(Button)]
        assert [one[:2] for one in ways] == ["1 ", "2 ", "3 ", "4 "]
        assert "Keep it as it was cut" in ways[0]
        assert "this step opens again; only a new board helps" in ways[1]
        about = " ".join(str(one.content) for one in app.screen.query(Static))
        assert "It is too short for today's figures, so only a new board helps." in about
        assert "new board" in ways[2]
        assert "put the readings of Great room Ridge side A back" in ways[3]
        await pilot.press("1")
        await pilot.pause()
        assert isinstance(app.screen, Form)
        await pilot.press(*"packed out", "enter")
        await pilot.pause()
        assert "kept 'Cut to length' on Great room Ridge side A as cut" in app.told
        await pilot.press("space")
        await pilot.pause()
        assert "checked off 'Back-bevel the end that slides in'" in app.told
    mark = kept(cut).beam("1").piece("A").steps["cut-side"]
    assert mark.kept.reason == "packed out"


async def test_cut_again_is_one_change_and_one_undo(cut, start_app, kept) -> None:
    app = start_app(cut)
    async with app.run_test(size=SIZE) as pilot:
        await open_piece(app, pilot)
        await type_run(app, pilot, "147 5/8")
        await pilot.press("question_mark", "2")
        await pilot.pause()
        assert "opened 'Cut to length' on Great room Ridge side A again" in app.told
        assert "If the board is ruined" in app.told
        assert not open_cuts(app.record)
        assert "cut-side" not in app.record.beam("1").piece("A").steps
        await pilot.press("ctrl+z")
        await pilot.pause()
        assert app.told.startswith("Undone. Great room Ridge side A was cut to 147 1/4 in")
        assert "cut-side" in app.record.beam("1").piece("A").steps
        await pilot.press("question_mark", "4")
        await pilot.pause()
        assert "put the readings of Great room Ridge side A back" in app.told
    assert not open_cuts(kept(cut))


async def test_a_section_changed_after_the_rip_and_undone(job, now, walk, start_app) -> None:
    walk(job.record, job.make, "ease", now - timedelta(days=1))
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await pilot.press("e")
        await pilot.pause()
        line = app.screen.query_one("#line-height")
        app.screen.set_focus(line)
        line.value = "9"
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert "side A was ripped to 10 in wide; its section now makes 9 in" in app.told
        assert "1 more cut changed with it." in app.told
        await pilot.press("ctrl+z")
        await pilot.pause()
        assert "was ripped to" not in app.told
        assert not open_cuts(app.record)


async def test_with_nothing_changed_the_key_says_so(cut, start_app) -> None:
    app = start_app(cut)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert "?" not in said(app, "#signs")
        await pilot.press("question_mark")
        assert "Every cut that is checked off matches today's readings" in app.told


async def test_a_change_from_elsewhere_is_told(cut, start_app, desk, now) -> None:
    from crewdesk.job.beams import take

    app = start_app(cut, minutes=30)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        other = desk.open(cut)
        for minute in (1, 2):
            at = now + timedelta(minutes=minute)
            typed = take.typed_reading(other.record, "run", "147 5/8", at)
            other.make(take.take(other.record, A, "run", typed))
        app.saving.look()
        await pilot.pause()
        assert "side A was cut to 147 1/4 in; its readings now make 147 5/8 in" in app.told
        other.close(now)


async def test_a_job_opened_with_a_conflict_copy_says_what_that_holds(
    cut, start_app, desk, now, tmp_path
) -> None:
    other = Desk(shutil.copytree(desk.folder, tmp_path / "other"), "there")
    for one, read in ((desk, ()), (other, ("148", "148"))):
        job = one.open(cut)
        job.make(beams.change_job(job.record, {"notes" if read else "site": "x"}, now))
        for length in read:
            typed = take.typed_reading(job.record, "run", length, now)
            job.make(take.take(job.record, Spot("1", "B"), "run", typed))
        job.close(now)
    shutil.copy(other.path(cut).with_suffix(".history"), desk.path(cut).parent)
    app = start_app(cut)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        app.saving.look()
        await pilot.pause()
        assert app.told.startswith("3 changes came in from another computer")
        assert "side B was cut to 147 1/4 in; its readings now make 148 in" in app.told
        assert "is held." in app.told


async def test_the_answer_to_an_undo_is_whole_at_80_by_24(cut, start_app) -> None:
    """What is asked about a cut, how to answer it, and nothing that is cut off behind it."""
    app = start_app(cut)
    async with app.run_test(size=SIZE) as pilot:
        await open_piece(app, pilot)
        await type_run(app, pilot, "147 5/8")
        for key, done in (("ctrl+z", "Undone. "), ("ctrl+y", "Redone. ")):
            await pilot.press(key)
            await pilot.pause()
            told = app.screen.query_one(Told)
            shown = [
                "".join(piece.text for piece in told.render_line(y)).strip()
                for y in range(told.size.height)
            ]
            text = " ".join(shown).strip()
            assert text.startswith(f"{done}Great room Ridge side A was cut to 147 1/4 in")
            assert text.endswith("is held. Press ? to answer.")


async def test_a_change_of_business_settings_says_at_once_what_it_holds(
    job, now, walk, start_app
) -> None:
    """The walls' ceiling is level here, so the setting is 0 until a block of 1 in is taken."""
    walk(job.record, job.make, "scribe", now - timedelta(days=1))
    low = tuple(Station(Fraction(at), Fraction(14), Fraction(14)) for at in (0, 147))
    level = (low[0], Station(Fraction(73), Fraction(57, 4), Fraction(57, 4)), low[1])
    job.make(read_ceiling(job.record, "1", level, now - timedelta(hours=9)))
    job.make(ticks.tick(job.record, A, "scribe", now - timedelta(hours=8)))
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        app.do_shop(lambda books, at: change_shop(books, {"scribers": "block = 1"}, at))
        await pilot.pause()
        assert app.told.startswith("Saved. Great room Ridge side A was scribed at 3/8 in; its scr")
        assert "Press ? to answer." in app.told


async def test_a_job_that_is_opened_says_what_waits(cut, start_app, desk, now) -> None:
    job = desk.open(cut)
    for minute in (1, 2):
        at = now + timedelta(minutes=minute)
        typed = take.typed_reading(job.record, "run", "147 5/8", at)
        job.make(take.take(job.record, A, "run", typed))
    job.close(at)
    app = start_app(cut)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert app.told.startswith("Great room Ridge side A was cut to 147 1/4 in")
        assert "Press ? to answer." in app.told


async def test_a_job_is_done_but_for_the_answer_it_waits_for(job, start_app, now, walk) -> None:
    walk(job.record, job.make, "", now - timedelta(days=3))
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        assert said(app, "#heads").rstrip().endswith("Every step is done.")
        await pilot.press("n")
        await pilot.pause()
        assert isinstance(app.screen, WholeJob)
        (line,) = app.screen.query_one(Lines).rows
        assert line.parts[0][0].strip() == "Every step of the job is done."
        await pilot.press("escape")
        for _ in range(2):
            reading = take.typed_reading(app.record, "run", "147-5/8", app.now())
            app.do(lambda record, _: take.take(record, A, "run", reading))  # noqa: B023
            type(app).at += timedelta(minutes=1)
        await pilot.pause()
        assert open_cuts(app.record)
        assert "A cut that changed waits for your answer. Press ?." in said(app, "#heads")


async def test_a_batch_of_one_piece_is_one_piece(job, start_app, now) -> None:
    for spot in (A, Spot("1", "B"), Spot("2", "A")):
        job.make(ticks.tick(job.record, spot, "rip-side", now))
    job.close(now)
    app = start_app(job.id)
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        await pilot.press("b")
        await pilot.pause()
        words = [str(one.render()) for one in app.screen.query(Button)]
        assert any(one.endswith("Rip to width: 1 piece") for one in words), words
