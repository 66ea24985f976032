"""Backups: what is copied, read back and checked, and what comes back out of one."""

from datetime import timedelta
from pathlib import Path

import pytest

from crewdesk.errors import NotAllowed, NotSaved
from crewdesk.job.beams import beams
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.store import backup
from crewdesk.store.backup import (
    BUSINESS,
    back_up,
    days_without_backup,
    differences,
    latest_backup,
    opened,
    restore_missing,
    returned,
)
from crewdesk.store.desk import Desk
from crewdesk.store.integrity import check


@pytest.fixture
def stick(tmp_path) -> Path:
    folder = tmp_path / "stick"
    folder.mkdir()
    return folder


@pytest.fixture
def worked(desk, job, now) -> str:
    """The id of a job with a step checked off, left open, and a business."""
    job.make(ticks.tick(job.record, Spot("1", "A"), "rip-side", now))
    desk.shop.change(now, who="Ada")
    return job.id


def test_a_backup_holds_everything_and_says_so(desk, worked, stick, now) -> None:
    made = back_up(desk, stick, now)
    assert (made.jobs, made.damaged) == (1, ())
    assert made.folder.parent == stick
    there = opened(stick, desk)
    assert there.folder == made.folder
    record = there.open(worked, writing=False).record
    assert record.tables == desk.open(worked, writing=False).record.tables
    assert there.shop.shop().who == "Ada"
    assert all(one.sound for one in check(there))
    assert [one.same for one in differences(desk, there)] == [True, True]
    assert latest_backup(desk) == (now, made.folder)


def test_what_came_after_it_is_counted_and_a_job_goes_back_to_it(
    desk, job, worked, stick, now
) -> None:
    back_up(desk, stick, now)
    there = opened(stick, desk)
    before = there.open(worked, writing=False).record.tables
    job.make(ticks.tick(job.record, Spot("1", "B"), "rip-side", now))
    job.make(beams.change_job(job.record, {"notes": "later"}, now))
    job.close(now)
    business, ours = differences(desk, there)
    assert business.id == BUSINESS
    assert (ours.newer, ours.older, ours.same) == (2, 0, False)
    returned(desk, there, worked, now)
    assert desk.open(worked, writing=False).record.tables == before
    with pytest.raises(NotAllowed, match="is the same here"):
        returned(desk, there, worked, now)
    again = desk.open(worked)
    again.undo(now)
    assert again.record.job.notes == "later"
    again.close(now)


def test_what_is_missing_comes_back_and_what_is_here_stays(desk, worked, stick, now) -> None:
    back_up(desk, stick, now)
    new = Desk(stick.parent / "new", "other")
    there = opened(stick, new)
    assert restore_missing(new, there) == [worked, BUSINESS]
    assert restore_missing(new, there) == []
    assert new.shop.shop().who == "Ada"
    there_now = new.open(worked)
    there_now.make(beams.change_job(there_now.record, {"notes": "on the new one"}, now))
    there_now.close(now)
    ours = next(one for one in differences(new, there) if one.id == worked)
    assert (ours.newer, ours.older) == (1, 0)


def test_a_job_only_here_or_only_there_is_told(desk, worked, stick, now, record) -> None:
    back_up(desk, stick, now)
    other = desk.create(beams.new_job("Later", record.job.section, now))
    found = {one.id: one for one in differences(desk, opened(stick, desk))}
    assert (found[other].newer, found[other].older) == (1, None)
    assert not found[other].same


@pytest.mark.parametrize("wrong", [b"", b"other"])
def test_what_does_not_read_back_is_no_backup(desk, worked, stick, now, wrong, monkeypatch) -> None:
    real = backup.read_bytes
    monkeypatch.setattr(
        backup, "read_bytes", lambda path: wrong if stick in path.parents else real(path)
    )
    with pytest.raises(NotSaved, match="didn't read back"):
        back_up(desk, stick, now)
    monkeypatch.undo()
    assert latest_backup(desk) is None
    with pytest.raises(NotAllowed, match="holds no backup"):
        opened(stick, desk)


def test_a_full_stick_is_told_and_leaves_no_backup(desk, worked, stick, now, monkeypatch) -> None:
    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(backup, "sync", full)
    with pytest.raises(NotSaved, match="No space left"):
        back_up(desk, stick, now)
    with pytest.raises(NotAllowed):
        opened(stick, desk)


def test_a_damaged_job_is_copied_as_it_is_and_told(desk, job, worked, stick, now) -> None:
    job.close(now)
    path = desk.path(worked).with_suffix(".history")
    path.write_bytes(path.read_bytes()[:-20] + b"x" * 19 + b"\n")
    desk.path(worked).unlink()
    made = back_up(desk, stick, now)
    assert len(made.damaged) == 1
    assert worked in made.damaged[0]
    copied = made.folder / path.relative_to(desk.folder)
    assert copied.read_bytes() == path.read_bytes()


def test_where_it_can_go(desk, worked, stick, now) -> None:
    with pytest.raises(NotAllowed, match="There is no folder"):
        back_up(desk, stick / "none", now)
    back_up(desk, stick, now)
    with pytest.raises(NotAllowed, match="there already"):
        back_up(desk, stick, now)
    with pytest.raises(NotAllowed, match="data folder itself"):
        opened(desk.folder, desk)


def test_a_backup_is_due_after_a_week(desk, worked, stick, now) -> None:
    assert days_without_backup(desk, now + timedelta(days=7)) is None
    assert days_without_backup(desk, now + timedelta(days=8, hours=1)) == 8
    back_up(desk, stick, now + timedelta(days=8))
    assert days_without_backup(desk, now + timedelta(days=9)) is None
    assert days_without_backup(desk, now + timedelta(days=16)) == 8


def test_the_latest_of_several_is_meant(desk, worked, stick, now) -> None:
    back_up(desk, stick, now)
    later = back_up(desk, stick, now + timedelta(days=40))
    assert opened(stick, desk).folder == later.folder
