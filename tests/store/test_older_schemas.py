"""Files that older versions wrote are read, and gone on with in today's form.

`old/schema-N` is what a version with schema N left behind: a job with a kept copy and
changes after its last whole file, as after a kill, and the shop. Up to schema 3 all files lay
side by side; the folder is kept as it was, and each file moved into its record's folder.
`old_exports/schema-1.json` is a job that a version with schema 1 of the exchange format
exported: both sides are cut, and then side A's run was read again twice.
"""

import json
import shutil
from datetime import timedelta
from fractions import Fraction
from hashlib import sha256
from pathlib import Path

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.cuts import answer_cut, open_cuts
from crewdesk.job.cuts.changed_cuts import held_cuts
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.sync.contradictions import contradictions
from crewdesk.job.sync.exchange import SCHEMA
from crewdesk.job.time import clock
from crewdesk.paper.job_document import read_document
from crewdesk.store import checkpoint, take_over
from crewdesk.store.desk import Desk
from crewdesk.store.integrity import check

OLD = Path(__file__).parent / "old"
B = Spot("1", "B")


@pytest.fixture(params=sorted(one.name for one in OLD.iterdir()))
def old(request, tmp_path):
    """A copy of the data folder of an older version."""
    shutil.copytree(OLD / request.param, tmp_path / "data")
    return Desk(tmp_path / "data")


def test_there_is_a_folder_for_each_older_schema() -> None:
    names = [f"schema-{number}" for number in range(1, checkpoint.SCHEMA)]
    assert sorted(one.name for one in OLD.iterdir()) == names
    assert sorted(checkpoint.FORWARD) == list(range(1, checkpoint.SCHEMA))
    for number, name in enumerate(names, 1):
        for path in (OLD / name).rglob("*.json*"):
            assert json.loads(path.read_bytes())["schema"] == number


def test_all_of_it_is_there(old, now) -> None:
    (listed,) = old.jobs()
    assert (listed.name, listed.trouble, listed.summary["behind"]) == ("Hill house", "", 2)
    job = old.open("hill-house", writing=False)
    assert [beam.name for beam in job.record.beams] == ["Ridge", "Cross"]
    assert {key for key, piece in job.record.beam("1").pieces.items() if piece.steps} == {"A", "B"}
    said = [one.what.split(" on ")[0].split(" to ")[0] for one in job.history()]
    assert [one.replace("switched", "started") for one in said] == [
        "began the job Hill house",
        "added beam Great room Ridge",
        "added beam Great room Cross",
        "ticked 'Rip",
        "clock started",
        "clock started",
        "ticked 'Rip",
    ]
    shop = old.shop.shop()
    assert (shop.name, shop.who, shop.hour) == ("Quill Beams", "Ada", 85)
    assert len(old.shop.history()) == 2


def _there(folder):
    return {
        one.relative_to(folder).as_posix(): one.read_bytes()
        for one in folder.rglob("*")
        if one.is_file() and one.suffix != ".lock"
    }


def test_it_is_kept_as_it_was(old, request) -> None:
    was = _there(OLD / request.node.callspec.params["old"])
    assert _there(old.folder / "kept-from-schema-3") == was
    moved = {name.replace("jobs/", "jobs/hill-house/") for name in was if name[:4] == "jobs"}
    moved |= {f"shop/{name}" for name in was if name[:4] == "shop"}
    there = _there(old.folder)
    assert moved <= there.keys()
    for name in moved:
        before = name.replace("hill-house/", "", 1).replace("shop/", "", 1)
        assert there[name] == was[before]
    assert old.ids() == ["hill-house"]
    # Nothing more happens the second time.
    Desk(old.folder)
    assert _there(old.folder) == there
    assert all(one.sound for one in check(old))


def test_an_older_crewdesk_is_told_to_update(old) -> None:
    """It reads `shop.json`; what it says of a schema above its own is the same since schema 1."""
    path = old.folder / "shop.json"
    doc = json.loads(path.read_bytes())
    assert (doc["crewdesk"], doc["schema"]) == ("shop", checkpoint.SCHEMA)
    seal = f',"sha256":"{doc["sha256"]}",\n'.encode()
    assert sha256(path.read_bytes().replace(seal, b"}\n")).hexdigest() == doc["sha256"]
    assert path.read_bytes().startswith(b'{"crewdesk":"shop","schema":4,')


