"""The check of the check: faults are put into a copy of crewdesk, and the rooms tried there.

A fault is caught where a room does not fit any more that fitted before, or where the command
refuses or breaks. One that leaves every figure of every cut list as it was makes no other board.
"""

import ast
import json
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from multiprocessing import Pool
from pathlib import Path
from typing import Any, NamedTuple

from tests.bench.dry_fit.faults import FAULTS, Fault
from tests.bench.dry_fit.mutate import FOLDER, Mutant, drawn
from tests.dry_fit.as_cut import both_rooms, measure_as_cut
from tests.dry_fit.trial import (
    ROOT,
    CommandFailed,
    Job,
    Tried,
    crewdesk,
    job_at,
    jobs,
    try_job,
)

PER_JOB = 19
"""Rooms a job, so that few rooms go through every step of showing, exactly read and not."""
TIMES_AS_MANY = 6
"""A fault that changes a figure and shows in none of the rooms is tried in so many times as many:
some shapes of a beam come once in a hundred rooms, and some faults show at a steep end alone."""
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
SAME = "same"
"""In place of what shows a fault: nothing does, since no figure is another by it."""


class Hung(NamedTuple):
    """What does not fit in a job's rooms, and every figure of its cut list."""

    misfits: Misfits
    figures: tuple[str, ...]


Change = tuple[str, str, str]
"""What is told of a fault, its file, and that file's whole text with the fault in."""


def catching(rooms: int, seed: int, count: int, workers: int) -> bool:
    """Put every fault in and print what is caught; whether all are that change a figure.

    Of the faults drawn at random, as many are tried as make `count` that change a figure.
    """
    begun = time.monotonic()
    trials = list(jobs(seed, rooms, PER_JOB))
    before = {job.number: hung(job, ROOT) for job in trials}
    stale = [one for one in FAULTS if one.stale]
    for one in stale:
        print(f"  STALE   {one}: its old text is not in the file just once")
    listed = [_of_fault(one) for one in FAULTS if not one.stale]
    mutants = [_of_mutant(one) for one in drawn(ROOT, lines_run(trials[0]), seed, 4 * count)]
    passed = 0
    for name, changes, wanted in (("listed", listed, len(listed)), ("drawn", mutants, count)):
        tried: list[tuple[str, str]] = []
        with Pool(workers) as pool:
            work = ((change, trials, before) for change in changes)
            for result in pool.imap(_try, work, chunksize=1):
                tried.append(result)
                if sum(hit != SAME for _, hit in tried) == wanted:
                    break
        hits = [hit for _, hit in tried if hit not in ("", SAME)]
        same = sum(hit == SAME for _, hit in tried)
        if name == "listed":
            passed += same
        passed += sum(not hit for _, hit in tried)
        print(f"{name}: {len(hits)} of {len(tried) - same} caught; {same} more change no figure")
        for fault, hit in tried:
            word = {"": "PASSED", SAME: "same"}.get(hit, "caught")
            print(f"  {word:<7} {fault}{f'  [{hit}]' if word == 'caught' else ''}", flush=True)
    print(f"{rooms} rooms a fault, up to {TIMES_AS_MANY * rooms}, {time.monotonic() - begun:.0f} s")
    return not (passed or stale)


def _try(work: tuple[Change, Sequence[Job], dict[int, Hung]]) -> tuple[str, str]:
    return work[0][0], caught(*work)


def _of_fault(one: Fault) -> Change:
    return str(one), one.file, one.text.replace(one.old, one.new)


def _of_mutant(one: Mutant) -> Change:
    return str(one), one.file, one.text


def caught(change: Change, trials: Sequence[Job], before: dict[int, Hung]) -> str:
    """What first shows a fault in a copy of crewdesk: nothing where none of the rooms does,
    `SAME` where every figure of every cut list of the trials stays what it was.

    `before` is what hangs without the fault, by a job's number; it grows by the further jobs.
    """
    _, file, text = change
    same = True
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for name in ("crewdesk", "sample_data", "themes"):
            shutil.copytree(ROOT / name, root / name, ignore=shutil.ignore_patterns("*.pyc"))
        (root / file).write_text(text, "utf-8")
        for job in (*reversed(trials), *_further(trials)):
            if same and job.number >= len(trials):
                break
            if job.number not in before:
                before[job.number] = hung(job, ROOT)
            try:
                now = hung(job, root)
            except CommandFailed as failed:
                return str(failed).splitlines()[-1][:100]
            new = now.misfits - before[job.number].misfits
            if new:
                room, board, what = min(new)
                return f"room {room}: {board}, {what}"[:100]
            same = same and now.figures == before[job.number].figures
    return SAME if same else ""


def _further(trials: Sequence[Job]) -> Iterator[Job]:
    """Yield the jobs after those that every fault is tried in."""
    many = len(trials)
    for number in range(many, TIMES_AS_MANY * many):
        yield job_at(trials[0].seed, number, PER_JOB)


def hung(job: Job, root: Path) -> Hung:
    """A job's boards hung: what does not fit in each room, and every figure of its cut list."""
    with tempfile.TemporaryDirectory() as folder:
        misfits = {one for tried in try_job(job, Path(folder), root) for one in _of_room(tried)}
        misfits |= _read_again(job, Path(folder), root)
        cut_list = json.loads(crewdesk(root, Path(folder), "cutlist", job.name, "--json"))
    return Hung(misfits, tuple(_figures(cut_list)))


def _read_again(job: Job, folder: Path, root: Path) -> Misfits:
    """What is said wrongly of sides that are cut, in rooms that were read again after that; in the
    first job alone."""
    if job.number:
        return set()
    rooms = list(both_rooms(job.seed, PER_JOB))
    measures = measure_as_cut(rooms, job.step, folder, root)
    return {(-1, one.board, one.what) for one in measures if one.beyond > 0}


def _figures(value: Any) -> Iterator[str]:
    """Every figure as it is shown, lengths to their step and angles to a hundredth."""
    if isinstance(value, dict):
        if "shown" in value:
            yield value["shown"]
            return
        for key, one in value.items():
            if key not in ("cautions", "within", "note", "at"):
                yield from _figures(one)
    elif isinstance(value, list):
        for one in value:
            yield from _figures(one)
    else:
        yield f"{value:.2f}" if isinstance(value, float) else str(value)


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
