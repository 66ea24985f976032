"""Join the files in a record's folder.

Two histories share their lines up to a place, found by their chain hashes. Those with the earlier
first line after it stay (the business's: with the earlier first document); the others are applied
on top (see `crewdesk.job.sync.merge`), each named by its first hash, so that none comes in twice.
"""

from collections.abc import Callable, Collection, Iterable, Sequence
from contextlib import suppress
from datetime import datetime
from functools import cache, cmp_to_key, partial
from pathlib import Path
from typing import Any, NamedTuple

from crewdesk.errors import CrewdeskError, Damaged, Newer
from crewdesk.job.change import (
    Change,
    Tables,
    copied,
    difference,
    in_common,
    put,
    rows_after,
    undone,
)
from crewdesk.job.rows import Rows
from crewdesk.store import checkpoint
from crewdesk.store.checkpoint import Checkpoint, Head
from crewdesk.store.history_lines import HISTORY, History, Line, common, copy_files, histories

MakeRecord = Callable[[Tables], Rows]
ONE_BEGINNING = "job"
"""The kind of which there are many records: histories with another first line belong to others."""
WHOLE = "merged what a whole copy had more"
WHOLE_BEFORE = "took in what a whole copy had more"
"""The words for `WHOLE` in histories of earlier versions."""
TOGETHER = "merged what another computer did"


class Copy(NamedTuple):
    """A whole copy by its head; `why` is the error if the head can't be read."""

    path: Path
    head: Head | None
    why: str = ""

    @property
    def kept(self) -> bool:
        """Whether it is a kept older copy."""
        return self.path.suffix != ".json"


class Joined(NamedTuple):
    """A joined history, its record, and its `lines` after number `start`."""

    history: History
    tables: Tables
    start: int
    lines: list[Line]


