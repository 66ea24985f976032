"""Steps checked off, and the clock started and stopped, while the computer's clock is set back and
ahead: by minutes, days and years, in programs that stay open and new ones, some of them killed.
Now and then the user says that the clock is right, whatever it says.

A change that was made must be there, and one that was refused must not be; no time that was
worked is below nothing or longer than anybody works, and every file is sound.
"""

import random
import sys
from datetime import datetime, timedelta
from pathlib import Path

from crewdesk.errors import CrewdeskError
from crewdesk.job.steps import ticks
from crewdesk.job.time import clock
from crewdesk.job.time.clock import check_clock
from crewdesk.store.integrity import check
from crewdesk.store.job_file import JobFile
from tests.bench.trust.count import Count
from tests.bench.trust.disk import SPOTS
from tests.bench.trust.faults import ID, begun
from tests.bench.trust.kills import NOW

JUMPS = (timedelta(minutes=-1), timedelta(minutes=-90), timedelta(days=-1), timedelta(days=-800),
         timedelta(minutes=90), timedelta(days=1), timedelta(days=800))  # fmt: skip


def clock_back(folder: Path, steps: int, *, seed: int = 1) -> list[Count]:
    """Draw so many changes; what is wrong is told on stderr, and counted."""
    chance = random.Random(seed)
    desk = begun(folder / "data")
    true, off = NOW, timedelta()
    made = refused = wrong = jumps = 0
    job: JobFile | None = None
    for _ in range(steps):
        true += timedelta(minutes=chance.randrange(1, 30))
        if chance.random() < 0.3:
            off, jumps = chance.choice((timedelta(), *JUMPS)), jumps + 1
        now = true + off
        before, sure = None, chance.random() < 0.2
        try:
            if job is None:
                job = desk.open(ID)
            before = job._storage.changes
            if not sure:
                check_clock(now, job.last, desk.latest)
            _change(job, chance, now)
            made += 1
            count = 1
        except CrewdeskError:
            refused += 1
            count = 0
        if before is not None:
            found = desk.open(ID, writing=False)._storage.changes
            if found != before + count:
                wrong += 1
                print(f"{now}: {found - before} changes of {count} are there", file=sys.stderr)
        if job is not None and chance.random() < 0.3:
            if chance.random() < 0.5:
                job.close(now)
            else:
                job.let_go()  # as a program that is killed
            job = None
    wrong += _odd(desk.open(ID, writing=False))
    wrong += sum(not one.sound for one in check(desk))
    return [
        Count("times that the clock was set back or ahead", jumps, steps // 5),
        Count("changes made, by a clock that was right or said to be", made, steps // 10),
        Count("changes refused, most by a clock that can't be", refused, steps // 10),
        Count("of them there by half, lost or of an odd time", wrong, 0, most=True),
    ]


def _change(job: JobFile, chance: random.Random, now: datetime) -> None:
    if chance.random() < 0.5:
        spot = chance.choice(SPOTS)
        done = "rip-side" in job.record.beam(spot.beam).piece(spot.piece).steps
        make = ticks.clear if done else ticks.tick
        job.make(make(job.record, spot, "rip-side", now))
    elif clock.running(job.record) is None:
        job.make(clock.start(job.record, "rip", now))
    else:
        job.make(clock.stop(job.record, now))


def _odd(job: JobFile) -> int:
    """How many entries make no sense: below nothing, or longer than anybody works."""
    odd = 0
    for one in job.record.entries:
        if one.stop is not None and not timedelta(0) <= one.stop - one.start <= clock.LONGEST:
            odd += 1
            print(f"from {one.start} to {one.stop}", file=sys.stderr)
    return odd
