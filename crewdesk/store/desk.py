"""The data folder: every job and the shop."""

import os
import re
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from datetime import datetime, tzinfo
from errno import ENAMETOOLONG, ENOENT, ENOTDIR
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, cast

from crewdesk.errors import (
    BadInput,
    CrewdeskError,
    Damaged,
    Newer,
    NotAllowed,
    NotSaved,
    ReadOnly,
)
from crewdesk.job.change import Change, Doc, Tables
from crewdesk.job.cuts.shop_machine import USUAL_MACHINE, Crew, ShopMachine
from crewdesk.job.job_row import BEGUN
from crewdesk.job.record import Record
from crewdesk.job.rows import ONLY_ROW, Rows
from crewdesk.job.text_limits import quoted
from crewdesk.store import checkpoint, machine_clock
from crewdesk.store.checkpoint import Checkpoint, Head
from crewdesk.store.disk import fit_name, replace, sync_folder, unlink
from crewdesk.store.history_file import HistoryFile
from crewdesk.store.history_lines import (
    HISTORY,
    History,
    copy_files,
    end_of,
    first_line,
    histories,
    stamp,
)
from crewdesk.store.job_file import KIND, JobFile, is_summary, summary
from crewdesk.store.machine import machine_name
from crewdesk.store.record_file import PATIENCE, RecordFile, locked
from crewdesk.store.regular import ALL_OURS, read_bytes, unreadable, why_no_folder
from crewdesk.store.take_over import take_over
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS
from crewdesk.trade.cuts.scribe_cut import WAYS, Way

if TYPE_CHECKING:
    from crewdesk.job.sync.came_in import CameIn
    from crewdesk.job.time.entry import Entry
    from crewdesk.store.clocks import RunningClock
    from crewdesk.store.recovery import Copy
    from crewdesk.store.shop_file import ShopFile

LONGEST_ID = 40
_FILE = r"\.(json|history|lock)\b"
LARGEST = 64 * 1024 * 1024
"""Bytes of a whole file that is taken in, at most."""


class Listed(NamedTuple):
    """A job as the list tells it: its id, what its summary says, when it was written;
    `changed`, the time of its last change on the disk, in seconds.

    `trouble` is one sentence where the job can't be read.
    """

    id: str
    summary: Doc
    written: datetime | None
    trouble: str = ""
    changed: float = 0.0

    @property
    def name(self) -> str:
        """The job's name; of one that can't be read, its id."""
        return str(self.summary.get("name", self.id))


