"""Two programs at one job, and two machines whose folder is synced by something else."""

import os
import random
import shutil
from contextlib import suppress
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest

from crewdesk.errors import Damaged, NotSaved
from crewdesk.job.beams import beams, take
from crewdesk.job.books.documents import credit_invoice, issue_invoice
from crewdesk.job.books.job_lists import typed_material
from crewdesk.job.books.ledger import Letterhead
from crewdesk.job.books.payments import pay
from crewdesk.job.change import Change, edit
from crewdesk.job.record import Record
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.sync import conflicts as unsettled
from crewdesk.paper.documents.invoice import invoice_letter
from crewdesk.store import checkpoint
from crewdesk.store import desk as store_desk
from crewdesk.store.books import issue
from crewdesk.store.desk import Desk
from crewdesk.store.integrity import check
from crewdesk.trade.books.invoice import Credit, Draft
from crewdesk.trade.books.invoice_lines import Line

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
    return desk, Desk(tmp_path / "other", "there")


def sync(source: Desk, target: Desk, how: str = "renamed") -> None:
    """Put one machine's files in the other's folder, as programs that sync folders do."""
    for one in sorted(source.folder.rglob(f"{source.machine}.*")):
        if one.suffix == ".lock":
            continue
        there = target.folder / one.relative_to(source.folder)
        there.parent.mkdir(exist_ok=True)
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
    with failing("line"):
        for text in ("one", "two"):
            with pytest.raises(NotSaved):
                note(mine, now, notes=text)
    note(other, now, site="theirs", notes="theirs")
    tick(other, A, now)
    assert [change.what for change in mine.waiting] == ["changed the job settings"] * 2
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
@pytest.mark.parametrize("first", ["here", "there"])
def test_a_history_that_parted_comes(laptops, now, copied, how, waiting, failing, first) -> None:
    here, there = laptops
    job, other = here.open("hill-house"), there.open("hill-house")
    began = {"here": 0, "there": 5}[first]
    tick(job, A, now + timedelta(minutes=began))
    note(job, now + timedelta(minutes=6), notes="mine")
    for minute in (1, 2):
        tick(other, Spot(str(minute), "B"), now + timedelta(minutes=minute))
    note(other, now + timedelta(minutes=3), notes="theirs", site="theirs")
    other.close(now)
    job.holding = True
    if waiting:
        with failing("line"), pytest.raises(NotSaved):
            note(job, now, customer="Bo")
    sync(there, here, how)
    job.look()
    assert steps(job, A) == steps(job, B) == ["rip-side"]
    # The one that was begun first stands, whoever puts them together.
    notes, kept_notes = {"here": ("mine", "theirs"), "there": ("theirs", "mine")}[first]
    assert (job.record.job.notes, job.record.job.site) == (
        notes,
        "" if first == "here" else "theirs",
    )
    assert (job.record.job.customer == "Bo") == waiting
    (kept,) = unsettled.unsettled(job.record)
    assert dict(kept.places)["job", "1", "notes"] == kept_notes
    assert copied(replayed(job)) == copied(job.record.tables)
    tick(job, A, now, "ease")
    assert job.undo(now).what.startswith("checked off 'Ease")
    job.close(now)
    # What was brought together comes back to the other machine as something newer, and its
    # own history is the same then, to the byte.
    sync(here, there)
    there.open("hill-house").close(now)
    assert copied(there.open("hill-house").record.tables) == copied(job.record.tables)
    mine = here.path("hill-house").with_suffix(".history").read_bytes()
    assert there.path("hill-house").with_suffix(".history").read_bytes() == mine


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
    # What led there is gone with it: one change stands for all of it.
    assert [one.what for one in again.history()] == ["merged what a whole copy had more"] * 2


def test_a_history_of_another_job_is_not_written_into(desk, job, now) -> None:
    job.holding = True
    tick(job, A, now)
    desk.create(beams.new_job("Mill", job.record.job.section, now))
    history = job.path.with_suffix(".history")
    sound = history.read_bytes()
    seconds = iter(range(1_800_000_000, 1_900_000_000))
    strange = desk.path("mill").with_suffix(".history").read_bytes()
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
    "there (Ada's conflicted copy 2026-03-02){}",
    "there.sync-conflict-20260302-073000-ABCDEFG{}",
    "there-LAPTOP7{}",
    "there 2{}",
    "there~20260302-1{}",
)


