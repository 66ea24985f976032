"""The data folder: its jobs, their summaries, and the business."""

import os
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from datetime import datetime, tzinfo
from errno import ENOTDIR
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, cast

from crewdesk.errors import BadInput, CrewdeskError, Damaged, Newer, NotAllowed
from crewdesk.job.change import Doc
from crewdesk.job.job_row import PUT_AWAY
from crewdesk.job.rows import ONLY_ROW, Rows
from crewdesk.job.text_limits import quoted
from crewdesk.store import checkpoint, machine_clock
from crewdesk.store.disk import ALL_OURS, unreadable, why_no_folder
from crewdesk.store.history_lines import copy_files, end_of, first_line, histories, stamp
from crewdesk.store.job_file import KIND, JobFile, is_summary, summary
from crewdesk.store.machine import machine_name
from crewdesk.store.record_file import RecordFile
from crewdesk.store.take_over import take_over
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, WAYS, Crew, ShopMachine, Way

if TYPE_CHECKING:
    from crewdesk.job.sync.contradictions import CameIn
    from crewdesk.store.shop_file import ShopFile

_FILE = r"\.(json|history|lock)\b"


class Listed(NamedTuple):
    """A job in the list: its id, its summary, when it was written; `changed`, the time of its last
    change on the disk, in seconds.

    `trouble` is a sentence if the job can't be read.
    """

    id: str
    summary: Doc
    written: datetime | None
    trouble: str = ""
    changed: float = 0.0

    @property
    def name(self) -> str:
        """The job's name, or its id if it can't be read."""
        return str(self.summary.get("name", self.id))

    @property
    def put_away(self) -> bool:
        """Whether it is out of the list of jobs."""
        return PUT_AWAY in self.summary


class RunningClock(NamedTuple):
    """A running clock: the job's id and name, the stage's name, and the start.

    `last` is when the job was last changed, if known and not before the clock's start.
    """

    id: str
    job: str
    stage: str
    since: datetime
    last: datetime | None = None