def test_half_taken_over_it_is_gone_on_with(tmp_path, monkeypatch, refusing) -> None:
    shutil.copytree(OLD / "schema-3", tmp_path / "data")
    real, calls = take_over.replace, []

    def fails(path, to):
        calls.append(path)
        if len(calls) == 3:
            raise OSError(5, "Input/output error")
        real(path, to)

    with monkeypatch.context() as patch:
        patch.setattr(take_over, "replace", fails)
        assert "can't be upgraded: Input/output error" in refusing(Desk, tmp_path / "data")
    desk = Desk(tmp_path / "data")
    assert _there(desk.folder / "kept-from-schema-3") == _there(OLD / "schema-3")
    assert len(desk.open("hill-house", writing=False).history()) == 7


def test_copies_that_a_sync_left_are_taken_over_too(tmp_path) -> None:
    data = tmp_path / "data"
    shutil.copytree(OLD / "schema-3", data)
    jobs = data / "jobs"
    for name in ("hill-house (conflicted copy).history", "hill-house-LAPTOP7.history"):
        shutil.copy(jobs / "hill-house.history", jobs / name)
    for id_ in ("hill-house-2", "hill"):
        for suffix in (".json", ".history"):
            shutil.copy(jobs / f"hill-house{suffix}", jobs / f"{id_}{suffix}")
    shutil.copy(data / "shop.history", data / "shop.sync-conflict-20260302.history")
    (jobs / "._hill-house.json").write_bytes(b"not ours")
    desk = Desk(data)
    assert desk.ids() == ["hill", "hill-house", "hill-house-2"]
    assert len([*(jobs / "hill-house").glob("*.history")]) == 3
    assert (jobs / "._hill-house.json").exists()
    assert len([*(data / "shop").glob("*.history")]) == 2


def test_it_is_gone_on_with_in_today_s_form(old, now, files) -> None:
    before = files(old.jobs_folder / "hill-house")
    old.open("hill-house", writing=False)
    assert files(old.jobs_folder / "hill-house") == before
    job = old.open("hill-house")
    assert job.undo(now).what.endswith("Ridge side B")
    job.redo(now)
    job.make(ticks.tick(job.record, B, "ease", now + timedelta(hours=4)))
    job.make(clock.start(job.record, "fix-up", now + timedelta(hours=4)))
    job.close(now + timedelta(hours=5))
    # What was written before stands as it was, and what is new is sealed.
    after = files(old.jobs_folder / "hill-house")
    assert {name: after[name] for name in before} == before
    assert after["here.history"].startswith(before["hill-house.history"])
    head = checkpoint.read_head(old.path("hill-house"), "job")
    assert json.loads(old.path("hill-house").read_bytes())["schema"] == checkpoint.SCHEMA
    assert head.place.seal
    again = old.open("hill-house")
    assert len(again.history()) == 11
    while again.to_undo().what.partition(" ")[0] != "added":
        again.undo(now)
    assert again.record.beam("1").piece("A").steps == {}
    again.close(now)
    old.shop.change(now, tax="8")
    assert [one.what.split(":")[0] for one in old.shop.history()] == [
        "changed the shop",
        "changed the shop",
        "changed Business settings",
    ]
    assert all(one.sound for one in check(old))


def test_a_whole_file_of_an_older_version_may_be_damaged(old, now, copied) -> None:
    want = copied(old.open("hill-house", writing=False).record.tables)
    path = old.jobs_folder / "hill-house" / "hill-house.json"
    path.write_bytes(path.read_bytes()[:-20])
    assert copied(old.open("hill-house", writing=False).record.tables) == want
    assert not all(one.sound for one in check(old))


def test_a_newer_version_s_folder_is_refused(old, now, refusing) -> None:
    job = old.open("hill-house")
    job.close(now)
    data = job.path.read_bytes()
    seal = json.loads(data)["sha256"].encode()
    bare = data.replace(b',"sha256":"' + seal + b'",\n', b"}\n").replace(
        b'"schema":%d' % checkpoint.SCHEMA, b'"schema":%d' % (checkpoint.SCHEMA + 1)
    )
    newer = b',"sha256":"' + sha256(bare).hexdigest().encode() + b'",\n'
    # Another machine was updated; its file comes by the sync, beside this one's.
    job.path.with_name("there.json").write_bytes(bare.replace(b"}\n", newer, 1))
    shutil.copy(job.path.with_suffix(".history"), job.path.with_name("there.history"))
    said = refusing(old.open, "hill-house")
    assert (
        "there.json can't be read: a newer crewdesk wrote it (schema 5, this one 4); update" in said
    )