@pytest.mark.parametrize("name", NAMES)
def test_copies_that_a_sync_leaves_are_taken_in(laptops, now, copied, name, files) -> None:
    here, there = laptops
    job, other = here.open("hill-house"), there.open("hill-house")
    tick(job, A, now)
    note(job, now, notes="mine")
    tick(other, B, now + timedelta(minutes=1))
    note(other, now, notes="theirs")
    job.close(now)
    other.close(now)
    folder = job.path.parent
    for suffix in (".history", ".json"):
        shutil.copy(other.path.with_suffix(suffix), folder / name.format(suffix))
    before = files(folder)
    # Reading takes them in as changing does, and writes nothing.
    assert steps(here.open("hill-house", writing=False), B) == ["rip-side"]
    assert files(folder) == before
    job = here.open("hill-house")
    assert steps(job, A) == steps(job, B) == ["rip-side"]
    assert job.record.job.notes == "mine"
    assert len(unsettled.unsettled(job.record)) == 1
    assert copied(replayed(job)) == copied(job.record.tables)
    job.close(now)
    assert here.ids() == ["hill-house"]
    assert all(one.sound for one in check(here))
    # The same copy once more brings nothing new.
    shutil.copy(other.path.with_suffix(".history"), folder / "there 9.history")
    before = len(job_history(here))
    here.open("hill-house").close(now)
    assert len(job_history(here)) == before


def job_history(desk):
    return desk.open("hill-house", writing=False).history()


def test_both_machines_bring_the_same_together(laptops, now) -> None:
    here, there = laptops
    for desk, spot, minute, text in ((here, A, 2, "mine"), (there, B, 1, "theirs")):
        job = desk.open("hill-house")
        tick(job, spot, now + timedelta(minutes=minute))
        note(job, now + timedelta(minutes=minute), notes=text)
        job.close(now)
    # Each has both, and puts them together by itself.
    shutil.copytree(there.folder, there.folder.with_name("before"))
    sync(here, there)
    sync(Desk(there.folder.with_name("before"), "there"), here)
    texts = set()
    for desk in laptops:
        desk.open("hill-house").close(now)
        texts.add(desk.path("hill-house").with_suffix(".history").read_bytes())
        assert len(unsettled.unsettled(desk.open("hill-house").record)) == 1
    assert len(texts) == 1


def test_a_copy_that_can_not_be_read_or_is_none_stays(desk, job, now, files) -> None:
    job.close(now)
    other = desk.create(beams.new_job("Mill", job.record.job.section, now))
    sound = job.path.with_suffix(".history").read_bytes()
    folder = job.path.parent
    for name, data in (
        ("there 2.history", sound[:900] + b"?" + sound[901:]),
        ("there 3.history", desk.path(other).with_suffix(".history").read_bytes()),
        ("there 4.json", b"{}"),
        ("there 5.json", desk.path(other).read_bytes()),
    ):
        (folder / name).write_bytes(data)
    before = files(folder)
    again = desk.open("hill-house")
    assert again.came == []
    again.close(now)
    after = files(folder)
    assert all(after[name] == before[name] for name in before if name.startswith("there"))
    assert after["here.history"] == before["here.history"]
    told = {one.path.name: one.told for one in check(desk) if one.path.name.startswith("there")}
    assert "isn't as it was saved" in told["there 2.history"]
    assert "another job" in told["there 3.history"]


@pytest.mark.parametrize("seed", range(9))
def test_of_each_file_one_machine_s_is_taken(laptops, now, seed, copied) -> None:
    """As an older crewdesk shared one file of each sort, and the sync drew a winner for each:
    nothing that any of the files holds is lost, and nothing is asked."""
    here, there = laptops
    chance = random.Random(seed)
    job, other = here.open("hill-house"), there.open("hill-house")
    tick(job, A, now)
    tick(job, Spot("2", "A"), now)
    job.close(now)
    tick(other, B, now)
    other.close(now)
    where = here.jobs_folder / "hill-house"
    kept = {
        name: chance.choice((job, other)).path.with_suffix(suffix).read_bytes()
        for name, suffix in (("hill-house.json", ".json"), ("hill-house.history", ".history"))
    }
    ticked = {"A", "2A"} if job.path.read_bytes() in kept.values() else set()
    ticked |= (
        {"A", "2A"} if job.path.with_suffix(".history").read_bytes() in kept.values() else set()
    )
    for suffix in (".json", ".history"):
        ticked |= {"B"} if other.path.with_suffix(suffix).read_bytes() in kept.values() else set()
    shutil.rmtree(where)
    where.mkdir()
    for name, data in kept.items():
        (where / name).write_bytes(data)
    # Up to schema 3 a whole file named no other history that it holds.
    whole = checkpoint.read(where / "hill-house.json", "job")
    bare = whole._replace(head=whole.head._replace(holds=()))
    (where / "hill-house.json").write_bytes(checkpoint.pack(bare))
    found = here.open("hill-house")
    for key, spot in (("A", A), ("2A", Spot("2", "A")), ("B", B)):
        assert steps(found, spot) == (["rip-side"] if key in ticked else [])
    assert copied(replayed(found)) == copied(found.record.tables)
    found.close(now)
    assert all(one.sound for one in check(here))


