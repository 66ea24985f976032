"""Bringing a record back whose file can't be read."""

import os
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo
from pathlib import Path

from crewdesk.job.change import Change, Doc, Tables
from crewdesk.job.refused import Refused
from crewdesk.store import checkpoint
from crewdesk.store.checkpoint import START, Checkpoint, Head
from crewdesk.store.history_file import HistoryFile
from crewdesk.store.regular import NEW, open_handle, read_bytes
from crewdesk.store.storage import HISTORY, RecordStorage
from crewdesk.store.trouble import Damaged, Newer, NotSaved

MOST_TOLD = 3
_BEFORE_ALL = datetime.fromisoformat("1970-01-01T00:00:00+00:00")


@dataclass(frozen=True)
class Copy:
    """A kept copy that can be read, `until` when it goes and how many `changes` it
    holds, with those that the history brings on top of it. It lacks the changes `later`, which
    the history still has, and `unread` more that can't be read. With `lost_history` the history
    does not lead to it, so that nothing before can be undone."""

    path: Path
    until: datetime
    changes: int
    lost_history: bool = False
    later: tuple[Change, ...] = ()
    unread: int = 0

    def lost(self, zone: tzinfo | None) -> str:
        """Return what it lacks, with times on the clocks of a zone; "" for nothing known of."""
        shown = self.later[-MOST_TOLD:]
        parts = [f"'{one.what}' of {one.when.astimezone(zone):%Y-%m-%d %H:%M}" for one in shown]
        if len(self.later) > MOST_TOLD:
            parts.insert(0, f"{len(self.later) - MOST_TOLD} changes")
        if self.unread > 0:
            s = "" if self.unread == 1 else "s"
            parts.append(f"{self.unread} change{s} that can't be read")
        return " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 1 else parts)

    def time(self, zone: tzinfo | None) -> str:
        """Return until when it goes, on the clocks of a zone."""
        return f"{self.until.astimezone(zone):%Y-%m-%d %H:%M}"

    def told(self, zone: tzinfo | None) -> str:
        """Until when it goes, on the clocks of a zone, and what is lost with it, in words."""
        lost = self.lost(zone)
        without = f"without {lost}" if lost else "nothing is lost"
        if self.lost_history:
            without += " but undo of what was before"
        return f"as of {self.time(zone)} ({self.path.name}), {without}"


def copies(path: Path, kind: str) -> tuple[Copy, ...]:
    """What a record can be brought back from, that which loses least first: its file and
    the kept ones, and the history by itself. A history that leads to none of the kept files
    may be that of another job; it comes last. Raises `Newer`."""
    history = HistoryFile(path.with_suffix(HISTORY))
    found: list[Copy] = []
    known = 0
    for one in (path, *checkpoint.generations(path), history.path):
        try:
            kept = _kept(one, kind, history.path)
            known = max(known, kept.head.place.changes)
            storage = RecordStorage(path, kind, rescue=kept)
        except Newer:
            raise
        except (Damaged, OSError):
            continue
        if one == history.path and not storage.tables.get(kind):
            continue
        until = storage.until or kept.head.written
        found.append(Copy(one, until, storage.reached, storage.changes < storage.reached))
    known = max([known, *(_known(one, kind) for one in (path, *checkpoint.generations(path)))])
    kept_files = [one for one in found if one.path != history.path]
    strange = bool(kept_files) and all(one.lost_history for one in kept_files)
    every = sorted(found, key=lambda copy: (strange and copy.path == history.path, -copy.changes))
    return tuple(_with_loss(one, history, known) for one in every)


def _kept(one: Path, kind: str, history: Path) -> Checkpoint:
    """A kept file, or nothing yet, onto which the history by itself is made."""
    if one == history:
        return Checkpoint(Head(kind, _BEFORE_ALL, START, {}), {})
    return checkpoint.read(one, kind)


def _known(path: Path, kind: str) -> int:
    """How many changes a file says that there are, though its tables may be damaged."""
    try:
        return checkpoint.read_head(path, kind).place.changes
    except (Damaged, OSError):
        return 0


def _with_loss(copy: Copy, history: HistoryFile, known: int) -> Copy:
    """Return a copy with what is known to have been done and is not in it."""
    try:
        later, bad = history.after(copy.changes)
    except Damaged:
        later, bad = [], 0
    return replace(copy, later=tuple(later), unread=max(bad, known - copy.changes - len(later), 0))


def bring_back(
    path: Path,
    kind: str,
    now: datetime,
    tell: Callable[[Tables], Doc],
    *,
    choose: Callable[[tuple[Copy, ...]], Copy] = lambda every: every[0],
) -> Copy:
    """Put a copy in a damaged file's place, and keep the damaged one.

    `tell` makes the summary for the list of jobs; `choose` takes one of the copies, the one
    that loses least unless it says otherwise. The damaged file and its history are kept
    beside it with the time in their names. Raises `Refused` where the file is sound or no
    copy can be read, and `Newer`.
    """
    try:
        if path.exists():
            RecordStorage(path, kind)
            raise Refused(f"{path.name} can be read; there is nothing to bring back.")
    except (Damaged, OSError):
        pass
    every = copies(path, kind)
    if not every:
        raise Refused(f"No kept copy of {path.name} can be read; all files were left as they are.")
    best = choose(every)
    history = path.with_suffix(HISTORY)
    try:
        kept = _kept(best.path, kind, history)
        for one in (path, history):
            _set_aside(one, now)
        storage = RecordStorage(path, kind, rescue=kept)
        try:
            storage.write_whole(now, tell(storage.tables), keep=False)
            storage.history.let_go_of_rest()
        finally:
            storage.close()
    except OSError as error:
        raise NotSaved(path, error) from None
    return best


def _set_aside(path: Path, now: datetime) -> None:
    """Keep a copy of a file beside it, under a name that is free; raises `OSError`."""
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
        os.fsync(file.fileno())
