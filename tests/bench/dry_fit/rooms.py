"""Rooms by the thousand: how many of each kind were tried, and what fitted worst."""

import re
import tempfile
import time
from collections import Counter
from multiprocessing import Pool
from pathlib import Path
from typing import NamedTuple

from tests.dry_fit.measure import Measure
from tests.dry_fit.trial import Job, Tried, job_at, jobs, try_job

PER_JOB = 50


class Told(NamedTuple):
    """What came of a room: its case, whether it was read exactly, its worst measure, the ways
    that its boards go in, and all that does not fit, each in words by what it is."""

    case: str
    exact: bool
    worst: Measure
    ways: tuple[str, ...]
    misfits: dict[str, tuple[float, str]]


class Case:
    """What was tried of one kind of room."""

    def __init__(self) -> None:
        self.exact = self.off = 0
        self.worst = Measure("", "", 0.0, 1.0)

    def add(self, one: Told) -> None:
        """Count one room in."""
        self.exact += one.exact
        self.off += not one.exact
        self.worst = max(self.worst, one.worst, key=lambda measure: measure.beyond)


def every_room(rooms: int, seed: int, workers: int) -> bool:
    """Try that many rooms and print a table; whether every board fitted."""
    begun = time.monotonic()
    cases: dict[str, Case] = {}
    ways: Counter[str] = Counter()
    count: Counter[str] = Counter()
    worst: dict[str, tuple[float, str]] = {}
    bad = 0
    with Pool(workers) as pool:
        for job in pool.imap_unordered(_told, jobs(seed, rooms, PER_JOB)):
            for one in job:
                cases.setdefault(one.case, Case()).add(one)
                ways.update(one.ways)
                count.update(one.misfits.keys())
                bad += bool(one.misfits)
                for what, found in one.misfits.items():
                    worst[what] = max(found, worst.get(what, (0.0, "")))
    print(f"{'beam / walls in plan / slope':44} {'exact':>6} {'off':>6}   the furthest beyond")
    for name, case in sorted(cases.items()):
        print(f"{name:44} {case.exact:6} {case.off:6}   {_beyond(case.worst)}")
    print("boards go in: " + ", ".join(f"{many} {way}" for way, many in ways.most_common()))
    for what, many in count.most_common():
        beyond, where = worst[what]
        print(f"{many} rooms: {what}, at worst {beyond:.4f} beyond:\n    {where}")
    print(
        f"{sum(one.exact + one.off for one in cases.values())} rooms of {len(cases)} kinds "
        f"in {time.monotonic() - begun:.0f} s; {bad} do not fit"
    )
    return not bad


def again(seed: int, number: int, room: int | None) -> bool:
    """Try a job's rooms once more, or one of them, and print what does not fit."""
    with tempfile.TemporaryDirectory() as folder:
        tried = try_job(job_at(seed, number, PER_JOB), Path(folder))
    tried = [one for one in tried if room is None or one.room.number == room]
    for one in tried:
        if room is not None:
            print(one.room)
        if one.worst.beyond > 0 or room is not None:
            print(one)
        for measure in sorted(one.measures, key=lambda measure: -measure.beyond):
            if measure.beyond > 0:
                print(f"    {_beyond(measure)}")
    return all(one.worst.beyond <= 0 for one in tried)


def _told(job: Job) -> list[Told]:
    with tempfile.TemporaryDirectory() as folder:
        return [_of_room(one) for one in try_job(job, Path(folder))]


def _of_room(one: Tried) -> Told:
    misfits: dict[str, tuple[float, str]] = {}
    for measure in one.measures or [one.worst]:
        if measure.beyond > 0:
            what = re.sub(r"(,| at) (end )?[\d.]+", "", measure.what)
            name = f"{one.room.kind} {measure.board}, {what}"
            found = (measure.beyond, str(one._replace(measures=[measure])))
            misfits[name] = max(found, misfits.get(name, (0.0, "")))
    return Told(one.room.case, one.job.exact, one.worst, one.ways, misfits)


def _beyond(worst: Measure) -> str:
    return f"{worst.beyond:+.4f} {worst.board}, {worst.what}"
