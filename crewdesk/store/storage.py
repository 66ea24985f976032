"""TinyDB over a checkpoint and a history: what the disk holds of one record.

TinyDB's own storage writes the whole file over itself, so that a kill can leave it
unreadable. Here its tables live in memory; a change counts once its line stands in
the history (see `history_file`), and the tables are written whole only now and then
(see `checkpoint`). So one tick costs one short line, however long the job is.

A change that the disk did not take waits in memory. What somebody else added to the
history meanwhile is taken in before anything of ours is added to it (see `merge`).
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from crewdesk.job.change import Change, Doc, Tables, put, rows_after
from crewdesk.job.refused import Refused
from crewdesk.job.rows import Rows
from crewdesk.store import checkpoint
from crewdesk.store.checkpoint import START, Checkpoint, Head, Place
from crewdesk.store.history_file import HistoryFile, Line
from crewdesk.store.trouble import Damaged, Elsewhere, NotSaved

if TYPE_CHECKING:
    from crewdesk.job.undoing import Undoing

HISTORY = ".history"


class RecordStorage:
    """The tables of one record, as TinyDB takes its storages (see `record_base`).

    `tables` are as shown: `saved`, which the disk has, and the changes that are `waiting`.
    """

    def __init__(
        self,
        path: Path,
        kind: str,
        *,
        rescue: Checkpoint | None = None,
        watched: bool = False,
    ) -> None:
        """Read the record at `path`, if it is there; raises `Damaged` or `OSError`.

        Where there is no checkpoint yet, the history alone tells the record.
        `rescue` is a kept copy to go on from instead, with as much of the history as
        can be read; the file at `path` is then not looked at. `watched` is for a record
        that others may change too while it is open.
        """
        self.path = path
        self.kind = kind
        self.history = HistoryFile(path.with_suffix(HISTORY), watched=watched)
        self.saved: Tables = {}
        self.waiting: list[Change] = []
        self.unwritten = self.reached = 0
        self.until: datetime | None = None
        self.last: datetime | None = None
        self._begun = START
        self._session: list[Line] = []
        self._starts: list[int] = []
        self._mine: set[int] = set()
        self._staged: Tables | None = None
        if rescue is not None:
            self._rescue(rescue)
        elif path.exists() or checkpoint.generations(path):
            kept = checkpoint.read(path, kind)
            self._load(kept, self.history.read(kept.head.place))
        else:
            self._make_all(self.history.read(START))
        self.tables = self.saved
        self._begun = self.history.end

    def _was(self, when: datetime) -> None:
        """Note that something was written then; `last` is the latest of it."""
        if self.last is None or when > self.last:
            self.last = when

    def _rescue(self, kept: Checkpoint) -> None:
        """Take a kept copy and what the history has after it. A history that is broken
        before that is begun anew: the record is whole, but can't be undone past here."""
        self.history.sound(START)
        whole = self.history.end.bytes >= kept.head.place.bytes
        try:
            tail = self.history.sound(kept.head.place)
        except Elsewhere:
            whole, tail = False, []
        self._load(kept, tail)
        self.reached = kept.head.place.changes + len(tail)
        self.until = tail[-1].change.when if tail else kept.head.written
        if not whole:
            self.history.end = START

    def _load(self, kept: Checkpoint, tail: list[Line]) -> None:
        """Take a checkpoint and make the changes that the history has after it."""
        self.saved = kept.tables
        self._was(kept.head.written)
        self._make_all(tail)

    def _make_all(self, tail: list[Line]) -> None:
        self._put_all(self.saved, [line.change for line in tail])
        self.unwritten = len(tail)

    def _put_all(self, tables: Tables, changes: list[Change]) -> None:
        """Make changes in tables, in place; raises `Damaged`."""
        try:
            for change in changes:
                put(tables, rows_after(tables, change))
                self._was(change.when)
        except Refused:
            raise Damaged(self.history.path, "its changes do not fit one another") from None

    @property
    def changes(self) -> int:
        """The number of changes that led to the tables, with those that wait."""
        return self.history.end.changes + len(self.waiting)

    def moved(self) -> bool:
        """Whether somebody else wrote the history since it was read or written here."""
        return self.history.moved()

    def made_here(self, number: int) -> bool:
        """Whether a change was made by this program since it opened the record."""
        return number in self._mine or number > self.history.end.changes

    def change(self, number: int) -> Change:
        """Change `number`, of those that wait too; raises `Damaged`."""
        end, begun = self.history.end.changes, self._begun.changes
        if number > end:
            return self.waiting[number - end - 1]
        if number > begun:
            return self._session[number - begun - 1].change
        self._starts = self._starts or self.history.starts()
        return self.history.one(self._starts[number - 1], number)

    def read(self) -> Tables | None:
        """The tables, for TinyDB."""
        return dict(self.tables if self._staged is None else self._staged) or None

    def write(self, tables: Tables) -> None:
        """Take TinyDB's new tables; they count only inside `taking`."""
        self._staged = tables

    @contextmanager
    def taking(self, change: Change) -> Iterator[None]:
        """Let what TinyDB writes meanwhile wait to be saved, as one change."""
        try:
            yield
            if self._staged is not None:
                self.tables = self._staged
            self.waiting.append(change)
            self._was(change.when)
        finally:
            self._staged = None

    def flush(self, *, mine: bool = True) -> None:
        """Make what waits last; raises `NotSaved`, and it waits on. `mine` says whether it
        was made here, so that undo takes it back first."""
        if not self.waiting:
            return
        first = self.history.end.changes + 1
        try:
            lines = self.history.add(*self.waiting)
        except OSError as error:
            raise NotSaved(self.path, error) from None
        self._session += lines
        if mine:
            self._mine.update(range(first, first + len(lines)))
        self.saved, self.waiting = self.tables, []
        self.unwritten += len(lines)

    def let_go(self) -> None:
        """Let go of what waits."""
        self.tables, self.waiting = self.saved, []

    def take_in(self, record: Callable[[Tables], Rows]) -> list[Change]:
        """Take in what the history has that was not seen here yet; gives its changes.

        What waits is made again on top of it. Raises `Damaged` where the history is not
        sound, or another one that what is here can't be brought together with.
        """
        end = self.history.end
        try:
            common, lost, tail = self._news()
            base = undone(self.saved, [line.change for line in lost])
            theirs, onto = [line.change for line in tail], copied(base)
            self._put_all(onto, theirs)
        except Damaged:
            self.history.go_back(end)
            raise
        if common != end:
            self._begun, self._session, self._starts = common, [], []
            self._mine = {number for number in self._mine if number <= common.changes}
        self._session += tail
        self.unwritten += len(tail) + len(lost)
        self.saved = onto
        ours = [brought(line) for line in lost]
        self.bring_in(record, base, [*ours, *self.waiting], theirs, common.changes)
        return theirs

    def _news(self) -> tuple[Place, list[Line], list[Line]]:
        """The last place that the history there shares with the one that was; our lines
        after it, and those that are there. Raises `Damaged` where that can't be told."""
        try:
            return self.history.end, [], self.history.read(self.history.end, strictly=True)
        except Elsewhere:
            pass
        try:
            start, was = START, self.history.as_it_was()
        except Damaged:
            start, was = self._begun, self._session
        common, ours, theirs = parted(start, was, HistoryFile(self.history.path).read(START))
        if common is None or (common == START and ours and theirs):
            raise Damaged(
                self.history.path, "that of another job, or of an older one, was put in its place"
            )
        return common, ours, self.history.read(common, strictly=True)

    def take_copy(
        self, record: Callable[[Tables], Rows], own: list[Line], copy: list[Line]
    ) -> None:
        """Let what a copy of the history has more wait to be saved; `own` are all lines
        of the history as it is, and nothing waits yet."""
        common, theirs, here = parted(START, copy, own)
        assert common is not None
        base = undone(self.saved, [line.change for line in here])
        ours = [brought(line) for line in theirs]
        self.bring_in(record, base, ours, [line.change for line in here], common.changes)

    def bring_in(
        self,
        record: Callable[[Tables], Rows],
        base: Tables,
        ours: Sequence[Change],
        theirs: Sequence[Change],
        common: int,
    ) -> None:
        """Let `ours`, made on top of `base` after change `common`, wait on top of what is
        saved, which is `theirs` after the same change."""
        self.waiting = []
        if ours:
            from crewdesk.job.merge import merged

            self.waiting = merged(record, base, ours, self.saved, theirs, common, self.undoing)
        self.tables = copied(self.saved)
        self._put_all(self.tables, self.waiting)

    def undoing(self) -> "Undoing":
        """What undo knows after the changes that are saved; raises `Damaged`."""
        from crewdesk.job.undoing import Undoing

        undoing = Undoing()
        for number, change in enumerate(self.history.first(self.history.end.changes), 1):
            undoing.note(number, change.undoes, change.redoes)
        return undoing

    def write_whole(self, written: datetime, summary: Doc, *, keep: bool = True) -> None:
        """Write a checkpoint of what is saved (see `checkpoint.write`); raises `NotSaved`.

        It is never told as written before the last change was, whatever the clock says.
        """
        self._was(written)
        written = self.last or written
        head = Head(self.kind, written, self.history.end, summary)
        try:
            checkpoint.write(self.path, Checkpoint(head, self.saved), keep=keep)
        except OSError as error:
            raise NotSaved(self.path, error) from None
        self.unwritten = 0

    def close(self) -> None:
        """Let go of the files."""
        self.history.close()