class Joining:
    """The files of one record; `path` is this machine's whole file.

    With `rescue` damaged files are skipped as well as possible. `unread` are unreadable histories,
    `strange` those of another job. `second`: two machines started two jobs under one name and the
    other one has it; this machine's job is read here until it moves to its own folder.
    """

    def __init__(self, path: Path, kind: str, record: MakeRecord, *, rescue: bool = False) -> None:
        """Read the files; raises `Damaged`, and `Newer` if a newer crewdesk wrote one."""
        self.path, self.kind, self.record, self.rescue = path, kind, record, rescue
        self.own = History(path.with_suffix(HISTORY), ())
        self.every: list[History] = []
        self.unread: list[Path] = []
        for one in histories(path.parent):
            try:
                found = History.read(one)
            except Damaged:
                if one == self.own.path and not rescue:
                    raise
                self.unread.append(one)
                continue
            self.every.append(found)
            if one == self.own.path:
                self.own = found
        self.there = History(self.own.path, self.own.lines, self.own.rest)
        self.copies = [self._copy(one) for one in copy_files(path.parent)]
        self.whole = cache(self._whole)
        self.strange = self._strangers() if kind == ONE_BEGINNING else []
        self.second = self.own in self.strange and self._is_of_own()
        if self.second:
            own = self.own.seals[0]
            self.strange = [one for one in self.every if one.lines and one.seals[0] != own]
        self.every = [one for one in self.every if one not in self.strange]
        self._mend()

    def _copy(self, path: Path) -> Copy:
        try:
            return Copy(path, checkpoint.read_head(path, self.kind))
        except Newer:
            raise
        except Damaged as damaged:
            return Copy(path, None, damaged.why)
        except OSError as error:
            return Copy(path, None, error.strerror or str(error))

    def _whole(self, path: Path) -> Checkpoint | None:
        try:
            return checkpoint.read(path, self.kind)
        except Newer:
            raise
        except (Damaged, OSError):
            return None

    def _strangers(self) -> list[History]:
        """Return the histories of another job: two machines started one of the same name, or a file
        was put in the wrong folder. The record's job is the one that most whole copies belong to,
        or the one started first."""
        every = [one for one in self.every if one.lines and one.fits(1)]
        begun = {one.seals[0]: one for one in reversed(every)}
        heads = [one.head for one in self.copies if one.head is not None and one.head.holds]

        def rank(seal: str) -> tuple[Any, ...]:
            held = {name for one in every if one.seals[0] == seal for name in one.holds}
            copies = sum(not held.isdisjoint(one.holds) for one in heads)
            return (-copies, _first(begun[seal], 0))

        if not begun or (len(begun) == 1 and not heads):
            return []
        first = min(begun, key=rank)
        if heads and not rank(first)[0]:
            return every
        return [one for one in every if one.seals[0] != first]

    def _is_of_own(self) -> bool:
        """Return whether this machine's whole file belongs to its history."""
        heads = [one.head for one in self.copies if one.path == self.path and one.head is not None]
        return any(not self.own.holds.keys().isdisjoint(head.holds) for head in heads)

    def is_of_stranger(self, head: Head) -> bool:
        """Return whether a whole copy belongs to another job's history here."""
        return any(not one.holds.keys().isdisjoint(head.holds) for one in self.strange)

    def _mend(self) -> None:
        """Restore damaged lines of one history from another that has them."""
        for one in self.every:
            for number in range(1, len(one.lines) + 1):
                if not one.fits(number):
                    before = one.seals[number - 2] if number > 1 else ""
                    for other in self.every:
                        at = other.where.get(before)
                        if at is not None and at < len(other.lines) and other.fits(at + 1):
                            one.lines[number - 1] = other.lines[at]
                            one.forget()
                            break

    def _usable(self, history: History) -> History:
        """Return the usable part of a history: up to the first bad line after the newest copy.

        Raises `Damaged` if that cuts this machine's own, unless it's a `rescue`.
        """
        good = self._start(history)[0]
        try:
            for line in history.after(good):
                good = line.place.changes
        except Damaged:
            if history is self.own and not self.rescue:
                raise
            return History(history.path, history.lines[:good])
        return history

    def _start(self, history: History) -> tuple[int, Tables, datetime | None]:
        """Return the newest copy that a history continues from: its number of lines, its tables and
        its time."""
        found = [(at, one) for one in self.copies if (at := _at(one, history)) is not None]
        for at, one in sorted(found, key=lambda pair: -pair[0]):
            if (whole := self.whole(one.path)) is not None:
                return at, copied(whole.tables), whole.head.written
        return 0, {}, None

    def joined(self, mine: "tuple[Sequence[Line], Checkpoint] | None" = None) -> Joined:
        """Return the joined record. `mine` is a program's memory: the lines after a place that it
        read, and the record after them.

        Raises `Damaged` if that fails, because this machine's own history leads nowhere.
        """
        if self.own in self.strange and not self.rescue and (mine is not None or not self.every):
            raise Damaged(self.own.path, "that of another job is in its place")
        every = [self._usable(one) for one in self.every]
        if mine is not None:
            every += self._in_memory(mine, every)
        every.sort(key=cmp_to_key(partial(_earlier, self.record({}).IN_TURN)))
        first = every[0] if every else History(self.own.path, ())
        all_ = _Chain(self, History(self.own.path, first.lines))
        for one in every[1:]:
            all_.bring(one)
        for copy in self._heads(mine, all_.history):
            all_.bring_whole(copy)
        return all_.done()

    @staticmethod
    def _in_memory(
        mine: tuple[Sequence[Line], Checkpoint], every: Sequence[History]
    ) -> list[History]:
        lines, whole = mine
        seal = whole.head.place.seal
        if not lines or any(seal in one.holds for one in every):
            return []
        begun = whole.head.place.changes - len(lines)
        for one in every:
            made = History(one.path, one.lines[:begun])
            if len(made.lines) == begun:
                made.add([line.change for line in lines])
                if made.end == seal:
                    return [made]
        return []

    def _heads(
        self, mine: tuple[Sequence[Line], Checkpoint] | None, history: History
    ) -> list[Checkpoint]:
        """Yield whole files that the history may not include: this machine's, an older crewdesk's,
        and a program's memory."""
        heads = [
            whole
            for one in self.copies
            if one.path == self.path or one.path.stem == self.path.parent.name
            if not one.kept and not holds(history, one) and (whole := self.whole(one.path))
        ]
        if mine is not None:
            heads.append(mine[1])
        if not history.lines and not heads and self.copies:
            if not self.rescue and not any(_at(one, history) == 0 for one in self.copies):
                raise Damaged(self.copies[0].path, "the history before it hasn't arrived yet")
            kept = [w for one in self.copies if one.head and (w := self.whole(one.path))]
            if not any(one.head.place.changes == 0 for one in kept):
                heads += sorted(kept, key=lambda one: one.head.place.changes)[-1:]
        return heads


