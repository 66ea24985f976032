"""Recover a record whose files can't be read: what can be restored, and from where."""

import os
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, tzinfo
from pathlib import Path

from crewdesk.errors import CrewdeskError, Damaged, NotAllowed, NotSaved
from crewdesk.job.change import Change, Doc, Tables, difference
from crewdesk.store.checkpoint import Checkpoint, Head
from crewdesk.store.disk import NEW, open_handle, read_bytes, sync
from crewdesk.store.history_lines import HISTORY, History, change_in, histories, named
from crewdesk.store.joining import (
    WHOLE,
    WHOLE_BEFORE,
    Joined,
    Joining,
    MakeRecord,
    holds,
    is_strange,
)
from crewdesk.store.storage import RecordStorage

MOST_TOLD = 3


@dataclass(frozen=True)
class Copy:
    """A version that a record can be recovered to: everything readable (`path` is then the whole
    file or history behind it), or one whole copy of another line of changes.

    until: its latest time. changes: its number of changes. It lacks the changes `later`, which a
    history still has, `unread` unreadable ones, and what the whole copies `beside` have that no
    history has. lost_history: the history doesn't lead to it, so nothing before it can be undone.
    """

    path: Path
    until: datetime
    changes: int
    lost_history: bool = False
    later: tuple[Change, ...] = ()
    unread: int = 0
    beside: tuple[Head, ...] = ()
    whole: Checkpoint | None = field(default=None, compare=False, repr=False)

    def lost(self, zone: tzinfo | None) -> str:
        """Return what it lacks, with times in a zone; "" if nothing is known to be lost."""
        shown = self.later[-MOST_TOLD:]
        parts = [f"'{one.what}' of {_at(one.when, zone)}" for one in shown]
        if len(self.later) > MOST_TOLD:
            parts.insert(0, f"{len(self.later) - MOST_TOLD} changes")
        if self.unread > 0:
            s = "" if self.unread == 1 else "s"
            parts.append(f"{self.unread} change{s} that can't be read")
        parts += [f"what only a copy of {_at(one.written, zone)} has" for one in self.beside]
        return " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)

    def time(self, zone: tzinfo | None) -> str:
        """Return its latest time, in a zone."""
        return _at(self.until, zone)

    def told(self, zone: tzinfo | None) -> str:
        """Return its latest time in a zone, and what is lost with it, in words."""
        lost = self.lost(zone)
        without = f"without {lost}" if lost else "nothing is lost"
        if self.lost_history:
            without += " but undo of what was done before"
        return f"as of {self.time(zone)} ({self.path.name}), {without}"


def copies(path: Path, kind: str, record: MakeRecord) -> tuple[Copy, ...]:
    """Return the versions that a record can be recovered to, the least loss first: everything
    readable, joined; then each whole copy of another line of changes. Raises `Newer`."""
    return _offers(*_read(path, kind, record))


def _read(path: Path, kind: str, record: MakeRecord) -> tuple[Joining, Joined | None]:
    files = Joining(path, kind, record, rescue=True)
    try:
        return files, files.joined()
    except CrewdeskError:
        return files, None


def _offers(files: Joining, joined: Joined | None) -> tuple[Copy, ...]:
    kind = files.kind
    found: list[Copy] = []
    if joined is not None and joined.tables.get(kind):
        found.append(_put_together(files, joined))
    for one in files.copies:
        whole = files.whole(one.path)
        if whole is None:
            continue
        if joined is not None and (
            holds(joined.history, one) or is_strange(joined.history, whole.head)
        ):
            continue
        lost = _lost(files, {whole.head.place.seal, *whole.head.holds}, one.path)
        count = whole.head.place.changes
        found.append(Copy(one.path, whole.head.written, count, True, *lost, whole))
    return tuple(found)


def _put_together(files: Joining, joined: Joined) -> Copy:
    history, changes = joined.history, [line.change for line in joined.lines]
    rests = [one for one in files.copies if files.whole(one.path) and holds(history, one)]
    at = {one.path: one.head.place.changes for one in rests if one.head is not None}
    path = max(at, key=lambda one: (at[one], one == files.path), default=files.own.path)
    written = [one.head.written for one in rests if one.head is not None and one.path == path]
    until = max([one.when for one in changes if one.edits] or written)
    try:
        first = next(history.after(0), None)
        begun = first is None or first.change.what in (WHOLE, WHOLE_BEFORE)
        list(history.after(0))
    except Damaged:
        begun = True
    return Copy(path, until, len(history.lines), begun, *_lost(files, set(history.holds), None))