def test_the_shop_on_two_machines(desk, now, tmp_path) -> None:
    desk.shop.change(now, name="Quill Beams")
    shutil.copytree(desk.folder, tmp_path / "other")
    other = Desk(tmp_path / "other", "there")
    desk.shop.change(now, hour="85")
    other.shop.change(now + timedelta(1), tax="7.5", name="Quill & Daughter")
    sync(other, desk)
    assert str(desk.shop.shop().tax) == "7.5"
    desk.shop.change(now, who="Ada")
    shop = desk.shop.shop()
    assert (str(shop.hour), str(shop.tax), shop.name, shop.who) == (
        "85.00",
        "7.5",
        "Quill & Daughter",
        "Ada",
    )


def test_one_number_given_twice_on_two_machines(desk, job, now, tmp_path) -> None:
    """Both issued the first invoice: one stands, the other is kept and told, never dropped."""
    desk.shop.change(now, name="Quill Beams", hour="85")
    job.make(typed_material(job.record, "Oak boards", "10", "45", now))
    for row in "12":
        job.make(beams.change_beam(job.record, row, {"rough": Fraction(150)}, now))
    job.close(now)
    shutil.copytree(desk.folder, tmp_path / "other")
    other = Desk(tmp_path / "other", "there")
    numbers = []
    for one, day in ((desk, 0), (other, 1)):
        record = one.open(job.id, writing=False).record
        numbers.append(issue(one, job.id, record, now + timedelta(days=day)).document.number)
    assert numbers == [1, 1]
    paid = {}
    for one, name, amount in ((desk, "here", "11.00"), (other, "there", "22.00")):
        act = lambda r, at, a=amount, n=name: pay(r, 1, Decimal(a), at.date(), at, note=n)  # noqa: E731
        one.shop.make(act, now + timedelta(days=2))
        cut = tuple(Decimal(0) for _ in one.shop.record().left_of(1)[1:])
        credit = lambda r, at, c=cut, n=name: credit_invoice(  # noqa: E731
            r, 1, n, at.date(), at, amounts=(Decimal("1.00"), *c)
        )
        one.shop.make(credit, now + timedelta(days=2))
        paid[name] = one.shop.record().headed(1)
    sync(other, desk)
    # Reading takes it in too: the one issued second has the next free number, and what was paid
    # and credited on it went along.
    books = desk.shop.record()
    assert [one.number for one in books.trail] == [1, 2, 3, 4]
    assert unsettled.unsettled(books) == ()
    assert (books.headed(1), books.headed(3).was) == (paid["here"], (1,))
    assert books.headed(3).document.draft == paid["there"].document.draft
    assert {(one.note, one.invoice) for one in books.payments} == {("here", 1), ("there", 3)}
    assert [(one.of, one.reason) for one in books.trail if isinstance(one, Credit)] == [
        (1, "here"),
        (3, "there"),
    ]
    letter = invoice_letter(books.headed(3), books, now.date(), preview=False)
    assert ("First sent as", "number 1") in letter.facts
    told = [one.what for one in desk.shop.history() if "because another computer" in one.what]
    assert "number 1 is number 3 now" in told[0]
    # The machine that gave the number first keeps it; the other takes the new one over.
    desk.shop.change(now, who="Ada")
    sync(desk, other)
    assert other.shop.record().tables == desk.shop.record().tables
    assert all(one.sound for place in (desk, other) for one in check(place))


