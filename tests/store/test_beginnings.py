"""Documents know their job by its beginning, whatever its folder is called."""

import json
import shutil
from datetime import timedelta
from pathlib import Path

import pytest

from crewdesk.errors import Damaged, NotAllowed
from crewdesk.job.beams.beams import change_job
from crewdesk.job.books.accounts import accounts
from crewdesk.job.books.job_books import JobBooks
from crewdesk.job.time import clock
from crewdesk.paper.documents.accounts import accounts_csv, accounts_sheet
from crewdesk.paper.text.lists import orders_sheet
from crewdesk.store import checkpoint
from crewdesk.store.beginnings import begun
from crewdesk.store.books import counted, issue, past_jobs, preview
from crewdesk.store.desk import Desk
from crewdesk.store.integrity import check, doubles

SAMPLE = Path(__file__).parents[2] / "sample_data" / "tamarack-bend.json"
JOB = "tamarack-bend"


@pytest.fixture
def sample():
    return json.loads(SAMPLE.read_text("utf-8"))


@pytest.fixture
def other(sample):
    """Another customer's job of the same name."""
    return json.loads(json.dumps(sample).replace("Quillfeather Homes", "Zimmer Builders"))


@pytest.fixture
def later(now):
    return now + timedelta(days=60)


def billed(desk, id_, now):
    return issue(desk, id_, desk.open(id_, writing=False).record, now).document


def next_one(desk, id_, now):
    return preview(desk, id_, desk.open(id_, writing=False).record, now).headed.document


def nothing_more(refusing, desk, id_, now) -> bool:
    return "was billed already" in refusing(next_one, desk, id_, now)


def orders_on(desk, id_):
    """The invoice that each change order of a job is on."""
    record = desk.open(id_, writing=False).record
    values = orders_sheet(id_, record, desk.shop.record()).values
    return [one["invoice"] for one in values["orders"]]


def money_of(desk, id_, now):
    record = desk.open(id_, writing=False).record
    return JobBooks(id_, record, desk.shop.record(), (), now).money


def test_a_renamed_job_is_not_billed_again(desk, sample, later, refusing) -> None:
    id_ = desk.take_in(sample, later)
    total = billed(desk, id_, later).total
    on = orders_on(desk, id_)
    assert 1 in on
    desk.path(id_).parent.rename(desk.jobs_folder / "lot-14")
    assert nothing_more(refusing, desk, "lot-14", later)
    assert orders_on(desk, "lot-14") == on
    assert money_of(desk, "lot-14", later).billed == total
    books = desk.shop.record()
    found = accounts(books, counted(desk), later)
    (invoice,) = accounts_sheet(found, books, None).values["invoices"]
    assert invoice["job"] == "lot-14"
    assert f",{JOB}," not in accounts_csv(found, books, later.year)
    assert ",lot-14," in accounts_csv(found, books, later.year)


def test_a_job_under_a_freed_id_has_no_invoice_yet(desk, sample, other, later, told) -> None:
    id_ = desk.take_in(sample, later)
    first = billed(desk, id_, later)
    shutil.rmtree(desk.path(id_).parent)
    assert desk.take_in(other, later) == id_
    draft = next_one(desk, id_, later).draft
    assert (draft.customer, draft.total) == ("Zimmer Builders", first.total)
    assert set(orders_on(desk, id_)) == {None}
    assert money_of(desk, id_, later).documents == ()
    status, said = told("invoice", id_, "--number", "1")
    assert status == 2
    assert f"Number 1 belongs to another job that had the name {id_} before." in said


def test_the_same_job_taken_in_again_was_billed(desk, sample, later, refusing) -> None:
    """Out of the file that it was exported to: its history begins as before."""
    id_ = desk.take_in(sample, later)
    exported = desk.give_out(id_)
    billed(desk, id_, later)
    shutil.rmtree(desk.path(id_).parent)
    assert desk.take_in(exported, later) == id_
    assert nothing_more(refusing, desk, id_, later)


@pytest.mark.parametrize("history", [True, False])
def test_a_job_beside_itself_begins_anew(desk, sample, later, history) -> None:
    if not history:
        del sample["history"]
    ids = [desk.take_in(sample, later)]
    exported = desk.give_out(ids[0])
    ids.append(desk.take_in(exported, later))
    job = desk.open(ids[1])
    job.make(change_job(job.record, {"notes": "a second house"}, later))
    job.close(later)
    ids.append(desk.take_in(desk.give_out(ids[1]), later))
    names = desk.beginnings()
    assert [*names] == ids
    assert len({*names.values()}) == 3
    assert doubles(desk) == {}
    assert [billed(desk, id_, later).number for id_ in ids] == [1, 2, 3]
    for id_, name in names.items():
        assert desk.open(id_, writing=False).record.begun == name
        desk.open(id_).close(later)  # its history leads to it