def _at(when: datetime, zone: tzinfo | None) -> str:
    return f"{when.astimezone(zone):%Y-%m-%d %H:%M}"


def _lost(
    files: Joining, held: set[str], path: Path | None
) -> tuple[tuple[Change, ...], int, tuple[Head, ...]]:
    """Return what other files have and this version lacks: changes, the number of unreadable ones,
    and whole copies with content that no history has."""
    later: dict[str, Change] = {}
    bad = 0
    for one in files.every:
        unread = 0
        for seal, line in zip(one.seals, one.lines, strict=True):
            if seal in held or (path is None and not {*named(line)}.isdisjoint(held)):
                unread = 0
                continue
            try:
                change = change_in(one.path, line, None)
            except Damaged:
                unread += 1
            else:
                later[(change.of or (seal,))[0]] = change
        bad = max(bad, unread)
    every = sorted((one for one in later.values() if one.edits), key=lambda one: one.when)
    text = held.union(*(one.holds for one in files.every))
    beside = [
        one.head
        for one in files.copies
        if one.head is not None and one.path != path and one.head.place.seal
        if one.head.place.seal not in text
    ]
    return tuple(every), bad, tuple(beside)


def bring_back(
    path: Path,
    kind: str,
    now: datetime,
    record: MakeRecord,
    tell: Callable[[Tables], Doc],
    *,
    choose: Callable[[tuple[Copy, ...]], Copy] = lambda every: every[0],
) -> Copy:
    """Recover a record as one of `copies`, and keep the old files.

    tell: makes the summary for the list of jobs. choose: picks a copy; by default the one with the
    least loss. This machine's files are kept with the time in their names; going back to a copy of
    another line is a change that can be undone. Raises `NotAllowed` if nothing is damaged, nothing
    can be read, or a history can't be read now; and `Newer`.
    """
    shown = f"{path.parent.name}/{path.name}"
    try:
        RecordStorage(path, kind, record)
        if path.exists() or histories(path.parent):
            raise NotAllowed(f"{shown} can be read, so there is nothing to recover.")
    except Damaged:
        pass
    files, joined = _read(path, kind, record)
    if files.unread:
        raise NotAllowed(
            f"{files.unread[0].name} can't be read now. Nothing was changed. Try again, "
            "or move it out of the folder to go on without it."
        )
    every = _offers(files, joined)
    if not every:
        raise NotAllowed(f"No kept copy of {shown} can be read. All files were left as they are.")
    best = choose(every)
    if joined is None:
        joined = Joined(History(files.own.path, ()), {}, 0, [])
    try:
        for one in (path, path.with_suffix(HISTORY)):
            _set_aside(one, now)
        if best.whole is not None:
            edits = difference(joined.tables, best.whole.tables)
            what = f"returned to the copy of {best.time(now.tzinfo)}"
            head = best.whole.head
            first = () if joined.history.lines else head.holds[:1]
            names = tuple(dict.fromkeys(one for one in (*first, head.place.seal) if one))
            change = Change(what, edits, now, of=names)
            joined = Joined(
                joined.history,
                best.whole.tables,
                joined.start,
                [*joined.lines, *joined.history.add([change])],
            )
        elif best.lost_history and len(files.every) == 1:
            joined = _begun_anew(joined, now)
        storage = RecordStorage(path, kind, record, joined=joined)
        storage.flush()
        storage.write_whole(now, tell(storage.tables), keep=False)
    except OSError as error:
        raise NotSaved(path, error) from None
    return best


def _begun_anew(joined: Joined, now: datetime) -> Joined:
    """Return the record with a new history of one change, if the old one can't be read."""
    history = History(joined.history.path, ())
    edits = difference({}, joined.tables)
    names = dict.fromkeys((joined.history.begun, *joined.history.holds))  # its permanent id first
    change = Change(WHOLE, edits, now, of=tuple(one for one in names if one))
    return Joined(history, joined.tables, 0, history.add([change]))


def _set_aside(path: Path, now: datetime) -> None:
    """Keep a copy of a file beside it, under a free name; raises `OSError`."""
    try:
        data = read_bytes(path)
    except FileNotFoundError:
        return
    stem, count = f"{path.name}.damaged-{now:%Y%m%d-%H%M%S}", 1
    aside = path.with_name(stem)
    while aside.exists():
        count += 1
        aside = path.with_name(f"{stem}-{count}")
    with os.fdopen(open_handle(aside, NEW), "wb") as file:
        file.write(data)
        file.flush()
        sync(file.fileno())
