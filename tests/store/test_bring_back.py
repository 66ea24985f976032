"""A damaged job is brought back from the copy that loses least, and nothing is thrown away."""

import json
import os
from datetime import timedelta

import pytest

from crewdesk.errors import Damaged, NotSaved, ReadOnly
from crewdesk.job.beams import beams
from crewdesk.job.record import Record
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.store import checkpoint, recovery
from crewdesk.store.history_lines import History, copy_files
from crewdesk.store.integrity import check
from crewdesk.store.record_file import locked
from crewdesk.store.recovery import copies

A = Spot("1", "A")
STEPS = ("rip-side", "ease", "sand", "cleat-line", "tape")


@pytest.fixture
def worked(desk, job, now):
    """A job that was open on three days, closed; beside it its tables."""
    job.close(now)
    for day, step in enumerate(STEPS[:3], 1):
        opened = desk.open(job.id)
        opened.make(ticks.tick(opened.record, A, step, now + timedelta(days=day)))
        opened.close(now + timedelta(days=day))
    return job.path


def tables(desk, id_="hill-house"):
    return desk.open(id_, writing=False).record.tables


def spoil(path, at=-40):
    data = bytearray(path.read_bytes())
    data[at] ^= 1
    path.write_bytes(data)


def test_a_sound_history_loses_nothing(desk, worked, now, copied) -> None:
    want, document = copied(tables(desk)), desk.give_out("hill-house")
    spoil(worked)
    with pytest.raises(Damaged):
        desk.open("hill-house")
    copy = desk.bring_back("hill-house", now)
    assert (copy.changes, copy.until) == (6, now + timedelta(days=3))
    assert copied(tables(desk)) == want
    assert desk.give_out("hill-house") == document
    job = desk.open("hill-house")
    assert job.undo(now).what.startswith("checked off 'Sand")
    job.close(now)


def test_a_damaged_file_is_never_written_over(desk, worked, now, files, refusing) -> None:
    spoil(worked)
    before = files(worked.parent)
    refusing(desk.open, "hill-house")
    refusing(desk.give_out, "hill-house")
    # The list reads heads alone; it must not mend nor touch a thing.
    list(desk.jobs())
    assert files(worked.parent) == before
    desk.bring_back("hill-house", now)
    after = files(worked.parent)
    kept = after["here.json.damaged-20260302-073000"]
    assert kept == before["here.json"]
    assert {name: data for name, data in after.items() if ".json." in name}.items() >= {
        (name, data) for name, data in before.items() if ".json." in name
    }
    for one in worked.parent.glob("*damaged*"):
        if os.name != "nt":  # modes mean nothing on Windows
            assert one.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("spoiled", [1, 2, 3])
def test_older_copies_are_as_good_while_the_history_is_sound(
    desk, worked, now, copied, spoiled
) -> None:
    want = copied(tables(desk))
    for one in copy_files(worked.parent)[:spoiled]:
        spoil(one)
    desk.bring_back("hill-house", now)
    assert copied(tables(desk)) == want


def test_the_copies_tell_until_when_they_go(worked, now) -> None:
    spoil(worked.with_suffix(".history"), at=-5)
    (found,) = copies(worked, "job", Record)
    # The file itself stands behind the bad line, so all of it is there; only undo is not.
    assert (found.path.name, found.changes) == ("here.json", 6)
    assert found.until == now + timedelta(days=3)
    assert (found.lost(now.tzinfo), found.lost_history) == ("", True)
    spoil(worked)
    (found,) = copies(worked, "job", Record)
    assert (found.path.name, found.changes) == ("here.json.1", 5)
    assert found.until == now + timedelta(days=2)
    assert "1 change that can't be read" in found.lost(now.tzinfo)


def test_the_history_by_itself_brings_a_job_back(desk, worked, now, copied, refusing) -> None:
    want = copied(tables(desk))
    for one in copy_files(worked.parent):
        one.unlink()
    # It is still a job, and what is left leads to all of it.
    assert desk.ids() == ["hill-house"]
    assert copied(tables(desk)) == want
    worked.write_bytes(b"x")
    assert "isn't a crewdesk file" in next(iter(desk.jobs())).trouble
    assert "recovers it as of 2026-03-05" in refusing(desk.open, "hill-house")
    assert desk.bring_back("hill-house", now).path.name == "here.history"
    assert copied(tables(desk)) == want


