"""Jobs that are put away, and jobs that are removed: moved out of the jobs' folder, whole, into
the data folder's `removed`, from where they can be brought back."""

import re
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from crewdesk.errors import CrewdeskError, Damaged, NotAllowed, NotSaved
from crewdesk.job.change import Change
from crewdesk.job.put_away import back_in_list, check_no_clock, put_away
from crewdesk.job.record import Record
from crewdesk.job.text_limits import quoted
from crewdesk.store.desk import Desk
from crewdesk.store.disk import ALL_OURS, replace, sync_folder
from crewdesk.store.folder import is_job
from crewdesk.store.job_file import JobFile
from crewdesk.store.record_file import PATIENCE, locked

REMOVED = "removed"
"""The folder in the data folder that removed jobs lie in."""
_TIME, _STAMPED = "%Y-%m-%d-%H%M%S", r"-\d{4}-\d\d-\d\d-\d{6}(-\d+)?"


class RemovedJob(NamedTuple):
    """A job that was removed: the name of its folder in `removed`, and the job's own name."""

    folder: str
    name: str


def set_put_away(desk: Desk, id_: str, now: datetime, *, away: bool) -> None:
    """Put a job away, or back into the list; raises as `Desk.open` and `JobFile.make` do, and
    `NotAllowed` if it is so already or its clock runs."""
    act: Callable[[Record, datetime], Change] = put_away if away else back_in_list
    job = desk.open(id_)
    try:
        job.writable()
        job.make(act(job.record, now))
    finally:
        job.close(now)


def remove_job(desk: Desk, id_: str, now: datetime) -> str:
    """Move a job's folder, whole, to `removed`, also one that can't be read; gives its name there.

    Raises `NotAllowed` if there is no such job or its clock runs, `ReadOnly` if another program
    saves it, `NotSaved` if the disk refuses.
    """
    with suppress(Damaged):
        job = desk.open(id_)
        id_ = job.id
        try:
            check_no_clock(job.record)
        finally:
            job.close(now)
    path = desk.path(id_)
    if id_ not in desk.ids():
        raise NotAllowed(f"There is no job {quoted(id_)} in {desk.folder}.")
    with locked(path, PATIENCE):
        pass  # nobody saves it; Windows moves no folder with an open file in it
    folder = desk.folder / REMOVED
    name = f"{id_}-{now.strftime(_TIME)}"
    try:
        folder.mkdir(mode=ALL_OURS, exist_ok=True)
        to, count = folder / name, 1
        while to.exists():
            count += 1
            to = folder / f"{name}-{count}"
        replace(path.parent, to)
        for one in (folder, desk.jobs_folder):
            sync_folder(one)
    except OSError as error:
        raise NotSaved(path, error) from None
    return to.name


def removed_jobs(desk: Desk) -> tuple[RemovedJob, ...]:
    """Return the removed jobs that can be brought back, the one removed last first."""
    try:
        folders = [one for one in (desk.folder / REMOVED).iterdir() if is_job(one)]
    except OSError:
        return ()
    folders.sort(key=lambda one: re.findall(r"\d+", one.name)[-4:], reverse=True)
    return tuple(RemovedJob(one.name, _name_of(desk, one)) for one in folders)


def _name_of(desk: Desk, folder: Path) -> str:
    """Return a removed job's own name; that of its folder where it can't be read."""
    try:
        return JobFile(folder / f"{desk.machine}.json", writing=False).record.job.name
    except (CrewdeskError, OSError):
        return folder.name


def bring_removed_back(desk: Desk, text: str) -> str:
    """Move a removed job back among the jobs; gives its id, a free one where another job has
    taken its own. `text` is the name of its folder, how that begins, or the job's name.

    Raises `NotAllowed` if none or several are meant, `NotSaved` if the disk refuses.
    """
    name = _meant(desk, text)
    folder = desk.folder / REMOVED / name
    try:
        to = desk.jobs_folder / desk.free_id(re.sub(f"{_STAMPED}$", "", name))
        to.rmdir()
        replace(folder, to)
        for one in (folder.parent, desk.jobs_folder):
            sync_folder(one)
    except OSError as error:
        raise NotSaved(folder, error) from None
    return to.name


def _meant(desk: Desk, text: str) -> str:
    """Return the folder of the removed job that a text names; raises `NotAllowed`."""
    wanted, every = " ".join(text.split()).casefold(), removed_jobs(desk)
    exact = [one.folder for one in every if wanted in (one.folder.casefold(), one.name.casefold())]
    begun = [one.folder for one in every if wanted and one.folder.casefold().startswith(wanted)]
    found = exact or begun
    if len(found) == 1:
        return found[0]
    if found:
        raise NotAllowed(
            f"{quoted(text)} could be more than one removed job: {', '.join(found)}. Type more of "
            "its name."
        )
    names = ", ".join(one.folder for one in every) or "none"
    raise NotAllowed(f"There is no removed job {quoted(text)}. The removed jobs: {names}.")
