"""The data folder: its jobs, how they are named and found, and what can be wrong with it."""

import json
import os
import subprocess
import sys
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from crewdesk.errors import Damaged, NotSaved
from crewdesk.job.beams import beams
from crewdesk.job.time import clock
from crewdesk.store.desk import LONGEST_ID, Desk

ROOT = Path(__file__).parents[2]


def begin(desk, name, now, section):
    return desk.create(beams.new_job(name, section, now))


@pytest.fixture
def section(record):
    return record.job.section


def test_an_empty_folder(desk, refusing) -> None:
    assert desk.ids() == []
    assert list(desk.jobs()) == []
    assert "none yet" in refusing(desk.find, "hill")
    assert "There is no job hill" in refusing(desk.open, "hill")


def test_ids_are_names_made_plain_and_free(desk, now, section) -> None:
    names = ("Hill house", "hill  HOUSE", "Żółw & Søn", "居間", "../../etc/passwd", "x" * 80)
    assert [begin(desk, name, now, section) for name in names] == [
        "hill-house",
        "hill-house-2",
        "zow-sn",
        "job",
        "etc-passwd",
        "x" * LONGEST_ID,
    ]
    assert {path.parent.parent for path in desk.folder.rglob("here.json")} == {desk.jobs_folder}


def test_no_way_out_of_the_folder(desk, job, refusing, tmp_path) -> None:
    (tmp_path / "data" / "out.json").write_bytes(job.path.read_bytes())
    for id_ in ("../out", "", ".", "a/b", "a\x00b", "x" * 999):
        assert "There is no job" in refusing(desk.open, id_)


def test_the_list_tells_each_job_and_its_running_clock(desk, job, now) -> None:
    (listed,) = desk.jobs()
    assert (listed.id, listed.name, listed.written) == ("hill-house", "Hill house", now)
    assert listed.summary["beams"] == 2
    assert "running" not in listed.summary
    job.make(clock.start(job.record, "rip", now))
    (listed,) = desk.jobs()
    assert listed.summary["running"] == {"since": now.isoformat(), "stage": "Rip"}
    job.close(now)
    (listed,) = desk.jobs()
    assert listed.summary["running"]["stage"] == "Rip"


def test_a_job_is_found_by_id_by_name_or_by_the_beginning(desk, now, section, refusing) -> None:
    for name in ("Hill house", "Hill farm", "Mill"):
        begin(desk, name, now, section)
    assert desk.find("hill-house") == desk.find(" hill  HOUSE ") == desk.find("Hill h")
    assert desk.find("m") == "mill"
    assert "more than one job: hill-farm, hill-house" in refusing(desk.find, "hill")
    assert "The jobs there: hill-farm, hill-house, mill" in refusing(desk.find, "")
    begin(desk, "MILL", now, section)
    assert "more than one job: mill, mill-2" in refusing(desk.find, "Mill")
    assert desk.find("mill-2") == "mill-2"


def test_a_damaged_job_stands_in_the_list_with_its_trouble(desk, job, now, section) -> None:
    job.close(now)
    begin(desk, "Mill", now, section)
    job.path.write_bytes(b"")
    hill, mill = desk.jobs()
    assert (hill.name, hill.summary) == ("hill-house", {})
    assert hill.trouble.startswith("hill-house/here.json can't be read: ")
    assert (mill.name, mill.trouble) == ("Mill", "")
    assert desk.find("mill") == "mill"
    assert desk.find("hill-house") == "hill-house"


@pytest.mark.parametrize(
    ("was", "now_"),
    [
        (b'"name"', b'"nome"'),
        (b'"behind":0', b'"behind":[]'),
        (b'"stage":"Rip"', b'"stoge":"Rip"'),
        (b'"since":"2026', b'"since":"20x6'),
        (b'"beams":2', b'"beams":{}'),
    ],
)
def test_a_head_that_was_damaged_is_no_trouble_to_the_list(desk, job, now, was, now_) -> None:
    job.make(clock.start(job.record, "rip", now))
    job.close(now)
    data = job.path.read_bytes()
    assert was in data
    job.path.write_bytes(data.replace(was, now_, 1))
    (listed,) = desk.jobs()
    assert listed.trouble.startswith(
        "hill-house/here.json can't be read: its beginning isn't what crewdesk"
    )
    assert desk.clocks() == ()


def test_out_and_in_and_out_again_is_the_same(desk, job, walk, now) -> None:
    walk(job.record, job.make, "", now)
    job.make(clock.start(job.record, "fix-up", now + timedelta(days=1)))
    job.undo(now)
    job.close(now)
    document = desk.give_out("hill-house")
    text = json.dumps(document)
    other = Desk(desk.folder.parent / "other")
    assert json.dumps(other.give_out(other.take_in(json.loads(text), now))) == text
    # Undo and redo came along.
    again = other.open("hill-house")
    assert again.redo(now).what == "clock started on Fix-up"
    again.undo(now)
    assert "Tape off" in again.undo(now).what
    again.close(now)


def test_what_is_no_job_is_not_taken_in(desk, now, refusing) -> None:
    refusing(desk.take_in, {"crewdesk": "job", "schema": 1, "job": {}}, now)
    assert list(desk.jobs_folder.iterdir()) == []


