"""Bringing a job back whose file can't be read."""

import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from crewdesk.job.change import Doc, Tables
from crewdesk.job.refused import Refused
from crewdesk.store import checkpoint
from crewdesk.store.checkpoint import OURS_ALONE
from crewdesk.store.history_file import HistoryFile
from crewdesk.store.storage import HISTORY, RecordStorage
from crewdesk.store.trouble import Damaged, NotSaved


@dataclass(frozen=True)
class Copy:
    """A kept copy that can be read, `until` when it goes and how many `changes` it
    holds, with those that the history brings on top of it."""

    path: Path
    until: datetime
    changes: int


def copies(path: Path, kind: str) -> tuple[Copy, ...]:
    """The kept copies of a file that can be read, the one that loses least first."""
    found: list[Copy] = []
    for one in (path, *checkpoint.generations(path)):
        try:
            kept = checkpoint.read(one, kind)
            RecordStorage(path, kind, rescue=kept)
        except (Damaged, OSError):
            continue
        try:
            tail = HistoryFile(path.with_suffix(HISTORY)).sound(kept.head.place)
        except Damaged:
            tail = []
        until = tail[-1].change.when if tail else kept.head.written
        found.append(Copy(one, until, kept.head.place.changes + len(tail)))
    return tuple(sorted(found, key=lambda copy: -copy.changes))


def bring_back(path: Path, kind: str, now: datetime, tell: Callable[[Tables], Doc]) -> Copy:
    """Put the copy that loses least in a damaged file's place, and keep the damaged one.

    `tell` makes the summary for the list of jobs. The damaged file and its history are
    kept beside it with the time in their names.
    Raises `Refused` where the file is sound or no copy can be read.
    """
    try:
        RecordStorage(path, kind)
    except (Damaged, OSError):
        pass
    else:
        raise Refused(f"{path.name} can be read; there is nothing to bring back.")
    every = copies(path, kind)
    if not every:
        raise Refused(f"No kept copy of {path.name} can be read; all files were left as they are.")
    best = every[0]
    try:
        kept = checkpoint.read(best.path, kind)
        for one in (path, path.with_suffix(HISTORY)):
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
        data = path.read_bytes()
    except FileNotFoundError:
        return
    stem, count = f"{path.name}.damaged-{now:%Y%m%d-%H%M%S}", 1
    aside = path.with_name(stem)
    while aside.exists():
        count += 1
        aside = path.with_name(f"{stem}-{count}")
    with os.fdopen(os.open(aside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OURS_ALONE), "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
