"""Pages and questions: whole in any terminal, readable in every theme, and without colour.

`tests/bench/test_look_bench.py` walks over all of them.
"""

from pathlib import Path

import pytest
from rich.color import Color as RichColor
from rich.color import ColorSystem
from rich.terminal_theme import TerminalTheme
from textual.color import Color
from textual.widgets import Static

from crewdesk.screens.parts.lines import SIGNS
from crewdesk.screens.parts.themes import COLORS
from crewdesk.screens.run_sheet.grid import RunGrid
from tests.pictures.inks import named_pairs, unlike
from tests.pictures.pages import app_in
from tests.pictures.run_sheet import screen_text
from tests.pictures.walked import SIZES, faults, text_pairs, walk_pages
from tests.screens.test_themes import SHIPPED, colors_of, contrast

OF_EACH_KIND = ("run-sheet", "piece", "ceiling", "add-beam", "price")

# The sixteen colours of a text screen as most terminals show them unless told otherwise:
# those of the IBM VGA's text modes (from memory).
SIXTEEN = TerminalTheme(
    (0, 0, 0),
    (255, 255, 255),
    [
        *((0, 0, 0), (170, 0, 0), (0, 170, 0), (170, 85, 0)),
        *((0, 0, 170), (170, 0, 170), (0, 170, 170), (170, 170, 170)),
    ],
    [
        *((85, 85, 85), (255, 85, 85), (85, 255, 85), (255, 255, 85)),
        *((85, 85, 255), (255, 85, 255), (85, 255, 255), (255, 255, 255)),
    ],
)


async def test_a_page_of_each_kind_is_whole_and_readable(tmp_path: Path) -> None:
    wrong, pairs = [], set()
    app = app_in("sample", tmp_path)
    async with app.run_test(size=SIZES[0]) as pilot:
        app.register_theme(unlike())
        app.theme = "unlike"
        await pilot.pause()
        async for page, screen in walk_pages(pilot, "sample", OF_EACH_KIND):
            wrong += [f"{page}: {fault}" for fault in faults(screen)]
            pairs |= named_pairs(screen)
            if page == "sample run-sheet 60x20":
                heads = str(screen.query_one("#heads", Static).content)
                assert {"Scri…", "nail", "Fix-…"} <= set(heads.split())
            if page == "sample piece 60x20":
                left, drawn = screen.query_one("#left"), screen.query_one("#drawn")
                assert left.max_scroll_y == 0, "all figures are in sight"
                assert drawn.size.height >= 5
    assert not wrong
    assert {ink for pair in pairs for ink in pair} <= set(COLORS)
    assert {("muted", "entry"), ("ready", "cursor"), ("done", "background")} <= pairs
    for name in SHIPPED:
        # WCAG 2.2, success criterion 1.4.6, contrast (enhanced), in colour and without; in
        # sixteen colours 1.4.3, contrast (minimum): what they look like the terminal says.
        for seen, least in ((in_colour, 7), (without_colour, 7), (in_sixteen, 4.5)):
            colors = {key: seen(value) for key, value in colors_of(name).items()}
            found = {pair: contrast(colors[pair[0]], colors[pair[1]]) for pair in pairs}
            poor = {pair: round(ratio, 2) for pair, ratio in found.items() if ratio < least}
            assert not poor, (name, seen.__name__)


def in_colour(color: str) -> str:
    return color


def without_colour(color: str) -> str:
    return Color.parse(color).monochrome.hex6


def in_sixteen(color: str) -> str:
    return RichColor.parse(color).downgrade(ColorSystem.STANDARD).get_truecolor(SIXTEEN).hex


async def test_every_state_has_a_sign_and_its_word_without_colour(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    words = {"not ready": "not yet"}
    app = app_in("sample", tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("x", "2", *"none", "enter")
        grid = app.screen.query_one(RunGrid)
        drawn = "".join(grid.row_strip(at).text for at in range(len(grid.lines)))
        text, greys = screen_text(app), text_pairs(app.screen)
    signs = [sign for sign in SIGNS.values() if sign]
    assert len(set(signs)) == len(signs) == len(SIGNS) - 1
    for state, sign in SIGNS.items():
        assert sign in drawn
        assert not sign or f"{sign} {words.get(state, state)}  " in text
    assert "* done early" in text
    assert all(color[1:3] == color[3:5] == color[5:7] for pair in greys for color in pair)
    assert all(contrast(ink, ground) >= 7 for ink, ground in greys)
