"""TinyDB over a record's storage, for what is put in: reading needs it not, and it takes
its time to load."""

from typing import TYPE_CHECKING, cast

from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Table

from crewdesk.job.change import Doc, RowsAfter, Tables

if TYPE_CHECKING:
    from crewdesk.store.storage import RecordStorage


class RowTable(Table):
    """A TinyDB table that takes many rows in one go."""

    def put_rows(self, rows: dict[str, Doc | None]) -> None:
        """Put rows in by number; None takes one out. A table's own way would turn the number of
        every other row into one and back."""
        tables = cast("Tables", self.storage.read() or {})
        table = dict(tables.get(self.name, {}))
        for row, doc in rows.items():
            if doc is None:
                table.pop(row, None)
            else:
                table[row] = doc
        tables[self.name] = table
        self.storage.write(cast("dict[str, dict[str, object]]", tables))
        self.clear_cache()


class RecordBase(TinyDB):
    """TinyDB with tables that take many rows in one go."""

    table_class = RowTable

    def __init__(self, storage: "RecordStorage") -> None:
        """Over a storage that is open."""
        super().__init__(storage=lambda: cast(Storage, storage))

    def put_all(self, rows: RowsAfter) -> None:
        """Put the rows of several tables in."""
        for name, docs in rows.items():
            table = self.table(name)
            assert isinstance(table, RowTable)
            table.put_rows(docs)
