"""Two programs at one job, and two machines whose folder is synced by something else."""

import os
import shutil
from datetime import timedelta
from fractions import Fraction

import pytest

from crewdesk.job import beams, take, ticks, unsettled
from crewdesk.job.books.materials import typed_material
from crewdesk.job.record import Record
from crewdesk.job.ticks import Spot
from crewdesk.store.books import issue
from crewdesk.store.bring_back import copies
from crewdesk.store.desk import Desk
from crewdesk.store.trouble import Damaged, NotSaved

A, B = Spot("1", "A"), Spot("1", "B")


def note(job, now, **fields):
    job.make(beams.change_job(job.record, fields, now))


def tick(job, spot, now, step="rip-side"):
    job.make(ticks.tick(job.record, spot, step, now))


def steps(job, spot):
    return [*job.record.beam(spot.beam).piece(spot.piece).steps]


def replayed(job):
    """The record as its history alone leads to it."""
    record = Record({})
    for change in job.history():
        record.make(change)
    return record.tables


@pytest.fixture
def two(desk, job, now):
    """The same job, open in two programs."""
    other = desk.open(job.id)
    yield job, other
    other.close(now)


@pytest.fixture
def laptops(desk, job, now, tmp_path):
    """The same job on two machines; gives the two desks."""
    job.close(now)
    shutil.copytree(desk.folder, tmp_path / "other")
    return desk, Desk(tmp_path / "other")


def sync(source: Desk, target: Desk, how: str = "renamed") -> None:
    """Put one machine's files in the other's folder, as programs that sync folders do."""
    for one in source.jobs_folder.iterdir():
        if one.suffix == ".lock":
            continue
        there = target.jobs_folder / one.name
        if how == "in place":
            there.write_bytes(one.read_bytes())
        else:
            coming = there.with_name("." + one.name + ".tmp")
            coming.write_bytes(one.read_bytes())
            coming.replace(there)


def test_what_the_other_saved_is_seen_before_mine_is(two, now, copied) -> None:
    mine, other = two
    tick(other, B, now)
    tick(mine, A, now)
    assert steps(mine, B) == steps(mine, A) == ["rip-side"]
    assert [change.what for change in mine.came] == [other.history()[-1].what]
    assert other.came == []
    other.look()
    assert steps(other, A) == ["rip-side"]
    assert copied(other.record.tables) == copied(mine.record.tables) == copied(replayed(mine))


def test_a_view_that_was_read_before_follows(two, now) -> None:
    mine, other = two
    before = mine.record.beam("1"), mine.record.beam("2")
    tick(other, A, now)
    mine.look()
    assert mine.record.beam("1") is not before[0]
    assert mine.record.beam("2") is before[1]


def test_where_both_change_one_thing_both_are_kept(desk, two, now, copied) -> None:
    mine, other = two
    for one, length in ((other, "12' 3 1/8"), (mine, "12' 3 1/4")):
        reading = take.typed_reading(one.record, "run", length, now)
        one.make(take.take(one.record, A, "run", reading))
    assert str(mine.record.beam("1").piece("A").latest("run").value) == "1177/8"
    (kept,) = unsettled.unsettled(mine.record)
    other.look()
    assert unsettled.unsettled(other.record) == (kept,)
    # The other user chooses; here it is seen, and can be undone there.
    other.make(unsettled.put_in(other.record, kept.row, now))
    mine.look()
    assert str(mine.record.beam("1").piece("A").latest("run").value) == "589/4"
    assert unsettled.unsettled(mine.record) == ()
    other.undo(now)
    mine.look()
    assert unsettled.unsettled(mine.record) == (kept,)
    assert copied(replayed(mine)) == copied(mine.record.tables)
    assert desk.take_in(desk.give_out(mine.id), now) == "hill-house-2"


