"""TinyDB over a checkpoint and a history: what the disk holds of one record.

TinyDB's own storage writes the whole file over itself, so that a kill can leave it
unreadable. Here its tables live in memory; a change counts once its line stands in
the history (see `history_file`), and the tables are written whole only now and then
(see `checkpoint`). So one tick costs one short line, however long the job is.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Table

from crewdesk.job.change import Change, Doc, RowsAfter, Tables, put, rows_after
from crewdesk.job.refused import Refused
from crewdesk.store import checkpoint
from crewdesk.store.checkpoint import Checkpoint, Head
from crewdesk.store.history_file import HistoryFile
from crewdesk.store.trouble import Damaged, NotSaved

HISTORY = ".history"


class RecordStorage(Storage):
    """The tables of one record and the number of changes that led to them."""

    def __init__(self, path: Path, kind: str, *, rescue: Checkpoint | None = None) -> None:
        """Read the record at `path`, if it is there; raises `Damaged` or `OSError`.

        Where there is no checkpoint yet, the history alone tells the record.
        `rescue` is a kept copy to go on from instead, with as much of the history as
        can be read; the file at `path` is then not looked at.
        """
        self.path = path
        self.kind = kind
        self.history = HistoryFile(path.with_suffix(HISTORY))
        self.tables: Tables = {}
        self.changes = 0
        self.unwritten = 0
        self._staged: Tables | None = None
        if rescue is not None:
            self._rescue(rescue)
        elif path.exists():
            kept = checkpoint.read(path, kind)
            self._load(kept, self.history.read(kept.head.bytes, kept.head.changes))
        else:
            self._make_all(self.history.read(0, 0))

    def _rescue(self, kept: Checkpoint) -> None:
        """Take a kept copy and what the history has after it. A history that is broken
        before that is begun anew: the record is whole, but can't be undone past here."""
        self.history.sound(0, 0)
        whole = self.history.end >= kept.head.bytes
        self._load(kept, self.history.sound(kept.head.bytes, kept.head.changes))
        if not whole:
            self.changes = self.history.end = 0

    def _load(self, kept: Checkpoint, tail: list[Change]) -> None:
        """Take a checkpoint and make the changes that the history has after it."""
        self.tables, self.changes = kept.tables, kept.head.changes
        self._make_all(tail)

    def _make_all(self, tail: list[Change]) -> None:
        for change in tail:
            try:
                put(self.tables, rows_after(self.tables, change))
            except Refused:
                raise Damaged(self.history.path, "its changes do not fit one another") from None
        self.changes += len(tail)
        self.unwritten = len(tail)

    def read(self) -> Tables | None:
        """The tables, for TinyDB."""
        return dict(self.tables if self._staged is None else self._staged) or None

    def write(self, tables: Tables) -> None:
        """Take TinyDB's new tables; they count only inside `saving`."""
        self._staged = tables

    @contextmanager
    def saving(self, change: Change) -> Iterator[None]:
        """Make what TinyDB writes meanwhile last, as one change: all of it or nothing."""
        try:
            yield
            try:
                self.history.add(self.changes + 1, change)
            except OSError as error:
                raise NotSaved(self.path, error) from None
            if self._staged is not None:
                self.tables = self._staged
            self.changes += 1
            self.unwritten += 1
        finally:
            self._staged = None

    def write_whole(self, written: datetime, summary: Doc, *, keep: bool = True) -> None:
        """Write a checkpoint of the tables (see `checkpoint.write`); raises `NotSaved`."""
        head = Head(self.kind, written, self.changes, self.history.end, summary)
        try:
            checkpoint.write(self.path, Checkpoint(head, self.tables), keep=keep)
        except OSError as error:
            raise NotSaved(self.path, error) from None
        self.unwritten = 0

    def close(self) -> None:
        """Let go of the files."""
        self.history.close()


class RowTable(Table):
    """A TinyDB table that takes many rows in one go."""

    def put_rows(self, rows: dict[str, Doc | None]) -> None:
        """Put rows in by number; None takes one out."""

        def updater(table: dict[int, object]) -> None:
            for row, doc in rows.items():
                if doc is None:
                    table.pop(int(row), None)
                else:
                    table[int(row)] = doc

        self._update_table(updater)  # type: ignore[arg-type]


class RecordBase(TinyDB):
    """TinyDB with tables that take many rows in one go."""

    table_class = RowTable

    def put_all(self, rows: RowsAfter) -> None:
        """Put the rows of several tables in."""
        for name, docs in rows.items():
            table = self.table(name)
            assert isinstance(table, RowTable)
            table.put_rows(docs)
