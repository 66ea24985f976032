"""Each page that names a day names the business's; the zone is set in the shop's settings."""

from datetime import datetime
from fractions import Fraction

import pytest
from textual.widgets import Static

from crewdesk.job.beams import beams
from crewdesk.job.books.documents import document_id
from crewdesk.screens.money.issued import IssuedPage
from crewdesk.screens.parts.ask import Form
from crewdesk.screens.parts.lines import Lines
from crewdesk.store.books import issue
from crewdesk.store.desk import Desk

MACHINE = datetime.fromisoformat("2026-03-19T23:30:00-11:00")
"""The machine is in Pago Pago; in Denver, where the job is, it is 4:30 on the 20th, and in
Kiritimati 0:30 on the 21st (offsets of the IANA time zone database)."""


def rows(app) -> list[str]:
    every = app.screen.query_one(Lines).rows
    return [" ".join("".join(text for text, _ in row.parts).split()) for row in every]


async def fill(pilot, app, **lines: str) -> str:
    await pilot.pause()
    for key, text in lines.items():
        app.screen.query_one(f"#line-{key}").value = text
    await pilot.press("ctrl+s")
    await pilot.pause()
    wrong = app.screen.query(".wrong") if isinstance(app.screen, Form) else ()
    return str(wrong.first(Static).content) if wrong else ""


@pytest.fixture
def priced(desk: Desk, hill: str, now) -> str:
    """A job in Denver that can be priced; the shop has a rate and no zone."""
    job = desk.open(hill)
    job.make(beams.change_job(job.record, {"zone": "America/Denver"}, now))
    for row in ("1", "2"):
        job.make(beams.change_beam(job.record, row, {"rough": Fraction(120)}, now))
    job.close(now)
    desk.shop.change(now, hour="60", name="Larkspur Trim", terms="0")
    return hill


@pytest.mark.parametrize(
    ("zone", "day", "weekday"),
    [
        ("", "2026-03-19", "Thu"),
        pytest.param("America/Denver", "2026-03-20", "Fri", marks=pytest.mark.slow),
        ("Pacific/Kiritimati", "2026-03-21", "Sat"),
    ],
)
async def test_every_page_has_the_business_s_day(
    start_app, desk: Desk, priced: str, kept, now, zone: str, day: str, weekday: str
) -> None:
    desk.shop.change(now, zone=zone)
    app = start_app(priced)
    type(app).at = MACHINE
    async with app.run_test(size=(90, 30)) as pilot:
        await pilot.pause()
        await pilot.press("$", "y")
        await pilot.pause()
        assert app.screen.query_one("#line-on").value == day
        assert await fill(pilot, app) == ""
        assert f"{kept(priced).accepted.on}" == day
        await pilot.press("n")
        await pilot.pause()
        written = f"Mar {int(day[-2:])}, 2026"
        assert written in str(app.screen.query_one("#letter", Static).content)
        await pilot.press("i", "1")
        await pilot.pause()
        (issued,) = desk.shop.record().trail
        assert f"{issued.issued_on}" == day
        await pilot.press("p")
        await pilot.pause()
        assert app.screen.query_one("#line-on").value == day
        assert await fill(pilot, app, amount="5") == ""
        await pilot.press("c")
        assert await fill(pilot, app, reason="agreed") == ""
        books = desk.shop.record()
        assert {f"{books.payments[0].on}", f"{books.trail[1].issued_on}"} == {day}
        await pilot.press("escape", "escape")
        await pilot.pause()
        for key in "hda":
            await pilot.press(key)
            await pilot.pause()
        assert await fill(pilot, app, day="today", note="sweep up") == ""
        assert rows(app)[-1] == "□ Today sweep up"
        assert app.screen.key == day
        # Hours are the site's: an entry that is typed for today is of the 20th in Denver.
        await pilot.press("escape", "a")
        assert await fill(pilot, app, when="1:00am-2:00am", stage="rip") == ""
        assert kept(priced).entries[-1].start.isoformat() == "2026-03-20T01:00:00-06:00"
        assert rows(app)[0].startswith("── Fri Mar 20, today")
        await pilot.press("escape", "escape")
        await pilot.pause()
        await pilot.press("m")
        await pilot.pause()
        assert f"as of {written}" in rows(app)[0]


async def test_what_was_issued_counts_on_every_page_though_the_day_goes_back(
    start_app, desk: Desk, priced: str, now
) -> None:
    """Issued in Kiritimati on the 21st; then the business's zone is Denver's, on the 20th."""
    desk.shop.change(now, zone="Pacific/Kiritimati")
    record = desk.open(priced, writing=False).record
    issue(desk, priced, record, MACHINE, kind="deposit")
    desk.shop.change(MACHINE, zone="America/Denver")
    app = start_app(priced)
    type(app).at = MACHINE
    async with app.run_test(size=(90, 30)) as pilot:
        await pilot.pause()
        assert (f"{app.today}", f"{app.books_day}") == ("2026-03-20", "2026-03-21")
        await app.push_screen(IssuedPage(document_id(desk.shop.record(), 1)))
        await pilot.press("p")
        await pilot.pause()
        assert app.screen.query_one("#line-on").value == "2026-03-21"
        assert await fill(pilot, app, amount="5") == ""
        await pilot.press("c")
        assert await fill(pilot, app, reason="agreed") == ""
        books = desk.shop.record()
        assert {f"{books.payments[0].on}", f"{books.trail[1].issued_on}"} == {"2026-03-21"}
        await pilot.press("escape", "escape")
        await pilot.pause()
        await pilot.press("m")
        await pilot.pause()
        assert "as of Mar 21, 2026" in rows(app)[0]
        assert app.screen._found.on.day == 21


async def test_the_zone_is_set_where_the_shop_is(start_app, desk: Desk, hill: str) -> None:
    app = start_app(hill)
    type(app).at = MACHINE
    async with app.run_test(size=(90, 30)) as pilot:
        await pilot.pause()
        assert f"{app.today}" == "2026-03-19"
        await pilot.press("f7")
        await pilot.pause()
        assert "Time zone this computer's" in rows(app)
        app.screen.query_one(Lines).go_to("zone")
        await pilot.press("enter")
        said = await fill(pilot, app, zone="Denver")
        assert said == ("Denver isn't a known time zone. Type America/Denver, or leave it empty.")
        assert await fill(pilot, app, zone="pacific/kiritimati") == ""
        assert "Time zone Pacific/Kiritimati" in rows(app)
        assert desk.shop.shop().zone == "Pacific/Kiritimati"
        assert f"{app.today}" == "2026-03-21"
        # At a fixed offset: two times of one zone would be compared by what its clocks showed.
        assert app.now().isoformat() == "2026-03-21T00:30:00+14:00"
        assert app.now().dst() is None
        # What another crewdesk set counts at once; a zone that isn't known here does not.
        desk.shop.change(app.now(), zone="America/Denver")
        assert f"{app.today}" == "2026-03-20"
