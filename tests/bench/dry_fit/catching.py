"""The check of the check: faults are put into a copy of crewdesk, and the rooms tried there.

A fault is caught where a room does not fit any more that fitted before, or where the command
refuses or breaks.
"""

import ast
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from multiprocessing import Pool
from pathlib import Path

from tests.bench.dry_fit.faults import FAULTS, Fault
from tests.bench.dry_fit.mutate import FOLDER, Mutant, drawn
from tests.dry_fit.trial import ROOT, CommandFailed, Job, Tried, jobs, try_job

PER_JOB = 19
"""Rooms a job, so that few rooms go through every step of showing, exactly read and not."""
_TRACED = """
import sys
lines = set()
def inside(frame, event, arg):
    if event == "line":
        lines.add((frame.f_code.co_filename, frame.f_lineno))
    return inside
def enters(frame, event, arg):
    name = frame.f_code.co_filename
    if "/trade/cuts/" not in name or frame.f_code.co_name == "<module>":
        return None
    return inside
sys.settrace(enters)
from crewdesk.cli import main
status = main(sys.argv[2:])
sys.settrace(None)
open(sys.argv[1], "w").write(repr(sorted(lines)))
sys.exit(status)
"""

Misfits = set[tuple[int, str, str]]
Change = tuple[str, str, str]
"""What is told of a fault, its file, and that file's whole text with the fault in."""


def catching(rooms: int, seed: int, count: int, workers: int) -> bool:
    """Put every fault in and print what is caught; whether all those that are listed are."""
    begun = time.monotonic()
    trials = list(jobs(seed, rooms, PER_JOB))
    before = {job.number: misfits(job, ROOT) for job in trials}
    stale = [one for one in FAULTS if one.stale]
    for one in stale:
        print(f"  STALE   {one}: its old text is not in the file just once")
    listed = [_of_fault(one) for one in FAULTS if not one.stale]
    mutants = drawn(ROOT, lines_run(trials[0]), seed, count)
    passed = {}
    for name, changes in (("listed", listed), ("drawn", [_of_mutant(one) for one in mutants])):
        with Pool(workers) as pool:
            work = [(change, trials, before) for change in changes]
            found = pool.starmap(caught, work, chunksize=1)
        passed[name] = [change[0] for change, hit in zip(changes, found, strict=True) if not hit]
        print(f"{name}: {sum(map(bool, found))} of {len(changes)} caught", flush=True)
        for change, hit in zip(changes, found, strict=True):
            print(f"  {'caught ' if hit else 'PASSED '} {change[0]}{f'  [{hit}]' if hit else ''}")
    print(f"{rooms} rooms a fault, {time.monotonic() - begun:.0f} s")
    return not (passed["listed"] or stale)


def _of_fault(one: Fault) -> Change:
    return str(one), one.file, one.text.replace(one.old, one.new)


def _of_mutant(one: Mutant) -> Change:
    return str(one), one.file, one.text


def caught(change: Change, trials: Sequence[Job], before: dict[int, Misfits]) -> str:
    """What first shows a fault in a copy of crewdesk, nothing where none of the rooms does."""
    _, file, text = change
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for name in ("crewdesk", "sample_data", "themes"):
            shutil.copytree(ROOT / name, root / name, ignore=shutil.ignore_patterns("*.pyc"))
        (root / file).write_text(text, "utf-8")
        for job in reversed(trials):
            try:
                new = misfits(job, root) - before[job.number]
            except CommandFailed as failed:
                return str(failed).splitlines()[-1][:100]
            if new:
                room, board, what = min(new)
                return f"room {room}: {board}, {what}"[:100]
    return ""


def misfits(job: Job, root: Path) -> Misfits:
    """The rooms of a job and what does not fit in each."""
    with tempfile.TemporaryDirectory() as folder:
        return {one for tried in try_job(job, Path(folder), root) for one in _of_room(tried)}


def _of_room(tried: Tried) -> Misfits:
    number = tried.room.number
    if tried.failed:
        return {(number, "beam", tried.failed)}
    return {(number, one.board, one.what) for one in tried.measures if one.beyond > 0}


def lines_run(job: Job) -> dict[str, set[int]]:
    """The lines of the cuts' files that a cut list of a job runs through."""
    with tempfile.TemporaryDirectory() as folder:
        try_job(job, Path(folder))
        out = Path(folder) / "lines"
        words = ["--data", str(Path(folder) / "data"), "cutlist", job.name, "--json"]
        subprocess.run(
            [sys.executable, "-c", _TRACED, str(out), *words],
            cwd=ROOT,
            capture_output=True,
            check=True,
        )
        run: dict[str, set[int]] = {}
        for file, line in ast.literal_eval(out.read_text("utf-8")):
            run.setdefault(f"{FOLDER}/{Path(file).name}", set()).add(line)
        return run
