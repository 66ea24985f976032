"""Rooms by the job: what is read in them goes through the `crewdesk` command, and the boards
that its cut list gives are hung.

The command runs as a process of its own, so that nothing of it is loaded here.
"""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from tests.dry_fit.cut_list import Doc, beam_of
from tests.dry_fit.fit import measure, ways_in
from tests.dry_fit.fit_bottom import measure_shares
from tests.dry_fit.fit_passes import measure_passes
from tests.dry_fit.fit_said import Said, measure_said, said_of
from tests.dry_fit.fit_words import measure_words
from tests.dry_fit.job_file import beam_name, job_file
from tests.dry_fit.measure import STEP_SIZES, Allowed, Measure
from tests.dry_fit.printed import Pass, PrintedBeam, cut_pages, pages, passes
from tests.dry_fit.printed_beam import printed_beam
from tests.dry_fit.random_rooms import random_room
from tests.dry_fit.readings import EXACT, USUAL, Instruments, read, true_room
from tests.dry_fit.room import Room

ROOT = Path(__file__).parents[2]
STEPS = tuple(STEP_SIZES)
JOB = "Dry fit"


class Job(NamedTuple):
    """Rooms that go through one job, which shows its lengths to `step`."""

    seed: int
    number: int
    step: str
    instruments: Instruments
    rooms: tuple[Room, ...]

    @property
    def name(self) -> str:
        """The job's name as it is imported."""
        return JOB

    @property
    def exact(self) -> bool:
        """Whether every reading is what it is in truth."""
        return self.instruments == EXACT


def jobs(seed: int, count: int, per_job: int = 50) -> Iterator[Job]:
    """Jobs of `count` rooms in all: by turns exactly read and off, in every step in turn.

    A room is the same whatever job it comes in.
    """
    for number, first in enumerate(range(0, count, per_job)):
        yield _job(seed, number, range(first, min(first + per_job, count)))


def job_at(seed: int, number: int, per_job: int = 50) -> Job:
    """The job of that number out of `jobs`."""
    return _job(seed, number, range(number * per_job, (number + 1) * per_job))


def _job(seed: int, number: int, rooms: range) -> Job:
    return Job(
        seed,
        number,
        STEPS[number // 2 % len(STEPS)],
        (EXACT, USUAL)[number % 2],
        tuple(random_room(seed, one) for one in rooms),
    )


class Tried(NamedTuple):
    """A room, all that was measured in it, and `failed`: why nothing could be; `ways` is how
    each of its boards goes in."""

    job: Job
    room: Room
    measures: list[Measure]
    failed: str = ""
    ways: tuple[str, ...] = ()

    @property
    def worst(self) -> Measure:
        """The measure that is the furthest beyond what is allowed."""
        if self.failed:
            return Measure(self.failed, "beam", 1.0, 0.0)
        return max(self.measures, key=lambda one: one.beyond)

    def __str__(self) -> str:
        worst, job = self.worst, self.job
        read = "read exactly" if job.exact else "read as far off as may be"
        return (
            f"--seed {job.seed} --job {job.number} --room {self.room.number} ({self.room.case}, "
            f"{job.step}, {read}): {worst.board}, {worst.what}: {worst.value:.4f}, "
            f"allowed {worst.allowed:.4f}"
        )


PRINTED = 10
"""Of every tenth job the cut sheets and batch sheets are read as well."""
SQUARE = 1 / 128
"""On paper an end that is askew by no more than this is square, in inches."""
UP_TO = (None, "cut-side", "cut-bottom")
"""How far the beams of such a job are, in turn: each machine's batch has some pieces then."""


def try_job(job: Job, folder: Path, root: Path = ROOT) -> list[Tried]:
    """Take a job in, ask for its cut list, and measure every beam of it."""
    file = folder / "job.json"
    printed = job.number % PRINTED == 0
    rooms = [(room, read(room, job.instruments, job.seed)) for room in job.rooms]
    up_to = UP_TO if printed else UP_TO[-1:]
    file.write_text(job_file(JOB, job.step, rooms, up_to=up_to), "utf-8")
    crewdesk(root, folder, "import", str(file))
    cut_list = json.loads(crewdesk(root, folder, "cutlist", JOB, "--json"))
    beams = {one["name"]: one for one in cut_list["beams"]}
    sheets = _sheets(root, folder) if printed else None
    said = _said(root, folder) if job.exact else {}
    return [
        _try_beam(job, room, beams[beam_name(room)], sheets, said.get(beam_name(room)))
        for room in job.rooms
    ]


class Sheets(NamedTuple):
    """What is printed of a job: the cut sheet's page of each beam, and all batches' passes."""

    cuts: dict[str, PrintedBeam]
    passes: list[Pass]


def _sheets(root: Path, folder: Path) -> Sheets:
    file = folder / "sheets.pdf"
    crewdesk(root, folder, "sheet", JOB, "cuts", "batches", "--to", str(file))
    read_pages = pages(file)
    return Sheets(cut_pages(read_pages), passes(read_pages))


def _said(root: Path, folder: Path) -> dict[str, dict[str, Said]]:
    """What is said of how a job's boards will fit."""
    return said_of(json.loads(crewdesk(root, folder, "dryfit", JOB, "--json")))


def _try_beam(
    job: Job, room: Room, doc: Doc, sheets: Sheets | None, said: dict[str, Said] | None
) -> Tried:
    """Measure one beam out of a cut list's JSON, and as it is printed; figures that make no
    board count as one that does not fit."""
    readings = read(room, job.instruments, job.seed)
    room = true_room(room, job.instruments, job.seed)
    try:
        beam = beam_of(doc)
        allowed = Allowed(STEP_SIZES[job.step])
        if not job.exact:
            allowed = allowed._replace(within=beam.said_within, exact=False)
        measures = [*measure(room, beam, allowed), *measure_shares(room, readings, beam)]
        if sheets is not None:
            page = printed_beam(sheets.cuts[beam_name(room)], beam)
            loosely = Allowed(
                allowed.step + SQUARE,
                lambda piece, *marks: allowed.within(piece, *marks) + SQUARE,
                allowed.exact,
            )
            measures += [
                one._replace(what=f"{one.what} (as printed)")
                for one in measure(room, page, loosely)
            ]
            measures += measure_passes(room, beam, sheets.passes, allowed)
            measures += measure_words(room, sheets.cuts[beam_name(room)], allowed)
        if said is not None:
            measures += measure_said(room, beam, said, allowed)
        return Tried(job, room, measures, ways=tuple(ways_in(room, beam)) if job.exact else ())
    except (ArithmeticError, AssertionError, LookupError, TypeError, ValueError) as error:
        return Tried(job, room, [], f"{type(error).__name__}: {error}"[:300])


def crewdesk(root: Path, data: Path, *words: str) -> str:
    """What the command prints; raises `subprocess.CalledProcessError` where it refuses."""
    done = subprocess.run(
        [sys.executable, "-m", "crewdesk", "--data", str(data / "data"), *words],
        cwd=root,
        env={**os.environ, "PYTHONPATH": str(root)},
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise CommandFailed(f"crewdesk {words[0]}: {done.stderr.strip()[-400:]}")
    return done.stdout


class CommandFailed(Exception):
    """The command refused, or broke."""
