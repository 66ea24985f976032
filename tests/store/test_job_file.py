"""A job on disk: each change saved before it is seen, taken back also after a restart."""

from datetime import timedelta
from errno import ENOSPC

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crewdesk.errors import Damaged, NotAllowed, NotSaved, ReadOnly
from crewdesk.job.beams import beams
from crewdesk.job.record import Record
from crewdesk.job.steps import ticks
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.time import clock
from crewdesk.store import record_file as module
from crewdesk.store.desk import Desk

A = Spot("1", "A")


def test_a_change_is_on_the_disk_before_the_job_is_closed(desk, job, now) -> None:
    job.make(ticks.tick(job.record, A, "rip-side", now))
    other = desk.open(job.id, writing=False)
    assert other.record.beam("1").piece("A").steps["rip-side"].state == "done"
    assert [one.what for one in other.history()][-1] == "checked off 'Rip to width' on " + (
        "Great room Ridge side A"
    )


def test_make_gives_the_change_s_number(job, now) -> None:
    # Begun and two beams before.
    assert job.make(ticks.tick(job.record, A, "rip-side", now)) == 4
    assert len(job.history()) == 4


def test_a_refused_change_leaves_no_trace(job, now, refusing, files) -> None:
    before = files(job.path.parent)
    wrong = beams.change_beam(job.record, "1", {"ceiling": "domed"}, now)
    refusing(job.make, wrong)
    stale = ticks.tick(job.record, A, "rip-side", now)
    assert files(job.path.parent) == before
    job.make(stale)
    assert "Another computer changed beams / 1 / pieces / A" in refusing(job.make, stale)


def test_undo_and_redo_also_after_a_restart(desk, job, now, refusing) -> None:
    job.make(ticks.tick(job.record, A, "rip-side", now))
    job.make(clock.start(job.record, "rip", now))
    assert job.undo(now).what == "clock started on Rip"
    job.close(now)
    again = desk.open(job.id)
    assert again.record.entries == ()
    assert again.undo(now).what.startswith("checked off")
    assert again.redo(now).what.startswith("checked off")
    again.close(now)
    again = desk.open(job.id)
    assert again.redo(now).what == "clock started on Rip"
    assert "nothing to redo" in refusing(again.redo, now)
    assert clock.running(again.record) is not None
    again.undo(now)
    again.make(beams.change_job(again.record, {"notes": "new"}, now))
    assert "nothing to redo" in refusing(again.redo, now)
    again.close(now)


def test_what_was_given_as_a_tuple_can_be_taken_back(job, now) -> None:
    # A tuple comes back from the disk as a list; the two must not be held for different.
    job.make(beams.change_beam(job.record, "1", {"ends": ("a", "b")}, now))
    job.undo(now)
    job.redo(now)
    assert job.record.beam("1").ends == ("a", "b")


def test_undo_ends_where_the_job_was_begun(job, now, refusing) -> None:
    assert job.undo(now).what == "added beam Great room Cross"
    assert job.undo(now).what == "added beam Great room Ridge"
    for _ in range(2):
        assert "nothing to undo" in refusing(job.undo, now)
    assert job.record.job.name == "Hill house"
    job.redo(now)
    job.redo(now)
    assert len(job.record.beams) == 2