@pytest.mark.parametrize(
    "call",
    [
        "open",
        "line",
        "write",
        "fsync",
        "rename",
        pytest.param("fsync folder", marks=pytest.mark.unix("Windows opens no folder to sync it")),
    ],
)
@pytest.mark.parametrize("nth", [1, 2])
def test_a_new_job_that_the_disk_does_not_take_leaves_nothing(
    desk, now, section, failing, call, nth
) -> None:
    told = ""
    with failing(call, nth) as hits:
        try:
            begin(desk, "Hill house", now, section)
        except NotSaved as caught:
            told = str(caught)
    # Some calls are made once only, so that a second one can't fail.
    assert ("Input/output error" in told) == bool(hits)
    assert bool(list(desk.jobs_folder.iterdir())) != bool(hits)
    assert hits or nth == 2
    assert begin(desk, "Mill", now, section) == "mill"


def test_a_job_half_begun_by_a_crash_is_in_nobody_s_way(desk, now, section) -> None:
    half = desk.jobs_folder / "hill-house" / "here.history"
    half.parent.mkdir()
    half.write_bytes(b"half a li")
    assert list(desk.jobs()) == []
    assert begin(desk, "Hill house", now, section) == "hill-house-2"
    assert half.read_bytes() == b"half a li"


GONE = "No such file" if os.name == "posix" else ""  # Windows says it in the user's language


def test_a_folder_that_can_not_be_made_or_read(tmp_path, refusing, monkeypatch) -> None:
    (tmp_path / "file").write_text("x")
    for folder in (tmp_path / "file", tmp_path / "file" / "deeper"):
        said = refusing(Desk, folder)
        assert str(folder) in said
        assert "Name another one with --data DIR" in said
    desk = Desk(tmp_path / "data")
    desk.jobs_folder.rmdir()
    for ask in (desk.ids, lambda: list(desk.jobs()), lambda: desk.find("x")):
        assert f"can't be made or used: {GONE}" in refusing(ask)


def test_a_file_that_the_system_does_not_give(desk, job, now, refusing, monkeypatch) -> None:
    job.close(now)
    real = os.open
    for shut in (".json", ".history"):

        def locked(path, *args, shut=shut, **kwargs):
            if Path(path).suffix == shut:
                raise PermissionError(13, "Permission denied")
            return real(path, *args, **kwargs)

        with monkeypatch.context() as patch:
            patch.setattr(os, "open", locked)
            with pytest.raises(Damaged) as caught:
                desk.open("hill-house")
        told = f"hill-house/here{shut} can't be read: the system says 'Permission denied'"
        assert told in str(caught.value)
    desk.open("hill-house").close(now)


LOOK = """
import os, sys
from datetime import datetime, timezone
from pathlib import Path
from crewdesk.job.beams import beams
from crewdesk.errors import CrewdeskError
from crewdesk.store.desk import Desk
import crewdesk, filelock, importlib, pkgutil
for one in pkgutil.walk_packages(crewdesk.__path__, "crewdesk."):
    if one.name.startswith(("crewdesk.job", "crewdesk.trade", "crewdesk.store")):
        importlib.import_module(one.name)  # its files can't be read any more in a moment
os.setgid(65534); os.setuid(65534)
now = datetime.now(timezone.utc)
def tell(act):
    try: print("done", act())
    except CrewdeskError as no: print(no)
folder = Path(sys.argv[1])
tell(lambda: Desk(folder).ids())
tell(lambda: [one.trouble for one in Desk(folder).jobs()])
job = None
def opened():
    global job
    job = Desk(folder).open("hill-house")
    return job.read_only
tell(opened)
tell(lambda: job and job.make(beams.change_job(job.record, {"notes": "x"}, now)))
tell(lambda: Desk(folder).take_in(Desk(folder).give_out("hill-house"), now))
tell(lambda: Desk(folder).bring_back("hill-house", now))
"""


@pytest.mark.unix("modes mean nothing on Windows")
@pytest.mark.skipif(getattr(os, "getuid", int)() != 0, reason="only root can look as somebody else")
@pytest.mark.parametrize("mode", ["nothing", "folder", "read", "data"])
def test_seen_by_somebody_who_may_not(desk, job, now, mode, files) -> None:
    with TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        theirs = Desk(Path(folder) / "data")
        theirs.take_in(desk.give_out(job.id), now)
        theirs.open(job.id).close(now)
        before = files(theirs.path(job.id).parent)
        if mode != "nothing":
            theirs.folder.chmod(0o755)
            theirs.jobs_folder.chmod(0o711 if mode == "data" else 0o755)
            theirs.path(job.id).parent.chmod(0o755)
        if mode == "read":
            for one in theirs.path(job.id).parent.iterdir():
                one.chmod(0o644)
        told = _look(theirs.folder)
        assert files(theirs.path(job.id).parent) == before
    ids, troubles, opened, made, taken_in, brought = told
    if mode in ("nothing", "data"):
        assert "can't be made or used: Permission denied" in ids
        assert {troubles, opened, taken_in, brought} == {ids}
    elif mode == "folder":
        assert ids == "done ['hill-house']"
        denied = "hill-house/here.json can't be read: the system says 'Permission denied'"
        assert denied.partition(" ")[2] in troubles
        assert denied in opened
        assert "can't be locked (Permission denied)" in brought
    else:
        assert troubles == "done ['']"
        assert opened == "done True"
        assert made == (
            "hill-house can't be locked (Permission denied), so it can only be read here. "
            "Nothing was changed."
        )
        assert taken_in.startswith("Not saved: ")


def _look(folder: Path) -> list[str]:
    done = subprocess.run(
        [sys.executable, "-c", LOOK, str(folder)],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
    )
    assert done.stderr == ""
    return done.stdout.splitlines()
