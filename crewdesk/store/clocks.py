"""Which jobs a clock runs in."""

from datetime import datetime
from typing import NamedTuple

from crewdesk.job.time.clock import running
from crewdesk.job.time.logged import on_site
from crewdesk.store.job_file import JobFile


class RunningClock(NamedTuple):
    """A clock that runs: the job's id and name, the stage's name, since when.

    `last` is when the job was last changed, where that is known and not before the
    clock's start.
    """

    id: str
    job: str
    stage: str
    since: datetime
    last: datetime | None = None


def running_clock(job: JobFile) -> RunningClock | None:
    """The clock of a job that is open, with the time of its last saved change."""
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
