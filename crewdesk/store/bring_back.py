"""Bringing a job back whose file can't be read."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from crewdesk.job.refused import Refused
from crewdesk.store import checkpoint
from crewdesk.store.checkpoint import Checkpoint
from crewdesk.store.history_file import HistoryFile
from crewdesk.store.storage import HISTORY, RecordStorage
from crewdesk.store.trouble import Damaged


@dataclass(frozen=True)
class Copy:
    """A kept copy that can be read, `until` when it goes and how many `changes` it
    holds, with those that the history brings on top of it."""

    path: Path
    until: datetime
    changes: int


def copies(path: Path, kind: str) -> tuple[Copy, ...]:
    """The kept copies of a file that can be read, the one that loses least first."""
    found = []
    for one in (path, *checkpoint.generations(path)):
        try:
            kept = checkpoint.read(one, kind)
        except (Damaged, OSError):
            continue
        tail = _tail(path, kept)
        until = tail[-1] if tail else kept.head.written
        found.append(Copy(one, until, kept.head.changes + len(tail)))
    return tuple(sorted(found, key=lambda copy: -copy.changes))


def _tail(path: Path, kept: Checkpoint) -> list[datetime]:
    history = HistoryFile(path.with_suffix(HISTORY))
    return [change.when for change in history.sound(kept.head.bytes, kept.head.changes)]


def bring_back(path: Path, kind: str, now: datetime) -> Copy:
    """Put the copy that loses least in a damaged file's place, and keep the damaged one.

    The damaged file and its history are kept beside it with the time in their names.
    Raises `Refused` where the file is sound or no copy can be read.
    """
    try:
        RecordStorage(path, kind)
    except Damaged:
        pass
    else:
        raise Refused(f"{path.name} can be read; there is nothing to bring back.")
    every = copies(path, kind)
    if not every:
        raise Refused(f"No kept copy of {path.name} can be read; all files were left as they are.")
    best = every[0]
    kept = checkpoint.read(best.path, kind)
    history = path.with_suffix(HISTORY)
    stamp = now.strftime("damaged-%Y%m%d-%H%M%S")
    for one in (path, history):
        if one.exists():
            one.with_name(f"{one.name}.{stamp}").write_bytes(one.read_bytes())
    storage = RecordStorage(path, kind, rescue=kept)
    storage.write_whole(now, kept.head.summary, keep=False)
    storage.close()
    return best
