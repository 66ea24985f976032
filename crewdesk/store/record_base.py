"""TinyDB over a record's storage, for what is put in: reading needs it not, and it takes
its time to load."""

from typing import TYPE_CHECKING, Any

from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Document

from crewdesk.job.change import RowsAfter

if TYPE_CHECKING:
    from crewdesk.store.storage import RecordStorage


class _Seam(Storage):
    """A record's storage as TinyDB takes its storages."""

    def __init__(self, record: "RecordStorage") -> None:
        self._record = record

    def read(self) -> dict[str, dict[str, Any]] | None:
        """Return the tables, None for an empty record."""
        return self._record.read()

    def write(self, data: dict[str, dict[str, Any]]) -> None:
        """Take new tables; they count once their change is saved."""
        self._record.write(data)


def put_in(storage: "RecordStorage", rows: RowsAfter) -> None:
    """Put rows into the tables of a record, by their numbers; None takes one out."""
    base = TinyDB(storage, storage=_Seam)
    for name, docs in rows.items():
        table = base.table(name)
        if there := [int(row) for row in docs if table.contains(doc_id=int(row))]:
            table.remove(doc_ids=there)
        table.insert_multiple(
            Document(doc, int(row)) for row, doc in docs.items() if doc is not None
        )
