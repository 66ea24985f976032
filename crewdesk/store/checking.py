"""Looking whether every file in a data folder is sound, without changing one."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Tables
from crewdesk.job.contradictions import contradictions
from crewdesk.job.record import Record
from crewdesk.job.refused import Refused
from crewdesk.job.rows import Rows
from crewdesk.job.unsettled import unsettled
from crewdesk.store import checkpoint
from crewdesk.store.beside import record_of
from crewdesk.store.checkpoint import START, generations
from crewdesk.store.desk import Desk
from crewdesk.store.history_file import HistoryFile, Line
from crewdesk.store.job_file import KIND as JOB
from crewdesk.store.shop_file import KIND as SHOP
from crewdesk.store.storage import HISTORY, RecordStorage, parted, undone
from crewdesk.store.strays import APPLE_DOUBLE, SUFFIXES, copy_of, is_known, strays
from crewdesk.store.trouble import Damaged, unreadable

_ASIDE = re.compile(r"\.(damaged|merged)-\d{8}-\d{6}(-\d+)?\Z")
_COUNTED = re.compile(r"\.json\.[0-9]+\Z")


@dataclass(frozen=True)
class Checked:
    """A file, whether it is `sound`, and what is to be told of it; `notes` are what doesn't
    fit together in the job, though its file is sound."""

    path: Path
    sound: bool
    told: str
    notes: tuple[str, ...] = ()


def check(desk: Desk) -> Iterator[Checked]:
    """Every file in the data folder, records first; raises `Refused` where it can't be read."""
    records: list[tuple[Path, str, Callable[[Tables], Rows]]] = [
        (desk.path(id_), JOB, Record) for id_ in desk.ids()
    ]
    shop = desk.shop.path
    if any(one.exists() for one in (shop, shop.with_suffix(HISTORY), *generations(shop))):
        records.append((shop, SHOP, ShopRecord))
    seen: set[Path] = set()
    for path, kind, record in records:
        for one in _record(desk, path, kind, record):
            seen.add(one.path)
            yield one
    for folder in (desk.jobs_folder, desk.folder):
        if not folder.is_dir():
            continue
        try:
            rest = sorted(set(folder.iterdir()) - seen)
        except OSError as error:
            raise unreadable(folder, error) from None
        for path in rest:
            if path.is_file():
                yield _other(path)


def _record(
    desk: Desk, path: Path, kind: str, record: Callable[[Tables], Rows]
) -> Iterator[Checked]:
    history = HistoryFile(path.with_suffix(HISTORY))
    try:
        lines = history.read(START)
        told_history, broken = _count(len(lines)), ""
    except (Damaged, OSError) as error:
        lines, broken, told_history = [], _why(error), ""
    try:
        yield _whole(desk, path, kind, record)
    except (Refused, OSError) as error:
        yield Checked(path, False, _why(error))
        told_history = told_history or broken
    else:
        if not broken:
            storage = RecordStorage(path, kind)
            try:
                undone(storage.tables, [line.change for line in lines])
            except Refused:
                broken = "it did not lead to the record as it stands"
    if history.path.exists():
        yield Checked(history.path, not broken, broken or told_history)
    for one in generations(path):
        try:
            head = checkpoint.read(one, kind).head
            yield Checked(
                one, True, f"kept from {head.written.astimezone(desk.zone()):%Y-%m-%d %H:%M}"
            )
        except (Damaged, OSError) as error:
            yield Checked(one, False, _why(error))
    for one in strays(path):
        try:
            if one.suffix == HISTORY:
                copy = copy_of(one, lines)
                more = len(parted(START, copy, lines)[1])
                notes = _would_hold(desk, path, lines, copy) if kind == JOB and more else ()
                yield Checked(one, True, f"left by a sync; {_count(more)} to look at", notes)
            elif is_known(one, kind, lines):
                yield Checked(one, True, "left by a sync, nothing new in it")
            else:
                why = "left by a sync, with what the history does not have; import it as a job"
                yield Checked(one, False, why)
        except (Damaged, OSError) as error:
            yield Checked(one, False, _why(error))


def _would_hold(desk: Desk, path: Path, own: list[Line], copy: list[Line]) -> tuple[str, ...]:
    """Return what would not fit together in a job once its copy's changes are taken in, and what
    of it would be kept apart; nothing is taken in."""
    try:
        storage = RecordStorage(path, JOB)
        before = record_of(desk, storage)
        known = {*contradictions(before)}, {one.row for one in unsettled(before)}
        storage.take_copy(Record, own, copy)
        after = record_of(desk, storage)
    except (Refused, OSError):
        return ()
    apart = [one for one in unsettled(after) if one.row not in known[1]]
    return (
        *(f"taken in: {one}" for one in contradictions(after) if one not in known[0]),
        *(f"taken in: changed in two places: {one.what}" for one in apart),
    )


def _whole(desk: Desk, path: Path, kind: str, record: Callable[[Tables], Rows]) -> Checked:
    """A record's file, read with what the history has after it; raises `Refused`, `OSError`."""
    if not path.exists() and generations(path):
        raise Damaged(path, "it is gone")
    storage = RecordStorage(path, kind)
    notes: tuple[str, ...] = ()
    if kind == JOB:
        job = record_of(desk, storage)
        job.check_all()
        notes = contradictions(job)
    else:
        record({}).check({table: dict(rows) for table, rows in storage.tables.items()})
    kept = len(storage.tables.get("unsettled", {}))
    told = _count(storage.changes) + (f", {kept} changed in two places" if kept else "")
    return Checked(path, True, told, notes)


def _count(changes: int) -> str:
    return f"{changes} change{'' if changes == 1 else 's'}"


def _other(path: Path) -> Checked:
    name = path.name
    if name.startswith(APPLE_DOUBLE):
        return Checked(path, True, "left by macOS; not read")
    if path.suffix == ".lock":
        return Checked(path, True, "a lock")
    if name.endswith(".new"):
        return Checked(path, True, "left over from a save that was cut short; not used")
    if _ASIDE.search(name):
        return Checked(path, True, "put aside; not used")
    if path.suffix == HISTORY and not HistoryFile(path).sound(START):
        return Checked(path, True, "left over from a job that was never begun")
    if path.suffix in SUFFIXES or _COUNTED.search(name):
        return Checked(path, False, "belongs to no job that is here")
    return Checked(path, True, "no file of a job's; not read")


def _why(error: Refused | OSError) -> str:
    if isinstance(error, Damaged):
        return error.why
    return str(error) if isinstance(error, Refused) else str(error.strerror or error)
