"""The storage of one record: a whole file and histories on disk, tables in memory.

TinyDB puts rows into the tables in memory (see `record_base`); its own file storage overwrites the
file in place, which a crash can damage. A change is saved once its line is in this machine's
history (see `history_file`), and the tables are written whole only now and then (see `checkpoint`).
So a check-off costs one short line, however long the job is. A change that couldn't be saved waits
in memory. What other programs and machines saved is merged before anything is saved here.
"""

from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from crewdesk.errors import CrewdeskError, Damaged, NotSaved, Unsure
from crewdesk.job.change import Change, Doc, Tables, copied, put, rows_after, with_same_rows
from crewdesk.store import checkpoint
from crewdesk.store.checkpoint import START, Checkpoint, Head, Place
from crewdesk.store.disk import unreadable
from crewdesk.store.history_file import HistoryFile
from crewdesk.store.history_lines import (
    HISTORY,
    History,
    Line,
    Stat,
    beginning,
    check_newer,
    common,
    end_of,
    first_line,
    histories,
    stamp,
)

if TYPE_CHECKING:
    from crewdesk.job.sync.undoing import Undoing
    from crewdesk.store.joining import Joined, Joining, MakeRecord

NEAR = 100
"""How many of the last lines a whole file names, so that its extra changes can be found if a
history is cut short."""


