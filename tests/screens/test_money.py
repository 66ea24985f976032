"""The money of a job on the screen: from the price to the last payment.

What a price, a share or a tax comes to is checked in tests/trade/books and
tests/job/books; here, that the screens do through them what they say.
"""

from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from textual.widgets import Static

from crewdesk.job.beams import beams
from crewdesk.job.books.shop_record import change_shop
from crewdesk.job.lumber.stock_list import typed_stock
from crewdesk.job.steps.stages import EXTRA_WORK
from crewdesk.job.time import clock
from crewdesk.screens.money.issued import IssuedPage
from crewdesk.screens.money.money import LEAVES, MoneyPage
from crewdesk.screens.money.next_invoice import PreviewPage
from crewdesk.screens.parts.ask import Form
from crewdesk.screens.parts.figure import BigFigures
from crewdesk.screens.parts.inked import Band
from crewdesk.screens.parts.lines import Lines
from crewdesk.store.desk import Desk

D = Decimal


@pytest.fixture
def priced(desk: Desk, hill: str, now) -> str:
    """The job with beams of 10 and 20 ft, in a shop that takes 60 an hour and no tax."""
    job = desk.open(hill)
    for row, inches in (("1", 120), ("2", 240)):
        job.make(beams.change_beam(job.record, row, {"rough": Fraction(inches)}, now))
    job.close(now)
    desk.shop.change(now, hour="60", name="Larkspur Trim")
    return hill


async def fill(pilot, app, **lines: str) -> str:
    """Fills lines of the question in and answers; gives what is told to be wrong."""
    await pilot.pause()
    for key, text in lines.items():
        app.screen.query_one(f"#line-{key}").value = text
    await pilot.press("ctrl+s")
    await pilot.pause()
    if not isinstance(app.screen, Form):
        return ""
    return str(app.screen.query_one(".wrong", Static).content)


def rows(app) -> list[str]:
    every = app.screen.query_one(Lines).rows
    return [" ".join("".join(text for text, _ in row.parts).split()) for row in every]


def letter(app) -> str:
    return str(app.screen.query_one("#letter", Static).content)


def band(app, id_: str) -> str:
    return str(app.screen.query_one(f"#{id_}", Band).content)


