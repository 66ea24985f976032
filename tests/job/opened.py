"""Open a job that import took: in every command that prints, and on every page."""

import io
import json
from collections.abc import Iterable
from contextlib import redirect_stderr, redirect_stdout
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from textual.screen import ModalScreen

from crewdesk.cli import main
from crewdesk.errors import CrewdeskError
from crewdesk.job.beams import beams
from crewdesk.job.books.job_lists import typed_material
from crewdesk.job.change import Change
from crewdesk.job.record import Record
from crewdesk.job.sync.exchange import from_document
from crewdesk.job.time import clock
from crewdesk.job.time import other_work as plan_days
from crewdesk.screens.run_sheet.run_sheet import RunSheetPage
from crewdesk.store.desk import Desk
from tests.conftest import AT_THE_DOOR
from tests.hostile.walk import walk
from tests.monkey.user import MonkeyApp

MUST_PRINT = (
    "cutlist JOB",
    "progress JOB",
    "hours JOB",
    "orders JOB",
    "materials JOB",
    "planned JOB",
    "held JOB",
    "dryfit JOB",
    "scribecut JOB",
    "settle JOB",
    "export JOB",
    "took JOB",
    "check",
    "accounts",
    "cutlist JOB --json",
    "hours JOB --csv",
    "progress JOB --json",
)
"""Commands that print every job that was taken."""
MAY_REFUSE = (
    "estimate JOB",
    "planned JOB --ics",
    "takeoff JOB --seconds 1",
    "invoice JOB",
    "sheet JOB --to FOLDER/sheet.pdf",
    "sheet JOB labels --to FOLDER/labels.pdf",
)
"""Commands that may say in one sentence what a job lacks first."""


def taken(document: Any, *, kept: bool = False) -> str | None:
    """Return None where import takes a document, else the sentence it is refused with. Fails
    where that is no clear sentence; every other error passes through. `kept` as in
    `from_document`."""
    try:
        tables, history = from_document(document, kept=kept)
    except CrewdeskError as refused:
        said = str(refused)
        assert said.endswith("."), said
        assert said.isprintable(), said
        assert len(said) < 600, said
        for unfit in ("Error", "Traceback", "NoneType", "object at 0x"):
            assert unfit not in said, said
        return said
    assert tables["job"], history
    return None


def open_in_commands(
    document: Any,
    folder: Path,
    commands: Iterable[str] = (*MUST_PRINT, *MAY_REFUSE),
    *,
    kept: bool = False,
) -> Desk:
    """Take a document into an empty folder and print it by commands; fails where one breaks, or
    refuses what it must print. `kept`: it stands there as an older version may have left it."""
    desk = Desk(folder / "data")
    desk.take_in(document, AT_THE_DOOR, kept=kept)
    desk.shop.change(AT_THE_DOOR, hour="85")
    print_all(desk, commands)
    return desk


def print_all(desk: Desk, commands: Iterable[str] = (*MUST_PRINT, *MAY_REFUSE)) -> None:
    """Print the one job of a folder by commands; fails as `open_in_commands`."""
    (id_,), folder = desk.ids(), desk.folder.parent
    for command in commands:
        words = [
            id_ if word == "JOB" else word.replace("FOLDER", str(folder))
            for word in command.split()
        ]
        out, err = io.StringIO(), io.StringIO()
        with redirect_stdout(out), redirect_stderr(err):
            status = main([*words, "--data", str(folder / "data")])
        if command in MUST_PRINT:
            assert status == 0, (command, err.getvalue())
        if status:
            assert err.getvalue().count("\n") == 1, (command, err.getvalue())
            assert err.getvalue()[:-1].isprintable(), (command, err.getvalue())
        if command.endswith("--json"):
            json.loads(out.getvalue())


def work_on(document: Any, *, kept: bool = False) -> int:
    """Make changes that every job must take, in memory: fields of the job and of each beam, a new
    beam, the clock, material, a planned day, and a note on each entry; gives how many."""
    record = Record(from_document(document, kept=kept)[0])
    at, made = AT_THE_DOOR, 0

    def make(change: Change) -> None:
        nonlocal made
        record.make(change)
        made += 1

    make(beams.change_job(record, {"customer": "Ada Quill, anew"}, at))
    make(beams.add_beam(record, "one more", "Loft, anew", at))
    for beam in record.beams:
        make(beams.change_beam(record, beam.row, {"note": "anew"}, at))
    for entry in record.entries:
        if entry.stop is not None:
            make(clock.mend(record, entry.row, at, billable=not entry.billable))
    if (runs := clock.running(record)) is not None:
        if runs.start > at:
            make(clock.remove(record, runs.row, at))
        else:
            make(clock.stop(record, at, at=max(runs.start, at - timedelta(hours=1))))
    make(clock.start(record, record.stages.stages[0].id, at))
    make(typed_material(record, "oak", "2", "4", at))
    make(plan_days.plan_day(record, date(2199, 1, 1), at))
    return made


async def open_on_pages(desk: Desk, *, deep: int = 1, keys: tuple[str, ...] = ()) -> int:
    """Open the one job of a folder on every page that a key of the run sheet brings (`deep`
    keys in a row), and on the page of its jobs; gives how many screens were seen."""
    MonkeyApp.at = AT_THE_DOOR
    (id_,) = desk.ids()
    app, seen = MonkeyApp(desk, open_job=id_), 0
    async with app.run_test(size=(100, 32)) as pilot:
        for _ in range(50):
            if isinstance(app.screen, RunSheetPage):
                break
            if len(app.screen_stack) > 1 and isinstance(app.screen, ModalScreen):
                await pilot.press("escape")  # a clock that was forgotten asks about itself
            await pilot.pause()
        assert isinstance(app.screen, RunSheetPage), "the run sheet was not reached"
        async for _ in walk(app, pilot, deep=deep, keys=keys):
            seen += 1
    return seen