def parted(
    start: Place, ours: Sequence[Line], theirs: Sequence[Line]
) -> tuple[Place | None, list[Line], list[Line]]:
    """The last place that two histories share (None where there is none) and the lines of
    each after it; ours begin behind `start`."""
    there = {START: 0} | {line.place: number for number, line in enumerate(theirs, 1)}
    places = [start, *(line.place for line in ours)]
    for number in range(len(places) - 1, -1, -1):
        if places[number] in there:
            at = there[places[number]]
            return places[number], list(ours[number:]), list(theirs[at:])
    return None, list(ours), list(theirs)


def brought(line: Line) -> Change:
    """A change out of a history that goes on elsewhere, with what names its line there."""
    return line.change._replace(of=(*line.change.of, line.place.seal))


def copied(tables: Tables) -> Tables:
    """Tables whose rows can be put in and taken out without touching the ones given."""
    return {table: dict(rows) for table, rows in tables.items()}


def undone(tables: Tables, changes: Sequence[Change]) -> Tables:
    """Tables as they were before the changes that led to them."""
    then = copied(tables)
    for change in reversed(changes):
        put(then, rows_after(then, change.taken_back(0, change.when)))
    return then


def changed_rows(old: Tables, new: Tables) -> set[tuple[str, str]]:
    """The rows that are not the same object in both."""
    return {
        (table, row)
        for table in (*old, *new)
        for row in (*old.get(table, {}), *new.get(table, {}))
        if old.get(table, {}).get(row) is not new.get(table, {}).get(row)
    }