def test_undo_takes_back_what_was_done_here(two, now, refusing) -> None:
    mine, other = two
    tick(mine, A, now)
    tick(other, B, now)
    mine.look()
    assert mine.undo(now).what.endswith("side A")
    assert (steps(mine, A), steps(mine, B)) == ([], ["rip-side"])
    assert mine.redo(now).what.endswith("side A")
    # What the other's later step rests on is not taken away under it.
    other.look()
    tick(other, A, now, "ease")
    mine.look()
    assert "too early" in refusing(mine.undo, now)
    other.undo(now)
    mine.look()
    mine.undo(now)
    assert (steps(mine, A), steps(mine, B)) == ([], ["rip-side"])


def test_all_of_it_undone_by_turns(two, now, copied) -> None:
    start = copied(two[0].record.tables)
    for minute in range(6):
        one = two[minute % 2]
        one.look()
        tick(one, Spot(str(1 + minute % 2), ("A", "B", "bottom")[minute // 2]), now, step(minute))
    assert len(two[0].history()) == 8
    for minute in range(6):
        one = two[minute % 2]
        one.look()
        one.undo(now)
    two[0].look()
    assert copied(two[0].record.tables) == start
    for minute in range(6):
        two[minute % 2].look()
        two[minute % 2].redo(now)
    two[0].look()
    assert len(two[0].history()) == 21
    assert copied(replayed(two[0])) == copied(two[0].record.tables) == copied(two[1].record.tables)


def step(minute):
    return "rip-side" if minute < 4 else "rip-bottom"


def test_what_waits_is_brought_together_too(two, now, failing) -> None:
    mine, other = two
    mine.holding = True
    with failing("pwrite"):
        for text in ("one", "two"):
            with pytest.raises(NotSaved):
                note(mine, now, notes=text)
    note(other, now, site="theirs", notes="theirs")
    tick(other, A, now)
    assert [change.what for change in mine.waiting] == ["changed what is true of the job"] * 2
    mine.save()
    assert mine.waiting == ()
    assert (mine.record.job.site, mine.record.job.notes) == ("theirs", "theirs")
    (kept,) = unsettled.unsettled(mine.record)
    assert dict(kept.places) == {("job", "1", "notes"): "two"}
    assert steps(mine, A) == ["rip-side"]


def test_a_history_with_more_in_it_takes_the_place(laptops, now) -> None:
    here, there = laptops
    job, other = here.open("hill-house"), there.open("hill-house")
    tick(other, B, now)
    other.close(now)
    sync(there, here)
    tick(job, A, now)
    assert steps(job, A) == steps(job, B) == ["rip-side"]
    job.close(now)
    again = here.open("hill-house", writing=False)
    assert len(again.history()) == 5


@pytest.mark.parametrize("how", ["renamed", "in place"])
@pytest.mark.parametrize("waiting", [False, True])
def test_a_history_that_parted_takes_the_place(laptops, now, copied, how, waiting, failing) -> None:
    here, there = laptops
    job, other = here.open("hill-house"), there.open("hill-house")
    tick(job, A, now)
    note(job, now, notes="mine")
    for minute in (1, 2):
        tick(other, Spot(str(minute), "B"), now + timedelta(minutes=minute))
    note(other, now, notes="theirs", site="theirs")
    other.close(now)
    job.holding = True
    if waiting:
        with failing("pwrite"), pytest.raises(NotSaved):
            note(job, now, customer="Bo")
    sync(there, here, how)
    # The second acknowledged change of mine is in nobody's file any more, only here.
    job.look()
    assert steps(job, A) == steps(job, B) == ["rip-side"]
    assert (job.record.job.notes, job.record.job.site) == ("theirs", "theirs")
    assert (job.record.job.customer == "Bo") == waiting
    (kept,) = unsettled.unsettled(job.record)
    assert dict(kept.places) == {("job", "1", "notes"): "mine"}
    assert copied(replayed(job)) == copied(job.record.tables)
    tick(job, A, now, "ease")
    assert job.undo(now).what.startswith("ticked 'Ease")
    job.close(now)
    # What was brought together comes back to the other machine as something newer.
    sync(here, there)
    assert copied(there.open("hill-house").record.tables) == copied(job.record.tables)


def test_what_was_there_before_it_was_opened_is_not_lost_either(laptops, now) -> None:
    here, there = laptops
    job = here.open("hill-house")
    tick(job, A, now)
    job.close(now)
    other = there.open("hill-house")
    tick(other, B, now)
    other.close(now)
    job = here.open("hill-house")
    sync(there, here)
    note(job, now, notes="later")
    assert steps(job, A) == steps(job, B) == ["rip-side"]
    job.close(now)


def test_a_history_that_is_gone_is_written_again(desk, job, now, copied) -> None:
    tick(job, A, now)
    want = copied(job.record.tables)
    job.path.with_suffix(".history").unlink()
    job.look()
    assert copied(job.record.tables) == want
    job.close(now)
    again = desk.open(job.id)
    assert copied(again.record.tables) == want
    assert len(again.history()) == 4


def test_a_history_of_another_job_is_not_written_into(desk, job, now) -> None:
    job.holding = True
    tick(job, A, now)
    desk.create(beams.new_job("Mill", job.record.job.section, now))
    history = job.path.with_suffix(".history")
    sound = history.read_bytes()
    seconds = iter(range(1_800_000_000, 1_900_000_000))
    strange = (desk.jobs_folder / "mill.history").read_bytes()
    for bad in (strange, b"not a history\n" * 9, sound[:-9] + b"#######}\n"):
        history.write_bytes(bad)
        os.utime(history, (later := next(seconds), later))  # a clock tick can be 4 ms long
        for act in (lambda: tick(job, B, now), job.save):
            with pytest.raises(Damaged):
                act()
        assert history.read_bytes() == bad
        assert len(job.waiting) == 1
        history.write_bytes(sound)
        job.save()
        assert steps(job, B) == ["rip-side"]
        job.undo(now)
        sound = history.read_bytes()


NAMES = (
    "hill-house (Ada's conflicted copy 2026-03-02){}",
    "hill-house.sync-conflict-20260302-073000-ABCDEFG{}",
    "hill-house-LAPTOP7{}",
    "hill-house 2{}",
    "hill-house~20260302-1{}",
)


@pytest.mark.parametrize("name", NAMES)
def test_copies_that_a_sync_leaves_are_taken_in(laptops, now, copied, name) -> None:
    here, there = laptops
    job, other = here.open("hill-house"), there.open("hill-house")
    tick(job, A, now)
    note(job, now, notes="mine")
    tick(other, B, now)
    note(other, now, notes="theirs")
    job.close(now)
    other.close(now)
    for suffix in (".history", ".json"):
        copy = here.jobs_folder / name.format(suffix)
        shutil.copy(there.jobs_folder / f"hill-house{suffix}", copy)
    assert here.ids() == ["hill-house"]
    assert steps(here.open("hill-house", writing=False), B) == []
    job = here.open("hill-house")
    assert [one.what for one in job.came] == [
        other_what(other, B),
        "kept apart: changed what is true of the job",
    ]
    assert steps(job, A) == steps(job, B) == ["rip-side"]
    assert job.record.job.notes == "mine"
    assert len(unsettled.unsettled(job.record)) == 1
    assert copied(replayed(job)) == copied(job.record.tables)
    assert [one for one in here.jobs_folder.iterdir() if one.name == name.format(".json")] == []
    assert len([*here.jobs_folder.glob("*.merged-*")]) == 2
    job.close(now)
    assert here.ids() == ["hill-house"]
    # The same copy once more brings nothing new.
    shutil.copy(there.jobs_folder / "hill-house.history", here.jobs_folder / "hill-house 9.history")
    before = len(job_history(here))
    assert here.open("hill-house").came == []
    assert len(job_history(here)) == before


def other_what(job, spot):
    return f"ticked 'Rip to width' on Great room Ridge side {spot.piece}"


def job_history(desk):
    return desk.open("hill-house", writing=False).history()


def test_both_machines_bring_the_same_together(laptops, now) -> None:
    here, there = laptops
    job, other = here.open("hill-house"), there.open("hill-house")
    tick(job, A, now)
    note(job, now, notes="mine")
    tick(other, B, now)
    note(other, now, notes="theirs")
    job.close(now)
    other.close(now)
    # The sync takes this machine's file for both, and the other's as a copy on both.
    shutil.copy(there.jobs_folder / "hill-house.history", here.jobs_folder / "hill-house 2.history")
    sync(here, there)
    texts = set()
    for desk in laptops:
        desk.open("hill-house").close(now)
        texts.add((desk.jobs_folder / "hill-house.history").read_bytes())
    assert len(texts) == 1


def test_a_copy_that_can_not_be_read_or_is_none_stays(desk, job, now, files) -> None:
    job.close(now)
    other = desk.create(beams.new_job("Mill", job.record.job.section, now))
    sound = job.path.with_suffix(".history").read_bytes()
    for name, data in (
        ("hill-house 2.history", sound[:900] + b"?" + sound[901:]),
        ("hill-house 3.history", desk.path(other).with_suffix(".history").read_bytes()),
        ("hill-house 4.json", b"{}"),
        ("hill-house 5.json", desk.path(other).read_bytes()),
    ):
        (desk.jobs_folder / name).write_bytes(data)
    before = files(desk.jobs_folder)
    again = desk.open("hill-house")
    assert again.came == []
    again.close(now)
    assert files(desk.jobs_folder) == before


def test_a_whole_file_of_another_machine_with_a_history_of_this_one(laptops, now) -> None:
    # As when the sync is only half through: nothing is mixed, and both can be had.
    here, there = laptops
    job, other = here.open("hill-house"), there.open("hill-house")
    tick(job, A, now)
    job.close(now)
    tick(other, B, now)
    other.close(now)
    shutil.copy(there.jobs_folder / "hill-house.json", here.jobs_folder / "hill-house.json")
    with pytest.raises(Damaged, match="it has another change 4"):
        here.open("hill-house")
    assert {one.changes for one in copies(here.path("hill-house"), "job")} == {4}
    shutil.copy(there.jobs_folder / "hill-house.history", here.jobs_folder)
    assert steps(here.open("hill-house"), B) == ["rip-side"]


def test_the_shop_on_two_machines(desk, now, tmp_path) -> None:
    desk.shop.change(now, name="Quill Beams")
    shutil.copytree(desk.folder, tmp_path / "other")
    other = Desk(tmp_path / "other")
    desk.shop.change(now, hour="85")
    other.shop.change(now, tax="7.5", name="Quill & Daughter")
    shutil.copy(other.folder / "shop.history", desk.folder / "shop (conflicted copy).history")
    desk.shop.change(now, who="Ada")
    shop = desk.shop.shop()
    assert (str(shop.hour), str(shop.tax), shop.name, shop.who) == (
        "85.00",
        "7.5",
        "Quill & Daughter",
        "Ada",
    )


def test_one_number_given_twice_on_two_machines(desk, job, now, tmp_path, refusing) -> None:
    """Both issued the first invoice: one stands, the other is kept and told, never dropped."""
    desk.shop.change(now, name="Quill Beams", hour="85")
    job.make(typed_material(job.record, "Oak boards", "10", "45", now))
    for row in "12":
        job.make(beams.change_beam(job.record, row, {"rough": Fraction(150)}, now))
    job.close(now)
    shutil.copytree(desk.folder, tmp_path / "other")
    other = Desk(tmp_path / "other")
    numbers = []
    for one, day in ((desk, 0), (other, 1)):
        record = one.open(job.id, writing=False).record
        numbers.append(issue(one, job.id, record, now + timedelta(days=day)).document.number)
    assert numbers == [1, 1]
    shutil.copy(other.folder / "shop.history", desk.folder / "shop (conflicted copy).history")
    desk.shop.change(now, who="Ada")
    books = desk.shop.record()
    assert [one.number for one in books.trail] == [1]
    (kept,) = unsettled.unsettled(books)
    assert kept.places[0][0][0] == "documents"
    # What was issued can't be exchanged for the other, only left.
    said = refusing(desk.shop.make, lambda rec, at: unsettled.put_in(rec, kept.row, at), now)
    assert "was issued and can't be changed" in said
    desk.shop.make(lambda rec, at: unsettled.leave(rec, kept.row, at), now)
    assert unsettled.unsettled(desk.shop.record()) == ()
