"""Check every file in a data folder without changing one; find jobs that are there twice."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import NamedTuple

from crewdesk.errors import CrewdeskError, Damaged, Newer
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Tables, copied, undone
from crewdesk.job.record import Record
from crewdesk.job.sync.contradictions import Before, CameIn, came_in, contradictions
from crewdesk.store.desk import Desk
from crewdesk.store.disk import APPLE_DOUBLE, unreadable, why_no_folder
from crewdesk.store.history_lines import HISTORY, History
from crewdesk.store.job_file import KIND as JOB
from crewdesk.store.joining import Copy, Joined, Joining, MakeRecord, holds, is_strange
from crewdesk.store.shop_file import KIND as SHOP
from crewdesk.store.storage import RecordStorage
from crewdesk.store.take_over import KEPT


class Double(NamedTuple):
    """A copy of the job with the id `of`. `more`: it has changes that the other lacks."""

    of: str
    more: bool


def doubles(desk: Desk) -> dict[str, Double]:
    """Return every copy of a job in the folder, by its id. The job itself is the copy with the most
    changes, or of equal ones the one with the shortest id."""
    found: dict[str, Double] = {}
    by_name: dict[str, list[str]] = {}
    for id_, name in desk.beginnings().items():
        by_name.setdefault(name, []).append(id_)
    for ids in by_name.values():
        if len(ids) < 2:
            continue
        held = {id_: _joined(desk, id_) for id_ in ids}
        first, *rest = sorted(ids, key=lambda id_: (-len(held[id_].lines), len(id_), id_))
        for id_ in rest:
            end = held[id_].end
            found[id_] = Double(first, bool(end) and end not in held[first].holds)
    return found


def _joined(desk: Desk, id_: str) -> History:
    """Return the joined history of a job's files; without lines if they can't be read."""
    path = desk.path(id_)
    try:
        return Joining(path, JOB, Record, rescue=True).joined().history
    except (CrewdeskError, OSError):
        return History(path, ())


_ASIDE = re.compile(r"\.(damaged|merged)-\d{8}-\d{6}(-\d+)?\Z")

_STRANGE = "of another job that was started under the same name"
_SECOND = (
    "Another computer started another job under the same name. This computer's job "
    "moves to its own folder at its next change."
)


@dataclass(frozen=True)
class Checked:
    """A file, whether it is `sound`, and a text about it; `notes` are contradictions in the job of
    a sound file."""

    path: Path
    sound: bool
    told: str
    notes: tuple[str, ...] = ()


def check(desk: Desk) -> Iterator[Checked]:
    """Yield every file in the data folder, records first; raises `NotAllowed` if it can't be
    read."""
    records: list[tuple[Path, str, MakeRecord]] = []
    try:
        records += [(desk.path(id_), JOB, Record) for id_ in desk.ids()]
        for damaged in desk.no_folders():
            yield Checked(damaged.path, False, damaged.why)
        for id_, double in doubles(desk).items():
            yield Checked(desk.path(id_).parent, False, _double(id_, double))
    except Damaged as damaged:
        yield Checked(damaged.path, False, damaged.why)
    if why := why_no_folder(desk.shop.path.parent):
        yield Checked(desk.shop.path.parent, False, why)
    elif desk.shop.path.parent.exists():
        records.append((desk.shop.path, SHOP, ShopRecord))
    seen: set[Path] = set()
    for path, kind, record in records:
        for one in _record(desk, path, kind, record):
            seen.add(one.path)
            yield one
    folders = [one[0].parent for one in records]
    for folder in (*folders, desk.jobs_folder, desk.folder):
        if not folder.is_dir():
            continue
        try:
            rest = sorted(set(folder.iterdir()) - seen)
        except OSError as error:
            raise unreadable(folder, error) from None
        for path in rest:
            hidden = path.name.startswith(".") and not path.name.startswith(APPLE_DOUBLE)
            if path.is_file() and not hidden:
                yield _other(path, desk)


def _record(desk: Desk, path: Path, kind: str, record: MakeRecord) -> Iterator[Checked]:
    """Check a record: its whole file or folder for the joined result, then each file."""
    try:
        files = Joining(path, kind, record, rescue=True)
    except Newer as newer:
        yield Checked(newer.path, False, newer.why)
        return
    try:
        joined = files.joined()
    except CrewdeskError:
        joined = None
    try:
        found = _whole(desk, path, kind, record)
        yield replace(found, notes=(_SECOND, *found.notes)) if files.second else found
    except CrewdeskError as error:
        where = error.path if isinstance(error, Damaged) else path
        yield Checked(where, False, _why(error))
    for history in [*files.every, *files.strange, *(History(one, ()) for one in files.unread)]:
        yield _history(history, files)
    for one in files.copies:
        if one.path != path or files.whole(path) is None:
            yield _copy(one, files, joined, desk)


def _double(id_: str, double: Double) -> str:
    of = double.of
    if not double.more:
        return f"a copy of {of}: the same job twice. Remove this one."
    return (
        f"a copy of {of} with other changes in it: the same job twice. The accounts "
        f"count only {of}. To merge them, move each .history file of {id_} into {of} "
        f"under another name, and remove {id_}."
    )


def _whole(desk: Desk, path: Path, kind: str, record: MakeRecord) -> Checked:
    """Return the result of joining all files of a record; raises `NotAllowed`."""
    storage = RecordStorage(path, kind, record)
    notes: tuple[str, ...] = ()
    if kind == JOB:
        job = record_of(desk, storage)
        job.check_all()
        notes = contradictions(job)
    else:
        record({}).check({table: dict(rows) for table, rows in storage.tables.items()})
    kept = len(storage.tables.get("unsettled", {}))
    text = _count(storage.changes) + (f", {kept} changed in two places" if kept else "")
    return Checked(path if path.exists() else path.parent, True, text, notes)


def _history(history: History, files: Joining) -> Checked:
    try:
        raw = History.read(history.path)
        lines = list(raw.after(0))
    except Damaged as damaged:
        return Checked(history.path, False, damaged.why)
    if history is files.own and history in files.strange:
        return Checked(history.path, False, "that of another job is in its place")
    if history in files.strange:
        return Checked(history.path, True, _STRANGE)
    if history is files.own and (whole := files.whole(files.path)) is not None:
        at = raw.where.get(whole.head.place.seal)
        try:
            if at:
                undone(whole.tables, [line.change for line in lines[:at]])
        except CrewdeskError:
            return Checked(history.path, False, "it doesn't lead to the current record")
    return Checked(history.path, True, _count(len(lines)))


def _copy(one: Copy, files: Joining, joined: Joined | None, desk: Desk) -> Checked:
    if one.head is None:
        return Checked(one.path, False, one.why)
    if (whole := files.whole(one.path)) is None:
        return Checked(one.path, False, "its checksum doesn't match its contents")
    written = whole.head.written.astimezone(desk.zone())
    if joined is not None and is_strange(joined.history, whole.head):
        if files.is_of_stranger(whole.head):
            return Checked(one.path, True, _STRANGE)
        return Checked(one.path, False, "it is a copy of another job")
    text = f"{'kept' if one.kept else 'whole'} from {written:%Y-%m-%d %H:%M}"
    if joined is not None and not holds(joined.history, one):
        text += (
            ", of another line of changes"
            if one.kept
            else "; the history before it hasn't arrived yet"
        )
    return Checked(one.path, True, text)


def _count(changes: int) -> str:
    return f"{changes} change{'' if changes == 1 else 's'}"


def _other(path: Path, desk: Desk) -> Checked:
    name = path.name
    if name.startswith(APPLE_DOUBLE):
        return Checked(path, True, "left by macOS; not read")
    if path.suffix == ".lock":
        return Checked(path, True, "a lock")
    if name.endswith(".new"):
        return Checked(path, True, "left by an interrupted save; not used")
    if _ASIDE.search(name):
        return Checked(path, True, "put aside; not used")
    if path == desk.folder / "shop.json":
        return Checked(path, True, f"tells older versions to update; see also {KEPT}")
    if path.suffix == HISTORY or ".json" in name:
        return Checked(path, False, "belongs to a job that isn't here")
    return Checked(path, True, "not a job's file; not read")


def _why(error: CrewdeskError) -> str:
    return error.why if isinstance(error, Damaged) else str(error)


def would_come_in(desk: Desk, named: str) -> Iterator[tuple[str, CameIn]]:
    """Yield the id of the job that a text names and other machines' changes that its next change
    will merge."""
    try:
        id_ = desk.find(named)
        storage = RecordStorage(desk.path(id_), JOB, Record)
        if storage.arrived:
            alone = record_of(desk, storage, storage.alone)
            yield id_, came_in(record_of(desk, storage), Before.of(alone), storage.arrived)
    except CrewdeskError:
        return


def record_of(desk: Desk, storage: RecordStorage, tables: Tables | None = None) -> Record:
    """Return the job of a storage, or of other tables, with its history and the crew's tools."""
    record = Record(copied(storage.tables if tables is None else tables))
    record.ask_crew = desk.crew
    record.ask_begun = storage.begun
    waiting = tuple(storage.waiting)
    record.history = lambda: [*storage.history.changes(), *waiting]
    return record
