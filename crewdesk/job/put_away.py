"""A job that is put away: out of the list of jobs, with all that it holds, and found as ever."""

from datetime import datetime

from crewdesk.errors import NotAllowed
from crewdesk.job.change import ABSENT, Change, edit
from crewdesk.job.job_row import PUT_AWAY
from crewdesk.job.record import JOB_ROW, Record
from crewdesk.job.time.clock import fixed, running

_AT = ("job", JOB_ROW, PUT_AWAY)


def put_away(record: Record, now: datetime) -> Change:
    """Return the change that puts a job away; raises `NotAllowed` if it is away already, or its
    clock runs."""
    if record.job.put_away is not None:
        raise NotAllowed(f"{record.job.name} is put away already. Nothing was changed.")
    check_no_clock(record)
    return Change("put the job away", (edit(record.tables, _AT, fixed(now).isoformat()),), now)


def back_in_list(record: Record, now: datetime) -> Change:
    """Return the change that puts a job back into the list; raises `NotAllowed` if it is there."""
    if record.job.put_away is None:
        raise NotAllowed(f"{record.job.name} isn't put away. Nothing was changed.")
    return Change("put the job back into the list", (edit(record.tables, _AT, ABSENT),), now)


def check_no_clock(record: Record) -> None:
    """Raise `NotAllowed` if a job's clock runs: a job out of the list would go on counting."""
    entry = running(record)
    if entry is not None:
        stage = record.stages.name_of(entry.stage)
        raise NotAllowed(
            f"A clock is running on {stage} in {record.job.name}. Stop it first. Nothing was "
            "changed."
        )
