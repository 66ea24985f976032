"""Back up a data folder: whole copies of every record's files, in a folder of their own.

A backup is plain files, written, fsynced, read back and opened, so it can be on a stick or a
network folder. A record is copied under its lock; without the lock, its histories are copied last,
so that they lead to every whole copy beside them.
"""

import os
from collections.abc import Iterator
from contextlib import nullcontext, suppress
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, NamedTuple

from crewdesk.errors import CrewdeskError, Damaged, NotAllowed, NotSaved, ReadOnly
from crewdesk.job.change import Change, Tables, difference
from crewdesk.job.record import Record
from crewdesk.job.rows import ONLY_ROW
from crewdesk.store.desk import Desk
from crewdesk.store.disk import (
    AFRESH,
    ALL_OURS,
    NEW,
    open_handle,
    read_bytes,
    replace,
    sync,
    sync_folder,
)
from crewdesk.store.history_lines import History, change_in, copy_files, first_line, histories
from crewdesk.store.job_file import KIND as JOB
from crewdesk.store.joining import Joining
from crewdesk.store.record_file import PATIENCE, locked
from crewdesk.store.shop_file import KIND as SHOP
from crewdesk.store.storage import RecordStorage

PREFIX = "crewdesk-backup-"
MARK = ".backup"
"""The suffix of the file in the data folder with the time of this machine's latest backup."""
DUE_AFTER = timedelta(days=7)
BUSINESS = ""
"""The business's name among job ids."""


class Backup(NamedTuple):
    """A backup that was made: its folder, how many jobs and changes it holds, and sentences about
    files that were already damaged and copied as they were."""

    folder: Path
    jobs: int
    changes: int
    damaged: tuple[str, ...]


class Differs(NamedTuple):
    """How a job, or the business (`BUSINESS`), differs from a backup.

    newer: changes that the backup lacks. older: changes only in the backup. None if that side
    doesn't have it, or it can't be read (`why`).
    """

    id: str
    name: str
    newer: int | None
    older: int | None
    why: str = ""

    @property
    def same(self) -> bool:
        """Whether both are the same."""
        return self.newer == self.older == 0 and not self.why


def back_up(desk: Desk, to: Path, now: datetime) -> Backup:
    """Copy every record of a data folder into a new folder in `to`, and read it back.

    Raises `NotAllowed` if `to` can't take it, `NotSaved` if a file reads back differently; the
    incomplete backup stays there, its name ending in ``.part``.
    """
    folder = to / f"{PREFIX}{now:%Y-%m-%d-%H%M%S}"
    part = folder.with_name(f"{folder.name}.part")
    if not to.is_dir():
        raise NotAllowed(f"There is no folder {to}. Name an existing one, for example a stick.")
    if folder.exists() or part.exists():
        raise NotAllowed(f"{folder} is there already. Wait a second, then back up again.")
    try:
        for one in (part, part / "jobs"):
            one.mkdir(mode=ALL_OURS)
        written = dict(_copied(desk, part))
        for path, data in written.items():
            if read_bytes(path) != data:
                raise NotSaved(path, "didn't read back as it was written")
        backup = _looked_over(desk, part, folder)
        replace(part, folder)
        sync_folder(to)
    except NotSaved:
        raise
    except OSError as error:
        raise NotSaved(folder, error) from None
    _note(desk, folder, now)
    return backup


def _records(desk: Desk) -> Iterator[tuple[str, Path, str, Any]]:
    """Yield each record of a folder: its id, this machine's whole file, its kind and its class."""
    from crewdesk.job.books.shop_record import ShopRecord

    for id_ in desk.ids():
        yield id_, desk.path(id_), JOB, Record
    if desk.shop_path.parent.is_dir():
        yield BUSINESS, desk.shop_path, SHOP, ShopRecord


def _copied(desk: Desk, part: Path) -> Iterator[tuple[Path, bytes]]:
    """Copy each file of each record; yield its new place and content."""
    for _, path, _, _ in _records(desk):
        folder = part / path.parent.relative_to(desk.folder)
        folder.mkdir(mode=ALL_OURS, parents=True, exist_ok=True)
        with _held(path):
            for one in (*copy_files(path.parent), *histories(path.parent)):
                try:
                    data = read_bytes(one)
                except FileNotFoundError:  # renamed since
                    continue
                _put(folder / one.name, data, NEW)
                yield folder / one.name, data
        sync_folder(folder)


def _held(path: Path) -> Any:
    """Return a record's lock, held; None if it can't be had."""
    try:
        return locked(path, PATIENCE)
    except ReadOnly:
        return nullcontext()


def _put(path: Path, data: bytes, flags: int) -> None:
    with os.fdopen(open_handle(path, flags), "wb") as file:
        file.write(data)
        file.flush()
        sync(file.fileno())


def _looked_over(desk: Desk, part: Path, folder: Path) -> Backup:
    """Open every record of a backup; report one that can't be read there nor here."""
    there = Desk(part, desk.machine, make=False)
    jobs = changes = 0
    damaged: list[str] = []
    for id_, path, kind, record in _records(there):
        jobs += kind == JOB
        try:
            changes += RecordStorage(path, kind, record).changes
        except Damaged as why:
            here = desk.path(id_) if id_ else desk.shop_path
            try:
                RecordStorage(here, kind, record)
            except Damaged:
                damaged.append(f"{id_ or 'your business'} is damaged and was copied as it is")
            else:
                raise NotSaved(path, f"can't be read back ({why.why})") from None
    return Backup(folder, jobs, changes, tuple(damaged))