def test_the_name_of_a_job_without_a_history_goes_along(desk, tmp_path, sample, later) -> None:
    del sample["history"]
    id_ = desk.take_in(sample, later)
    job = desk.open(id_)
    name = job.record.begun
    job.make(change_job(job.record, {"notes": "x"}, later))
    job.close(later)
    assert name
    assert begun(desk.path(id_)) == desk.open(id_, writing=False).record.begun == name
    elsewhere = Desk(tmp_path / "elsewhere")
    assert elsewhere.beginnings() == {}
    came = elsewhere.take_in(desk.give_out(id_), later)
    assert elsewhere.beginnings() == {came: name}
    assert elsewhere.give_out(came) == desk.give_out(id_)


def test_a_whole_file_is_the_job_that_it_was_of(desk, tmp_path, sample, later, refusing) -> None:
    id_ = desk.take_in(sample, later)
    billed(desk, id_, later)
    file = tmp_path / "backup.json"
    shutil.copy(desk.path(id_), file)
    shutil.rmtree(desk.path(id_).parent)
    assert desk.take_in_whole(file, later) == id_
    assert nothing_more(refusing, desk, id_, later)


def test_an_invoice_without_a_beginning_goes_by_the_folder(
    desk, sample, other, later, refusing
) -> None:
    """As an older crewdesk issued it."""
    id_ = desk.take_in(sample, later)
    record = desk.open(id_, writing=False).record
    was, record.ask_begun = record.ask_begun, str
    issue(desk, id_, record, later)
    record.ask_begun = was
    assert "begun" not in desk.shop.record().tables["documents"]["1"]
    assert nothing_more(refusing, desk, id_, later)
    desk.path(id_).parent.rename(desk.jobs_folder / "lot-14")
    assert next_one(desk, "lot-14", later).total == desk.shop.record().trail[0].total


@pytest.fixture
def desks(tmp_path, sample, other, now, later):
    """Two machines that began and billed two jobs of one name, before any sync."""
    found = [Desk(tmp_path / name, name) for name in ("ada", "bo")]
    for day, (desk, document) in enumerate(zip(found, (sample, other), strict=True)):
        document["history"][0]["when"] = (now + timedelta(days=day)).isoformat()
        desk.take_in(document, later)
        billed(desk, JOB, later + timedelta(days=day))
    return found


def sync(desks):
    """Copy each machine's files into the other's folder, as all syncs do; remove none."""
    for source, target in (desks, desks[::-1]):
        for one in source.folder.rglob(f"{source.machine}.*"):
            there = target.folder / one.relative_to(source.folder)
            there.parent.mkdir(exist_ok=True)
            shutil.copy(one, there)


def test_two_machines_bill_two_jobs_of_one_name(desks, later) -> None:
    sync(desks)
    for desk in desks:
        desk.open(JOB).close(later)
    sync(desks)
    for desk in desks:
        assert sorted(desk.ids()) == [JOB, f"{JOB}-2"]
        numbers = {}
        for id_ in desk.ids():
            customer = desk.open(id_, writing=False).record.job.customer
            money = money_of(desk, id_, later)
            numbers[customer] = [one.number for one in money.documents]
            assert money.billed > 0
            with pytest.raises(NotAllowed, match="was billed already"):
                next_one(desk, id_, later)
        assert numbers == {"Quillfeather Homes": [1], "Zimmer Builders": [2]}
        assert all(one.sound for one in check(desk))


def test_each_machine_has_its_own_job_before_one_moves(desks, later) -> None:
    sync(desks)
    for desk, customer in zip(desks, ("Quillfeather Homes", "Zimmer Builders"), strict=True):
        assert desk.open(JOB, writing=False).record.job.customer == customer
        assert [one.summary["customer"] for one in desk.jobs()] == [customer]
        found = [*check(desk)]
        assert all(one.sound for one in found)
        notes = [note for one in found for note in one.notes]
        assert any("moves to its own" in one for one in notes) == (desk is desks[1])
    for desk in reversed(desks):
        job = desk.open(JOB)
        job.make(change_job(job.record, {"notes": f"of {desk.machine}"}, later))
        job.close(later)
        assert job.id == (JOB if desk is desks[0] else f"{JOB}-2")
    (moved,) = [(id_, came.changes) for id_, came in desks[1].arrived]
    told = f"this job was {JOB}. Another computer started another job under that name first."
    assert moved == (f"{JOB}-2", told)
    sync(desks)
    for desk in desks:
        notes = {id_: desk.open(id_, writing=False).record.job.notes for id_ in desk.ids()}
        assert notes == {JOB: "of ada", f"{JOB}-2": "of bo"}


