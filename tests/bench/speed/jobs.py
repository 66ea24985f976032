"""The jobs that are measured: a long one, and a folder with years of them."""

import shutil
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from pathlib import Path

from crewdesk.job.beams import add_beam, new_job
from crewdesk.job.piece import Spot
from crewdesk.job.ticks import tick_all
from crewdesk.store.desk import Desk
from crewdesk.store.job_file import JobFile
from crewdesk.trade.cuts.section import Section

NOW = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
MARK = "Larchfield"
"""A word that stands on the run sheet of the long job alone."""


def long_job(folder: Path, beams: int = 200) -> tuple[Desk, str]:
    """A job of so many beams, twenty to a room, the first half of them ripped."""
    desk = Desk(folder)
    id_ = desk.create(new_job(MARK, Section(Fraction(8), Fraction(10)), NOW))
    job = desk.open(id_)
    for number in range(beams):
        room = f"Room {number // 20 + 1}"
        ends = ("north wall", "south wall")
        job.make(add_beam(job.record, f"{number % 20 + 1}", room, NOW, ends=ends))
    rip = job.record.stages.stages[0].steps[0]
    half = [
        Spot(beam.row, key)
        for beam in job.record.beams[: beams // 2]
        for key, piece in beam.pieces.items()
        if rip.is_for(piece.kind, piece.traits)
    ]
    job.make(tick_all(job.record, half, rip.id, NOW))
    job.close(NOW)
    return desk, id_


def many_jobs(desk: Desk, id_: str, count: int) -> None:
    """So many more jobs in the folder, each like job `id_`."""
    path = desk.path(id_)
    for number in range(count):
        for file in (path, path.with_suffix(".history")):
            there = file.parent.with_name(f"other-{number}") / file.name
            there.parent.mkdir(exist_ok=True)
            shutil.copyfile(file, there)


def with_history(job: JobFile, changes: int) -> None:
    """Give a job so many changes more: a beam's note, written again and again."""
    from crewdesk.job.beams import change_beam

    row = job.record.beams[0].row
    for number in range(changes):
        at = NOW + timedelta(seconds=number)
        job.make(change_beam(job.record, row, {"note": f"note {number}"}, at))
