"""One record on disk, and the one way in for every change of it: of a job, and of the shop.

Several programs can have a record open. Each holds its lock only while it saves, and
before it does so it takes in what the others, and other machines, saved meanwhile.
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
"""So many changes after the last checkpoint, the next one is written."""
PATIENCE = 5
"""So many seconds for another crewdesk to be through with saving."""

_Record = TypeVar("_Record", bound=Rows)


class RecordFile(Generic[_Record]):
    """A record that is open, to write or, if that can't be, only to read.

    `holding` says whether a change that the disk did not take stands all the same and
    waits to be saved, or is let go of; `came` are the changes that others saved while it
    is open, and `news` the rows that look otherwise by that, until somebody clears them.
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
        """Open the record; `hold` keeps its lock until it is closed."""
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
        """What the head of a checkpoint tells of the record."""
        return {}

    @property
    def last(self) -> datetime | None:
        """The latest time that anything of it was written, by whoever wrote it."""
        return self._storage.last

    @property
    def alone(self) -> Tables | None:
        """The tables that this machine's own files led to when the record was opened, where
        other machines' changes came in on top of them; else None."""
        return self._storage.alone if self._storage.arrived else None

    @property
    def waiting(self) -> tuple[Change, ...]:
        """The changes that stand here and are not saved."""
        return tuple(self._storage.waiting)

    def make(self, change: Change, *, sound: bool = True) -> int:
        """Make a change: check it, save it with its history, then show it; gives its number.

        Raises `NotAllowed` if it makes no sense, `ReadOnly` where the record can't be written here
        and `NotSaved` where the disk did not take it. The record then stays as it was, unless it is
        `holding`. Where another crewdesk changed the same meanwhile, both are kept (see
        `crewdesk.job.sync.conflicts`). A change that brings back what stood before need not be
        `sound` (see `Rows.check`).
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
        """Save what waits; raises `NotSaved`, or `Damaged` where what another left there
        can't be read."""
        self.writable()
        with self._locked(PATIENCE):
            self._take_in()
            self._storage.flush()

    def look(self) -> None:
        """Take in what another crewdesk saved meanwhile, if there is anything and it is through
        with it; raises `Damaged` if that can't be read."""
        if not self.read_only and self._storage.moved():
            with suppress(NotSaved), self._locked(0):
                self._take_in()
                self._storage.flush()

    def coming(self) -> None:
        """Called before something that others changed is taken in."""

    def arrived(self, came: Sequence[Change]) -> None:
        """Called after changes of others were taken in, once they show in the record."""

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
        """Hold the lock meanwhile; raises `NotSaved` where it can't be had."""
        from filelock import Timeout

        assert self._lock is not None
        try:
            if not self.path.parent.is_dir():  # a lock would make it, maybe on another disk
                raise NotSaved(self.path, "is gone")
            try:
                self._lock.acquire(timeout=patience, poll_interval=0.01)
            except RuntimeError:  # the disk failed when it was let go of last
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
        """Every change that led to the record as it is shown here, oldest first."""
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
        """Take the latest change back that was made here, and if there is none, the latest of all;
        gives it.

        Raises `NotAllowed` if there is none, one that stays for ever, or one that later changes
        made elsewhere rest on.
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
        """The change that `undo` would take back."""
        number = self._to_undo()
        return self._storage.change(number) if number else None

    def _to_undo(self) -> int:
        """The number of that change; 0 if there is none."""
        try:
            undoing = self._folded()
            here = (one for one in reversed(undoing.made) if self._storage.made_here(one))
            return next(here, undoing.latest)
        except Damaged:
            self._undoing = None  # it has read up to the damage, and ends there
            raise

    def _check_out_of_turn(self, back: Change) -> None:
        """Raises `NotAllowed` if something that was done elsewhere later is in the way."""
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
        """Raises `NotAllowed` if a change can't be taken back."""

    def check_again(self, change: Change) -> None:
        """Raises `NotAllowed` if undoing or redoing can't make a change by what stands now."""

    def redo(self, now: datetime) -> Change:
        """Make the change that was undone last again; gives it.

        Raises `NotAllowed` if there is none, or what others did since stands in its way.
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
        """Write a checkpoint, so that the next opening is quick. Nothing is lost without it.

        Raises `ReadOnly`, `NotSaved` or `Damaged`.
        """
        self.writable()
        with self._locked(PATIENCE):
            self._take_in()
            self._storage.flush()
            self._storage.write_whole(now, self.summary())

    def close(self, now: datetime) -> None:
        """Write a checkpoint if there is something new, and let the record go.

        Every change that does not wait is in the history already, so a checkpoint that
        the disk does not take is done without.
        """
        try:
            if not self.read_only and (self._storage.unwritten or self.waiting):
                with suppress(NotSaved, Damaged, OSError):
                    self.write_whole(now)
        finally:
            self.let_go()

    def let_go(self) -> None:
        """Let the record go without writing anything."""
        self.read_only, self._refusal = True, ReadOnly(self.path, "was closed")
        self._unlock()

    def _unlock(self) -> None:
        if self._lock is not None:
            release(self._lock, force=True)
            self._lock = None


def release(lock: "FileLock", *, force: bool = False) -> None:
    """Let go of a lock; a disk that fails then takes nothing of what was saved before back."""
    with suppress(OSError):
        lock.release(force=force)


def locked(path: Path, patience: float = 0) -> "FileLock":
    """The lock of a record's file, held; raises `ReadOnly` where it can't be had in time."""
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