def test_two_jobs_of_one_name_begun_on_two_machines(tmp_path, record, now, files) -> None:
    desks = [Desk(tmp_path / name, name) for name in ("here", "there")]
    for minute, desk in enumerate(desks):
        at = now + timedelta(minutes=minute)
        id_ = desk.create(beams.new_job("Hill house", record.job.section, at))
        job = desk.open(id_)
        note(job, at, notes=f"of {desk.machine}")
        job.close(at)
    for _ in range(2):
        sync(desks[0], desks[1])
        sync(desks[1], desks[0])
        for desk in desks:
            before = files(desk.path("hill-house").parent)
            # Each machine shows its own until that has moved; reading moves nothing.
            first = not desk.path("hill-house").exists() or desk is desks[0]
            shown = desk.open("hill-house", writing=False).record.job.notes
            assert shown == ("of here" if first else f"of {desk.machine}")
            assert next(one.name for one in desk.jobs()) == "Hill house"
            assert files(desk.path("hill-house").parent) == before
            assert all(one.sound for one in check(desk))
            for id_ in desk.ids():
                desk.open(id_).close(now)
    for desk in desks:
        notes = {id_: desk.open(id_, writing=False).record.job.notes for id_ in desk.ids()}
        assert notes == {"hill-house": "of here", "hill-house-2": "of there"}


@pytest.mark.parametrize("how", [KeyboardInterrupt, OSError])
@pytest.mark.parametrize("nth", range(13))
def test_a_job_that_moves_aside_is_there_whole_wherever_that_stops(
    tmp_path, record, now, monkeypatch, nth, how
) -> None:
    here, there = (Desk(tmp_path / name, name) for name in ("here", "there"))
    for minute, desk in enumerate((here, there)):
        id_ = desk.create(beams.new_job("Hill house", record.job.section, now + timedelta(minute)))
        for text in ("1", "2", "3"):
            job = desk.open(id_)
            note(job, now + timedelta(minute), notes=f"{desk.machine} {text}")
            job.close(now + timedelta(minute))
    sync(here, there)
    calls = []
    with monkeypatch.context() as patch, suppress(KeyboardInterrupt, NotSaved):
        for place, name in (
            (store_desk, "replace"), (store_desk, "unlink"), (checkpoint, "put_file"),
        ):  # fmt: skip
            real = getattr(place, name)

            def call(*args, real=real, **more):
                calls.append(real)
                if len(calls) == nth + 1:
                    raise how
                return real(*args, **more)

            patch.setattr(place, name, call)
        there.open("hill-house").let_go()
    assert how is OSError or len(calls) == min(nth + 1, 11)
    there = Desk(tmp_path / "there", "there")
    shown = {there.open(id_, writing=False).record.job.notes for id_ in there.ids()}
    assert "there 3" in shown
    for _ in range(2):
        for id_ in there.ids():
            there.open(id_).close(now + timedelta(2))
    notes = {id_: there.open(id_, writing=False).record.job.notes for id_ in there.ids()}
    assert sorted(notes.values()) == ["here 3", "there 3"]
    assert notes["hill-house"] == "here 3"
    assert all(one.sound for one in check(there)), [one for one in check(there) if not one.sound]
    assert not list(there.jobs_folder.glob(".*"))


def test_what_was_issued_is_never_left_out(desk, now, refusing) -> None:
    """An invoice that an older crewdesk kept apart, since its number was taken."""
    lines = (Line("fixed", "Work", Decimal("100.00"), taxed=False),)
    for who in ("Ada", "Bo"):
        draft = Draft("progress", "hill-house", who, lines, (), Decimal(0))
        act = lambda r, at, d=draft: issue_invoice(r, d, Letterhead(), at.date(), at)  # noqa: E731
        desk.shop.make(act, now)
    books = desk.shop.record()
    doc = {**books.tables["documents"]["2"], "number": 1, "customer": "Cy"}
    kept = unsettled.Unsettled("1", "issued invoice 1", now, "theirs", ((("documents", "1"), doc),))
    place = ("unsettled", "1")
    desk.shop.make(
        lambda r, at: Change("kept apart", (edit(r.tables, place, kept.to_doc()),), at), now
    )
    said = "Number 1 was issued, so it can't be left out or undone."
    assert said in refusing(desk.shop.make, lambda r, at: unsettled.leave(r, "1", at), now)
    assert said in refusing(desk.shop.undo, now)
    desk.shop.make(lambda r, at: unsettled.put_in(r, "1", at), now)
    books = desk.shop.record()
    assert [one.draft.customer for one in books.trail] == ["Ada", "Bo", "Cy"]
    assert (books.headed(3).was, unsettled.unsettled(books)) == ((1,), ())
