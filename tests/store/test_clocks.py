"""One clock over all jobs: which runs where, and how it is stopped from another job."""

from datetime import datetime, timedelta

from crewdesk.job.beams import beams
from crewdesk.job.time import clock
from crewdesk.store.desk import Desk
from crewdesk.store.job_file import JobFile


def test_a_clock_is_found_though_nothing_was_closed(
    desk: Desk, job: JobFile, now: datetime
) -> None:
    # Killed here, crewdesk would have written no summary: only the history knows.
    assert desk.clocks() == ()
    job.make(clock.start(job.record, "tack", now))
    (running,) = desk.clocks()
    assert (running.id, running.job, running.stage, running.since) == (
        job.id,
        "Hill house",
        "Tack",
        now,
    )


def test_the_last_change_is_told_with_the_clock(desk: Desk, job: JobFile, now: datetime) -> None:
    assert desk.clock_of(job.id) is None
    job.make(clock.start(job.record, "tack", now))
    told = desk.clock_of(job.id)
    assert told is not None
    assert told.last is None
    later = now + timedelta(minutes=40)
    job.make(beams.change_job(job.record, {"notes": "key at the gate"}, later))
    told = desk.clock_of(job.id)
    assert told is not None
    assert told.last == later


def test_a_clock_is_stopped_from_outside_its_job(desk: Desk, job: JobFile, now: datetime) -> None:
    later = now + timedelta(hours=3)
    job.make(clock.start(job.record, "tack", now))
    # The job is open here all the while, and sees it.
    entry = desk.stop_clock(job.id, later, at=now + timedelta(minutes=20))
    assert entry is not None
    assert entry.lasted(later) == timedelta(minutes=20)
    assert desk.stop_clock(job.id, later) is None
    job.look()
    assert [change.what for change in job.came] == ["clock stopped"]
    assert clock.running(job.record) is None
    assert desk.clocks() == ()