class DataFolder:
    """A data folder as seen from one machine: its jobs, each a folder, and the business. It reads
    every machine's files. `arrived` has changes from elsewhere by id of the jobs opened for
    writing, to be shown."""

    def __init__(self, folder: Path, machine: str = "", *, make: bool = True) -> None:
        """Read a data folder; raises `NotAllowed` if it can't be used.

        machine: its name, if not the usual one (see `machine_name`). make: create the folder if
        there is none; otherwise nothing is created, and only an older crewdesk's folder is
        converted (see `take_over`). `check_clock`, if set, is called with the last change of
        everything opened for writing, and raises `ClockDoubt` if the clock can't be right.
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
            raise NotAllowed(unusable(folder, error)) from None
        take_over(folder)

    @cached_property
    def shop(self) -> "ShopFile":
        """The business's file."""
        from crewdesk.store.shop_file import ShopFile

        return ShopFile(self.shop_path, check_clock=self._check_clock)

    @property
    def shop_news(self) -> tuple[str, ...]:
        """The news of the business's record (see `ShopFile.news`), if it was read."""
        shop = self.__dict__.get("shop")
        return shop.news if shop is not None else ()

    @property
    def shop_path(self) -> Path:
        """The path of this machine's whole file of the business."""
        return self.folder / "shop" / f"{self.machine}.json"

    def _check_clock(self, last: datetime | None) -> None:
        if self.check_clock is not None:
            self.check_clock(last)

    def latest(self) -> datetime | None:
        """Return when anything in the folder was last written, as far as it can be read."""
        times = [one.written for one in self.jobs() if one.written is not None]
        with suppress(CrewdeskError):
            times += [one for one in [self.shop.last_change()] if one is not None]
        return max(times, default=None)

    def zone(self) -> tzinfo | None:
        """Return the zone for showing and typing times: the business's, or the computer's if none
        is set."""
        return self.shop.zone() or machine_clock.machine_now().tzinfo

    def crew(self) -> Crew:
        """Return the crew's tools by Business settings; the usual ones if they are unset or
        unreadable."""
        row = self._shop_row()
        try:
            instruments = USUAL_INSTRUMENTS.with_own(row.get("instruments", {}))
        except (BadInput, AttributeError, TypeError):
            instruments = USUAL_INSTRUMENTS
        return Crew(instruments, self.shop_machine())

    def shop_machine(self) -> ShopMachine:
        """Return the shop's saw and scribing tools for a cut list; the usual ones if unset or
        unreadable. The full settings are loaded only if the scribe cut depends on them."""
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
        """Return Business settings as a bare row, empty if unset or unreadable: a cut list needs no
        more, and the module is slow to import."""
        path = self.shop_path
        try:
            if not path.parent.exists():
                return {}
            tables = RecordFile(path, "shop", Rows, writing=False).record.tables
            return cast("Mapping[str, Any]", tables.get("shop", {}).get(ONLY_ROW, {}))
        except (CrewdeskError, BadInput, OSError, AttributeError, TypeError):
            return {}

    def path(self, id_: str) -> Path:
        """Return the path of this machine's whole file of a job."""
        return self.jobs_folder / id_ / f"{self.machine}.json"

    @property
    def untouched(self) -> bool:
        """Return whether nothing but colors or the layout was ever set here; False for an
        unreadable folder."""
        try:
            if self.ids():
                return False
            shop = self.shop.shop()
        except CrewdeskError:
            return False
        return shop == type(shop)(theme=shop.theme, layout=shop.layout)

    def ids(self) -> list[str]:
        """Return the ids of every job, in alphabetical order; raises `NotAllowed`.

        A folder is a job if it has a whole copy, or a history with a line.
        """
        try:
            self._check_jobs_folder()
            if not self._make and not self.jobs_folder.exists():
                return []
            return sorted(one.name for one in self.jobs_folder.iterdir() if is_job(one))
        except OSError as error:
            raise NotAllowed(unusable(self.folder, error)) from None

    def _check_jobs_folder(self) -> None:
        """Raise `Damaged` if something else has the name of the jobs' folder."""
        if why := why_no_folder(self.jobs_folder):
            raise Damaged(self.jobs_folder, why)

    def no_folders(self) -> list[Damaged]:
        """Return names where a job's folder could be that aren't readable folders: a pipe, a broken
        link. Plain files, hidden names and file names don't count; raises as `ids`."""
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
        """Return every job for the list; an unreadable one has its trouble."""
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
                if not is_summary(head.summary):  # the list does not check the hash
                    raise Damaged(one, "its beginning isn't what crewdesk writes")
                changed = changed or one.stat().st_mtime
                return Listed(id_, head.summary, head.written, changed=changed)
        job = JobFile(path, writing=False)
        return Listed(id_, summary(job.record), job.last, changed=changed)

    @property
    def has_copies(self) -> bool:
        """Return whether other machines wrote histories of any job here."""
        try:
            return any(len(histories(one)) > 1 for one in self.jobs_folder.iterdir())
        except OSError:
            return False

    def stamps(self, id_: str) -> tuple[object, ...]:
        """Return values that change whenever any machine's history or whole copy of a job does."""
        folder = self.path(id_).parent
        return tuple((one.name, stamp(one)) for one in (*histories(folder), *copy_files(folder)))

    def find(self, text: str) -> str:
        """Return the id of the job that a text names: its id, its name or the beginning of
        either."""
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

    def clocks(self) -> tuple[RunningClock, ...]:
        """Return every running clock in readable jobs, for the list."""
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


def is_job(folder: Path) -> bool:
    """Return whether a folder in the jobs folder is a job; raises `OSError`."""
    return (
        folder.is_dir()
        and not folder.name.startswith(".")
        and bool(copy_files(folder) or any(first_line(one) for one in histories(folder)))
    )


def unusable(folder: Path, error: OSError) -> str:
    """Return why a data folder can't be used, in words."""
    return (
        f"The data folder {folder} can't be made or used: {error.strerror}. Name "
        "another one with --data DIR."
    )


def running_clock(job: JobFile) -> RunningClock | None:
    """Return the clock of an open job, with the time of its last saved change."""
    from crewdesk.job.time.clock import running  # most commands ask for no clock
    from crewdesk.job.time.logged import on_site

    record = job.record
    if (entry := running(record)) is None:
        return None
    last = max((change.when for change in job.history()[-1:]), default=entry.start)
    return RunningClock(
        job.id,
        record.job.name,
        record.stages.name_of(entry.stage),
        on_site(record, entry.start),
        on_site(record, last) if last > entry.start else None,
    )
