"""One record on disk, and the one way in for every change of it: of a job, and of the shop."""

from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Generic, TypeVar

from crewdesk.job.change import Change, Doc, Tables, rows_after
from crewdesk.job.refused import Refused
from crewdesk.job.rows import Rows
from crewdesk.store.storage import RecordBase, RecordStorage
from crewdesk.store.trouble import NotSaved, ReadOnly

if TYPE_CHECKING:
    from filelock import FileLock

    from crewdesk.job.undoing import Undoing

WHOLE_AFTER = 500
"""So many changes after the last checkpoint, the next one is written."""

_Record = TypeVar("_Record", bound=Rows)


class RecordFile(Generic[_Record]):
    """A record that is open, to write or, where another crewdesk writes it, only to read."""

    def __init__(
        self,
        path: Path,
        kind: str,
        record: Callable[[Tables], _Record],
        *,
        writing: bool = True,
        patience: float = 0,
    ) -> None:
        """Open the record; `patience` is how many seconds to wait for another to let it go."""
        self.path = path
        self._lock: FileLock | None = None
        self._refusal = ReadOnly(path, "was opened to be read")
        if writing:
            try:
                self._lock = locked(path, patience)
            except ReadOnly as refusal:
                self._refusal = refusal
        self.read_only = self._lock is None
        try:
            self._base = RecordBase(path, kind, storage=RecordStorage)
        except BaseException:
            self._unlock()
            raise
        storage = self._base.storage
        assert isinstance(storage, RecordStorage)
        self._storage = storage
        self.record = record(storage.tables)
        self._undoing: Undoing | None = None
        self._starts: list[int] = []

    def summary(self) -> Doc:
        """What the head of a checkpoint tells of the record."""
        return {}

    def make(self, change: Change) -> int:
        """Make a change: check it, save it with its history, then show it; gives its number.

        Raises `Refused` where it makes no sense, `ReadOnly` where another crewdesk
        writes the record and `NotSaved` where the disk did not take it. The record then
        stays as it was.
        """
        self.writable()
        rows = rows_after(self.record.tables, change)
        self.record.check(rows)
        start = self._storage.history.end
        with self._storage.saving(change):
            self._base.put_all(rows)
        self.record.tables = self._storage.tables
        self.record.forget(change.rows)
        if self._undoing is not None:
            self._undoing.note(self._storage.changes, change.undoes, change.redoes)
            self._starts.append(start)
        if self._storage.unwritten >= WHOLE_AFTER:
            with suppress(NotSaved):
                self.write_whole(change.when)
        return self._storage.changes

    def writable(self) -> None:
        """Raises `ReadOnly` where the record can only be read here."""
        if self.read_only:
            raise self._refusal

    def history(self) -> list[Change]:
        """Every change that led to the record as it is open here, oldest first."""
        return self._storage.history.first(self._storage.changes)

    def _folded(self) -> "Undoing":
        if self._undoing is None:
            from crewdesk.job.undoing import Undoing

            undoing = Undoing()
            for number, change in enumerate(self.history(), 1):
                undoing.note(number, change.undoes, change.redoes)
            self._starts = self._storage.history.starts()
            self._undoing = undoing
        return self._undoing

    def undo(self, now: datetime) -> Change:
        """Take the latest change back; gives it.

        Raises `Refused` where there is none, or one that stays for ever.
        """
        made = self._folded().made
        if not made:
            raise Refused("There is nothing to undo.")
        number = made[-1]
        change = self._change(number)
        self.check_undo(change)
        self.make(change.taken_back(number, now))
        return change

    def check_undo(self, change: Change) -> None:
        """Raises `Refused` where a change can't be taken back."""

    def redo(self, now: datetime) -> Change:
        """Make the change that was undone last again; gives it. Raises `Refused`."""
        taken = self._folded().taken
        if not taken:
            raise Refused("There is nothing to redo.")
        number = taken[-1]
        change = self._change(number)
        self.make(change.made_again(number, now))
        return change

    def _change(self, number: int) -> Change:
        return self._storage.history.one(self._starts[number - 1], number)

    def write_whole(self, now: datetime) -> None:
        """Write a checkpoint, so that the next opening is quick. Nothing is lost without it.

        Raises `ReadOnly` or `NotSaved`.
        """
        self.writable()
        self._storage.write_whole(now, self.summary())

    def close(self, now: datetime) -> None:
        """Write a checkpoint where there is something new, and let the record go.

        Every change is in the history already, so a checkpoint that the disk does not
        take is done without.
        """
        try:
            if not self.read_only and self._storage.unwritten:
                with suppress(NotSaved):
                    self.write_whole(now)
        finally:
            self.read_only, self._refusal = True, ReadOnly(self.path, "was closed")
            self._base.close()
            self._unlock()

    def _unlock(self) -> None:
        if self._lock is not None:
            self._lock.release()
            self._lock = None


def locked(path: Path, patience: float = 0) -> "FileLock":
    """The lock of a record's file; raises `ReadOnly` where it can't be had in time."""
    from filelock import FileLock, Timeout

    lock = FileLock(path.with_suffix(".lock"), mode=0o600)
    try:
        lock.acquire(timeout=patience, poll_interval=0.01)
    except Timeout:
        raise ReadOnly(path) from None
    except (OSError, NotImplementedError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise ReadOnly(path, f"can't be locked ({why})") from None
    return lock
