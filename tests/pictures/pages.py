"""Every page and question of the program, each by the keys that lead there.

A state is what the data folder holds: nothing, a job with one beam, the sample job, or a
job of 200 beams. The clock stands still, so that a picture is the same each time.
"""

from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from crewdesk.job.beams.beams import add_beam, new_job
from crewdesk.paper.job_document import sample_desk
from crewdesk.screens import app as screens_app
from crewdesk.screens.app import CrewdeskApp
from crewdesk.store.desk import Desk
from crewdesk.trade.cuts.section import Section
from tests.bench.speed.jobs import long_job

WHEN = datetime.fromisoformat("2026-03-05T17:00:00-07:00")
"""After the sample's last working day."""

EMPTY = {
    "welcome": (),
    "how-to-begin": ("enter", "enter", "enter"),
    "jobs": ("escape",),
    "jobs-help": ("escape", "f1"),
    "new-job": ("escape", "a"),
    "accounts": ("escape", "m"),
    "clock": ("escape", "f2"),
    "shop": ("escape", "f7"),
    "customers": ("escape", "f7", "c"),
    "past-jobs": ("escape", "f7", "p"),
    "boards-of-the-shop": ("escape", "f7", "b"),
    "forms-of-the-shop": ("escape", "f7", "f"),
    "find": ("escape", "ctrl+f"),
    "look-up": ("escape", "ctrl+l"),
}
OF_A_JOB = {
    "run-sheet": (),
    "run-sheet-open": ("v",),
    "help": ("f1",),
    "cautions": ("exclamation_mark",),
    "jobs": ("escape",),
    "accounts": ("escape", "m"),
    "find": ("ctrl+f",),
    "find-typed": ("ctrl+f", *"great"),
    "look-up": ("ctrl+l",),
    "look-up-typed": ("ctrl+l", "1"),
    "can-batch": ("n",),
    "is-missing": ("u",),
    "which-batch": ("b",),
    "batch": ("b", "1"),
    "batch-paper": ("b", "1", "p"),
    "piece": ("enter",),
    "piece-steps": ("enter", "f3"),
    "piece-help": ("enter", "f1"),
    "gap": ("enter", "f10"),
    "bottom": ("enter", "ctrl+n", "ctrl+n"),
    "own-cut": ("enter", "ctrl+n", "ctrl+n", "ctrl+o"),
    "cleats": ("enter", "ctrl+n", "ctrl+n", "ctrl+n"),
    "one-number": ("g", *("up",) * 9),
    "ceiling-in-numbers": ("g",),
    "ceiling": ("c",),
    "walls": ("w",),
    "about-the-job": ("i",),
    "pass-gate": ("right", "o"),
    "block": ("x",),
    "add-beam": ("a",),
    "edit-beam": ("e",),
    "remove-beam": ("delete",),
    "list-of-beams": ("q",),
    "table-of-beams": ("q", "f3"),
    "paper": ("p",),
    "stages": ("t",),
    "add-step": ("t", "a"),
    "other-work": ("t", "o"),
    "hours": ("h",),
    "add-hours": ("h", "a"),
    "mend-hours": ("h", "enter"),
    "pieces-of-hours": ("h", "p"),
    "split-hours": ("h", "s"),
    "planned": ("h", "d"),
    "plan-a-day": ("h", "d", "a"),
    "clock": ("f2",),
    "clock-help": ("f2", "f1"),
    "price": ("dollar_sign",),
    "money-material": ("dollar_sign", "2"),
    "add-material": ("dollar_sign", "2", "a"),
    "extra-work": ("dollar_sign", "3"),
    "add-extra-work": ("dollar_sign", "3", "a"),
    "invoices": ("dollar_sign", "4"),
    "done": ("dollar_sign", "5"),
    "next-invoice": ("dollar_sign", "n"),
    "issue-it": ("dollar_sign", "n", "i"),
    "took": ("k",),
    "material": ("m",),
    "cutting-rules": ("m", "i"),
    "shop": ("f7",),
    "customers": ("f7", "c"),
    "add-customer": ("f7", "c", "a"),
    "past-jobs": ("f7", "p"),
    "boards-of-the-shop": ("f7", "b"),
    "add-board": ("f7", "b", "a"),
    "forms-of-the-shop": ("f7", "f"),
}
OF_ONE_BEAM = (
    *("run-sheet", "jobs", "find-typed", "can-batch", "is-missing", "batch", "piece", "bottom"),
    *("ceiling", "hours", "price", "invoices", "next-invoice", "took", "material", "planned"),
    *("accounts", "extra-work", "look-up-typed"),
)
OF_200_BEAMS = (
    *("run-sheet", "jobs", "find-typed", "can-batch", "is-missing", "batch", "piece"),
    *("look-up-typed", "price", "material", "took", "table-of-beams", "pieces-of-hours"),
)
STATES: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "empty": EMPTY,
    "one": {name: OF_A_JOB[name] for name in OF_ONE_BEAM},
    "sample": OF_A_JOB,
    "long": {name: OF_A_JOB[name] for name in OF_200_BEAMS},
}


class StillApp(CrewdeskApp):
    """crewdesk with a clock that stands still."""

    CSS_PATH = Path(screens_app.__file__).with_name("crewdesk.tcss")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, clock=lambda: WHEN, **kwargs)


def app_in(state: str, folder: Path, **kwargs: Any) -> StillApp:
    """The app in a state, its data in `folder`, the state's job open."""
    desk, id_ = Desk(folder), None
    if state == "sample":
        desk, id_ = sample_desk(folder, WHEN)
    elif state == "one":
        id_ = desk.create(new_job("Alder Row", Section(Fraction(6), Fraction(8)), WHEN))
        job = desk.open(id_)
        job.make(add_beam(job.record, "1", "Hall", WHEN, ends=("door wall", "stair wall")))
        job.close(WHEN)
    elif state == "long":
        desk, id_ = long_job(folder)
    return StillApp(desk, open_job=id_, **kwargs)


async def go(pilot: Pilot[None], keys: tuple[str, ...]) -> None:
    """From what comes first to a page by its keys, and wait until it stands."""
    await pilot.press(*keys)
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()
