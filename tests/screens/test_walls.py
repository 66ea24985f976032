"""The walls in plan, typed: what doesn't go with the sides' readings is said as it is saved."""

import pytest
from textual.widgets import Input

from crewdesk.job.beams import take
from crewdesk.job.steps.ticks import Spot
from crewdesk.screens.parts.ask import Form
from crewdesk.screens.piece.numbers import Held
from crewdesk.screens.piece.piece import PiecePage
from crewdesk.screens.piece.walls import WallNumber, ask_walls

SIZE = (80, 24)


@pytest.fixture
def read(job, now) -> str:
    """Both sides of the first beam read as 147 in long, so that the walls are square to it."""
    for key in ("A", "B"):
        reading = take.typed_reading(job.record, "run", "147", now)
        job.make(take.take(job.record, Spot("1", key), "run", reading))
    job.close(now)
    return job.id


async def type_walls(app, pilot, gap: str) -> None:
    ask_walls(app, "1")
    await pilot.pause()
    assert isinstance(app.screen, Form)
    for number, text in enumerate((gap, "A", gap, "A")):
        list(app.screen.query(Input))[number].value = text
    await pilot.press("enter", "enter", "enter", "enter", "enter")
    await pilot.pause()
    assert not isinstance(app.screen, Form)


async def test_squares_that_contradict_the_runs_are_doubted_at_once(read, start_app) -> None:
    """By hand: 1/2 in over 24 at both walls makes side A 1/3 in, shown as 11/32-, longer over a
    beam 8 in wide."""
    app = start_app(read)
    async with app.run_test(size=SIZE) as pilot:
        app.push_screen(PiecePage(Spot("1", "A")))
        await pilot.pause()
        await type_walls(app, pilot, "1/2")
        assert app.told.startswith(
            "Saved, but in doubt: By the lengths of Great room Ridge, both sides are equally long; "
            "by the squares at both walls, side A is 11/32- in longer"
        )
        assert app.record.beam("1").pair.square(2) is not None
        # The same where one number after the other is asked for.
        assert WallNumber(app, "1", "square2", Held()).doubt() in app.told
        await type_walls(app, pilot, "0")
        assert "in doubt" not in app.told
        assert WallNumber(app, "1", "square2", Held()).doubt() == ""