class _Chain:
    """A history that others are merged into, with the tables after its last line."""

    def __init__(self, files: Joining, history: History) -> None:
        self.files, self.history = files, history
        self._tables: Tables | None = None
        self._start = 0
        self._lines: list[Line] = []

    @property
    def tables(self) -> Tables:
        if self._tables is None:
            self._start, self._tables, _ = self.files._start(self.history)
            self._lines = list(self.history.after(self._start))
            self._make(line.change for line in self._lines)
        return self._tables

    def _make(self, changes: Iterable[Change]) -> None:
        assert self._tables is not None
        try:
            for change in changes:
                put(self._tables, rows_after(self._tables, change))
        except CrewdeskError:
            raise Damaged(self.history.path, "its changes don't fit together") from None

    def bring(self, other: History) -> None:
        """Merge what another history has more; skip what can't be read of it."""
        if other.end in self.history.holds:
            return
        at, there = common(self.history, other)
        ours: list[Line] = []
        with suppress(Damaged):
            ours.extend(other.after(there))
        if at == len(self.history.lines):
            added = other.lines[there : there + len(ours)]
            self.history = History(self.history.path, self.history.lines + added)
            if self._tables is not None:
                self._lines += ours
                self._make(line.change for line in ours)
        elif ours:
            end = ours[-1].place.seal
            self._merge(at, [line.brought for line in ours], end, self._before(at))

    def bring_whole(self, whole: Checkpoint) -> None:
        """Merge what a whole copy has more than any history, as one change."""
        head, name = whole.head, whole.head.place.seal
        if not name or name in self.history.holds:
            return
        tables = self.tables
        at = max((self.history.where.get(one, 0) for one in head.holds), default=0)
        if is_strange(self.history, head):
            if self.files.rescue or self.files.own in self.files.strange:
                return
            raise Damaged(self.history.path, "that of another job is in its place")
        base = self._before(at) if at else in_common(tables, whole.tables)
        edits = difference(base, whole.tables)
        # It includes everything that it names, so none of that is merged again.
        known = self.history.holds
        names = tuple(dict.fromkeys(one for one in (*head.holds, name) if one and one not in known))
        change = Change(WHOLE, edits, head.written, of=names)
        self._merge(at or len(self.history.lines), [change], name, base)

    def _before(self, at: int) -> Tables:
        """Return the tables after line `at`."""
        tables = self.tables
        lines = self._lines if at >= self._start else list(self.history.after(at))
        later = [line.change for line in lines if line.place.changes > at]
        return undone(tables, later)

    def _merge(self, at: int, ours: Sequence[Change], end: str, base: Tables) -> None:
        from crewdesk.job.sync.merge import merged
        from crewdesk.job.sync.undoing import folded

        lines = self._lines if at >= self._start else list(self.history.after(at))
        theirs = [line.brought for line in lines if line.place.changes > at]
        new = [one for one in ours if not set(one.of) <= self.history.holds.keys()]
        made: list[Change] = []
        if new:
            made = merged(
                self.files.record,
                base,
                ours,
                self.tables,
                theirs,
                at,
                lambda: folded(line.change for line in self.history.after(0)),
            )
        known = set(self.history.holds).union(*(one.of for one in made))
        rest = [name for one in ours for name in one.of if name not in known]
        if end not in known and end not in rest:
            rest.append(end)
        if rest:
            when = max(one.when for one in ours)
            made.append(Change(TOGETHER, (), when, of=tuple(dict.fromkeys(rest))))
        self._lines += self.history.add(made)
        self._make(made)

    def done(self) -> Joined:
        """Return the result; raises `Damaged`."""
        tables = self.tables
        return Joined(self.history, tables, self._start, self._lines)


def is_strange(history: History, head: Head) -> bool:
    """Return whether a whole copy belongs to another job than a history."""
    return (
        head.kind == ONE_BEGINNING
        and bool(head.holds and history.lines)
        and history.holds.keys().isdisjoint(head.holds)
    )


def holds(history: History, copy: Copy) -> bool:
    """Return whether a history includes everything in a whole copy."""
    if copy.head is None:
        return False
    place = copy.head.place
    return place.seal in history.holds or _at(copy, history) is not None


def _at(copy: Copy, history: History) -> int | None:
    """Return how many lines of a history a copy includes; None if it belongs to none of them."""
    if copy.head is None:
        return None
    place = copy.head.place
    if place.seal:
        return history.where.get(place.seal)
    if not place.changes:
        return 0
    if place.changes > len(history.lines):  # schema 1 has no hash
        return None
    return place.changes if history.place(place.changes).bytes == place.bytes else None


def _earlier(in_turn: Collection[str], some: History, other: History) -> int:
    """Return which of two histories comes first: below 0 if it's `some`.

    in_turn: the tables whose rows are numbered in turn; the history with the earlier row in them
    keeps its numbers.
    """
    at, there = common(some, other)
    if at == len(some.lines) or there == len(other.lines):
        return len(other.lines) - there - (len(some.lines) - at)
    return -1 if _first(some, at, in_turn) < _first(other, there, in_turn) else 1


def _first(history: History, at: int, in_turn: Collection[str] = ()) -> tuple[Any, ...]:
    """Return the time and the chain hash of the first line after a place that adds a row `in_turn`,
    or of the first line if none does, which sorts later; an unreadable one sorts last."""
    first: Line | None = None
    with suppress(Damaged):
        for line in history.after(at):
            first = first or line
            if any(one.at[0] in in_turn for one in line.change.edits if len(one.at) == 2):
                return 0, line.change.when.timestamp(), line.place.seal
            if not in_turn:
                break
    if first is None:
        return 2, 0.0, history.seals[at]
    return 1, first.change.when.timestamp(), first.place.seal
