"""The app over the job of `tests/conftest.py`, with a clock that the test sets."""

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import Static

from crewdesk.job.record import Record
from crewdesk.screens import app
from crewdesk.screens.app import CrewdeskApp
from crewdesk.screens.parts.page import Page
from crewdesk.store.desk import Desk
from crewdesk.store.job_file import JobFile


class SetApp(CrewdeskApp):
    """crewdesk with a clock that stands still until it is moved."""

    CSS_PATH = Path(app.__file__).with_name("crewdesk.tcss")
    at: datetime = datetime.max

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, clock=lambda: self.at, **kwargs)

    def later(self, **time: float) -> None:
        """Let time pass while crewdesk looks at the clock, as it does each second."""
        until = self.at + timedelta(**time)
        while self.at < until:
            self.at = min(self.at + timedelta(minutes=5), until)
            self.clocks.tick()

    @property
    def told(self) -> str:
        """The lowest line of the page in front."""
        page = next(one for one in reversed(self.screen_stack) if isinstance(one, Page))
        return str(page.query_one("Told", Static).content)


@pytest.fixture
def start_app(desk: Desk, now: datetime) -> Callable[..., SetApp]:
    """Makes the app on `desk`, its clock at `now` or so many minutes after it."""

    def start(open_job: str | None = None, minutes: float = 0) -> SetApp:
        SetApp.at = now + timedelta(minutes=minutes)
        return SetApp(desk, open_job=open_job)

    return start


@pytest.fixture
def hill(job: JobFile, now: datetime) -> str:
    """The job's id, the job itself written and let go."""
    job.close(now)
    return job.id


@pytest.fixture
def kept(desk: Desk) -> Callable[[str], Record]:
    """Reads a job from the disk as it was saved."""
    return lambda id_: desk.open(id_, writing=False).record
