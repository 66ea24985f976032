"""TinyDB over a record's tables, imported only for writing, since it is slow to import."""

from typing import Any

from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Document

from crewdesk.job.change import RowsAfter, Tables, in_order


class _InMemory(Storage):
    """A TinyDB storage in memory; the original tables stay unchanged."""

    def __init__(self, begun: Tables) -> None:
        self._begun = self.tables = begun

    def read(self) -> dict[str, dict[str, Any]] | None:
        """Return the tables, None for an empty record."""
        return dict(self.tables) or None

    def write(self, data: Tables) -> None:
        """Set new tables. A changed row keeps its position, as on every machine that reads the
        change."""
        self.tables = {
            name: rows if rows is (old := self._begun.get(name)) else in_order(old or {}, rows)
            for name, rows in data.items()
        }


def put_in(tables: Tables, rows: RowsAfter) -> Tables:
    """Return a record's tables with new rows, by number; None removes one."""
    memory = _InMemory(tables)
    base = TinyDB(storage=lambda: memory)
    for name, docs in rows.items():
        table = base.table(name)
        if there := [int(row) for row in docs if table.contains(doc_id=int(row))]:
            table.remove(doc_ids=there)
        table.insert_multiple(
            Document(doc, int(row)) for row, doc in docs.items() if doc is not None
        )
    return memory.tables
