"""One tick saved, against a bare write, fsync, rename and fsync of the folder."""

import os
import time
from collections.abc import Callable
from datetime import datetime
from itertools import cycle
from pathlib import Path
from statistics import median

from crewdesk.job.beams.piece import Spot
from crewdesk.job.change import Change
from crewdesk.job.steps.ticks import clear, tick
from crewdesk.store.job_file import JobFile
from tests.bench.speed.figure import Figure
from tests.bench.speed.jobs import NOW, long_job, many_jobs, with_history


def saving(
    folder: Path, *, times: int = 200, others: int = 1000, changes: int = 10_000, beams: int = 200
):
    """The three figures of saving."""
    desk, id_ = long_job(folder / "alone", beams)
    first = desk.open(id_)
    crowded, same = long_job(folder / "crowded", beams)
    many_jobs(crowded, same, others)
    second = crowded.open(same)
    old, old_id = long_job(folder / "old", beams)
    third = old.open(old_id)
    with_history(third, changes)

    bare = folder / "bare"
    bare.mkdir()
    grown = first.path.with_suffix(".history").stat().st_size
    tick_of = _ticks(first)
    first.make(tick_of())
    line = b"x" * (first.path.with_suffix(".history").stat().st_size - grown)

    acts = {
        "bare": lambda: _bare(bare, line),
        "tick": _saved(first, tick_of),
        "crowded": _saved(second, _ticks(second)),
        "old": _saved(third, _ticks(third)),
    }
    taken: dict[str, list[float]] = {name: [] for name in acts}
    for _ in range(times):
        for name, act in acts.items():
            begun = time.perf_counter()
            act()
            taken[name].append((time.perf_counter() - begun) * 1000)
    for one in (first, second, third):
        one.close(NOW)
    return [
        _beside("a tick saved / write, fsync, rename, fsync of folder", "tick", "bare", 1.5, taken),
        _beside(f"a tick with {others} other jobs / with none", "crowded", "tick", 1.1, taken),
        _beside(f"a tick after {changes} changes / after a few", "old", "tick", 1.2, taken),
    ]


def _beside(what: str, one: str, other: str, bar: float, taken: dict[str, list[float]]) -> Figure:
    rounds = zip(taken[one], taken[other], strict=True)
    ratio = median(ours / plain for ours, plain in rounds)
    return Figure(what, median(taken[one]), median(taken[other]), bar, ratio=ratio)


def _bare(folder: Path, data: bytes) -> None:
    new = folder / "new"
    handle = os.open(new, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    os.write(handle, data)
    os.fsync(handle)
    os.close(handle)
    new.rename(folder / "kept")
    handle = os.open(folder, os.O_RDONLY)
    os.fsync(handle)
    os.close(handle)


def _ticks(job: JobFile) -> Callable[[], Change]:
    """Changes to make, one after another: a step ticked, then cleared, piece by piece."""
    rip = job.record.stages.stages[0].steps[0]
    when: datetime = NOW
    spots = [Spot(beam.row, "A") for beam in job.record.beams[len(job.record.beams) // 2 :]]
    turns = cycle((make, spot) for spot in spots for make in (tick, clear))

    def following() -> Change:
        make, spot = next(turns)
        return make(job.record, spot, rip.id, when)

    return following


def _saved(job: JobFile, change: Callable[[], Change]) -> Callable[[], None]:
    def act() -> None:
        job.make(change())

    return act
