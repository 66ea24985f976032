"""Another machine's invoice comes with the same number while a page about it is open."""

from decimal import Decimal

import pytest
from textual.widgets import Static

from crewdesk.errors import NotSaved
from crewdesk.job.beams.beams import new_job
from crewdesk.job.books.documents import document_id
from crewdesk.job.books.payments import pay, take_payment_out
from crewdesk.screens.money.accounts import AccountsPage
from crewdesk.screens.money.issued import IssuedPage
from crewdesk.screens.parts.lines import Lines
from crewdesk.screens.parts.page import TopLine
from crewdesk.store.desk import Desk
from crewdesk.store.shop_file import ShopFile
from tests.screens.conftest import SetApp
from tests.two_papers import bring, invoiced, two_papers

REFUSED = (
    "Invoice 1 of Birch Row is number 2 now, because another computer used it too. Look again, "
    "then repeat this."
)
NEWS = "Invoice 1 of Birch Row is number 2 now, because another computer used number 1 too."


@pytest.fixture
def two(tmp_path, now):
    """Ada's and Bo's machine before a sync."""
    return two_papers(tmp_path, now)


@pytest.fixture
def app(two, now) -> SetApp:
    """The program on Bo's machine; it looks at the shop only where a test says so."""
    SetApp.at = now.replace(hour=12)
    app = SetApp(two[1])
    look, app.saving.look = app.saving.look, lambda: None
    app.look_at_all = look
    return app


def letter(app) -> str:
    page = next(one for one in reversed(app.screen_stack) if isinstance(one, IssuedPage))
    return str(page.query_one("#letter", Static).content)


def where(app) -> str:
    return str(app.screen.query_one(TopLine).query_one("#where", Static).content)


async def open_invoice(app, pilot) -> None:
    await pilot.pause()
    app.saving.look()
    await app.push_screen(IssuedPage(document_id(app.desk.shop.record(), 1)))
    await pilot.pause()
    assert "Birch Row" in letter(app)


async def answer(pilot, app, **lines: str) -> str:
    """Fill a question in and answer; what it says is wrong."""
    for key, text in lines.items():
        app.screen.query_one(f"#line-{key}").value = text
    await pilot.press("ctrl+s")
    await pilot.pause()
    return str(app.screen.query_one(".wrong", Static).content) if app.screen.is_modal else ""


async def test_a_list_opens_the_invoice_that_it_showed(two, app) -> None:
    async with app.run_test(size=(80, 30)) as pilot:
        await pilot.pause()
        await pilot.press("m")
        await pilot.pause()
        assert isinstance(app.screen, AccountsPage)
        lines = app.screen.query_one(Lines)
        assert [key for key in (row.key for row in lines.rows) if key.startswith("invoice ")] == [
            lines.key
        ]
        bring(*two)
        await pilot.press("enter")
        await pilot.pause()
        assert "Birch Row" in letter(app)
        assert where(app) == "Progress · number 2"
        await pilot.press("p")
        await pilot.pause()
        assert await answer(pilot, app, amount="50") == ""
        assert "on invoice 2 (Zimmer Builders, Birch Row" in app.told
    (paid,) = two[1].shop.record().payments
    assert paid.invoice == 2


async def test_the_invoices_of_a_job_open_the_one_that_was_shown(two, record, now) -> None:
    ada, bo = two
    SetApp.at = now.replace(hour=12)
    app = SetApp(bo, open_job=bo.create(new_job("Birch Row", record.job.section, now)))
    look, app.saving.look = app.saving.look, lambda: None
    async with app.run_test(size=(80, 30)) as pilot:
        await pilot.pause()
        await pilot.press("$", "4")
        await pilot.pause()
        look()
        bring(ada, bo)
        await pilot.press("enter")
        await pilot.pause()
        assert "Birch Row" in letter(app)
        await pilot.press("escape")
        await pilot.pause()
        look()
        (row,) = app.screen.query_one(Lines).rows
        told = " ".join("".join(text for text, _ in row.parts).split())
        assert told.startswith("2 progress")
        assert told.endswith("first sent as 1")


async def test_credit_to_apply_is_refused_where_a_number_changed(two, app, now) -> None:
    ada, bo = two
    bo.shop.make(lambda books, at: pay(books, 1, Decimal("130.00"), now.date(), at), now)
    invoiced(bo, "Zimmer Builders", "Birch Row", now)
    async with app.run_test(size=(80, 30)) as pilot:
        await open_invoice(app, pilot)
        await pilot.press("a")
        await pilot.pause()
        bring(ada, bo)
        assert await answer(pilot, app) == REFUSED.replace("number 2", "number 3")
    assert len(bo.shop.record().payments) == 1


