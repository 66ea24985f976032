"""The list of jobs: a row a job, what comes next in it, what holds it up, what is owed."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

from textual.widgets import OptionList, Static

from crewdesk.job.beams.missing import LATER, missing
from crewdesk.job.beams.piece import Spot
from crewdesk.job.books.contract import contract
from crewdesk.job.job_row import BEGUN
from crewdesk.job.steps.outlook import outlook
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.steps.ticks import set_aside
from crewdesk.trade.books.accounts import JobOwed, Standing, owed_by_job
from tests.pictures.pages import app_in
from tests.pictures.run_sheet import screen_text

STANDING = Standing(
    *(1, "hill", "Ann Lee", date(2026, 3, 1), Decimal(900), Decimal(0), Decimal(300), Decimal(0)),
    *(Decimal(600), date(2026, 3, 31), 0, "b1"),
)


def test_the_outlook_is_what_the_run_sheet_and_what_is_missing_say(record, now) -> None:
    spot = Spot(record.beams[0].row, "A")
    step = RunSheet(record).cells(record.beams[0])["A"][0].next
    record.make(set_aside(record, spot, step.id, "blocked", "no board", now))
    seen, sheet = outlook(record), RunSheet(record)
    first = sheet.batches()[0]
    assert (seen.stage, seen.step) == (first.stage.name, first.step.name)
    assert seen.pieces == len(first.spots)
    assert seen.blocked == f"{record.beams[0].label} side A: {step.name}: no board"
    every = {(one.sort, one.spot) for one in missing(record) if one.sort != LATER}
    assert sum(seen.holds.values()) == len(every)
    assert seen.holds["blocked"] == 1
    assert [(one.done, one.steps) for one in seen.stages] == list(sheet.totals())
    assert sum(one.ready for one in seen.stages) == sum(len(b.spots) for b in sheet.batches())
    assert not seen.all_done


def test_what_is_owed_on_a_job_is_by_its_beginning() -> None:
    """By hand: 600 + 50 owed on one job, its name changed since; 25 on one without a beginning;
    a credit balance of 80 is not set off."""
    found = [
        STANDING,
        replace(STANDING, job="hill-2", balance=Decimal(50), days_over=3),
        replace(STANDING, job="mill", begun="", balance=Decimal(25)),
        replace(STANDING, balance=Decimal(-80)),
        replace(STANDING, begun="b2", balance=Decimal(0)),
    ]
    assert owed_by_job(found) == {
        "b1": JobOwed(Decimal(650), overdue=True),
        "mill": JobOwed(Decimal(25), overdue=False),
    }


async def test_a_job_shows_what_comes_next_and_each_stage(tmp_path: Path) -> None:
    app = app_in("sample", tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        seen = outlook(app.record)
        bill = contract(app.job_books()).earned
        await pilot.press("escape")
        await app.workers.wait_for_complete()
        await pilot.pause()
        shown = screen_text(app)
        assert f"□ {seen.pieces} {seen.stage}: {seen.step}" in shown
        assert "48%  10 beams" in shown
        assert "✕ 1 blocked" in shown
        assert "Tamarack Bend, by stage" in shown
        for one in seen.stages:
            assert f"{one.done}/{one.steps}" in shown
        lines = shown.splitlines()
        assert lines[1].startswith(">Tamarack Bend")
        assert "━" in lines[1]
        assert "┃" in lines[1]
        # Beside it is what no invoice has asked for yet: what the job's next invoice comes to.
        assert f"owed $0, unbilled ${bill:,.2f}" in shown
        # What was owed comes in, overdue in words.
        [listed] = app.screen._listed.values()
        owing = JobOwed(Decimal("1234.5"), overdue=True)
        app.screen._owed = {str(listed.summary.get(BEGUN, "")) or listed.id: owing}
        row = str(app.screen._row(listed, 78))
        assert "owed $1,234.50, overdue" in row
        assert all(len(line) <= 78 for line in row.splitlines())


async def test_with_no_job_a_beam_is_drawn_with_its_pieces(tmp_path: Path) -> None:
    for size in ((80, 24), (60, 20)):
        app = app_in("empty", tmp_path / f"{size[0]}")
        async with app.run_test(size=size) as pilot:
            await pilot.press("escape")
            await pilot.pause()
            shown = screen_text(app)
            for name in ("sides A and B", "cleats", "bottom", "reveal", "ceiling"):
                assert name in shown
            assert "The beam is decoration. It carries nothing but itself." in shown
            assert "Press a to start your first job." in shown
            assert "…" not in shown
            assert not app.screen.query_one(OptionList).display
            assert app.screen.query_one("#none", Static).display
