"""Jobs put away, out of the list and found as ever; jobs removed, whole, and brought back."""

from datetime import timedelta

import pytest

from crewdesk.errors import NotSaved
from crewdesk.job.beams import beams
from crewdesk.job.put_away import put_away
from crewdesk.job.steps.ticks import Spot, tick
from crewdesk.job.sync.exchange import from_document, to_document
from crewdesk.job.time import clock
from crewdesk.store.desk import Desk
from crewdesk.store.put_away import (
    REMOVED,
    bring_removed_back,
    remove_job,
    removed_jobs,
    set_put_away,
)


@pytest.fixture
def hill(desk, job, now) -> str:
    """The job of the tests, closed: its id."""
    job.close(now)
    return job.id


def test_a_job_put_away_is_a_value_of_its_record(desk, hill, now, refusing) -> None:
    set_put_away(desk, hill, now, away=True)
    (listed,) = desk.jobs()
    assert listed.put_away
    # It is found, read and exported as ever.
    assert desk.find("Hill house") == hill
    record = desk.open(hill, writing=False).record
    assert record.job.put_away == now
    tables, _ = from_document(to_document(record.tables, []))
    assert tables["job"]["1"]["put_away"] == now.isoformat()
    assert "put away already" in refusing(set_put_away, desk, hill, now, away=True)
    # Undo takes it back, as any change.
    job = desk.open(hill)
    job.undo(now + timedelta(minutes=1))
    job.close(now + timedelta(minutes=1))
    assert not next(iter(desk.jobs())).put_away
    assert "isn't put away" in refusing(set_put_away, desk, hill, now, away=False)


def test_another_machine_sees_a_job_put_away(desk, hill, now) -> None:
    set_put_away(desk, hill, now, away=True)
    there = Desk(desk.folder, "there")
    assert next(iter(there.jobs())).put_away
    set_put_away(there, hill, now + timedelta(minutes=1), away=False)
    assert not next(iter(desk.jobs())).put_away


def test_its_clock_is_stopped_first(desk, hill, now, refusing) -> None:
    job = desk.open(hill)
    job.make(clock.start(job.record, "rip", now))
    assert "A clock is running on Rip in Hill house. Stop it first" in refusing(
        put_away, job.record, now
    )
    job.close(now)
    assert "Stop it first" in refusing(remove_job, desk, hill, now)
    assert desk.ids() == [hill]
    desk.stop_clock(hill, now + timedelta(hours=1))
    set_put_away(desk, hill, now + timedelta(hours=1), away=True)
    job = desk.open(hill)
    told = refusing(clock.start, job.record, "rip", now + timedelta(hours=2))
    assert "is put away" in told
    job.close(now)


def test_a_removed_job_lies_whole_in_removed_and_comes_back(desk, hill, now, refusing) -> None:
    before = {one.name: one.read_bytes() for one in (desk.jobs_folder / hill).iterdir()}
    name = remove_job(desk, hill, now)
    assert name == f"hill-house-{now:%Y-%m-%d-%H%M%S}"
    assert desk.ids() == []
    folder = desk.folder / REMOVED / name
    assert {one.name: one.read_bytes() for one in folder.iterdir()} == before
    assert [tuple(one) for one in removed_jobs(desk)] == [(name, "Hill house")]
    assert "There is no removed job cabin" in refusing(bring_removed_back, desk, "cabin")
    assert bring_removed_back(desk, "Hill house") == hill
    assert {one.name: one.read_bytes() for one in (desk.jobs_folder / hill).iterdir()} == before
    assert not removed_jobs(desk)
    # It goes on where it was.
    job = desk.open(hill)
    job.make(tick(job.record, Spot("1", "A"), "rip-side", now))
    job.close(now)


def test_two_removed_at_once_and_a_name_that_was_taken(desk, hill, now, record, refusing) -> None:
    first = remove_job(desk, hill, now)
    again = desk.create(beams.new_job("Hill house", record.job.section, now))
    assert again == hill
    second = remove_job(desk, again, now)
    assert second == f"{first}-2"
    assert {one.folder for one in removed_jobs(desk)} == {first, second}
    assert "more than one removed job" in refusing(bring_removed_back, desk, "hill house")
    assert bring_removed_back(desk, first) == hill
    assert bring_removed_back(desk, second) == "hill-house-2"
    assert len(desk.open("hill-house", writing=False).record.beams) == 2
    assert not desk.open("hill-house-2", writing=False).record.beams


def test_a_job_that_cannot_be_read_is_removed_too(desk, hill, now) -> None:
    for one in (desk.jobs_folder / hill).iterdir():
        one.write_bytes(b"x" * 40 + one.read_bytes()[40:])
    (listed,) = desk.jobs()
    assert listed.trouble
    name = remove_job(desk, hill, now)
    assert [one.folder for one in removed_jobs(desk)] == [name]
    assert list(desk.jobs()) == []


def test_what_is_open_elsewhere_says_that_it_can_not_be_saved(desk, hill, now) -> None:
    there = desk.open(hill)
    remove_job(desk, hill, now)
    change = tick(there.record, Spot("1", "A"), "rip-side", now)
    with pytest.raises(NotSaved):
        there.make(change)
    assert desk.ids() == []
