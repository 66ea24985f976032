"""Finding from anywhere: the look-up, the whole job's lists, things to do, other jobs."""

from datetime import timedelta
from decimal import Decimal

from crewdesk.job.beams.beams import add_beam, new_job
from crewdesk.job.beams.piece import Spot
from crewdesk.job.books.billing import letterhead
from crewdesk.job.books.documents import issue_invoice
from crewdesk.job.time import clock
from crewdesk.screens.business.shop import ShopPage
from crewdesk.screens.find import FindSheet, Wanted, acts
from crewdesk.screens.look_up import LookUp
from crewdesk.screens.parts.actions import AREAS
from crewdesk.screens.parts.ask import Form
from crewdesk.screens.parts.lines import Lines
from crewdesk.screens.piece.piece import PiecePage
from crewdesk.screens.run_sheet.batch import BatchPage
from crewdesk.screens.run_sheet.run_sheet import RunSheetPage
from crewdesk.trade.books.invoice import Draft
from crewdesk.trade.books.invoice_lines import fixed_line
from tests.conftest import SECTION


def rows(app) -> list[str]:
    lines = app.screen.query_one(Lines)
    return ["".join(text for text, _ in row.parts).strip() for row in lines.rows]


async def until(pilot, true) -> None:
    for _ in range(200):
        if true():
            return
        await pilot.pause(0.05)
    raise AssertionError("waited in vain")


async def test_finding(start_app, desk, hill: str, now) -> None:
    other = desk.open(desk.create(new_job("Quarry Road", SECTION, now + timedelta(hours=1))))
    other.make(add_beam(other.record, "7", "Loft", now, ends=("gable", "stairs")))
    other.close(now)
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()

        # Two keys to what was read of a beam, from the run sheet; a third to its page.
        await pilot.press("ctrl+l", "c")
        assert isinstance(app.screen, LookUp)
        assert app.screen.query_one("#beam").text == "Great room Cross"
        assert "Great room Cross · side A, piece 1 of 4" in str(
            app.screen.query_one("#name").content
        )
        assert "Not measured: wall-to-wall length along the bottom line" in str(
            app.screen.query_one("#told").content
        )
        # Arrows go to the beam's other pieces, Enter to the page of the one that is shown.
        await pilot.press("up")
        assert "cleats, piece 4 of 4" in str(app.screen.query_one("#name").content)
        await pilot.press("down", "enter")
        await until(pilot, lambda: isinstance(app.screen, PiecePage))
        assert app.screen.spot == Spot("2", "A")

        # From the piece: what is missing, by its words; then the piece that lacks it.
        await pilot.press("ctrl+f")
        app.screen.query_one(Wanted).value = "is missing"
        await pilot.pause()
        await pilot.press("enter")
        await until(pilot, lambda: type(app.screen).__name__ == "WholeJob")
        assert rows(app)[0].startswith("── To measure now ──")
        assert rows(app)[1:2] == [
            "Great room Ridge side A: wall-to-wall length along the bottom line, end 1, end 2",
        ]
        await pilot.press("tab")
        assert rows(app)[0].split() == ["Rip", "□", "4", "Rip", "to", "width"]
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, BatchPage))
        await pilot.press("escape")

        # Something typed and not saved keeps one on its page.
        await pilot.press("enter", "1", "ctrl+f")
        app.screen.query_one(Wanted).value = "accounts"
        await pilot.pause()
        await pilot.press("enter")
        await until(pilot, lambda: "saved yet: Enter saves it" in app.told)
        assert isinstance(app.screen, PiecePage)
        await pilot.press("backspace", "escape")

        # A beam of another job, out of the index; then the shop's page by its words.
        await pilot.press("ctrl+f")
        app.screen.query_one(Wanted).value = "loft gable"
        await until(pilot, lambda: "In other jobs" in rows(app))
        assert rows(app)[1] == "Loft 7 · gable · stairs  Quarry Road"
        await pilot.press("enter")
        await until(pilot, lambda: app.job is not None and app.record.job.name == "Quarry Road")
        await until(pilot, lambda: isinstance(app.screen, RunSheetPage))
        await pilot.press("ctrl+f")
        app.screen.query_one(Wanted).value = "business settings: change"
        await pilot.pause()
        await pilot.press("enter")
        await until(pilot, lambda: len(app.screen_stack) > 4)
        assert isinstance(app.screen_stack[3], ShopPage)

        # Over that question nothing is gone to, so that what it holds is not dropped.
        await pilot.press("ctrl+f")
        app.screen.query_one(Wanted).value = "money"
        await pilot.pause()
        await pilot.press("enter")
        await until(pilot, lambda: "Answer or leave the question" in app.told)
        assert isinstance(app.screen, Form)


