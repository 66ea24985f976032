"""Paper and cautions are a key away on the pages where the work is done."""

import re
from io import BytesIO
from pathlib import Path
from types import SimpleNamespace

import pytest
from pypdf import PdfReader
from textual.binding import Binding
from textual.widgets import Label, Static

from crewdesk.job.beams.piece import Spot
from crewdesk.screens.piece.ceiling import CeilingPage
from crewdesk.screens.piece.gaps import GapsSheet
from crewdesk.screens.piece.piece import PiecePage
from crewdesk.screens.piece.steps import StepsSheet, stage_of_piece, stage_of_step
from crewdesk.screens.run_sheet.batch import BatchPage
from crewdesk.screens.run_sheet.run_sheet import RunSheetPage


def title(app) -> str:
    return str(app.screen.query_one("#title", Label).content)


def written(app) -> str:
    """The text of the file that the page says it wrote."""
    found = re.fullmatch(r"Wrote (.+\.pdf)", app.told)
    assert found, app.told
    pages = PdfReader(BytesIO(Path(found[1]).read_bytes())).pages
    return "\n".join(page.extract_text() for page in pages)


@pytest.fixture
def home(tmp_path: Path, monkeypatch) -> Path:
    """The user's own folder."""
    monkeypatch.setenv("HOME", str(tmp_path))
    return tmp_path


async def test_on_every_page_where_work_is_done(start_app, hill: str, home: Path) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        # The run sheet.
        await pilot.press("right", "!")
        assert title(app) == "Cautions: Ease"
        assert "29 CFR 1926.102" in str(app.screen.query_one("#text", Static).content)
        await pilot.press("!", "left", "p", "8", "2", "enter")
        assert "arrow to side A" in written(app)
        assert (home / "hill-house-labels.pdf").is_file()
        # A batch, one piece of it left out.
        await pilot.press("b", "1", "!")
        assert title(app) == "Cautions: Rip"
        await pilot.press("!", "down", "space", "p", "enter")
        text = written(app)
        assert "Rip to width" in text
        assert "3 pieces" in text
        # A piece, whose lines take every key that a length has in it.
        await pilot.press("escape", "enter", "1", "2", "!")
        assert title(app) == "Cautions: Rip"
        await pilot.press("!")
        assert app.screen.fields[0].value == "12"
        await pilot.press("ctrl+t")
        assert "isn't printed" in str(app.screen.query_one(".lines Static", Static).content)
        await pilot.press("3", "enter")
        assert "Great room Ridge" in written(app)
    assert len(list(home.glob("*.pdf"))) == 3


def test_steps_gaps_and_the_ceiling_have_the_key_too(record) -> None:
    for page in (StepsSheet, GapsSheet, CeilingPage, PiecePage, BatchPage, RunSheetPage):
        keys = {one.key: one.action for one in Binding.make_bindings(page.BINDINGS)}
        assert keys["exclamation_mark"] == "cautions"
        assert callable(page.action_cautions)
    app, spot = SimpleNamespace(record=record), Spot("1", "A")
    assert stage_of_piece(app, spot) == "rip"
    assert stage_of_step(app, "gaps", spot) == "fix-up"
    assert stage_of_step(app, "scribe", spot) == "scribe"
    assert stage_of_step(app, "dropped", spot) == "rip"
