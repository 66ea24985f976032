"""``python -m tests.bench.trust``: every count with its bar, in one table."""

import os
import sys
import tempfile
from collections.abc import Callable
from functools import partial
from pathlib import Path

from tests.bench.trust.begun import of_jobs_begun
from tests.bench.trust.clock_back import clock_back
from tests.bench.trust.count import Count
from tests.bench.trust.damage import damage
from tests.bench.trust.disk import disk
from tests.bench.trust.faults import faults
from tests.bench.trust.kills import kills
from tests.bench.trust.machines import machines
from tests.bench.trust.money import money

SHM = Path("/dev/shm")
PARTS: tuple[tuple[str, Callable[[Path], list[Count]], bool], ...] = (
    ("kills, in memory alone", partial(kills, times=1700), True),
    ("kills, on the disk", partial(kills, times=400, seed=2), False),
    ("faults at each call", faults, True),
    ("faults at each call where a job is put there", of_jobs_begun, True),
    ("faults and kills at each call while money is noted", money, True),
    ("errors of the disk, and a folder that goes away", disk, True),
    ("the clock set back and ahead", partial(clock_back, steps=2000), True),
    ("three machines, one folder", partial(machines, steps=5000), True),
    ("damaged files", partial(damage, times=5000), True),
)

if __name__ == "__main__":
    os.environ["CREWDESK_MACHINE"] = "here"
    held = True
    for name, part, quick in PARTS:
        print(name)
        where = SHM if quick and SHM.is_dir() else None
        with tempfile.TemporaryDirectory(dir=where) as folder:
            for count in part(Path(folder)):
                held &= count.holds
                print("  " + count.line, flush=True)
    sys.exit(not held)