class Desk:
    """The jobs in one data folder, each a folder of its own, as seen from one machine: it
    reads every machine's files and writes those that bear its own name. `arrived` are what came
    in from elsewhere into jobs that were opened to be written, by their ids, for whoever says
    so."""

    def __init__(self, folder: Path, machine: str = "", *, make: bool = True) -> None:
        """Look into a data folder; raises `NotAllowed` where it can't be used.

        machine: its name, where it isn't the usual one (see `machine_name`). make: make the
        folder where there is none; otherwise nothing is made here, and nothing changed but that
        a folder of an older crewdesk is taken over (see `take_over`). `check_clock`, where it is
        set, gets the time of the last change of whatever is opened to be written, and raises
        `ClockDoubt` where the clock can't be right.
        """
        self.folder = folder
        self.machine = machine or machine_name()
        self.arrived: list[tuple[str, CameIn]] = []
        self.jobs_folder = folder / "jobs"
        self._make = make
        self.check_clock: Callable[[datetime | None], None] | None = None
        try:
            if not make:
                if folder.exists() and not folder.is_dir():
                    raise NotADirectoryError(ENOTDIR, os.strerror(ENOTDIR))
                if not folder.exists():
                    raise NotAllowed(
                        f"There is no data folder {folder}. Check the name after --data "
                        "or in CREWDESK_DATA, or run `crewdesk` to start one there."
                    )
                take_over(folder, make=False)
                return
            self._check_jobs_folder()
            for one in (self.folder, self.jobs_folder):
                one.mkdir(mode=ALL_OURS, parents=True, exist_ok=True)
        except OSError as error:
            raise NotAllowed(_unusable(folder, error)) from None
        take_over(folder)

    @cached_property
    def shop(self) -> "ShopFile":
        """The shop's own file."""
        from crewdesk.store.shop_file import ShopFile

        return ShopFile(self.shop_path, check_clock=self._check_clock)

    @property
    def shop_news(self) -> tuple[str, ...]:
        """The shop's news (see `ShopFile.news`), where the shop was read."""
        shop = self.__dict__.get("shop")
        return shop.news if shop is not None else ()

    @property
    def shop_path(self) -> Path:
        """Where this machine's whole file of the shop lies."""
        return self.folder / "shop" / f"{self.machine}.json"

    def _check_clock(self, last: datetime | None) -> None:
        if self.check_clock is not None:
            self.check_clock(last)

    def latest(self) -> datetime | None:
        """Return when anything in the folder was written last, as far as it can be read."""
        times = [one.written for one in self.jobs() if one.written is not None]
        with suppress(CrewdeskError):
            times += [one for one in [self.shop.last_change()] if one is not None]
        return max(times, default=None)

    def zone(self) -> tzinfo | None:
        """Return the zone that times are shown and typed in: the business's, and where none is
        set the computer's."""
        return self.shop.zone() or machine_clock.machine_now().tzinfo

    def crew(self) -> Crew:
        """What the crew works with, as Business settings say; what is usual where they say
        nothing or can't be read."""
        row = self._shop_row()
        try:
            instruments = USUAL_INSTRUMENTS.with_own(row.get("instruments", {}))
        except (BadInput, AttributeError, TypeError):
            instruments = USUAL_INSTRUMENTS
        return Crew(instruments, self.shop_machine())

    def shop_machine(self) -> ShopMachine:
        """The shop's saw and scribing tools for a cut list, as Business settings say; the usual
        ones where there are none or they can't be read. All of Business settings is loaded only
        where the scribe cut's figures depend on more than the way to cut."""
        row = self._shop_row()
        usual = str(USUAL_MACHINE.back_cut)
        if row.get("scribers") or row.get("scribe_back_cut", usual) != usual:
            try:
                return self.shop.shop().machine
            except (CrewdeskError, BadInput, OSError):
                return USUAL_MACHINE
        way = row.get("scribe_cut")
        return USUAL_MACHINE._replace(scribe_cut=cast("Way", way) if way in WAYS else None)

    def _shop_row(self) -> Mapping[str, Any]:
        """Business settings as a bare row, empty where there are none or they can't be read: a
        cut list needs no more of the shop, whose module takes its time to load."""
        path = self.shop_path
        try:
            if not path.parent.exists():
                return {}
            tables = RecordFile(path, "shop", Rows, writing=False).record.tables
            return cast("Mapping[str, Any]", tables.get("shop", {}).get(ONLY_ROW, {}))
        except (CrewdeskError, BadInput, OSError, AttributeError, TypeError):
            return {}

    def path(self, id_: str) -> Path:
        """Where this machine's whole file of a job lies."""
        return self.jobs_folder / id_ / f"{self.machine}.json"

    @property
    def untouched(self) -> bool:
        """Whether nothing was ever entered here, but colours or a layout were turned; of a
        folder that can't be read, it is not said."""
        try:
            if self.ids():
                return False
            shop = self.shop.shop()
        except CrewdeskError:
            return False
        return shop == type(shop)(theme=shop.theme, layout=shop.layout)

    def ids(self) -> list[str]:
        """The ids of every job, in alphabetical order; raises `NotAllowed`.

        A folder is a job once there is a whole copy of it, or a history with a line.
        """
        try:
            self._check_jobs_folder()
            if not self._make and not self.jobs_folder.exists():
                return []
            return sorted(one.name for one in self.jobs_folder.iterdir() if _is_job(one))
        except OSError as error:
            raise NotAllowed(_unusable(self.folder, error)) from None

    def _check_jobs_folder(self) -> None:
        """Raise `Damaged` where something else has the name of the jobs' folder."""
        if why := why_no_folder(self.jobs_folder):
            raise Damaged(self.jobs_folder, why)

    def no_folders(self) -> list[Damaged]:
        """What bears a name where a job's folder could be and is no folder that can be looked
        into: a pipe, a link that leads nowhere. Plain files, hidden names and those of files are
        none of it; raises as `ids`."""
        self.ids()
        if not self.jobs_folder.exists():
            return []
        return [
            Damaged(one, why)
            for one in sorted(self.jobs_folder.iterdir())
            if not one.name.startswith(".") and not re.search(_FILE, one.name)
            if not one.is_file() and (why := why_no_folder(one))
        ]

    def jobs(self) -> Iterator[Listed]:
        """Every job as the list tells it; one that can't be read tells its trouble."""
        for id_ in self.ids():
            try:
                yield self._listed(id_)
            except CrewdeskError as refused:
                yield Listed(id_, {}, None, str(refused))
            except OSError as error:
                yield Listed(id_, {}, None, str(unreadable(self.path(id_), error)))
        for damaged in self.no_folders():
            yield Listed(damaged.path.name, {}, None, str(damaged))

    def _listed(self, id_: str) -> Listed:
        path = self.path(id_)
        ends, changed = {""}, 0.0
        for one in histories(path.parent):
            try:
                ends.add(end_of(one))
            except OSError as error:
                if one.stem == self.machine:
                    raise unreadable(one, error) from None
                continue
            changed = max(changed, one.stat().st_mtime)
        heads = [
            one
            for one in dict.fromkeys((path, *copy_files(path.parent)))
            if one.suffix == ".json" and one.exists()
        ]
        for one in heads:
            try:
                head = checkpoint.read_head(one, KIND)
            except Newer:
                raise
            except Damaged:
                if one == path:
                    raise
                continue
            if ends <= {"", head.place.seal, *head.holds}:
                if not is_summary(head.summary):  # the list does not read as far as the seal
                    raise Damaged(one, "its beginning isn't what crewdesk writes")
                changed = changed or one.stat().st_mtime
                return Listed(id_, head.summary, head.written, changed=changed)
        job = JobFile(path, writing=False)
        return Listed(id_, summary(job.record), job.last, changed=changed)

    def open(self, id_: str, *, writing: bool = True) -> JobFile:
        """Open a job; raises `NotAllowed` where there is none, `Damaged` where it can't be read.

        What other machines did to it is taken in. To be written, a job moves to a folder of its
        own where another machine began another job under the same name (see `JobFile.id`).
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

    @property
    def has_copies(self) -> bool:
        """Whether other machines wrote histories of some job here."""
        try:
            return any(len(histories(one)) > 1 for one in self.jobs_folder.iterdir())
        except OSError:
            return False

    def _part(self, id_: str) -> Path | None:
        """Where two machines began two jobs of one name, and this machine's is not the first:
        give this one a folder of its own; gives its whole file there."""
        path = self.path(id_)
        if len({line for one in histories(path.parent) if (line := first_line(one))}) < 2:
            return None
        from crewdesk.job.sync.came_in import CameIn
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
        """The id of a job of this machine's that has all the lines of a history; None for none."""
        for id_ in self.ids():
            there = self.path(id_).with_suffix(HISTORY)
            with suppress(CrewdeskError):
                if there != own.path and own.end and own.end in History.read(there).holds:
                    return id_
        return None

    def _copied(self, id_: str, files: list[Path]) -> str:
        """Copy files into a job's folder of their own, all at once; gives its id. Raises
        `OSError`."""
        from shutil import rmtree  # takes its time to load

        fresh = self.jobs_folder / f".moving-{self.machine}"
        try:
            rmtree(fresh, ignore_errors=True)
            fresh.mkdir(mode=ALL_OURS)
            for one in files:
                checkpoint.put_file(fresh / one.name, read_bytes(one))
            to = self.jobs_folder / self._free_id(id_)
            to.rmdir()
            replace(fresh, to)
        except OSError:
            rmtree(fresh, ignore_errors=True)
            raise
        sync_folder(self.jobs_folder)
        return to.name

    def stamps(self, id_: str) -> tuple[object, ...]:
        """What changes whenever any machine's history or whole copy of a job does."""
        folder = self.path(id_).parent
        return tuple((one.name, stamp(one)) for one in (*histories(folder), *copy_files(folder)))

    def _offered(self, id_: str, damaged: Damaged) -> Damaged:
        """A damaged file with what the job can be brought back from, in words."""
        every = self.copies(id_)
        if every:
            told = every[0].told(self.zone())
            damaged.text = f"{damaged} `crewdesk restore {id_}` recovers it {told}."
        return damaged

    def _found(self, id_: str) -> Path:
        found = False
        try:
            with os.scandir(self.jobs_folder):  # may be looked into, but isn't: it may be long
                found = Path(id_).name == id_ and _is_job(self.jobs_folder / id_)
        except OSError as error:
            if error.errno not in (ENOENT, ENAMETOOLONG):
                raise NotAllowed(_unusable(self.folder, error)) from None
        if not found and Path(id_).name == id_:
            with suppress(OSError, ValueError):  # a name that no file can have
                if why := why_no_folder(self.jobs_folder / id_):
                    raise Damaged(self.jobs_folder / id_, why)
        if not found:
            raise NotAllowed(f"There is no job {quoted(id_)} in {self.folder}.")
        return self.path(id_)

    def find(self, text: str) -> str:
        """The id of the job that a text names: its id, its name or the beginning of either."""
        wanted = " ".join(text.split()).casefold()
        every = [(one.id, one.name) for one in self.jobs()]
        exact = [id_ for id_, name in every if wanted in (id_.casefold(), name.casefold())]
        begun = [
            (id_, name)
            for id_, name in every
            if id_.casefold().startswith(wanted) or name.casefold().startswith(wanted)
        ]
        if len(exact) == 1:
            return exact[0]
        if not exact and wanted and len(begun) == 1:
            return begun[0][0]
        if exact or (wanted and begun):
            names = ", ".join(sorted(exact) or [id_ for id_, _ in begun])
            raise NotAllowed(
                f"{quoted(text)} could be more than one job: {names}. Type more of its name."
            )
        names = ", ".join(id_ for id_, _ in every) or "none yet"
        raise NotAllowed(
            f"There is no job {quoted(text)} in {self.folder}. The jobs there: {names}."
        )

    def clocks(self) -> "tuple[RunningClock, ...]":
        """Every clock that runs, in any job that can be read, as the list tells it."""
        from crewdesk.store.clocks import RunningClock

        return tuple(
            RunningClock(
                one.id,
                one.name,
                str(one.summary["running"]["stage"]),
                datetime.fromisoformat(one.summary["running"]["since"]),
            )
            for one in self.jobs()
            if "running" in one.summary
        )

    def clock_of(self, id_: str) -> "RunningClock | None":
        """The clock that runs in one job, with the job's last change; raises as `open`."""
        from crewdesk.store.clocks import running_clock

        return running_clock(self.open(id_, writing=False))

    def stop_clock(self, id_: str, now: datetime, *, at: datetime | None = None) -> "Entry | None":
        """Stop the clock of a job that is not open here, now or as of `at`; gives its entry.

        None where no clock runs in it. Raises `ReadOnly` where another crewdesk has
        the job open, and as `open` and `JobFile.make` do.
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
        """Write a new job that `begun` (see `new_job`) begins; gives its id."""
        record = Record({})
        record.make(begun)
        return self._add(record.tables, [begun], begun.when)

    def take_in(self, document: object, now: datetime, *, kept: bool = False) -> str:
        """Write a job out of a document (see `exchange`, also for `kept`); gives its id. Raises
        `NotAllowed`."""
        from crewdesk.job.sync.exchange import from_document
        from crewdesk.store.beginnings import with_beginning

        tables, history = from_document(document, kept=kept)
        here = set(self.beginnings().values())
        return self._add(*with_beginning(tables, history, here), now)

    def take_in_whole(self, path: Path, now: datetime) -> str:
        """Write a new job out of a job's whole file, as a sync or a backup left it, without
        its history; gives its id. Raises `NotAllowed`."""
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
        """The name of the beginning of every job that has one (see `Record.begun`), by the job's
        id; raises `NotAllowed`."""
        from crewdesk.store.beginnings import begun

        return {id_: name for id_ in self.ids() if (name := begun(self.path(id_)))}

    def give_out(self, id_: str) -> Doc:
        """A job as one document (see `exchange`)."""
        from crewdesk.job.sync.exchange import to_document

        job = self.open(id_, writing=False)
        return to_document(job.record.tables, job.history())

    def _add(self, tables: Tables, history: list[Change], now: datetime) -> str:
        record = Record(tables)
        told = summary(record)
        try:
            id_ = self._free_id(record.job.name)
        except OSError as error:
            raise NotSaved(self.path("new"), error) from None
        path = self.path(id_)
        kept = HistoryFile(path.with_suffix(HISTORY))
        try:
            lines = kept.add(*history) if history else []
            head = Head(KIND, now, kept.end, told, tuple(one.brought.of[0] for one in lines[:1]))
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

    def _free_id(self, name: str) -> str:
        """An id that no job has, taken by an empty folder; raises `OSError`."""
        plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
        stem = re.sub(r"[^a-z0-9]+", "-", plain.casefold()).strip("-")[:LONGEST_ID] or "job"
        stem = fit_name(stem)
        id_, count = stem, 1
        while not _made(self.jobs_folder / id_):
            count += 1
            id_ = f"{stem}-{count}"
        return id_

    def copies(self, id_: str) -> "tuple[Copy, ...]":
        """The kept copies of a job that can be read, the one that loses least first."""
        from crewdesk.store.recovery import copies

        return copies(self.path(id_), KIND, Record)

    def bring_back(
        self, id_: str, now: datetime, *, choose: "Callable[[tuple[Copy, ...]], Copy] | None" = None
    ) -> "Copy":
        """Bring a job back that can't be read; see `crewdesk.store.recovery`."""
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
        """Make a job what it was at a time; gives the change, which can be undone."""
        from crewdesk.job.sync.undoing import gone_back

        job = self.open(id_)
        try:
            change = gone_back(job.record.tables, job.history(), to, now)
            job.make(change, sound=False)
            return change
        finally:
            job.close(now)


def _is_job(folder: Path) -> bool:
    """Return whether a folder among the jobs is one; raises `OSError`."""
    return (
        folder.is_dir()
        and not folder.name.startswith(".")
        and bool(copy_files(folder) or any(first_line(one) for one in histories(folder)))
    )


def _moved(id_: str) -> str:
    return f"this job was {id_}. Another computer started another job under that name first."


def _made(folder: Path) -> bool:
    """Make an empty folder, unless there is one; raises `OSError`."""
    try:
        folder.mkdir(mode=ALL_OURS)
    except FileExistsError:
        return False
    return True


def _unusable(folder: Path, error: OSError) -> str:
    return (
        f"The data folder {folder} can't be made or used: {error.strerror}. Name "
        "another one with --data DIR."
    )
