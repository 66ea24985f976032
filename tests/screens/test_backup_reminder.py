"""The program says once at its start that a backup is due."""

from datetime import timedelta
from pathlib import Path

import pytest

from crewdesk.screens import saving
from crewdesk.screens.app import CrewdeskApp
from crewdesk.screens.parts.page import Told
from crewdesk.store.backup import back_up


@pytest.mark.parametrize(
    ("days", "backed_up", "said"), [(20, False, True), (20, True, False), (3, False, False)]
)
async def test_it_reminds_after_a_week_without_one(
    desk, job, now, tmp_path: Path, monkeypatch, days: int, backed_up: bool, said: bool
) -> None:
    monkeypatch.setattr(saving, "BACKUP_ASKED_AFTER", 0.01)
    job.close(now)
    then = now + timedelta(days=days)
    if backed_up:
        back_up(desk, tmp_path, then - timedelta(days=1))
    app = CrewdeskApp(desk, clock=lambda: then)
    async with app.run_test() as pilot:
        await pilot.pause(0.1)
        told = str(app.screen.query_one(Told).content)
        assert (f"No backup for {days} days." in told) is said
