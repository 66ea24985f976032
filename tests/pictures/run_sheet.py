"""The run sheet of the sample job as the program itself draws it, 80 by 24, for README.

python -m tests.pictures.run_sheet
"""

import asyncio
import io
import json
import sys
import tempfile
from datetime import datetime
from pathlib import Path
from typing import Any

from rich.console import Console

from crewdesk.screens import app as screens_app
from crewdesk.screens.app import CrewdeskApp
from crewdesk.store.desk import Desk

SAMPLE = Path(__file__).parent.parent.parent / "sample_data" / "tamarack-bend.json"
SIZE = (80, 24)
WHEN = datetime.fromisoformat("2026-03-05T17:00:00-07:00")
"""After the sample's last working day; the picture has no other time in it."""


class SampleApp(CrewdeskApp):
    """crewdesk on the sample job, its clock standing still."""

    CSS_PATH = Path(screens_app.__file__).with_name("crewdesk.tcss")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, clock=lambda: WHEN, **kwargs)


def sample_app(folder: Path) -> SampleApp:
    """The app with the sample job open, its data in `folder`."""
    desk = Desk(folder)
    return SampleApp(desk, open_job=desk.take_in(json.loads(SAMPLE.read_text()), WHEN))


def screen_text(app: CrewdeskApp) -> str:
    """What stands on the screen, line for line, blanks at the end of a line left out."""
    console = Console(
        width=app.size.width,
        height=app.size.height,
        file=io.StringIO(),
        force_terminal=True,
        record=True,
        legacy_windows=False,
    )
    console.print(app.screen._compositor.render_update(full=True))
    lines = console.export_text().splitlines()[: app.size.height]
    return "\n".join(line.rstrip() for line in lines)


async def _drawn() -> str:
    with tempfile.TemporaryDirectory() as folder:
        app = sample_app(Path(folder))
        async with app.run_test(size=SIZE) as pilot:
            await pilot.pause(0.1)
            await pilot.press(*["pageup"] * 4, *["right"] * 5)
            await pilot.pause(0.1)
            return screen_text(app)


def run_sheet() -> str:
    """The picture."""
    return asyncio.run(_drawn())


if __name__ == "__main__":
    sys.stdout.write(f"{run_sheet()}\n")
