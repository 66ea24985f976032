"""SIGKILL at random moments while changes are made as fast as can be.

A forked program makes changes and tells each one, once it is acknowledged, through a pipe.
It is killed; then the job is opened again, and every change that was told must be there, and
of the one under way all or nothing. Each change writes one number in two places.
"""

import os
import random
import signal
import sys
import time
from collections.abc import Callable
from datetime import datetime
from fractions import Fraction
from pathlib import Path

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams import beams
from crewdesk.job.record import Record
from crewdesk.store import record_file
from crewdesk.store.desk import Desk
from crewdesk.store.job_file import JobFile
from crewdesk.trade.cuts.section import Section
from tests.bench.trust.count import Count

NOW = datetime.fromisoformat("2026-03-02T07:30:00-05:00")
LONGEST = 0.025
ANEW_AFTER = 60


def kills(folder: Path, times: int, *, seed: int = 1) -> list[Count]:
    """Kill `times` programs; what is lost is told on stderr, and counted."""
    chance = random.Random(seed)
    desk, acknowledged, under_way, lost = Desk(folder), 0, 0, 0
    last, anew = 0, True
    usual, record_file.WHOLE_AFTER = record_file.WHOLE_AFTER, 5
    try:
        for number in range(times):
            if anew or number % ANEW_AFTER == 0:
                id_ = desk.create(
                    beams.new_job(f"Job {number}", Section(Fraction(8), Fraction(10)), NOW)
                )
                last, anew = 0, False
            told = _killed(chance, lambda tell, id_=id_: _work(desk, id_, chance, tell), number)
            acknowledged += len(told)
            reached = told[-1] if told else last
            try:
                last = _look(desk, id_, reached, replay=number % 20 == 0)
                under_way += last - reached
            except (AssertionError, CrewdeskError) as error:
                lost, anew = lost + 1, True
                print(error, file=sys.stderr)
    finally:
        record_file.WHOLE_AFTER = usual
    return [
        Count("programs killed at a random moment", times, times),
        Count("changes that they had acknowledged", acknowledged, times),
        Count("kills after which one was lost, or there by half", lost, 0, most=True),
        Count("changes under way that were there whole all the same", under_way, times, most=True),
    ]


def _killed(chance: random.Random, work: Callable[[Callable[[int], None]], None], n: int) -> list:
    """Start the work, kill it at a random moment; gives what it told."""
    read, write = os.pipe()
    child = os.fork()
    if not child:
        try:
            chance.seed(n)
            os.close(read)
            work(lambda number: os.write(write, b"%d\n" % number) and None)
        finally:
            os._exit(9)
    os.close(write)
    first = b"" if chance.random() < 0.2 else os.read(read, 1)
    time.sleep(chance.random() * LONGEST)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), "it ended before it was killed"
    told = first
    while more := os.read(read, 65536):
        told += more
    os.close(read)
    return [int(line) for line in told.split(b"\n")[:-1]]


def _work(desk: Desk, id_: str, chance: random.Random, tell: Callable[[int], None]) -> None:
    while True:
        job = desk.open(id_)
        for _ in range(chance.randrange(1, 40)):
            number = _number(job.record) + 1
            text = f"{number} {'x' * chance.randrange(600)}"
            job.make(beams.change_job(job.record, {"notes": text, "site": str(number)}, NOW))
            tell(number)
        job.close(NOW)


def _number(record: Record) -> int:
    return int(record.job.notes.split()[0]) if record.job.notes else 0


def _look(desk: Desk, id_: str, reached: int, *, replay: bool) -> int:
    """Open the job after a kill; gives the number that stands in it."""
    job = desk.open(id_)
    try:
        assert not job.read_only
        found = _number(job.record)
        assert found - reached in (0, 1), f"{reached} was acknowledged, {found} is there"
        assert job.record.job.site == (str(found) if found else ""), "half a change is there"
        if replay:
            _replay(job, found)
        return found
    finally:
        job.close(NOW)


def _replay(job: JobFile, found: int) -> None:
    history = job.history()
    assert len(history) == found + 1
    replayed = Record({})
    for change in history:
        replayed.make(change)
    assert replayed.tables == job.record.tables
