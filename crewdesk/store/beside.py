"""What copies that a sync left beside a job would do to it; nothing is taken in or written."""

from collections.abc import Iterator

from crewdesk.job.came_in import Before, CameIn, came_in
from crewdesk.job.record import Record
from crewdesk.job.refused import Refused
from crewdesk.store.checkpoint import START
from crewdesk.store.desk import Desk
from crewdesk.store.history_file import HistoryFile
from crewdesk.store.job_file import KIND
from crewdesk.store.storage import HISTORY, RecordStorage, copied
from crewdesk.store.strays import copy_of, strays


def would_come_in(desk: Desk, named: str) -> Iterator[tuple[str, CameIn]]:
    """Yield the job's id and what each copy beside the job that a text names would do to it; a
    copy that can't be read, or holds nothing new, is left out."""
    try:
        id_ = desk.find(named)
        path = desk.path(id_)
        found = [one for one in strays(path) if one.suffix == HISTORY]
        own = HistoryFile(path.with_suffix(HISTORY)).read(START) if found else []
    except (Refused, OSError):
        return
    for one in found:
        try:
            storage = RecordStorage(path, KIND)
            before = Before.of(record_of(desk, storage))
            storage.take_copy(Record, own, copy_of(one, own))
            after = record_of(desk, storage)
        except (Refused, OSError):
            continue
        if storage.waiting:
            yield id_, came_in(after, before, storage.waiting)


def record_of(desk: Desk, storage: RecordStorage) -> Record:
    """Return the job as a storage has it now, with its history, read with the crew's
    instruments."""
    record = Record(copied(storage.tables))
    record.crew_instruments = desk.instruments
    waiting = tuple(storage.waiting)
    record.history = lambda: [*storage.history.first(storage.history.end.changes), *waiting]
    return record