def test_a_section_changed_in_an_older_folder_is_compared_with_the_one_of_then(
    old, now, request
) -> None:
    """Its check-offs kept no figures; its history has the section that the sides were ripped by."""
    job = old.open("hill-house")
    later = now + timedelta(days=1)
    section = job.record.beam("1").section._replace(height=Fraction(7))
    before = open_cuts.open_keys(job.record)
    job.make(beams.change_beam(job.record, "1", {"section": section}, later))
    told = open_cuts.told_since(job.record, before)
    assert "side A was ripped to 10 in wide; its section now makes 7 in (3 in too wide)" in told
    assert ("out of the history" in told) == (request.node.callspec.params["old"] < "schema-3")
    job.close(later)


def test_an_exported_job_of_schema_1_is_held_to_what_its_readings_were(desk, now) -> None:
    """No check-off in it keeps what was cut: that follows from the history."""
    document = read_document(OLD.parent / "old_exports" / "schema-1.json")
    assert (document["schema"], SCHEMA) == (1, 2)
    id_ = desk.take_in(document, now)
    record = desk.open(id_, writing=False).record
    assert record.beam("1").piece("A").steps["cut-side"].cut is None
    (held,) = held_cuts(record.beam("1"))
    assert (held.spot, held.step_id, held.old) == (Spot("1", "A"), "cut-side", True)
    assert (
        "was cut to 192 5/16 in; its readings now make 192 11/16 in (3/8 in too short)" in held.told
    )
    assert "before crewdesk kept cut figures" in held.told
    assert "out of the history" in held.told
    assert desk.give_out(id_)["schema"] == SCHEMA
    # Answered in today's form; a check-off that is made now keeps its figures.
    job = desk.open(id_)
    job.make(answer_cut.cut_again(job.record, held.spot, "cut-side", now))
    job.make(ticks.tick(job.record, held.spot, "cut-side", now + timedelta(minutes=1)))
    mark = job.record.beam("1").piece("A").steps["cut-side"]
    assert mark.cut is not None
    assert mark.cut.figures["bottom_length"].shown == "192 11/16"
    assert not held_cuts(job.record.beam("1"))
    job.close(now)


def _both_cut_to_length(document):
    """An export of a version that let "Cut to length" be made a step of bottoms too."""
    (step,) = (
        step
        for stage in document["job"]["stages"]
        for step in stage["steps"]
        if step["id"] == "cut-side"
    )
    before = json.loads(json.dumps(document["job"]["stages"]))
    step["kinds"] = ["side", "bottom"]
    document["history"].append(
        {
            "when": "2026-03-06T10:00:00-05:00",
            "what": "changed which pieces 'Cut to length' is for",
            "edits": [
                {"at": ["job", "1", "stages"], "before": before,
                 "after": document["job"]["stages"]}
            ],
        }
    )  # fmt: skip
    return document


@pytest.mark.parametrize("with_history", [True, False])
def test_an_old_export_with_a_step_for_side_and_bottom_is_taken_in(
    desk, now, refusing, with_history
) -> None:
    document = _both_cut_to_length(read_document(OLD.parent / "old_exports" / "schema-1.json"))
    if not with_history:
        document["history"] = []
    id_ = desk.take_in(document, now)
    record = desk.open(id_, writing=False).record
    assert record.stages.step("cut-side").kinds == ("side", "bottom")
    (said, *_) = contradictions(record)
    assert said.startswith("'Cut to length' can't need the ")
    assert "which isn't measured on bottoms. Remove that need." in said
    # The sides' own steps stand as they did, and the bottom's stays closed and says why.
    assert record.beam("1").piece("A").steps["cut-side"].state == "done"
    job = desk.open(id_)
    for step in ("rip-bottom", "sand"):
        job.make(ticks.tick(job.record, Spot("1", "bottom"), step, now))
    assert "is never measured on" in refusing(
        ticks.tick, job.record, Spot("1", "bottom"), "cut-side", now
    )
    job.close(now)
    # What was taken in goes out and comes in again, whole with its history or as a file alone.
    if with_history:
        assert desk.take_in(desk.give_out(id_), now) != id_
    desk.take_in_whole(desk.path(id_), now)