async def test_a_job_from_price_to_paid(
    start_app, desk: Desk, priced: str, kept, now, tmp_path
) -> None:
    app = start_app(priced)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("$")
        await pilot.pause()
        assert isinstance(app.screen, MoneyPage)
        # The default rates over 30 ft and 2 beams: rip (30 x 1 + 2 x 4) min at 1 a minute.
        assert any(line.startswith("Rip $30.40 $38.00 $47.50") for line in rows(app))

        # Material: what will not do is told in place.
        await pilot.press("2", "a")
        wrong = await fill(pilot, app, text="White oak", quantity="ten", price="84")
        assert "a quantity of White oak" in wrong
        assert "below zero" in await fill(pilot, app, quantity="10", price="-84")
        assert await fill(pilot, app, price="84", waste="10") == ""
        assert rows(app) == ["White oak 10 $84.00 10% 0% $924.00"]

        # What the takeoff counts comes in with one key, planned in a thread of its own.
        await pilot.press("t")
        await pilot.pause()
        assert "no boards to plan with. Enter" in app.told
        oak = {"species": "Oak", "size": "1x12", "lengths": "12', 22'", "price": "4", "per": "foot"}
        desk.shop.make(lambda books, at: typed_stock(books, oak, at), now)
        desk.shop.make(lambda books, at: change_shop(books, {"packs": {"tape": "8"}}, at), now)
        await pilot.press("t")
        for _ in range(200):
            await pilot.pause(0.02)
            if len(rows(app)) > 1:
                break
        assert len(rows(app)) > 1, app.told
        oak_row = next(line for line in rows(app) if line.startswith("Oak 1x12"))
        assert "in it 0%" in oak_row
        assert "Painter's tape, roll 1 $8.00 in it 0% $8.00" in rows(app)
        await pilot.press("ctrl+z")
        await pilot.pause()
        assert len(rows(app)) == 1

        # Accepted, and frozen.
        await pilot.press("1", "y")
        assert "isn't in the calendar" in await fill(pilot, app, on="2026-02-30")
        assert "Type who accepted" in await fill(pilot, app, on="today", by="")
        assert await fill(pilot, app, by="Ada Quill") == ""
        accepted = kept(priced).accepted
        assert (accepted.by, f"{accepted.on}") == ("Ada Quill", "2026-03-02")
        assert accepted.subtotal >= D(924)
        assert f"Contract ${accepted.total:,}" in band(app, "sums")
        assert "Bill the deposit" in band(app, "sums")
        assert f"Total{accepted.total:,}" in band(app, "total").replace("$", "").replace(" ", "")
        assert any("Accepted on Mar 2, 2026 by Ada Quill" in line for line in rows(app))

        # The deposit: shown, issued after a question, never undone.
        await pilot.press("n")
        await pilot.pause()
        assert isinstance(app.screen, PreviewPage)
        assert "Invoice 1  (PREVIEW, NOT ISSUED)" in letter(app)
        assert "Deposit invoice 1" in band(app, "title")
        assert "Issue it: press i" in band(app, "beside")
        shown = app.screen.query_one(BigFigures).text
        await pilot.press("i", "escape")
        await pilot.pause()
        assert desk.shop.record().trail == ()
        await pilot.press("i", "1")
        await pilot.pause()
        assert isinstance(app.screen, IssuedPage)
        (issued,) = desk.shop.record().trail
        # 30 % of the price, half up to the cent
        assert issued.total == (accepted.subtotal * D("0.3")).quantize(D("0.01"), "ROUND_HALF_UP")
        assert "PREVIEW" not in letter(app)
        assert app.screen.query_one(BigFigures).text == shown == f"${issued.total:,}"
        assert "Once it comes in: press p" in band(app, "beside")
        await pilot.press("ctrl+z")
        await pilot.pause()
        assert "hour" not in app.told
        assert len(desk.shop.record().trail) == 1

        # A file that is there is not written over.
        file = tmp_path / "deposit.txt"
        await pilot.press("s")
        assert "end in .pdf or .txt" in await fill(pilot, app, file=str(tmp_path / "deposit.doc"))
        assert "no folder" in await fill(pilot, app, file=str(tmp_path / "none" / "a.pdf"))
        assert await fill(pilot, app, file=str(file)) == ""
        assert app.told == f"Wrote {file}"
        assert "Larkspur Trim" in file.read_text()
        await pilot.press("s")
        assert "exists already" in await fill(pilot, app, file=str(file))
        await pilot.press("escape")

        # Paid; and the payment taken back and made again.
        await pilot.press("p")
        assert "more than a year before invoice 1" in await fill(pilot, app, on="2024-03-01")
        assert "isn't an amount" in await fill(pilot, app, on="today", amount="lots")
        assert await fill(pilot, app, amount=str(issued.total), note="check 1042") == ""
        assert "check 1042" in letter(app)
        assert "Paid in full" in letter(app)
        await pilot.press("v")
        assert "Credit it instead" in await fill(pilot, app, reason="a slip")
        await pilot.press("escape", "ctrl+z")
        await pilot.pause()
        assert desk.shop.record().payments == ()
        await pilot.press("ctrl+y")
        await pilot.pause()
        assert len(desk.shop.record().payments) == 1

        # In the narrowest terminal a column is left out before a figure would be cut.
        page = MoneyPage()
        page.books = app.job_books()
        app.push_screen(page)
        await pilot.pause()
        for leaf in (kind(page) for kind in LEAVES):
            for width in (59, 79):
                lines = ["".join(part for part, _ in row.parts) for row in leaf.rows_in(width)]
                lines.append(leaf.heads_in(width))
                assert max(map(len, lines)) <= width, lines


