"""Opening the list of years of jobs."""

import time
from pathlib import Path
from statistics import median

from tests.bench.speed.figure import Figure
from tests.bench.speed.jobs import long_job, many_jobs


def listing(folder: Path, *, times: int = 5, jobs: int = 1000) -> list[Figure]:
    """What the list of jobs costs, in seconds of processor time."""
    desk, id_ = long_job(folder / "years", beams=12)
    many_jobs(desk, id_, jobs - 1)
    taken = []
    for _ in range(times):
        begun = time.process_time()
        assert len(list(desk.jobs())) == jobs
        taken.append(time.process_time() - begun)
    return [Figure(f"the list of {jobs} jobs, processor time", median(taken), None, 0.3, "s")]
