"""The accounts over all jobs, and what one job took; the sums are checked in tests/trade/books."""

import re
from dataclasses import replace
from datetime import datetime, timedelta
from fractions import Fraction

from textual.widgets import Static

from crewdesk.job.beams import beams
from crewdesk.job.beams.piece import Spot
from crewdesk.job.books.billing import letterhead
from crewdesk.job.books.documents import issue_invoice
from crewdesk.job.time import clock
from crewdesk.screens.app import CrewdeskApp
from crewdesk.screens.money.issued import IssuedPage
from crewdesk.screens.money.money import MoneyPage
from crewdesk.screens.parts.ask import Form
from crewdesk.screens.parts.lines import Lines
from crewdesk.screens.parts.stick import bar
from crewdesk.store.desk import Desk
from crewdesk.trade.books.invoice import Draft
from crewdesk.trade.books.invoice_lines import fixed_line
from crewdesk.trade.books.money import read_money
from crewdesk.trade.books.stage_rates import Load, PastJob
from tests.pictures.pages import app_in


def rows(app) -> list[str]:
    every = app.screen.query_one(Lines).rows
    return [" ".join("".join(text for text, _ in row.parts).split()) for row in every]


async def test_who_owes_since_when_and_the_years_as_csv(
    start_app, desk: Desk, hill: str, now: datetime, tmp_path
) -> None:
    record = desk.open(hill, writing=False).record
    draft = Draft("progress", hill, "Ada Quill", (fixed_line("Work", read_money("240")),))
    long_ago = now - timedelta(days=40)
    desk.shop.make(
        lambda books, _: issue_invoice(
            books, draft, letterhead(record, books), long_ago.date(), long_ago
        ),
        now,
    )
    app = start_app()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("m")
        await pilot.pause()
        # 40 days after its date, on terms of 30 days
        assert "Owed $240.00 as of Mar 2, 2026" in rows(app)[0]
        assert rows(app)[1].split() == ["0", "$240.00"], "the scale of the sticks"
        assert rows(app)[2].startswith("not due yet $0.00")
        assert rows(app)[3].startswith("! 1-30 days late $240.00 ━")
        assert "Ada Quill owes $240.00, $240.00 overdue" in rows(app)[8]
        assert rows(app)[9] == "invoice 1 hill-house Jan 21, 2026 $240.00 10 days overdue"
        # As of a day before it was issued nothing was owed; nothing is known of tomorrow.
        await pilot.press("d")
        await pilot.pause()
        for typed in ("2026-03-03", "2026-01-20"):
            app.screen.query_one("#line-day").value = typed
            await pilot.press("ctrl+s")
            await pilot.pause()
            wrong = app.screen.query(".wrong")
            assert ("in the future" in str(wrong.first().content)) if wrong else typed < "2026-02"
        assert "Owed $0.00 as of Jan 20, 2026" in rows(app)[0]
        assert rows(app)[1] == "No one owes anything."
        await pilot.press("d", "backspace", "ctrl+s", "end", "s")
        await pilot.pause()
        file = tmp_path / "books.csv"
        app.screen.query_one("#line-file").value = str(file)
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert not isinstance(app.screen, Form)
        # RFC 4180: lines end with CR LF
        assert file.read_bytes().count(b"\r\n") == 2
        assert b"2026-01-21,progress,1,,hill-house,Ada Quill,240.00" in file.read_bytes()
        # Elsewhere than on a year it is asked which one.
        await pilot.press("home", "s", "1")
        await pilot.pause()
        assert "accounts-2026.csv" in app.screen.query_one("#line-file").value
        await pilot.press("escape", "enter")
        await pilot.pause()
        assert isinstance(app.screen, IssuedPage)
        # Paid over; a slip is taken out by its number; the credit goes to the next invoice.
        for _ in range(2):
            await pilot.press("p")
            await pilot.pause()
            app.screen.query_one("#line-amount").value = "300"
            await pilot.press("ctrl+s")
            await pilot.pause()
        await pilot.press("backspace", "2", "a")
        await pilot.pause()
        assert "No other invoice of Ada Quill is open" in app.told
        assert "Credit balance: $60.00." in str(app.screen.query_one("#letter", Static).content)
        desk.shop.make(
            lambda books, at: issue_invoice(
                books, draft, letterhead(record, books), now.date(), at
            ),
            now,
        )
        await pilot.press("a", "ctrl+s")
        await pilot.pause()
        assert "Applied to invoice 2" in str(app.screen.query_one("#letter", Static).content)
        await pilot.press("escape")
        await pilot.pause()
        assert "Owed $180.00" in rows(app)[0]
        assert rows(app)[2].startswith("not due yet $180.00 ━")
        assert any("Ada Quill owes $180.00 ─" in row for row in rows(app))
        assert not any("owed back" in row for row in rows(app))