async def test_every_action_of_every_page_can_be_found(start_app, desk, hill: str, now) -> None:
    job = desk.open(hill)
    hour = timedelta(hours=1)
    job.make(clock.add(job.record, "rip", now - 2 * hour, now - hour, now))
    draft = Draft("progress", hill, "Ada Quill", (fixed_line("Work", Decimal(240)),))
    head = letterhead(job.record, desk.shop.record())
    desk.shop.make(lambda books, at: issue_invoice(books, draft, head, at.date(), at), now)
    job.close(now)
    app = start_app(hill)
    async with app.run_test(size=(60, 20)) as pilot:
        await pilot.pause()
        known = {one.words for one in acts(app)}
        sheets = {"batch", "lean-of-a-wall", "pieces-of-an-entry", "needs-of-a-step"}
        sheets |= {"any-question", "find", "look-up", "whole-job", "help"}
        for page in AREAS.values():
            if page.name not in sheets:
                away = ("back", "jobs", "leave")
                told = {one.words for one in page.actions if one.name not in away}
                here = page.name in ("everywhere", "run-sheet")
                of = "Invoice 1, Ada Quill" if page.name == "an-invoice" else page.words
                assert {words if here else f"{of}: {words}" for words in told} <= known
        assert {"Batch Rip: Rip to width: Check off all", "Invoice 1, Ada Quill"} <= known
        (pieces,) = (one for one in known if one.endswith(", Rip: All pieces"))
        assert pieces.startswith("Pieces of ")
        assert all(one.about.endswith(".") for one in acts(app))
        await pilot.press("ctrl+f")
        await pilot.pause()
        assert isinstance(app.screen, FindSheet)
        assert rows(app)[:2] == ["Recent jobs", "Hill house  Ada Quill"]
        # By a word that stands in no action's name nor in what is told of it.
        app.screen.query_one(Wanted).value = "reveal"
        await pilot.pause()
        assert rows(app)[1].startswith("Edit beam  e  ")
        # One invoice, by its customer and what is to be done with it.
        app.screen.query_one(Wanted).value = "quill enter payment"
        await pilot.pause()
        assert rows(app)[1].startswith("Invoice 1, Ada Quill: Payment  p  Enter a payment")
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, Form))
        assert app.screen.query_one("#line-amount").value == "240.00"
        await pilot.press("escape", "ctrl+f")
        app.screen.query_one(Wanted).value = "batch rip"
        await pilot.pause()
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, BatchPage))


def test_what_was_found_after_it_is_gone_is_let_be() -> None:
    gone = FindSheet()  # nothing of it stands on a screen
    gone._look_elsewhere()
    gone._found_elsewhere("walnut", [])
    assert not gone.query("*")


async def test_a_piece_s_full_name_finds_it_first(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("ctrl+f")
        app.screen.query_one(Wanted).value = "room cross side b"
        await until(pilot, lambda: rows(app)[:1] == ["Pieces"])
        assert rows(app)[1] == "Great room Cross side B"
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, PiecePage))
        assert app.screen.spot == Spot("2", "B")
