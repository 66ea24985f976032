"""One job on disk, and the one way in for every change of its record."""

from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from crewdesk.job.change import ABSENT, Change, Doc, rows_after
from crewdesk.job.clock import running
from crewdesk.job.record import JOB_ROW, Record
from crewdesk.job.refused import Refused
from crewdesk.job.run_sheet import RunSheet
from crewdesk.job.undoing import Undoing
from crewdesk.store.storage import RecordBase, RecordStorage
from crewdesk.store.trouble import NotSaved, ReadOnly

if TYPE_CHECKING:
    from filelock import FileLock

KIND = "job"
WHOLE_AFTER = 500
"""So many changes after the last checkpoint, the next one is written."""


class JobFile:
    """A job that is open, to write or, where another crewdesk writes it, only to read."""

    def __init__(self, path: Path, *, writing: bool = True) -> None:
        self.path = path
        self._lock: FileLock | None = None
        self._refusal = ReadOnly(path, "was opened to be read")
        if writing:
            try:
                self._lock = locked(path)
            except ReadOnly as refusal:
                self._refusal = refusal
        self.read_only = self._lock is None
        try:
            self._base = RecordBase(path, KIND, storage=RecordStorage)
        except BaseException:
            self._unlock()
            raise
        storage = self._base.storage
        assert isinstance(storage, RecordStorage)
        self._storage = storage
        self.record = Record(storage.tables)
        self._undoing: Undoing | None = None
        self._starts: list[int] = []

    @property
    def id(self) -> str:
        """The job's name among the files of the data folder."""
        return self.path.stem

    def make(self, change: Change) -> int:
        """Make a change: check it, save it with its history, then show it; gives its number.

        Raises `Refused` where it makes no sense, `ReadOnly` where another crewdesk
        writes the job and `NotSaved` where the disk did not take it. The record then
        stays as it was.
        """
        if self.read_only:
            raise self._refusal
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

    def history(self) -> list[Change]:
        """Every change that led to the record as it is open here, oldest first."""
        return self._storage.history.first(self._storage.changes)

    def _folded(self) -> Undoing:
        if self._undoing is None:
            undoing = Undoing()
            for number, change in enumerate(self.history(), 1):
                undoing.note(number, change.undoes, change.redoes)
            self._starts = self._storage.history.starts()
            self._undoing = undoing
        return self._undoing

    def undo(self, now: datetime) -> Change:
        """Take the latest change back; gives it. Raises `Refused` where there is none."""
        made = self._folded().made
        if not made:
            raise Refused("There is nothing to undo.")
        number = made[-1]
        change = self._change(number)
        if any(edit.at == ("job", JOB_ROW) and edit.before is ABSENT for edit in change.edits):
            raise Refused("There is nothing to undo; the job was begun here.")
        self.make(change.taken_back(number, now))
        return change

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
        if self.read_only:
            raise self._refusal
        self._storage.write_whole(now, summary(self.record))

    def close(self, now: datetime) -> None:
        """Write a checkpoint where there is something new, and let the job go.

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


def summary(record: Record) -> Doc:
    """What the list of jobs tells of a job without opening it."""
    job, total, entry = record.job, RunSheet(record).total(), running(record)
    told: Doc = {
        "name": job.name,
        "customer": job.customer,
        "site": job.site,
        "beams": len(record.beams),
        "behind": total.behind,
        "steps": total.steps,
    }
    if entry is not None:
        told["running"] = {
            "since": entry.start.isoformat(),
            "stage": record.stages.name_of(entry.stage),
        }
    return told


def locked(path: Path) -> "FileLock":
    """The lock of a job's file; raises `ReadOnly` where it can't be had."""
    from filelock import FileLock, Timeout

    lock = FileLock(path.with_suffix(".lock"), mode=0o600)
    try:
        lock.acquire(timeout=0)
    except Timeout:
        raise ReadOnly(path) from None
    except (OSError, NotImplementedError) as error:
        why = getattr(error, "strerror", None) or str(error)
        raise ReadOnly(path, f"can't be locked ({why})") from None
    return lock