async def test_what_it_took_by_stage_and_beam(
    start_app, desk: Desk, hill: str, now: datetime
) -> None:
    job = desk.open(hill)
    for row, inches in (("1", 120), ("2", 240)):
        job.make(beams.change_beam(job.record, row, {"rough": Fraction(inches)}, now))
    begin = now - timedelta(hours=5)
    job.make(
        clock.add(
            job.record, "rip", begin, begin + timedelta(hours=2), now, pieces=(Spot("1", "A"),)
        )
    )
    job.close(now)
    desk.shop.change(now, hour="60")
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("k")
        await pilot.pause()
        # 30 ft and 2 beams at 1 min a foot and 4 a beam: 38 min, of the two hours that it took;
        # 120 min over 30 ft are 4.0 a foot
        (rip,) = (row for row in rows(app) if row.startswith("Rip"))
        assert rip.endswith("! 2h 38 min 4.0")
        # The notch stands at 38 of the 120 minutes, and the over-run goes on past it.
        [row] = [one for one in app.screen.query_one(Lines).rows if one.key == "rip"]
        drawn = "".join(text for text, _ in row.parts[1:-5])
        assert set(drawn) == {"━", "┃", "═"}
        assert abs(drawn.index("┃") - len(drawn) * 38 / 120) <= 1
        assert "2h" in str(app.screen.query_one("#against", Static).content)
        assert "No time went into fix-ups." in rows(app)
        assert "None has time on these stages yet." in rows(app)
        assert any(row.startswith("Great room Ridge") and "over" in row for row in rows(app))
        assert "more than the high" in str(app.screen.query_one("#here", Static).content)
        for narrow in ((38, 10), (3, 2)):
            await pilot.resize_terminal(*narrow)
            await pilot.press("escape", "k")
            assert any(row.startswith("Rip") for row in rows(app))


async def test_the_spread_over_jobs_is_a_stick_from_lowest_to_highest(
    start_app, hill: str, monkeypatch
) -> None:
    past = tuple(
        PastJob(f"job {feet}", Load(Fraction(feet), Fraction(2)), {"rip": minutes * 60})
        for feet, minutes in ((10, 20), (10, 40), (20, 90))
    )
    of_now = CrewdeskApp.job_books
    monkeypatch.setattr(CrewdeskApp, "job_books", lambda app: replace(of_now(app), past=past))
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("k")
        await pilot.pause()
        [row] = [one for one in app.screen.query_one(Lines).rows if one.key == "spread rip"]
        drawn, figures, here = row.parts[1:-2], row.parts[-2][0], row.parts[-1][0]
        # 2.0, 4.0 and 4.5 min a foot; 150 min over 40 ft are 3.75.
        assert (figures.split(), here.split()) == (["2.0", "to", "4.5"], ["here", "none"])
        stick = "".join(text for text, _ in drawn)
        assert re.fullmatch(" +├─+┃─+┤", stick)
        assert abs(stick.index("├") - len(stick) * 2 / 4.5) <= 1
        assert abs(stick.index("┃") - len(stick) * 3.75 / 4.5) <= 1
        assert "Minutes per foot over 3 finished jobs" in " ".join(rows(app))


def test_a_bar_is_as_long_as_the_sum_of_its_parts() -> None:
    assert bar(((3, "━"), (1, "╫")), 8, 16) == "━" * 6 + "╫" * 2
    assert bar(((1, "━"), (1, "┄"), (1, "╫")), 3, 10) == "━━━┄┄┄┄╫╫╫"
    assert bar(((1, "━"),), 0, 10) == ""


async def test_unbilled_work_of_an_open_job_is_the_move(tmp_path) -> None:
    app = app_in("sample", tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("escape", "m")
        await pilot.pause()
        # What the job's own money page shows as earned and not billed yet.
        assert "Owed $0.00, unbilled $2,295.72 as of " in rows(app)[0]
        (bill,) = [row for row in rows(app) if "press Enter" in row]
        assert bill == "□ Tamarack Bend $2,295.72 Bill it: press Enter"
        await pilot.press("home", "enter")
        await pilot.pause()
        await pilot.pause()
        assert isinstance(app.screen, MoneyPage)
        assert app.record.job.name == "Tamarack Bend"
