"""The desk: open, create, export and recover jobs in a data folder."""

import os
import re
import unicodedata
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from errno import ENAMETOOLONG, ENOENT
from pathlib import Path
from typing import TYPE_CHECKING

from crewdesk.errors import CrewdeskError, Damaged, Newer, NotAllowed, NotSaved, ReadOnly
from crewdesk.job.change import Change, Doc, Tables
from crewdesk.job.job_row import BEGUN
from crewdesk.job.record import Record
from crewdesk.job.rows import ONLY_ROW
from crewdesk.job.text_limits import quoted
from crewdesk.store import checkpoint
from crewdesk.store.checkpoint import Checkpoint, Head
from crewdesk.store.disk import (
    ALL_OURS,
    fit_name,
    read_bytes,
    replace,
    sync_folder,
    unlink,
    unreadable,
    why_no_folder,
)
from crewdesk.store.folder import DataFolder, RunningClock, is_job, running_clock, unusable
from crewdesk.store.history_file import HistoryFile
from crewdesk.store.history_lines import HISTORY, History, first_line, histories
from crewdesk.store.job_file import KIND, JobFile, summary
from crewdesk.store.record_file import PATIENCE, locked

if TYPE_CHECKING:
    from crewdesk.job.time.entry import Entry
    from crewdesk.store.recovery import Copy

LONGEST_ID = 40
LARGEST = 64 * 1024 * 1024
"""The largest whole file that is imported, in bytes."""


