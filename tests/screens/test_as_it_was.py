"""Every screen on the sample job as it was looked at last, 80 by 24, its clock standing still.

Most are kept as text, line for line, in one file: the app goes from one to the next, as the
user does. A few are kept as pictures, with their colours. After a change that is meant:
``pytest -n 0 --snapshot-update tests/screens/test_as_it_was.py``, and read the difference.
"""

from collections.abc import Callable
from pathlib import Path

import pytest
from syrupy.assertion import SnapshotAssertion

from tests.hostile.walk import back
from tests.pictures.inks import by_colour_alone, states_drawn, unlike
from tests.pictures.pages import STATES, StillApp, app_in, go
from tests.pictures.run_sheet import screen_text

OF_THE_WORK = (
    *("run-sheet", "help", "cautions", "find-typed", "look-up-typed", "can-batch", "is-missing"),
    *("batch", "piece", "piece-steps", "gap", "one-number", "ceiling", "walls", "pass-gate"),
    *("list-of-beams", "stages", "other-work"),
)
OF_THE_BOOKS = (
    *("hours", "pieces-of-hours", "planned", "clock", "price", "money-material", "extra-work"),
    *("invoices", "done", "next-invoice", "took", "customers", "past-jobs", "boards-of-the-shop"),
    *("forms-of-the-shop",),
)


@pytest.mark.parametrize("pages", [OF_THE_WORK, OF_THE_BOOKS], ids=["work", "books"])
async def test_it_reads_as_it_was(
    pages: tuple[str, ...], tmp_path: Path, snapshot: SnapshotAssertion
) -> None:
    changed, drawn = [], set()
    app = app_in("sample", tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        app.register_theme(unlike())
        app.theme = "unlike"
        await pilot.pause()
        home = len(app.screen_stack)
        for page in pages:
            await go(pilot, STATES["sample"][page])
            if screen_text(app) != snapshot(name=page):
                changed.append(page)
            drawn |= set(states_drawn(app.screen))
            await back(app, pilot, home)
        # A step that is ticked, one that comes too early, one that is skipped.
        for keys in (("space",), ("right", "right", "space"), ("left", "x", "2", *"no", "enter")):
            await go(pilot, keys)
            drawn |= set(states_drawn(app.screen))
    assert not changed
    # WCAG 2.2, success criterion 1.4.1: colour is not the only means that tells something.
    assert not [one for one in drawn if by_colour_alone(one)]
    assert {"done", "ready", "waiting", "blocked", "success", "error"} <= {one for one, _ in drawn}


@pytest.mark.parametrize("page", ["run-sheet", "piece"])
def test_it_looks_as_it_was(page: str, tmp_path: Path, snap_compare: Callable[..., bool]) -> None:
    app: StillApp = app_in("sample", tmp_path)
    assert snap_compare(app, press=["_", *STATES["sample"][page]], terminal_size=(80, 24))