def test_what_is_lost_is_told(desk, worked, now, refusing) -> None:
    job = desk.open("hill-house")
    for step in STEPS[3:]:
        job.make(ticks.tick(job.record, A, step, now + timedelta(days=4)))
    job.record = None
    history = worked.with_suffix(".history")
    lines = history.read_bytes().splitlines(keepends=True)
    spoiled = lines[-3].replace(b"done", b"dune")
    history.write_bytes(b"".join([*lines[:-3], spoiled, *lines[-2:]]))
    spoil(worked)
    told = refusing(desk.open, "hill-house")
    assert "`crewdesk restore hill-house` recovers it as of 2026-03-04" in told
    assert "(here.json.1), without 'checked off 'Mark the cleat line" in told
    assert "side A' of 2026-03-06 06:30, 'checked off 'Tape" in told
    assert told.endswith("and 1 change that can't be read.")


def test_what_a_newer_version_wrote_is_left(desk, worked, now, files, refusing) -> None:
    from hashlib import sha256

    data = worked.read_bytes()
    seal = json.loads(data)["sha256"].encode()
    bare = data.replace(b',"sha256":"' + seal + b'",\n', b"}\n").replace(
        b'"schema":%d' % checkpoint.SCHEMA, b'"schema":%d' % (checkpoint.SCHEMA + 1)
    )
    newer = b',"sha256":"' + sha256(bare).hexdigest().encode() + b'",\n'
    worked.write_bytes(bare.replace(b"}\n", newer, 1))
    before = files(worked.parent)
    for act in (desk.open, lambda id_: desk.bring_back(id_, now)):
        assert "a newer crewdesk wrote it" in refusing(act, "hill-house")
    assert files(worked.parent) == before


def test_with_both_damaged_what_can_be_read_is_brought_back(desk, worked, now) -> None:
    spoil(worked.with_suffix(".history"), at=-5)
    spoil(worked)
    copy = desk.bring_back("hill-house", now)
    assert copy.changes == 5
    steps = desk.open("hill-house", writing=False).record.beam("1").piece("A").steps
    assert list(steps) == ["rip-side", "ease"]
    job = desk.open("hill-house")
    job.make(ticks.tick(job.record, A, "sand", now))
    job.close(now)
    assert len(desk.open("hill-house").history()) == 6


def test_a_bad_line_after_the_last_checkpoint(desk, worked, now, files) -> None:
    job = desk.open("hill-house")
    for step in STEPS[3:]:
        job.make(ticks.tick(job.record, A, step, now + timedelta(days=4)))
    # As after a crash: no checkpoint, and the line before the last has gone bad.
    job.record = None
    job._unlock()
    history = worked.with_suffix(".history")
    lines = history.read_bytes().splitlines(keepends=True)
    history.write_bytes(b"".join([*lines[:-2], lines[-2].replace(b"done", b"dune"), lines[-1]]))
    before = files(worked.parent)
    with pytest.raises(Damaged, match="change 7 isn't as it was saved"):
        desk.open("hill-house")
    assert files(worked.parent) == before
    assert desk.bring_back("hill-house", now).changes == 6
    steps = desk.open("hill-house", writing=False).record.beam("1").piece("A").steps
    assert list(steps) == list(STEPS[:3])
    # What could not be used is still there to be looked at.
    assert before["here.history"] in files(worked.parent).values()


@pytest.mark.parametrize("how", ["gone", "short", "early"])
def test_a_history_that_is_lost_costs_undo_alone(desk, worked, now, copied, refusing, how) -> None:
    """Nothing is asked where the files are sound and disagree: what stands in the whole file
    and not in the history is one change from then on."""
    want = copied(tables(desk))
    history = worked.with_suffix(".history")
    if how == "gone":
        history.unlink()
    elif how == "short":
        history.write_bytes(history.read_bytes()[:200])
    else:
        spoil(history, at=50)
        spoil(worked)
        with pytest.raises(Damaged):
            desk.open("hill-house")
        desk.bring_back("hill-house", now)
    assert copied(tables(desk)) == want
    job = desk.open("hill-house")
    assert "nothing to undo" in refusing(job.undo, now)
    job.make(ticks.tick(job.record, A, "cleat-line", now))
    job.close(now)
    assert copied(tables(desk)) != want
    job = desk.open("hill-house")
    job.make(ticks.tick(job.record, A, "tape", now))
    job.undo(now)
    job.close(now)
    assert all(one.sound for one in check(desk))