@pytest.mark.parametrize("key", ["p", "c", "v"])
async def test_a_key_on_a_page_whose_number_changed_shows_it_anew(two, app, key: str) -> None:
    async with app.run_test(size=(80, 30)) as pilot:
        await open_invoice(app, pilot)
        bring(*two)
        await pilot.press(key)
        await pilot.pause()
        assert not app.screen.is_modal
        assert app.told.startswith(REFUSED)
        assert "First sent as:number 1" in letter(app)
        assert where(app) == "Progress · number 2"
        await pilot.press(key)
        await pilot.pause()
        assert app.screen.is_modal


@pytest.mark.parametrize(
    ("key", "lines"),
    [("p", {"amount": "50"}), ("c", {"reason": "x", "0": "5"}), ("v", {"reason": "x"})],
)
async def test_an_open_question_is_refused_where_the_number_changed(two, app, key, lines) -> None:
    async with app.run_test(size=(80, 30)) as pilot:
        await open_invoice(app, pilot)
        await pilot.press(key)
        await pilot.pause()
        bring(*two)
        assert await answer(pilot, app, **lines) == REFUSED
        await pilot.press("escape")
        await pilot.pause()
        assert where(app) == "Progress · number 2"
        books = two[1].shop.record()
        assert (len(books.trail), books.payments) == (2, ())


async def test_what_waits_for_the_disk_is_not_booked_on_another_invoice(
    two, app, monkeypatch
) -> None:
    async with app.run_test(size=(80, 30)) as pilot:
        await open_invoice(app, pilot)
        await pilot.press("p")
        await pilot.pause()
        with monkeypatch.context() as full:

            def fail(file, act, now):
                raise NotSaved(file.path, "the disk is full")

            full.setattr(ShopFile, "make", fail)
            await answer(pilot, app, amount="50")
        assert app.saving.count == 1
        bring(*two)
        app.saving.again()
        assert app.told.startswith(REFUSED)
        assert two[1].shop.record().payments == ()


async def test_a_payment_to_take_out_is_the_one_that_was_listed(two, app, now) -> None:
    def noted(amount: str):
        return lambda books, at: pay(books, 1, Decimal(amount), now.date(), at)

    bo = two[1]
    for amount in ("11.00", "22.00"):
        bo.shop.make(noted(amount), now)
    async with app.run_test(size=(80, 30)) as pilot:
        await open_invoice(app, pilot)
        await pilot.press("delete")
        await pilot.pause()
        Desk(bo.folder, "bo").shop.make(lambda b, at: take_payment_out(b, 1, 1, at), now)
        Desk(bo.folder, "bo").shop.make(noted("33.00"), now)
        await pilot.press("2")
        await pilot.pause()
        assert "The payments have changed since they were listed." in app.told
    assert [str(one.amount) for one in bo.shop.record().payments] == ["22.00", "33.00"]


async def test_the_page_in_front_shows_the_new_number_and_it_is_said_once(two, app) -> None:
    async with app.run_test(size=(80, 30)) as pilot:
        await open_invoice(app, pilot)
        app.look_at_all()
        bring(*two)
        app.look_at_all()
        await pilot.pause()
        assert app.told.startswith(NEWS)
        assert where(app) == "Progress · number 2"
        assert "First sent as:number 1" in letter(app)
        app.tell("")
        app.look_at_all()
        await pilot.pause()
        assert app.told == ""
    # It is in Bo's own files now, so it isn't said at the next start.
    again = Desk(two[1].folder, "bo").shop
    assert again.record().headed(2).was == (1,)
    assert again.news == ()


async def test_it_is_said_at_the_next_start_on_the_jobs_page(two, app) -> None:
    bring(*two)
    async with app.run_test(size=(80, 30)) as pilot:
        await pilot.pause()
        app.look_at_all()
        await pilot.pause()
        assert app.told.startswith(NEWS)
        await pilot.press("m")
        await pilot.pause()
        rows = app.screen.query_one(Lines).rows
        told = ["".join(text for text, _ in row.parts).strip() for row in rows]
        assert "Invoice 2, Zimmer Builders, Birch Row: first sent as number 1" in told
