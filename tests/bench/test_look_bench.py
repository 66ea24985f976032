"""All pages and questions of crewdesk: whole in any terminal, in the theme's colours alone.

pytest -n 0 -s tests/bench/test_look_bench.py
"""

from pathlib import Path

import pytest

from crewdesk.screens.parts.themes import COLORS
from tests.pictures.inks import named_pairs, unlike
from tests.pictures.pages import app_in
from tests.pictures.walked import SIZES, faults, walk_pages
from tests.screens.test_themes import SHIPPED, colors_of, contrast


@pytest.mark.parametrize("state", ["empty", "sample"])
async def test_every_page_is_whole_and_reads_at_7_to_1(tmp_path: Path, state: str) -> None:
    wrong, count = [], 0
    app = app_in(state, tmp_path)
    async with app.run_test(size=SIZES[0]) as pilot:
        app.register_theme(unlike())
        app.theme = "unlike"
        await pilot.pause()
        async for page, screen in walk_pages(pilot, state):
            count += 1
            wrong += [f"{page}: {fault}" for fault in faults(screen)]
            for ink, ground in named_pairs(screen):
                if not {ink, ground} <= set(COLORS):
                    wrong.append(f"{page}: {ink} on {ground} is none of the theme's")
                    continue
                for name in SHIPPED:
                    colors = colors_of(name)
                    if (ratio := contrast(colors[ink], colors[ground])) < 7:
                        wrong.append(f"{page}: {ink} on {ground} in {name}: {ratio:.2f}")
    print(f"\n{state}: {count} pages looked at")
    assert not wrong, "\n".join(wrong)