async def test_extra_work_is_accepted_and_then_billed(
    start_app, desk: Desk, priced: str, kept
) -> None:
    app = start_app(priced)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("$", "y")
        assert await fill(pilot, app, by="Ada Quill") == ""
        await pilot.press("3", "a")
        assert "price, like 240" in await fill(pilot, app, text="Wrap a header", price="4/ft")
        assert await fill(pilot, app, price="240") == ""
        assert rows(app) == ["1 Wrap a header $240.00 not accepted"]
        await pilot.press("y")
        assert await fill(pilot, app, by="Ada Quill") == ""
        hour = timedelta(hours=1)
        app.do(lambda record, at: clock.add(record, EXTRA_WORK, at - 2 * hour, at - hour, at))
        await pilot.press("n", "k", "2")
        await pilot.pause()
        assert "Wrap a header" in letter(app)
        # An hour that no invoice would bill is told, and goes on the change order.
        assert "1h of extra work is on no change order" in band(app, "sum")
        await pilot.press("i", "1", "1")
        await pilot.pause()
        assert "no change order" not in band(app, "sum")
        assert kept(priced).entries[-1].order == "1"
        await pilot.press("i", "1", "escape", "3")
        await pilot.pause()
        assert rows(app) == ["1 Wrap a header $240.00 on invoice 1"]

        # A credit of part, then the void of the rest is refused for nothing.
        await pilot.press("4", "enter", "c")
        assert "needs a reason" in await fill(pilot, app, **{"0": "40"})
        told = str(app.screen.query_one("#live", Static).content)
        assert told == "It credits $40.00, tax included."
        assert "type from 0 to 240" in await fill(pilot, app, reason="thinner", **{"0": "300"})
        assert await fill(pilot, app, **{"0": "40"}) == ""
        assert "Credited" in letter(app)
        await pilot.press("escape")
        await pilot.pause()
        assert rows(app) == [
            "2 credit memo Mar 2, 2026 -$40.00 of invoice 1",
            "1 progress Mar 2, 2026 $240.00 $200.00 due Apr 1, 2026",
        ]
        await pilot.press("1", "enter")
        assert "85" in await fill(pilot, app, hour="0")
        assert await fill(pilot, app, hour="72") == ""
        assert kept(priced).job.hour == D(72)


async def test_a_beam_without_a_length_is_named_above_the_price(
    start_app, desk: Desk, priced: str, kept, now
) -> None:
    job = desk.open(priced)
    job.make(beams.add_beam(job.record, "Late", "Hall", now))
    job.close(now)
    app = start_app(priced)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("$")
        await pilot.pause()
        assert rows(app)[0] == "! Hall Late isn't included: the length isn't known yet."
        assert any(line.startswith("Rip $30.40 $38.00 $47.50") for line in rows(app))
        await pilot.press("y")
        await fill(pilot, app, by="Ada", on="today")
        assert kept(priced).accepted.left_out == ("Hall Late",)
        assert "The accepted price doesn't include Hall Late." in " ".join(rows(app))


async def test_without_a_rate_the_page_says_what_is_missing(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("$")
        await pilot.pause()
        assert "No hourly rate is set" in " ".join(rows(app))
        await pilot.press("y")
        await pilot.pause()
        assert "No hourly rate is set" in app.told
        await pilot.press("5")
        await pilot.pause()
        assert rows(app)[0].startswith("Rip 0%")
        assert band(app, "total").split()[:3] == ["Whole", "job", "0%"]


async def test_without_a_business_name_that_is_the_one_thing_to_do(
    start_app, desk: Desk, priced: str, now
) -> None:
    desk.shop.change(now, name="", deposit="50")
    app = start_app(priced)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("$", "1", "y")
        await fill(pilot, app, by="Ada Quill")
        await pilot.press("n")
        await pilot.pause()
        assert isinstance(app.screen, PreviewPage)
        assert band(app, "beside").startswith("Set your business name: press F7")
        assert "business name" not in band(app, "sum")
        desk.shop.change(now, name="Larkspur Trim")
        app.screen.record_changed(frozenset())
        await pilot.pause()
        assert band(app, "beside").startswith("Issue it: press i")
        # At 80x24 the letter takes the place of the lines, by a key.
        letter_, lines = app.screen.query_one("#letter"), app.screen.query_one("#lines")
        assert (letter_.display, lines.display) == (False, True)
        await pilot.press("v")
        await pilot.pause()
        assert (letter_.display, lines.display) == (True, False)
