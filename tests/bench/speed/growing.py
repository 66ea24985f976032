"""How what a user does grows with what was done before: jobs, time entries, changes.

The power is the growth exponent, log(time of many / time of few) / log(many / few): 1 where
twice as much takes twice as long, 2 where it takes four times as long, 0 where it is the same.
"""

import time
from collections.abc import Callable
from datetime import timedelta
from math import log
from pathlib import Path
from statistics import median

from crewdesk.job.books.accounts import accounts
from crewdesk.job.time import clock
from crewdesk.store.books import counted
from crewdesk.store.desk import Desk
from crewdesk.store.integrity import check
from tests.bench.speed.figure import POWER, Figure
from tests.bench.speed.jobs import NOW, grown, logged, long_job, many_jobs, noted

LATER = NOW + timedelta(days=3650)


def growing(
    folder: Path, *, times: int = 5, jobs: int = 2000, entries: int = 20_000, changes: int = 200_000
) -> list[Figure]:
    """The time of four acts, of the processor, beyond start-up and opening; and its power."""
    few, many = jobs // 4, jobs
    folders = {count: _jobs(folder / f"jobs-{count}", count) for count in (few, many)}
    spent = {
        what: {count: _spent(lambda act=act, desk=desk: act(desk)) for count, desk in two.items()}
        for what, act, two in (("check", _check, folders), ("accounts", _accounts, folders))
    }
    logs = {count: _job(folder / f"log-{count}", count, 0) for count in (entries // 4, entries)}
    notes = {count: _job(folder / f"note-{count}", 0, count) for count in (changes // 10, changes)}
    start = {count: median(_start(desk) for _ in range(times)) for count, desk in logs.items()}
    undo = {count: median(_undo(desk) for _ in range(times)) for count, desk in notes.items()}
    return [
        Figure(f"check of {jobs} jobs", spent["check"][many], None, 30, "s"),
        _power("the same against a quarter of them", spent["check"], 1.2),
        Figure(f"accounts of {jobs} jobs", spent["accounts"][many], None, 5, "s"),
        _power("the same against a quarter of them", spent["accounts"], 1.2),
        Figure(f"clock started after {entries} time entries", start[entries] * 1000, None, 100),
        _power("the same against a quarter of them", start, 1.2),
        Figure(f"first undo after {changes} changes", undo[changes] * 1000, None, 100),
        _power("the same against a tenth of them", undo, 0.3),
    ]


def _power(what: str, taken: dict[int, float], bar: float) -> Figure:
    (few, little), (many, much) = sorted(taken.items())
    return Figure(what, log(much / little) / log(many / few), None, bar, POWER)


def _spent(act: Callable[[], object]) -> float:
    begun = time.process_time()
    act()
    return time.process_time() - begun


def _jobs(folder: Path, count: int) -> Desk:
    desk, id_ = long_job(folder, beams=3)
    grown(desk, id_, logged(5))
    many_jobs(desk, id_, count - 1)
    return desk


def _job(folder: Path, entries: int, changes: int) -> Desk:
    desk, id_ = long_job(folder, beams=3)
    record = desk.open(id_, writing=False).record
    grown(desk, id_, logged(entries) if entries else noted(record, changes))
    return desk


def _check(desk: Desk) -> None:
    assert all(one.sound for one in check(desk))


def _accounts(desk: Desk) -> None:
    accounts(desk.shop.record(), counted(desk), LATER)


def _start(desk: Desk) -> float:
    """Seconds to start the clock in a job that was just opened; it is taken back then."""
    job = desk.open(desk.ids()[0])
    taken = _spent(lambda: job.make(clock.start(job.record, "rip", LATER)))
    job.undo(LATER)
    job.let_go()
    return taken


def _undo(desk: Desk) -> float:
    """Seconds to undo in a job that was just opened; it is made again then."""
    job = desk.open(desk.ids()[0])
    taken = _spent(lambda: job.undo(LATER))
    job.redo(LATER)
    job.let_go()
    return taken
