"""``python -m tests.bench.trust``: every count with its bar, in one table."""

import os
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import NamedTuple

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
ONE = 10**6
"""As `every`: one call of each act."""


class Part(NamedTuple):
    """What is counted: in earnest, and the least of it, by which `tests/test_trust.py` sees that
    it still runs. `in_memory`: in a folder in memory, where there is one."""

    name: str
    run: Callable[[Path], list[Count]]
    least: Callable[[Path], list[Count]]
    in_memory: bool = True


PARTS = (
    Part("kills, in memory alone", partial(kills, times=1700), partial(kills, times=1)),
    Part(
        "kills, on the disk",
        partial(kills, times=400, seed=2),
        partial(kills, times=1, seed=2),
        in_memory=False,
    ),
    Part("faults at each call", faults, partial(faults, every=ONE)),
    Part(
        "faults at each call where a job is put there",
        of_jobs_begun,
        partial(of_jobs_begun, every=ONE),
    ),
    Part("faults and kills at each call while money is noted", money, partial(money, every=ONE)),
    Part(
        "errors of the disk, and a folder that goes away",
        disk,
        partial(disk, ways=("eio",), money=("an invoice paid",), screens=0, every=ONE),
    ),
    Part(
        "the clock set back and ahead",
        partial(clock_back, steps=2000),
        partial(clock_back, steps=3),
    ),
    Part("three machines, one folder", partial(machines, steps=5000), partial(machines, steps=3)),
    Part("damaged files", partial(damage, times=5000), partial(damage, times=1)),
)

if __name__ == "__main__":
    os.environ["CREWDESK_MACHINE"] = "here"
    held, begun_at = True, time.monotonic()
    for part in PARTS:
        print(part.name)
        where = SHM if part.in_memory and SHM.is_dir() else None
        with tempfile.TemporaryDirectory(dir=where) as folder:
            for count in part.run(Path(folder)):
                held &= count.holds
                print("  " + count.line, flush=True)
    print(f"{(time.monotonic() - begun_at) / 60:.0f} minutes; {'all holds' if held else 'NO'}")
    sys.exit(not held)
