"""The jobs that are measured: a long one, and a folder with years of them."""

from collections.abc import Iterable, Iterator
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from pathlib import Path

from crewdesk.job.beams.beams import add_beam, new_job
from crewdesk.job.beams.piece import Spot
from crewdesk.job.change import ABSENT, Change, Edit, put, rows_after
from crewdesk.job.record import Record
from crewdesk.job.steps.ticks import tick_all
from crewdesk.job.time.entry import Entry
from crewdesk.store import checkpoint
from crewdesk.store.checkpoint import Checkpoint
from crewdesk.store.desk import Desk
from crewdesk.store.history_lines import HISTORY, History
from crewdesk.store.job_file import KIND, JobFile
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
    """So many more jobs in the folder, each like job `id_` but with a beginning of its own."""
    path = desk.path(id_)
    whole = checkpoint.read(path, KIND)
    first, *rest = [line.change for line in History.read(path.with_suffix(HISTORY)).after(0)]
    for number in range(count):
        there = path.parent.with_name(f"other-{number}") / path.name
        there.parent.mkdir(exist_ok=True)
        history = History(there, ())
        history.add([first._replace(of=(f"{number:016x}",)), *rest])
        there.with_suffix(HISTORY).write_bytes(b"".join(one + b"\n" for one in history.lines))
        place = history.place(len(history.lines))
        head = whole.head._replace(place=place, holds=(history.begun, history.end))
        there.write_bytes(checkpoint.pack(Checkpoint(head, whole.tables)))


def grown(desk: Desk, id_: str, changes: Iterable[Change]) -> None:
    """Give a job so many changes more in one go, as if each had been saved by itself."""
    job = desk.open(id_)
    tables = job.record.tables
    made = []
    for change in changes:
        put(tables, rows_after(tables, change))
        made.append(change)
    job._storage.waiting = made
    job.close(NOW)


def noted(record: Record, count: int) -> Iterator[Change]:
    """A beam's note, written again and again."""
    beam = record.beams[0]
    was = beam.note
    for number in range(count):
        note = Edit(("beams", beam.row, "note"), was, was := f"note {number}")
        yield Change("changed a note", (note,), NOW + timedelta(seconds=number))


def logged(count: int) -> Iterator[Change]:
    """Time entries, one after another."""
    for number in range(count):
        begin = NOW + timedelta(minutes=10 * number)
        entry = Entry(str(number + 1), begin, "rip", begin + timedelta(minutes=9))
        place = Edit(("entries", entry.row), ABSENT, entry.to_doc())
        yield Change("added 0:09 on Rip", (place,), begin + timedelta(minutes=9))


def with_history(job: JobFile, changes: int) -> None:
    """Give a job so many changes more: a beam's note, written again and again."""
    from crewdesk.job.beams.beams import change_beam

    row = job.record.beams[0].row
    for number in range(changes):
        at = NOW + timedelta(seconds=number)
        job.make(change_beam(job.record, row, {"note": f"note {number}"}, at))