class Desk(DataFolder):
    """The jobs in one data folder, for writing: it writes its machine's own files of jobs and of
    the business."""

    def open(self, id_: str, *, writing: bool = True) -> JobFile:
        """Open a job; raises `NotAllowed` if there is none, `Damaged` if it can't be read.

        Changes of other machines are merged. For writing, a job moves to its own folder if another
        machine started another job under the same name (see `JobFile.id`).
        """
        path = self._found(id_)
        try:
            if writing:
                path = self._part(id_) or path
                id_ = path.parent.name
            job = JobFile(path, writing=writing)
        except Newer:
            raise
        except Damaged as damaged:
            raise self._offered(id_, damaged) from None
        except OSError as error:
            raise unreadable(path, error) from None
        job.record.ask_crew = self.crew
        if writing and self.check_clock is not None:
            try:
                self.check_clock(job.last)
            except CrewdeskError:
                job.let_go()
                raise
        if writing:
            job.on_arrival = lambda came: self.arrived.append((id_, came))
            job.say_arrived()
        return job

    def _part(self, id_: str) -> Path | None:
        """Move this machine's job to its own folder if another machine started an earlier job of
        the same name; return its whole file there."""
        path = self.path(id_)
        if len({line for one in histories(path.parent) if (line := first_line(one))}) < 2:
            return None
        from crewdesk.job.sync.contradictions import CameIn
        from crewdesk.store.joining import Joining  # takes its time to load

        with suppress(ReadOnly, OSError), locked(path, PATIENCE):
            files = Joining(path, KIND, Record, rescue=True)
            if not files.second and files.own not in files.strange:
                return None
            own = [one for one in path.parent.glob(f"{self.machine}.*") if one.suffix != ".lock"]
            to = self.path(self._copied_before(files.own) or self._copied(id_, own))
            for one in sorted(own, key=lambda one: (one.suffix == HISTORY, one == path, one.name)):
                unlink(one)  # the history last: as long as it's here, this is gone on with
            self.arrived.append((to.parent.name, CameIn(_moved(id_), "", "")))
            return to if files.second else None
        return None

    def _copied_before(self, own: History) -> str | None:
        """Return the id of a job of this machine's that has all the lines of a history; None for
        none."""
        for id_ in self.ids():
            there = self.path(id_).with_suffix(HISTORY)
            with suppress(CrewdeskError):
                if there != own.path and own.end and own.end in History.read(there).holds:
                    return id_
        return None

    def _copied(self, id_: str, files: list[Path]) -> str:
        """Copy files into a new folder of a job, atomically; return its id. Raises `OSError`."""
        from shutil import rmtree  # takes its time to load

        fresh = self.jobs_folder / f".moving-{self.machine}"
        try:
            rmtree(fresh, ignore_errors=True)
            fresh.mkdir(mode=ALL_OURS)
            for one in files:
                checkpoint.put_file(fresh / one.name, read_bytes(one))
            to = self.jobs_folder / self.free_id(id_)
            to.rmdir()
            replace(fresh, to)
        except OSError:
            rmtree(fresh, ignore_errors=True)
            raise
        sync_folder(self.jobs_folder)
        return to.name

    def _offered(self, id_: str, damaged: Damaged) -> Damaged:
        """Return a damaged file's error with the copies it can be recovered from, in words."""
        every = self.copies(id_)
        if every:
            text = every[0].told(self.zone())
            damaged.text = f"{damaged} `crewdesk restore {id_}` recovers it {text}."
        return damaged

    def _found(self, id_: str) -> Path:
        found = False
        try:
            with os.scandir(self.jobs_folder):  # open it only: the list may be long
                found = Path(id_).name == id_ and is_job(self.jobs_folder / id_)
        except OSError as error:
            if error.errno not in (ENOENT, ENAMETOOLONG):
                raise NotAllowed(unusable(self.folder, error)) from None
        if not found and Path(id_).name == id_:
            with suppress(OSError, ValueError):  # an impossible file name
                if why := why_no_folder(self.jobs_folder / id_):
                    raise Damaged(self.jobs_folder / id_, why)
        if not found:
            raise NotAllowed(f"There is no job {quoted(id_)} in {self.folder}.")
        return self.path(id_)

    def clock_of(self, id_: str) -> RunningClock | None:
        """Return the running clock of a job, with the job's last change; raises as `open`."""
        return running_clock(self.open(id_, writing=False))

    def stop_clock(self, id_: str, now: datetime, *, at: datetime | None = None) -> "Entry | None":
        """Stop the clock of a job that is not open here, now or as of `at`; return its entry.

        None if no clock runs in it. Raises `ReadOnly` if another crewdesk has the job open, and as
        `open` and `JobFile.make` do.
        """
        from crewdesk.job.time.clock import running, stop

        job = self.open(id_)
        try:
            entry = running(job.record)
            if entry is None:
                return None
            job.make(stop(job.record, now, at=at))
            return job.record.entry(entry.row)
        finally:
            job.close(now)

    def create(self, begun: Change) -> str:
        """Write a new job that `begun` (see `new_job`) starts; return its id."""
        record = Record({})
        record.make(begun)
        return self._add(record.tables, [begun], begun.when)

    def take_in(self, document: object, now: datetime, *, kept: bool = False) -> str:
        """Write a job from a document (see `exchange`, also for `kept`); return its id. Raises
        `NotAllowed`."""
        from crewdesk.job.sync.exchange import from_document
        from crewdesk.store.beginnings import with_beginning

        tables, history = from_document(document, kept=kept)
        here = set(self.beginnings().values())
        return self._add(*with_beginning(tables, history, here), now)

    def take_in_whole(self, path: Path, now: datetime) -> str:
        """Write a new job from a job's whole file, as a sync or a backup left it, without its
        history; return its id. Raises `NotAllowed`."""
        from crewdesk.job.sync.exchange import to_document

        head = checkpoint.read_head(path, KIND, named=True)
        if path.stat().st_size > LARGEST:
            raise Damaged(path, "it is too large for a job")
        tables = checkpoint.read(path, KIND, named=True).tables
        row = tables.get("job", {}).get(ONLY_ROW)
        if row is not None and head.holds:
            row.setdefault(BEGUN, head.holds[0])
        return self.take_in(to_document(tables, []), now, kept=True)

    def beginnings(self) -> dict[str, str]:
        """Return the permanent id (see `Record.begun`) of every job that has one, by the job's id;
        raises `NotAllowed`."""
        from crewdesk.store.beginnings import begun

        return {id_: name for id_ in self.ids() if (name := begun(self.path(id_)))}

    def give_out(self, id_: str) -> Doc:
        """Return a job as one document (see `exchange`)."""
        from crewdesk.job.sync.exchange import to_document

        job = self.open(id_, writing=False)
        return to_document(job.record.tables, job.history())

    def _add(self, tables: Tables, history: list[Change], now: datetime) -> str:
        record = Record(tables)
        text = summary(record)
        try:
            id_ = self.free_id(record.job.name)
        except OSError as error:
            raise NotSaved(self.path("new"), error) from None
        path = self.path(id_)
        kept = HistoryFile(path.with_suffix(HISTORY))
        try:
            lines = kept.add(*history) if history else []
            head = Head(KIND, now, kept.end, text, tuple(one.brought.of[0] for one in lines[:1]))
            checkpoint.write(path, Checkpoint(head, tables))
            sync_folder(self.jobs_folder)
        except OSError as error:
            for one in (path, kept.path):
                with suppress(OSError):
                    unlink(one)
            with suppress(OSError):
                path.parent.rmdir()
            raise NotSaved(path, error) from None
        return id_

    def free_id(self, name: str) -> str:
        """Return a free id, reserved by an empty folder; raises `OSError`."""
        plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
        stem = re.sub(r"[^a-z0-9]+", "-", plain.casefold()).strip("-")[:LONGEST_ID] or "job"
        stem = fit_name(stem)
        id_, count = stem, 1
        while not _made(self.jobs_folder / id_):
            count += 1
            id_ = f"{stem}-{count}"
        return id_

    def copies(self, id_: str) -> "tuple[Copy, ...]":
        """Return the readable copies of a job, the one with the least loss first."""
        from crewdesk.store.recovery import copies

        return copies(self.path(id_), KIND, Record)

    def bring_back(
        self, id_: str, now: datetime, *, choose: "Callable[[tuple[Copy, ...]], Copy] | None" = None
    ) -> "Copy":
        """Recover an unreadable job; see `crewdesk.store.recovery`."""
        from crewdesk.store.recovery import bring_back

        path = self._found(id_)
        with locked(path):
            return bring_back(
                path,
                KIND,
                now,
                Record,
                lambda tables: summary(Record(tables)),
                choose=choose or (lambda every: every[0]),
            )

    def go_back(self, id_: str, to: datetime, now: datetime) -> Change:
        """Take a job back to a time; return the change, which can be undone."""
        from crewdesk.job.sync.undoing import gone_back

        job = self.open(id_)
        try:
            change = gone_back(job.record.tables, job.history(), to, now)
            job.make(change, sound=False)
            return change
        finally:
            job.close(now)


def _moved(id_: str) -> str:
    return f"this job was {id_}. Another computer started another job under that name first."


def _made(folder: Path) -> bool:
    """Make an empty folder, unless there is one; raises `OSError`."""
    try:
        folder.mkdir(mode=ALL_OURS)
    except FileExistsError:
        return False
    return True
