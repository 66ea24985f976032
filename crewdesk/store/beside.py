"""What other machines did to a job that this one's own files don't hold yet; nothing is written."""

from collections.abc import Iterator

from crewdesk.errors import CrewdeskError
from crewdesk.job.came_in import Before, CameIn, came_in
from crewdesk.job.change import Tables, copied
from crewdesk.job.record import Record
from crewdesk.store.desk import Desk
from crewdesk.store.job_file import KIND
from crewdesk.store.storage import RecordStorage


def would_come_in(desk: Desk, named: str) -> Iterator[tuple[str, CameIn]]:
    """Yield the job's id and what other machines did to the job that a text names, where its
    next change takes that in."""
    try:
        id_ = desk.find(named)
        storage = RecordStorage(desk.path(id_), KIND, Record)
        if storage.arrived:
            alone = record_of(desk, storage, storage.alone)
            yield id_, came_in(record_of(desk, storage), Before.of(alone), storage.arrived)
    except CrewdeskError:
        return


def record_of(desk: Desk, storage: RecordStorage, tables: Tables | None = None) -> Record:
    """Return the job as a storage has it now, or as other tables have it, with its history, read
    with what the crew works with."""
    record = Record(copied(storage.tables if tables is None else tables))
    record.ask_crew = desk.crew
    record.ask_begun = storage.begun
    waiting = tuple(storage.waiting)
    record.history = lambda: [*storage.history.changes(), *waiting]
    return record