@settings(
    deadline=None, max_examples=6, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_random_days_are_undone_to_the_start_and_redone_to_the_end(
    data, tmp_path_factory, any_change, copied, now
) -> None:
    desk = Desk(tmp_path_factory.mktemp("random"))
    job = desk.open(desk.create(beams.new_job("Any", module_section(), now)))
    for name in ("One", "Two"):
        job.make(beams.add_beam(job.record, name, "Hall", now))
    was = [copied(job.record.tables)]

    def again():
        nonlocal job
        if data.draw(st.integers(0, 4)) == 0:
            job.close(now)
            job = desk.open(job.id)
            assert copied(job.record.tables) == was[-1]

    for minute in range(data.draw(st.integers(1, 15))):
        again()
        change = any_change(data.draw, job.record, now + timedelta(minutes=minute))
        if change is not None:
            job.make(change)
            was.append(copied(job.record.tables))
    start, end = was[0], was[-1]
    for then in reversed(was[:-1]):
        job.undo(now)
        assert copied(job.record.tables) == then
    job.close(now)
    job = desk.open(job.id)
    assert copied(job.record.tables) == start
    for then in was[1:]:
        job.redo(now)
        assert copied(job.record.tables) == then
    with pytest.raises(NotAllowed, match="nothing to redo"):
        job.redo(now)
    job.close(now)
    document = desk.give_out(job.id)
    assert copied(desk.open(job.id, writing=False).record.tables) == end
    elsewhere = Desk(tmp_path_factory.mktemp("elsewhere"))
    assert elsewhere.give_out(elsewhere.take_in(document, now)) == document


def module_section():
    from fractions import Fraction

    from crewdesk.trade.cuts.section import Section

    return Section(Fraction(8), Fraction(10))


def test_views_and_run_sheet_follow_every_change(job, now) -> None:
    sheet = RunSheet(job.record)
    before = sheet.total()
    job.make(ticks.tick(job.record, A, "rip-side", now))
    assert sheet.total().behind == before.behind + 1
    job.undo(now)
    assert sheet.total() == before
    job.redo(now)
    fresh = RunSheet(Record(job.record.tables))
    assert sheet.total() == fresh.total()
    assert sheet.batches() == fresh.batches()


@pytest.mark.parametrize("call", ["line", "fsync"])
def test_a_change_that_the_disk_does_not_take_is_not_made(
    desk, job, now, failing, copied, call
) -> None:
    before, seen = copied(job.record.tables), RunSheet(job.record).total()
    change = ticks.tick(job.record, A, "rip-side", now)
    with failing(call, code=ENOSPC) as hits, pytest.raises(NotSaved) as caught:
        job.make(change)
    assert hits
    assert str(caught.value) == (
        f"Not saved: {job.path.parent} says 'No space left on device'. Nothing was changed. "
        "Try again once that is fixed."
    )
    assert copied(job.record.tables) == before
    assert RunSheet(job.record).total() == seen
    assert copied(desk.open(job.id, writing=False).record.tables) == before
    # The same change goes in once there is room.
    job.make(change)
    job.undo(now)
    assert copied(job.record.tables) == before


@pytest.mark.parametrize(
    "call",
    [
        "open",
        "write",
        "fsync",
        "rename",
        pytest.param("fsync folder", marks=pytest.mark.unix("Windows opens no folder to sync it")),
    ],
)
def test_a_checkpoint_that_the_disk_does_not_take_loses_nothing(
    desk, job, now, failing, copied, call
) -> None:
    job.make(ticks.tick(job.record, A, "rip-side", now))
    want = copied(job.record.tables)
    with failing(call) as hits:
        job.close(now)
    assert hits
    again = desk.open(job.id)
    assert not again.read_only
    assert copied(again.record.tables) == want
    again.undo(now)
    again.close(now)


def test_a_change_that_was_saved_is_not_told_as_lost(job, now, monkeypatch, failing) -> None:
    # A checkpoint falls due with a change; that it fails is no matter of the change.
    monkeypatch.setattr(module, "WHOLE_AFTER", 1)
    change = ticks.tick(job.record, A, "rip-side", now)
    with failing("rename") as hits:
        number = job.make(change)
    assert hits
    assert len(job.history()) == number


def test_checkpoints_fall_due_by_themselves(desk, job, now, monkeypatch) -> None:
    monkeypatch.setattr(module, "WHOLE_AFTER", 4)
    before = job.path.read_bytes()
    job.make(beams.change_job(job.record, {"notes": "1"}, now))
    assert job.path.read_bytes() == before
    job.make(beams.change_job(job.record, {"notes": "2"}, now))
    assert job.path.read_bytes() != before
    job.make(beams.change_job(job.record, {"notes": "3"}, now))
    other = desk.open(job.id, writing=False)
    assert other.record.job.notes == "3"
    assert len(other.history()) == 6


def test_nothing_new_writes_no_new_checkpoint(desk, job, now, files) -> None:
    job.close(now)
    before = files(job.path.parent)
    desk.open(job.id).close(now + timedelta(days=1))
    desk.open(job.id, writing=False).close(now)
    assert files(job.path.parent) == before


def test_where_it_can_not_be_locked_it_is_read_only_and_says_so(
    desk, job, now, files, monkeypatch
) -> None:
    def refuse(*_, **__):
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr("filelock.FileLock.acquire", refuse)
        other = desk.open(job.id)
    assert other.read_only
    before = files(job.path.parent)
    for act in (
        lambda: other.make(ticks.tick(other.record, A, "rip-side", now)),
        lambda: other.undo(now),
        lambda: other.write_whole(now),
    ):
        with pytest.raises(ReadOnly) as caught:
            act()
        assert str(caught.value) == (
            f"{job.id} can't be locked (Permission denied), so it can only be read here. "
            "Nothing was changed."
        )
    other.close(now)
    assert files(job.path.parent) == before


def test_what_one_reads_stays_whole_while_another_writes(desk, job, now) -> None:
    reader = desk.open(job.id, writing=False)
    job.make(ticks.tick(job.record, A, "rip-side", now))
    job.close(now)
    assert len(reader.history()) == 3
    assert "rip-side" not in reader.record.beam("1").piece("A").steps


def test_a_closed_job_takes_no_change(job, now) -> None:
    change = ticks.tick(job.record, A, "rip-side", now)
    job.close(now)
    with pytest.raises(ReadOnly, match="was closed"):
        job.make(change)
    job.close(now)


def test_an_early_bad_line_stops_undo_and_nothing_else(desk, job, now, files) -> None:
    job.close(now)
    history = job.path.with_suffix(".history")
    sound = history.read_bytes()
    history.write_bytes(sound.replace(b"Ridge", b"Rudge"))
    again = desk.open(job.id)
    assert "Cross" in again.undo(now).what  # the line before is not needed for that
    for ask in (again.history, lambda: again.undo(now), lambda: again.undo(now)):
        with pytest.raises(Damaged, match="change 2 isn't as it was saved"):
            ask()
    # The next change goes behind what is there, not over it.
    again.make(ticks.tick(again.record, A, "rip-side", now))
    again.close(now)
    assert history.read_bytes().startswith(sound.replace(b"Ridge", b"Rudge"))
    assert "rip-side" in desk.open(job.id, writing=False).record.beam("1").piece("A").steps


@pytest.mark.unix("modes mean nothing on Windows")
def test_files_and_folders_are_the_user_s_alone(desk, job, now) -> None:
    job.make(ticks.tick(job.record, A, "rip-side", now))
    job.close(now)
    assert {one.suffix for one in job.path.parent.iterdir()} == {".json", ".1", ".history", ".lock"}
    assert {one.stat().st_mode & 0o777 for one in job.path.parent.iterdir()} == {0o600}
    assert desk.folder.stat().st_mode & 0o777 == 0o700
    assert desk.jobs_folder.stat().st_mode & 0o777 == 0o700
