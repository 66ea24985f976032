"""The keys in the lowest line: told for the screen in front, pressed by a click."""

from datetime import datetime

from crewdesk.screens.app import CrewdeskApp
from crewdesk.screens.parts.ask import Choose
from crewdesk.screens.parts.keys_line import KeysLine
from crewdesk.store.desk import Desk
from crewdesk.store.job_file import JobFile


async def test_a_click_on_a_key_presses_it(desk: Desk, job: JobFile, now: datetime) -> None:
    job.close(now)
    app = CrewdeskApp(desk, open_job=job.id)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.3)
        told = str(app.screen.query_one(KeysLine).render())
        assert " Space Check off  b Batch " in told
        await pilot.click(KeysLine, offset=(told.index("Batch"), 0))
        await pilot.pause()
        assert isinstance(app.screen, Choose)
