"""The material page: the plan made in a thread, stopped, kept, ticked, spoiled, planned anew."""

import json
from decimal import Decimal
from pathlib import Path
from threading import Event

import pytest
from textual.widgets import Static

from crewdesk.job.beams import beams
from crewdesk.job.lumber.plan_boards import solve
from crewdesk.job.lumber.stock_list import take_stock_in
from crewdesk.screens.business.lists import StockPage
from crewdesk.screens.material import planning
from crewdesk.screens.material.material import MaterialPage
from crewdesk.screens.material.planning import Planning
from crewdesk.screens.parts.inked import Band
from crewdesk.screens.parts.lines import Lines
from crewdesk.store.desk import Desk
from crewdesk.trade.boards.cutting_plan import Progress

ROOT = Path(__file__).parent.parent.parent


@pytest.fixture
def bend(desk: Desk, now) -> str:
    """The sample job before its boards were planned, and its stock, in the data folder."""
    stock = json.loads((ROOT / "sample_data" / "stock.json").read_text())
    desk.shop.make(lambda books, at: take_stock_in(books, stock, at), now)
    document = json.loads((ROOT / "sample_data" / "tamarack-bend.json").read_text())
    del document["boards"], document["history"], document["job"]["plan"]
    return desk.take_in(document, now)


async def settled(pilot, app) -> None:
    for _ in range(400):
        await pilot.pause(0.02)
        if isinstance(app.screen, MaterialPage) and not app.screen.query_one(Planning).busy:
            return
    raise AssertionError("the plan is never done")


def lines(app) -> list[str]:
    return ["".join(t for t, _ in row.parts).strip() for row in app.screen.query_one(Lines).rows]


@pytest.mark.parametrize("size", [(80, 24), (120, 50)])
async def test_a_beam_without_a_length_is_left_out_in_sight(
    start_app, bend: str, desk: Desk, now, size
) -> None:
    job = desk.open(bend)
    job.make(beams.add_beam(job.record, "9", "Attic", now))
    job.close(now)
    app = start_app(bend)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        await pilot.press("m")
        await settled(pilot, app)
        told = " ".join(str(app.screen.query_one("#sum", Static).content).split())
        assert "without Attic 9, whose length isn't known" in told.replace("Without", "without")
        assert "roven" not in told
        assert lines(app), "the rest is planned"


async def test_from_plan_to_spoiled_board(start_app, bend: str, kept) -> None:
    app = start_app(bend)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("m")
        await settled(pilot, app)
        assert "Proven, no plan with these cuts costs less" in str(
            app.screen.query_one("#sum", Static).content
        )
        assert not kept(bend).boards, "nothing is kept before the user says so"
        await pilot.press("space")
        await pilot.pause()
        bought = [b for b in kept(bend).boards if b.state == "bought" and not b.hand]
        assert len(bought) == 8
        assert "Saved: marked 8 boards as bought" in app.told
        await pilot.press("ctrl+z")
        await pilot.pause()
        assert {b.state for b in kept(bend).boards if not b.hand} == {"to buy"}
        await pilot.press("ctrl+y")
        await pilot.pause()

        page = app.screen
        assert str(page.query_one("#sum", Band).content).splitlines()[1].startswith("□ Buy ")
        assert any(line.startswith("✓   8+1 x 18'") and "$118.80 each" in line
                   for line in lines(app))  # fmt: skip
        named = [line for line in lines(app) if "Great room 1 side A" in line]
        assert len(named) == 1
        assert "┃━" in named[0]
        page.query_one(Lines).go_to(f"board:{bought[0].row}")
        await pilot.press("k")
        await pilot.pause()
        page.query_one(Lines).go_to(f"board:{bought[1].row}")
        await pilot.press("x")
        await pilot.pause()
        await pilot.press("ctrl+s")
        await settled(pilot, app)
        boards = {b.row: b for b in kept(bend).boards}
        assert boards[bought[0].row].state == "cut"
        assert boards[bought[0].row].pieces == bought[0].pieces
        assert boards[bought[1].row].state == "spoiled"
        given = [p.key for b in boards.values() for p in b.pieces]
        assert len(given) == len(set(given)) == 30
        assert any(line.startswith(f"x  {bought[1].row:>2}") and line.endswith("ruined")
                   for line in lines(app))  # fmt: skip


async def test_a_long_solve_can_be_stopped_and_never_holds_the_screen(
    start_app, bend: str, monkeypatch
) -> None:
    asked, begun = [], Event()

    def long(task, *, seconds, stop, tell):
        """Goes on until it is stopped, as a hard problem does; then the solver stops, too."""
        tell(Progress(Decimal("2190.00"), Decimal(0)))
        tell(Progress(Decimal("2156.90"), Decimal("1988.20")))
        tell(Progress(Decimal("2092.10"), Decimal("2051.00")))
        begun.set()
        while not stop():
            asked.append(1)
            Event().wait(0.005)
        return solve(task, stop=stop, tell=tell)

    monkeypatch.setattr(planning, "solve", long)
    app = start_app(bend)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("m")
        await pilot.pause(0.1)
        assert begun.wait(5)
        assert app.screen.query_one("#busy").display
        await pilot.pause(0.1)
        shown, drawn = str(app.screen.query_one("#busy", Band).content).split("\n")
        assert "best $2,092.10 · can't be under $2,051.00" in shown
        assert "Take it: press s" in shown
        # From 1,988.20 at the left to 2,190.00 at the right: 2,051.00 is 31% and 2,092.10 is
        # 51% along.
        assert drawn.index("├") / len(drawn) == pytest.approx(0.311, abs=0.02)
        assert drawn.index("┃") / len(drawn) == pytest.approx(0.515, abs=0.02)
        await pilot.press("r")
        await pilot.pause()
        assert "s to stop it" in app.told
        await pilot.press("f1")
        await pilot.pause()
        assert not isinstance(app.screen, MaterialPage), "other keys work meanwhile"
        await pilot.press("f1", "s")
        await settled(pilot, app)
        assert asked
        assert "of the cheapest there can be with these cuts" in str(
            app.screen.query_one("#sum", Static).content
        )
        assert "Stopped" in app.told


async def test_without_stock_it_says_what_to_do(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("m")
        await pilot.pause()
        # It is told once, where the plan would stand.
        summed = str(app.screen.query_one("#sum", Static).content)
        assert (summed.count("There are no boards to plan with. Enter"), app.told) == (1, "")
        await pilot.press("space", "k", "x", "l", "escape")
        await pilot.pause()
        assert isinstance(app.screen, MaterialPage)


async def test_the_stock_list_is_kept_on_its_page(start_app, desk: Desk, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("f7", "b")
        await pilot.pause()
        assert isinstance(app.screen, StockPage)
        await pilot.press("a")
        await pilot.pause()
        typed = {"species": "Oak", "size": "1x99", "lengths": "8', 10' x 3", "price": "5"}
        for key, text in typed.items():
            app.screen.query_one(f"#line-{key}").value = text
        await pilot.press("ctrl+s")
        await pilot.pause()
        assert "a known size. Thicknesses" in str(app.screen.query_one(".wrong", Static).content)
        app.screen.query_one("#line-size").value = "1x10"
        await pilot.press("ctrl+s")
        await pilot.pause()
        (line,) = desk.shop.record().stock
        assert (line.size, line.per, line.lengths[1]) == ("1x10", "foot", (120, 3))
        assert "Oak 1x10" in lines(app)[1]
        await pilot.press("ctrl+z")
        await pilot.pause()
        assert desk.shop.record().stock == ()
