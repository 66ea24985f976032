"""On a sloped beam every page that asks for a length says that it runs along the slope.

A level line between the walls is shorter than the board by the cosine of the slope: at 5/12
12/13 of it, so 120 in along the slope are 110.8 in level.
"""

import pytest
from textual.pilot import Pilot

from crewdesk.job.beams import beams
from crewdesk.job.beams.piece import Spot
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.screens.piece.piece import PiecePage
from tests.pictures.run_sheet import screen_text


@pytest.fixture
def sloped(job, now) -> str:
    """The job's id; its first beam is sloped."""
    job.make(beams.change_beam(job.record, "1", {"ceiling": "sloped", "pitch": "5/12"}, now))
    job.close(now)
    return job.id


def words(app) -> str:
    return " ".join(screen_text(app).split())


async def _page(pilot: Pilot[None], app, piece: str) -> str:
    await app.push_screen(PiecePage(Spot("1", piece)))
    await pilot.pause()
    return words(app)


async def test_the_pages_of_a_sloped_beam_say_along_the_slope(start_app, sloped) -> None:
    app = start_app(sloped)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        shown = await _page(pilot, app, "A")
        assert "wall to wall, slope" in shown
        assert "parallel to the ceiling and not level" in shown
        assert "wall to wall, bottom" not in shown
        assert "along slope, edge A" in await _page(pilot, app, "bottom")
        app.pop_screen()
        app.pop_screen()
        await pilot.press("home", "g")
        await pilot.pause()
        assert "side A · wall-to-wall length along the slope, at the bottom line" in words(app)


def test_the_cut_list_says_it_too(record, now) -> None:
    record.make(beams.change_beam(record, "1", {"ceiling": "sloped", "pitch": "5/12"}, now))
    text = "\n".join(cut_list("hill", record).lines)
    assert "wall-to-wall length along the slope, at the bottom line (side A)" in text