@pytest.mark.parametrize("what", [recovery.WHOLE, "took in what a whole copy had more"])
def test_a_history_begun_anew_is_known_by_older_words_too(
    desk, worked, now, monkeypatch, what
) -> None:
    spoil(worked.with_suffix(".history"), at=50)
    spoil(worked)
    with monkeypatch.context() as patched:
        patched.setattr(recovery, "WHOLE", what)
        desk.bring_back("hill-house", now)
    assert [one.what for one in desk.open("hill-house", writing=False).history()] == [what]
    spoil(worked)
    (found,) = copies(worked, "job", Record)
    assert found.lost_history


def test_a_sound_tail_counts_though_the_history_before_it_is_broken(
    desk, worked, now, copied
) -> None:
    job = desk.open("hill-house")
    job.make(ticks.tick(job.record, A, "cleat-line", now))
    want = copied(job.record.tables)
    job._unlock()
    spoil(worked.with_suffix(".history"), at=50)
    # The tail is sound, so the job opens as it is; then its file goes bad as well.
    assert copied(tables(desk)) == want
    spoil(worked)
    desk.bring_back("hill-house", now)
    assert copied(tables(desk)) == want


def test_what_is_sound_is_not_brought_back(desk, worked, now, files, refusing) -> None:
    before = files(worked.parent)
    assert "nothing to recover" in refusing(desk.bring_back, "hill-house", now)
    assert "There is no job other" in refusing(desk.bring_back, "other", now)
    assert files(worked.parent) == before


def test_where_no_copy_can_be_read_all_is_left(desk, worked, now, files, refusing) -> None:
    for one in copy_files(worked.parent):
        spoil(one)
    spoil(worked.with_suffix(".history"), at=50)
    before = files(worked.parent)
    assert "No kept copy" in refusing(desk.bring_back, "hill-house", now)
    assert files(worked.parent) == before


def test_twice_in_a_second_keeps_both_damaged_files(desk, worked, now) -> None:
    for at in (-40, -41):
        spoil(worked, at)
        desk.bring_back("hill-house", now)
    assert len(list(worked.parent.glob("here.json.damaged-*"))) == 2


def test_a_job_that_is_being_saved_elsewhere_is_not_brought_back(
    desk, job, now, files, monkeypatch
) -> None:
    spoil(job.path)
    before = files(job.path.parent)
    with locked(job.path), pytest.raises(ReadOnly):
        desk.bring_back(job.id, now)
    assert files(job.path.parent) == before


@pytest.mark.parametrize("call", ["write", "fsync", "rename", "truncate"])
@pytest.mark.parametrize("nth", [1, 2])
@pytest.mark.parametrize("early", [False, True])
def test_a_fault_while_bringing_back_loses_nothing(
    desk, worked, now, copied, failing, call, nth, early
) -> None:
    want = copied(tables(desk))
    spoil(worked)
    if early:
        spoil(worked.with_suffix(".history"), at=50)
        want = None
    with failing(call, nth) as hits:
        try:
            desk.bring_back("hill-house", now)
        except NotSaved:
            assert hits
    try:
        brought = copied(tables(desk))
    except Damaged:
        desk.bring_back("hill-house", now)
        brought = copied(tables(desk))
    if want is not None:
        assert brought == want
    else:
        # Day two's copy is the newest that is sound, and its tail was sound too.
        assert set(brought["beams"]["1"]["pieces"]["A"]["steps"]) == set(STEPS[:3])


def test_the_list_tells_what_was_brought_back(desk, worked, now) -> None:
    job = desk.open("hill-house")
    job.make(beams.change_job(job.record, {"name": "Hill house two"}, now))
    job.close(now)
    spoil(worked)
    desk.bring_back("hill-house", now)
    (listed,) = desk.jobs()
    assert (listed.name, listed.trouble) == ("Hill house two", "")


@pytest.mark.parametrize("nth", range(1, 6))
def test_a_history_that_is_not_given_for_a_moment_is_not_written_over(
    desk, worked, now, copied, refusing, monkeypatch, nth
) -> None:
    """The disk refuses one reading of the history, the first, the second and so on."""
    want = copied(tables(desk))
    spoil(worked)
    there, reads = worked.with_suffix(".history").read_bytes(), [0]

    def once(path, real=History.read):
        reads[0] += 1
        if reads[0] == nth:
            raise Damaged(path, "the system says 'Input/output error'")
        return real(path)

    with monkeypatch.context() as patched:
        patched.setattr(History, "read", staticmethod(once))
        if nth == 1:
            assert "can't be read now. Nothing was changed" in refusing(
                desk.bring_back, "hill-house", now
            )
            assert worked.with_suffix(".history").read_bytes() == there
        else:
            desk.bring_back("hill-house", now)
    if nth == 1:
        desk.bring_back("hill-house", now)
    assert copied(tables(desk)) == want