class RecordStorage:
    """The tables of one record, and its files.

    `tables` are as shown: `saved`, from the histories, plus the changes `waiting`. `arrived` are
    other machines' changes that this machine's own files, which led to the tables `alone`, lacked
    at opening.
    """

    def __init__(
        self, path: Path, kind: str, record: "MakeRecord", *, joined: "Joined | None" = None
    ) -> None:
        """Read the record of this machine's file `path`, if it exists.

        `joined` is a record that is joined already. Raises `Damaged`.
        """
        self.path, self.kind, self.record = path, kind, record
        self.history = HistoryFile(path.with_suffix(HISTORY))
        self.saved: Tables = {}
        self.waiting: list[Change] = []
        self.unwritten = 0
        self.last: datetime | None = None
        self._first = ""
        self._holds: list[str] = []
        self._ends: dict[Path, Stat | None] = {}
        self._begun = START
        self._session: list[Line] = []
        self._mine: set[str] = set()
        self._unsure = self._strange = False
        self.alone: Tables = {}
        self.arrived: list[Change] = []
        if joined is not None:
            from crewdesk.store.joining import Joining  # most records don't need it

            self._show(joined, Joining(path, kind, record, rescue=True), None)
        elif not self._read():
            self._open_joined()
        self.tables = self.saved

    # Reading

    def _read(self) -> bool:
        """Read this machine's files; return whether they include everything there."""
        if not self.path.exists():
            return False
        try:
            whole = checkpoint.read(self.path, self.kind)
            check_newer(self.path, self.kind)
        except OSError as error:
            raise unreadable(self.path, error) from None
        try:
            tail = self.history.tail(whole.head.place)
        except Damaged:
            return False
        self._first = "".join(whole.head.holds[:1])
        self._holds = [*whole.head.holds[1:], whole.head.place.seal]
        if tail is None or not self._hold_all(tail):
            return False
        self.saved, self._begun = whole.tables, whole.head.place
        self._was(whole.head.written)
        self._add(tail, self.saved)
        return True

    def _hold_all(self, tail: Sequence[Line]) -> bool:
        """Return whether every other history there ends in included lines, perhaps with some
        more."""
        known = {"", *self._holds, self._begun.seal}
        for line in (*self._session, *tail):
            known.update((line.place.seal, *line.change.of))
        ends: dict[Path, Stat | None] = {}
        for one in histories(self.path.parent):
            if one == self.history.path:
                continue
            ends[one] = now = stamp(one)
            if one in self._ends and self._ends[one] == now:
                continue
            try:
                seal = end_of(one)
            except OSError:
                continue
            if seal not in known:
                return False
            if seal and seal not in self._holds:
                self._holds.append(seal)
        self._ends = ends
        return True

    def _add(self, lines: Sequence[Line], tables: Tables) -> None:
        """Apply the changes of lines to tables, in place; raises `Damaged`."""
        self._make([line.change for line in lines], tables)
        self._note(lines)

    def _note(self, lines: Sequence[Line]) -> None:
        """Record lines after the known ones."""
        self._session += lines
        self.unwritten += len(lines)
        if lines and lines[0].place.changes == 1:
            self._first = lines[0].brought.of[0]

    def _make(self, changes: Sequence[Change], tables: Tables) -> None:
        try:
            for change in changes:
                put(tables, rows_after(tables, change))
                self._was(change.when)
        except CrewdeskError:
            raise Damaged(self.history.path, "its changes don't fit together") from None

    def _was(self, when: datetime) -> None:
        """Record a time of writing; `last` is the latest."""
        if self.last is None or when > self.last:
            self.last = when

    def _open_joined(self) -> None:
        """Join all files, and record what came from other machines."""
        own: list[Line] | None = None
        with suppress(Damaged, OSError):
            if self.path.exists():
                whole = checkpoint.read(self.path, self.kind)
                own = HistoryFile(self.history.path).tail(whole.head.place)
        if own is not None:
            self.alone = whole.tables
            self._make([line.change for line in own], self.alone)
        joined = self._join()
        if own is not None and self.history.lines is not None:
            there = History.read(self.history.path)
            at, _ = common(joined.history, there)
            lines = joined.lines if at >= joined.start else joined.history.after(at)
            self.arrived = [
                line.change
                for line in lines
                if line.place.changes > at and line.change.edits
                if there.holds.keys().isdisjoint(line.brought.of)
            ]

    def _join(self, mine: tuple[list[Line], Checkpoint] | None = None) -> "Joined":
        """Join all files with the record in memory; raises `Damaged`."""
        from crewdesk.store.joining import Joining

        known = stamp(self.history.path)
        files = Joining(self.path, self.kind, self.record)
        joined = files.joined(mine)
        self._show(joined, files, known)
        return joined

    def _show(self, joined: "Joined", files: "Joining", known: Stat | None) -> None:
        self.history.take(joined.history, files.there, known)
        self._strange = files.own in files.strange and not files.rescue
        self._ends = {}
        self._ends |= {one.path: stamp(one.path) for one in files.strange}
        for one in files.every:
            if one is not files.own:
                self._ends[one.path] = stamp(one.path)
                with suppress(OSError):
                    self._holds += [one.end, end_of(one.path)]
        self.saved = with_same_rows(self.saved, joined.tables)
        self._first = joined.history.begun
        self._begun, self._session = joined.history.place(joined.start), list(joined.lines)
        self.unwritten = max(1, len(joined.lines))
        if not joined.history.lines and not joined.tables:
            self.unwritten = 0
        for copy in files.copies:
            if copy.head is not None:
                self._was(copy.head.written)
        for line in joined.lines:
            self._was(line.change.when)

    def begun(self) -> str:
        """Return the record's permanent id, or "" if nothing was saved yet."""
        if self.history.lines is not None:
            return History(self.history.path, self.history.lines[:1]).begun
        return beginning(first_line(self.history.path)) or self._first

    @property
    def changes(self) -> int:
        """The number of changes in the tables, pending ones included."""
        return self.history.end.changes + len(self.waiting)

    def moved(self) -> bool:
        """Return whether another program or machine wrote a history of the record since it was read
        here."""
        if self.history.moved():
            return True
        with suppress(OSError):
            for one in histories(self.path.parent):
                if one != self.history.path and (
                    one not in self._ends or self._ends[one] != stamp(one)
                ):
                    return True
        return False

    def made_here(self, number: int) -> bool:
        """Return whether this program made a change since it opened the record."""
        if number > self.history.end.changes:
            return True
        at = number - self._begun.changes - 1
        return at >= 0 and not self._mine.isdisjoint(self._session[at].brought.of)

    def change(self, number: int) -> Change:
        """Return change `number`, pending ones included; raises `Damaged`."""
        end, begun = self.history.end.changes, self._begun.changes
        if number > end:
            return self.waiting[number - end - 1]
        if number > begun:
            return self._session[number - begun - 1].change
        return self.history.one(number, self._begun)

    # Saving

    def take(self, change: Change, tables: Tables) -> None:
        """Add a change to be saved, and its tables."""
        self.tables = tables
        self.waiting.append(change)
        self._was(change.when)

    def flush(self) -> None:
        """Save joined and pending changes; if it raises `NotSaved`, they stay pending."""
        if self._strange:
            raise NotSaved(self.path, "holds a history of another job")
        try:
            self.history.put()
            if not self.waiting:
                return
            lines = self.history.add(*self.waiting)
            self._unsure = False
        except OSError as error:
            self._unsure = isinstance(error, Unsure)
            raise NotSaved(self.path, error) from None
        self._note(lines)
        self._mine.update(line.place.seal for line in lines)
        self.saved, self.waiting = self.tables, []

    def let_go(self) -> None:
        """Drop pending changes."""
        self.tables, self.waiting = self.saved, []

    def take_in(self) -> list[Change]:
        """Merge unseen changes of this machine's other programs and of other machines; return them.
        Pending changes are applied again on top.

        Raises `Damaged` if the files can't be read or joined.
        """
        was = base = self.saved
        session, end = list(self._session), self.history.end
        try:
            theirs: list[Line] = []
            tail = self._tail(end)
            if tail is not None:
                base = self._stood(tail, base)
                shared = self.history.end.changes - len(tail)
                self.saved = copied(base) if tail else base
                self._add(tail, self.saved)
                theirs = tail
            if tail is None or not self._hold_all(()):
                more, shared = self._anew(list(self._session), self.saved, self.history.end)
                theirs = [*theirs, *more]
        except Damaged:
            self.history.go_back(end)
            raise
        except OSError as error:
            self.history.go_back(end)
            raise unreadable(self.path, error) from None
        if not theirs and self.saved is was:
            return []
        here = {name for line in session for name in line.brought.of}
        self._put_on_top(base, [line.brought for line in theirs], shared)
        return [line.change for line in theirs if here.isdisjoint(line.brought.of)]

    def _stood(self, tail: list[Line], base: Tables) -> Tables:
        """Treat pending changes as saved if their lines are in the history after an unsure save;
        return the tables after them. `tail` loses those lines."""
        base = copied(base) if self._unsure else base
        while self._unsure and tail and self.waiting:
            if tail[0].change.to_doc() != self.waiting[0].to_doc():
                break
            line = tail.pop(0)
            del self.waiting[0]
            self._add([line], base)
            self._mine.add(line.place.seal)
        self._unsure = False
        return base

    def _tail(self, end: Place) -> list[Line] | None:
        """Return the lines that another program added to this machine's history; None if it lacks
        known lines."""
        if not self.history.moved():
            return []
        try:
            return self.history.tail(end) if self.history.lines is None else None
        except Damaged:
            return None

    def _anew(self, session: list[Line], base: Tables, end: Place) -> tuple[list[Line], int]:
        """Join all files again with the record in memory; return the new lines, and the number of
        the last one before them."""
        seals = [self._begun.seal, *(line.place.seal for line in session)]
        mine = None
        if self.last is not None:
            head = Head(self.kind, self.last, end, {}, (self._first, *self._holds, *seals))
            mine = session, Checkpoint(head, base)
        joined = self._join(mine)
        where = joined.history.where
        at = next((where[one] for one in reversed(seals) if one in where), 0)
        lines = joined.lines if at >= joined.start else joined.history.after(at)
        return [line for line in lines if line.place.changes > at], at

    def _put_on_top(self, base: Tables, theirs: Sequence[Change], at: int) -> None:
        """Apply pending changes, made on top of `base`, on top of the saved record."""
        ours, self.waiting = self.waiting, []
        if ours:
            from crewdesk.job.sync.merge import merged

            self.waiting = merged(self.record, base, ours, self.saved, theirs, at, self.undoing)
        self.tables = copied(self.saved)
        self._make(self.waiting, self.tables)

    def undoing(self) -> "Undoing":
        """Return the undo state after the saved changes; raises `Damaged`."""
        from crewdesk.job.sync.undoing import folded_back

        here = ((line.place.changes, line.change) for line in reversed(self._session))
        back = chain(here, self.history.back(self._begun))
        return folded_back(back, self._begun.changes)

    def write_whole(self, written: datetime, summary: Doc, *, keep: bool = True) -> None:
        """Write a checkpoint of the saved record (see `checkpoint.write`); raises `NotSaved`.

        Its time is never before the last change's, whatever the clock says.
        """
        self._was(written)
        written, end = self.last or written, self.history.end
        known = [line.place.seal for line in self._session[-NEAR:]] + self._holds
        holds = tuple(dict.fromkeys(one for one in reversed(known) if one))[::-1]
        head = Head(self.kind, written, end, summary, (self._first, *holds))
        try:
            checkpoint.write(self.path, Checkpoint(head, self.saved), keep=keep)
        except OSError as error:
            raise NotSaved(self.path, error) from None
        self._holds.append(end.seal)
        self.unwritten = 0