def _mark(desk: Desk) -> Path:
    return desk.folder / f"{desk.machine}{MARK}"


def _note(desk: Desk, folder: Path, now: datetime) -> None:
    """Save when and where the latest backup was made; ignore a failure."""
    with suppress(OSError):
        _put(_mark(desk), f"{now.isoformat()}\n{folder}\n".encode(), AFRESH)


def latest_backup(desk: Desk) -> tuple[datetime, Path] | None:
    """Return when and where this machine made its latest backup, if it made any."""
    try:
        when, where = read_bytes(_mark(desk)).decode().splitlines()[:2]
        return datetime.fromisoformat(when), Path(where)
    except (OSError, ValueError):
        return None


def days_without_backup(desk: Desk, now: datetime) -> int | None:
    """Return for how many days there has been no backup, if that is more than a week; or None if
    none is due. Without any, it counts from the first change of the oldest job."""
    latest = latest_backup(desk)
    begun = latest[0] if latest else _oldest(desk)
    if begun is None or begun.tzinfo is None or now - begun <= DUE_AFTER:
        return None
    return (now - begun).days


def _oldest(desk: Desk) -> datetime | None:
    times = []
    with suppress(CrewdeskError, OSError):
        for id_ in desk.ids():
            for path in histories(desk.path(id_).parent):
                if line := first_line(path).rstrip(b"\n"):
                    with suppress(Damaged):
                        times.append(change_in(path, line, None).when)
    return min((one for one in times if one.tzinfo is not None), default=None)


def opened(folder: Path, desk: Desk) -> Desk:
    """Return a backup's folder as a read-only desk; raises `NotAllowed` if it isn't a backup.

    A folder of backups means the latest one.
    """
    if not folder.is_dir():
        raise NotAllowed(f"There is no folder {folder}. Name the backup's folder.")
    found = folder
    if not (folder / "jobs").is_dir():
        every = sorted(one for one in folder.glob(f"{PREFIX}*") if (one / "jobs").is_dir())
        whole = [one for one in every if one.suffix != ".part"]
        if not whole:
            raise NotAllowed(
                f"{folder} holds no backup. Name a folder that begins with {PREFIX}, or the "
                "folder it is in."
            )
        found = whole[-1]
    if found.resolve() == desk.folder.resolve():
        raise NotAllowed("That is the data folder itself. Name the backup's folder.")
    return Desk(found, desk.machine, make=False)


def differences(desk: Desk, backup: Desk) -> list[Differs]:
    """Return how each job and the business differ from a backup, in the order of their names."""
    here = {id_: (path, kind, read) for id_, path, kind, read in _records(desk)}
    there = {id_: (path, kind, read) for id_, path, kind, read in _records(backup)}
    found = []
    for id_ in sorted({*here, *there}):
        try:
            ours, our_name = _held_in(*here[id_]) if id_ in here else (None, "")
            theirs, their_name = _held_in(*there[id_]) if id_ in there else (None, "")
        except CrewdeskError as error:
            found.append(Differs(id_, id_, None, None, str(error)))
            continue
        found.append(
            Differs(
                id_,
                our_name or their_name or id_,
                None if ours is None else len(ours - (theirs or set())),
                None if theirs is None else len(theirs - (ours or set())),
            )
        )
    return found


def _held_in(path: Path, kind: str, record: Any) -> tuple[set[str], str]:
    """Return the chain hashes of all changes in a record, and a job's name; raises `Damaged`."""
    storage = RecordStorage(path, kind, record)
    held: set[str] = set()
    for one in Joining(path, kind, record, rescue=True).every:
        held |= set(History.read(one.path).holds)
    name = storage.tables.get("job", {}).get(ONLY_ROW, {}).get("name", "") if kind == JOB else ""
    return held, str(name)


def restore_missing(desk: Desk, backup: Desk) -> list[str]:
    """Copy records that the data folder lacks from a backup; return their ids, `BUSINESS` for the
    business. Raises `NotSaved`."""
    here = {id_ for id_, *_ in _records(desk)}
    done = []
    for id_, path, _, _ in _records(backup):
        if id_ in here:
            continue
        to = (desk.path(id_) if id_ else desk.shop_path).parent
        try:
            to.mkdir(mode=ALL_OURS, parents=True, exist_ok=True)
            for one in (*copy_files(path.parent), *histories(path.parent)):
                _put(to / one.name, read_bytes(one), NEW)
            sync_folder(to)
        except OSError as error:
            raise NotSaved(to, error) from None
        done.append(id_)
    return done


def returned(desk: Desk, backup: Desk, id_: str, now: datetime) -> Change:
    """Return a job to its backup by a change that can be undone; return the change.

    Raises `NotAllowed` if it is the same already, and as `Desk.open` and `JobFile.make` do.
    """
    then: Tables = backup.open(id_, writing=False).record.tables
    job = desk.open(id_)
    try:
        edits = difference(job.record.tables, then)
        if not edits:
            raise NotAllowed(f"{id_} is the same here as in the backup.")
        change = Change(f"returned to the backup {backup.folder.name}", edits, now)
        job.make(change, sound=False)
        return change
    finally:
        job.close(now)