@pytest.mark.parametrize("lost", ["the first line", "the history", "twice"])
def test_a_job_brought_back_keeps_its_beginning(desk, sample, later, refusing, lost) -> None:
    id_ = desk.take_in(sample, later)
    name = desk.open(id_, writing=False).record.begun
    billed(desk, id_, later)
    for _ in range(2 if lost == "twice" else 1):
        history = desk.path(id_).with_suffix(".history")
        job = desk.open(id_)
        job.make(change_job(job.record, {"notes": f"{job.record.job.notes} x"}, later))
        job.close(later)
        if lost == "the history":
            history.write_bytes(b"")
            whole = checkpoint.read(desk.path(id_), "job")
            assert whole.head.holds[0] == name
        else:
            first, _, rest = history.read_bytes().partition(b"\n")
            history.write_bytes(first.replace(b"began", b"begxn") + b"\n" + rest)
            whole = desk.path(id_)
            whole.write_bytes(whole.read_bytes()[:-20])  # and the whole file leads nowhere
            with pytest.raises(Damaged):
                desk.open(id_)
            desk.bring_back(id_, later)
        desk.open(id_).close(later)
        assert begun(desk.path(id_)) == desk.open(id_, writing=False).record.begun == name
    assert nothing_more(refusing, desk, id_, later)
    assert money_of(desk, id_, later).billed > 0


def hours(desk, now):
    found = accounts(desk.shop.record(), counted(desk), now)
    return sum(one.seconds for one in found.weeks)


def test_a_copied_folder_is_named_and_counted_once(desk, sample, later) -> None:
    id_ = desk.take_in(sample, later)
    once = hours(desk, later)
    assert once == 97.5 / 3 * 3600
    folder = desk.path(id_).parent
    for name in (f"{id_} (1)", f"{id_}-1"):
        shutil.copytree(folder, folder.with_name(name))
    assert hours(desk, later) == once
    wrong = {one.path.name: one.told for one in check(desk) if not one.sound}
    assert {*wrong} == {f"{id_} (1)", f"{id_}-1"}
    assert {*wrong.values()} == {f"a copy of {id_}: the same job twice. Remove this one."}
    (folder.with_name(f"{id_} (1)")).rename(desk.jobs_folder / "other")
    job = desk.open("other")
    job.make(change_job(job.record, {"notes": "in the copy"}, later))
    job.close(later)
    # The one with more in it is the job now.
    assert {*doubles(desk)} == {id_, f"{id_}-1"}
    job = desk.open(id_)
    for note in ("in the first", "twice"):
        job.make(change_job(job.record, {"site": note}, later))
    job.close(later)
    told = {one.path.name: one.told for one in check(desk) if not one.sound}
    assert told[f"{id_}-1"].endswith("Remove this one.")
    assert f"move each .history file of other into {id_} under another name" in told["other"]
    # As it says.
    (desk.jobs_folder / "other" / f"{desk.machine}.history").rename(folder / "copy.history")
    shutil.rmtree(desk.jobs_folder / "other")
    shutil.rmtree(desk.jobs_folder / f"{id_}-1")
    job = desk.open(id_, writing=False).record.job
    assert (job.notes, job.site) == ("in the copy", "twice")
    assert all(one.sound for one in check(desk))
    assert hours(desk, later) == once


def test_a_copy_of_a_finished_job_is_learned_from_once(desk, job, walk, now, later) -> None:
    walk(job.record, job.make, "", now)
    job.make(clock.add(job.record, "rip", now, now + timedelta(hours=9), later))
    job.close(later)
    assert len(past_jobs(desk, "", later)) == 1
    shutil.copytree(job.path.parent, desk.jobs_folder / "copy")
    assert len(past_jobs(desk, "", later)) == 1
    assert past_jobs(desk, "copy", later) == past_jobs(desk, job.id, later) == ()
