"""One record on disk, of a job or the business, and the only way to change it.

Several programs can have a record open. Each holds its lock only while it saves, and first merges
what other programs and machines saved.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Generic, TypeVar

from crewdesk.errors import CrewdeskError, Damaged, NotAllowed, NotSaved, ReadOnly
from crewdesk.job.change import Change, Doc, Tables, changed_rows, rows_after
from crewdesk.job.rows import Rows
from crewdesk.store.disk import ALL_OURS
from crewdesk.store.storage import RecordStorage

if TYPE_CHECKING:
    from filelock import FileLock

    from crewdesk.job.sync.undoing import Undoing

WHOLE_AFTER = 500
"""The number of changes after which the next checkpoint is written."""
PATIENCE = 5
"""The seconds to wait for another crewdesk that is saving."""

_Record = TypeVar("_Record", bound=Rows)


class RecordFile(Generic[_Record]):
    """An open record, for writing or, if that isn't possible, reading only.

    holding: keep a change that couldn't be saved and save it later, instead of dropping it. came:
    others' changes saved while it is open. news: rows changed by them, until they are cleared.
    """

    def __init__(
        self,
        path: Path,
        kind: str,
        record: Callable[[Tables], _Record],
        *,
        writing: bool = True,
        hold: bool = False,
    ) -> None:
        """Open the record; with `hold` keep its lock until it is closed."""
        self.path = path
        self.holding = False
        self.came: list[Change] = []
        self.news: set[tuple[str, str]] = set()
        self._lock: FileLock | None = None
        self._refusal = ReadOnly(path, "was opened to be read")
        if writing:
            try:
                path.parent.mkdir(mode=ALL_OURS, exist_ok=True)
                self._lock = locked(path, PATIENCE)
            except OSError as error:
                self._refusal = ReadOnly(path, f"can't be locked ({error.strerror or error})")
            except ReadOnly as refusal:
                self._refusal = refusal
        self.read_only = self._lock is None
        try:
            self._storage = RecordStorage(path, kind, record)
            if self._lock is not None:
                with suppress(NotSaved):
                    self._storage.flush()
        except BaseException:
            self._unlock()
            raise
        if not hold and self._lock is not None:
            release(self._lock)
        self.record = record(self._storage.tables)
        self._undoing: Undoing | None = None

    def summary(self) -> Doc:
        """Return the record's summary for a checkpoint's head."""
        return {}

    @property
    def last(self) -> datetime | None:
        """The latest time that any program or machine wrote it."""
        return self._storage.last

    @property
    def alone(self) -> Tables | None:
        """This machine's own tables at opening, if other machines' changes were merged on top; else
        None."""
        return self._storage.alone if self._storage.arrived else None

    @property
    def waiting(self) -> tuple[Change, ...]:
        """The changes that are not saved yet."""
        return tuple(self._storage.waiting)

    def make(self, change: Change, *, sound: bool = True) -> int:
        """Make a change: check it, save it with its history, then show it; return its number.

        Raises `NotAllowed` for an invalid change, `ReadOnly` if the record can't be written here
        and `NotSaved` if the disk failed. The record then stays as it was, unless it is `holding`.
        If another crewdesk changed the same thing, both changes are kept (see
        `crewdesk.job.sync.conflicts`). A change that restores an earlier state need not be `sound`
        (see `Rows.check`).
        """
        self.writable()
        from crewdesk.store.record_base import put_in

        rows = rows_after(self.record.tables, change)
        self.record.check(rows, sound=sound)
        self._storage.take(change, put_in(self._storage.tables, rows))
        if self._undoing is not None:
            self._undoing.note(self._storage.changes, change)
        self._show(change.rows)
        try:
            self.save()
        except (NotSaved, Damaged) as error:
            if self.holding:
                raise error.held() if isinstance(error, NotSaved) else error from None
            self._storage.let_go()
            self._show_anew()
            raise
        if self._storage.unwritten >= WHOLE_AFTER:
            with suppress(NotSaved, Damaged, OSError):
                self.write_whole(change.when)
        return self._storage.changes

    def save(self) -> None:
        """Save pending changes; raises `NotSaved`, or `Damaged` if others' files can't be read."""
        self.writable()
        with self._locked(PATIENCE):
            self._take_in()
            self._storage.flush()

    def look(self) -> None:
        """Merge what another crewdesk saved, if there is anything and it has finished; raises
        `Damaged` if that can't be read."""
        if not self.read_only and self._storage.moved():
            with suppress(NotSaved), self._locked(0):
                self._take_in()
                self._storage.flush()

    def coming(self) -> None:
        """Called before others' changes are merged."""

    def arrived(self, came: Sequence[Change]) -> None:
        """Called after others' changes were merged and show in the record."""

    def _take_in(self) -> None:
        if self._storage.moved():
            self.coming()
            theirs = self._storage.take_in()
            self.came += theirs
            self._show_anew()
            self.arrived(theirs)

    def _show(self, rows: Iterable[tuple[str, str]]) -> None:
        self.record.tables = self._storage.tables
        self.record.forget(rows)

    def _show_anew(self) -> None:
        self._undoing = None
        self.news |= changed_rows(self.record.tables, self._storage.tables)
        self.record.renew(self._storage.tables)

    @contextmanager
    def _locked(self, patience: float) -> Iterator[None]:
        """Hold the lock inside; raises `NotSaved` if it can't be had."""
        from filelock import Timeout

        assert self._lock is not None
        try:
            if not self.path.parent.is_dir():  # a lock would create it, maybe on another disk
                raise NotSaved(self.path, "is gone")
            try:
                self._lock.acquire(timeout=patience, poll_interval=0.01)
            except RuntimeError:  # the disk failed at the last release
                self._lock.release(force=True)
                self._lock.acquire(timeout=patience, poll_interval=0.01)
        except Timeout:
            raise NotSaved(self.path, "is busy with another crewdesk") from None
        except RuntimeError:
            raise NotSaved(self.path, "can't be locked") from None
        except OSError as error:
            raise NotSaved(self.path, error) from None
        except NotImplementedError as error:
            raise NotSaved(self.path, str(error)) from None
        try:
            yield
        finally:
            release(self._lock)

    def writable(self) -> None:
        """Raises `ReadOnly` if the record can only be read here."""
        if self.read_only:
            raise self._refusal

    def history(self) -> list[Change]:
        """Return every change of the record as shown here, oldest first."""
        storage = self._storage
        return [*storage.history.changes(), *storage.waiting]

    def _folded(self) -> "Undoing":
        if self._undoing is None:
            undoing = self._storage.undoing()
            for number, change in enumerate(self.waiting, self._storage.history.end.changes + 1):
                undoing.note(number, change)
            self._undoing = undoing
        return self._undoing

    def undo(self, now: datetime) -> Change:
        """Undo the latest change made here, or the latest of all if there is none; return the
        change.

        Raises `NotAllowed` if there is none, or it is permanent, or later changes made elsewhere
        depend on it.
        """
        number = self._to_undo()
        if not number:
            raise NotAllowed("There is nothing to undo.")
        change = self._storage.change(number)
        self.check_undo(change)
        back = change.taken_back(number, now)
        if number != self._folded().latest:
            self._check_out_of_turn(back)
        self.check_again(back)
        self.make(back, sound=False)
        return change

    def to_undo(self) -> Change | None:
        """Return the change that `undo` would undo."""
        number = self._to_undo()
        return self._storage.change(number) if number else None

    def _to_undo(self) -> int:
        """Return the number of that change; 0 if there is none."""
        try:
            undoing = self._folded()
            here = (one for one in reversed(undoing.made) if self._storage.made_here(one))
            return next(here, undoing.latest)
        except Damaged:
            self._undoing = None  # it has read up to the damage
            raise

    def _check_out_of_turn(self, back: Change) -> None:
        """Raise `NotAllowed` if a later change made elsewhere prevents it."""
        try:
            rows_after(self.record.tables, back)
        except CrewdeskError:
            raise NotAllowed(
                f"'{back.what}' was changed again on another computer. Undo that change "
                "first. Nothing was changed."
            ) from None
        from crewdesk.job.sync.conflicts import check_between

        check_between(self.record, back)

    def check_undo(self, change: Change) -> None:
        """Raise `NotAllowed` if a change can't be undone."""

    def check_again(self, change: Change) -> None:
        """Raise `NotAllowed` if undo or redo isn't possible in the current state."""

    def redo(self, now: datetime) -> Change:
        """Redo the change that was undone last; return it.

        Raises `NotAllowed` if there is none, or if others' later changes prevent it.
        """
        self.look()
        taken = self._folded().taken
        if not taken:
            raise NotAllowed("There is nothing to redo.")
        number = taken[-1]
        change = self._storage.change(number)
        again = change.made_again(number, now)
        self.check_again(again)
        self.make(again, sound=False)
        return change

    def write_whole(self, now: datetime) -> None:
        """Write a checkpoint, so that the next opening is fast. Nothing is lost without it.

        Raises `ReadOnly`, `NotSaved` or `Damaged`.
        """
        self.writable()
        with self._locked(PATIENCE):
            self._take_in()
            self._storage.flush()
            self._storage.write_whole(now, self.summary())

    def close(self, now: datetime) -> None:
        """Write a checkpoint if there is something new, and release the record.

        All saved changes are in the history, so a failed checkpoint is ignored.
        """
        try:
            if not self.read_only and (self._storage.unwritten or self.waiting):
                with suppress(NotSaved, Damaged, OSError):
                    self.write_whole(now)
        finally:
            self.let_go()

    def let_go(self) -> None:
        """Release the record without writing anything."""
        self.read_only, self._refusal = True, ReadOnly(self.path, "was closed")
        self._unlock()

    def _unlock(self) -> None:
        if self._lock is not None:
            release(self._lock, force=True)
            self._lock = None


def release(lock: "FileLock", *, force: bool = False) -> None:
    """Release a lock; a disk that fails now can't affect saved changes."""
    with suppress(OSError):
        lock.release(force=force)


def locked(path: Path, patience: float = 0) -> "FileLock":
    """Return the lock of a record's file, held; raises `ReadOnly` if it can't be had in time."""
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
