"""`crewdesk check`, `restore --to` and `settle`."""

import json
import os
import platform
import shutil
import time
from datetime import timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from crewdesk import __version__
from crewdesk.cli import main
from crewdesk.job.beams import beams
from crewdesk.job.change import Change, edit
from crewdesk.job.lumber.boards import spoil, tick_cut
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.store.checkpoint import SCHEMA
from crewdesk.store.desk import Desk


@pytest.fixture
def worked(desk, job, now):
    """A job of three mornings, closed, and a shop."""
    for day in range(3):
        at = now + timedelta(days=day)
        job.make(beams.change_job(job.record, {"notes": f"day {day + 1}"}, at))
        job.make(ticks.tick(job.record, Spot("1", "A"), ("rip-side", "ease", "sand")[day], at))
        if day < 2:
            job.close(at)
            job = desk.open(job.id)
    job.close(now + timedelta(days=2))
    desk.shop.change(now, who="Ada")
    return job.path.parent


def test_check_tells_each_file_and_what_is_wrong(desk, worked, told) -> None:
    before = {one.name: one.read_bytes() for one in worked.iterdir()}
    status, out = told("check")
    assert status == 0
    lines = out.splitlines()
    names = {str(one.relative_to(desk.folder)) for one in desk.folder.rglob("*") if one.is_file()}
    assert {line[7:].partition(":")[0] for line in lines[:-2]} == names
    assert lines[-2] == f"{len(names)} files, all sound."
    assert "sound  jobs/hill-house/here.json: 9 changes" in lines
    for name in (
        "jobs/hill-house/here.json",
        "jobs/hill-house/here.json.2",
        "jobs/hill-house/here.history",
        "shop/here.history",
    ):
        path = desk.folder / name
        sound = path.read_bytes()
        path.write_bytes(sound[:100] + bytes([sound[100] ^ 4]) + sound[101:])
        status, out = told("check")
        assert status == 1
        assert f"WRONG  {name}: " in out
        assert out.splitlines()[-2].endswith(" damaged.")
        path.write_bytes(sound)
    (worked / "letter.txt").write_text("x")
    (desk.jobs_folder / "mill").mkdir()
    (desk.jobs_folder / "mill" / "here.json.1").write_bytes(b"x")
    status, out = told("check", "--json")
    found = {one["file"]: (one["sound"], one["told"]) for one in json.loads(out)["files"]}
    assert status == 1
    assert found["jobs/mill/here.json.1"][0] is False
    assert found["jobs/hill-house/letter.txt"] == (True, "not a job's file; not read")
    for name, data in before.items():
        assert (worked / name).read_bytes() == data


def test_what_a_bug_report_needs_is_printed_and_nothing_private(desk, worked, told, capsys):
    with pytest.raises(SystemExit):
        main(["--version"])
    said = capsys.readouterr().out.strip()
    assert said.startswith(f"crewdesk {__version__}, files of schema {SCHEMA}; Python 3.")
    assert told("check")[1].splitlines()[-1] == said
    assert json.loads(told("check", "--json")[1])["version"] == said
    for private in (str(desk.folder), str(Path.home()), platform.node(), "Ada", "Hill"):
        assert private not in said


def test_check_says_which_copies_are_of_another_line(desk, worked, told, now) -> None:
    """A backup was copied back over a newer folder, which keeps a copy that it lacks."""
    backup = {one.name: one.read_bytes() for one in worked.iterdir()}
    job = desk.open("hill-house")
    for text in ("later", "and more"):
        job.make(beams.change_job(job.record, {"notes": text}, now + timedelta(days=4)))
    job.close(now + timedelta(days=4))
    newer = job.path.read_bytes()
    for name, data in backup.items():
        (worked / name).write_bytes(data)
    (worked / "here.json.3").write_bytes(newer)
    status, out = told("check")
    assert status == 0
    assert "here.json.3: kept from 2026-03-06 06:30, of another line of changes" in out
    assert out.count("another line") == 1


def test_restore_takes_a_sound_job_back_to_a_time(desk, worked, told, now) -> None:
    assert "nothing to recover" in told("restore", "hill")[1]
    status, out = told("restore", "hill", "--to", "2026-03-03")
    assert status == 0
    assert "returned to what it was at 2026-03-03 23:59" in out
    job = desk.open("hill-house")
    assert job.record.job.notes == "day 2"
    assert [*job.record.beam("1").piece("A").steps] == ["rip-side", "ease"]
    job.undo(now)
    assert job.record.job.notes == "day 3"
    job.close(now)
    for text, why in (
        ("2026-01-01", "The first change is from 2026-03-02"),
        ("1h20", "Type one time"),
        ("never", "day"),
        ("2027-01-01 10:00", "It is as it was at 2027-01-01 10:00"),
    ):
        status, out = told("restore", "hill", "--to", text)
        assert (status, out.count("\n")) == (2, 1)
        assert why in out


def test_restore_names_the_boards_that_count_as_uncut_again(desk, worked, told, now) -> None:
    board = {
        "species": "Oak", "size": "1x8", "thickness": "3/4", "width": "29/4", "length": "96",
        "price": "30.40", "first": "rip", "state": "bought",
        "pieces": [["1", "A", 1, 1, "1/4", "90", "1/8", "7"]],
    }  # fmt: skip
    job = desk.open("hill-house")
    every = (*("1", "2", "3"), *("10", "11"))
    for row in every[:4]:
        job.make(Change("kept", (edit(job.record.tables, ("boards", row), board),), now))
    later = now + timedelta(days=4)
    job.make(Change("kept", (edit(job.record.tables, ("boards", "11"), board),), later))
    job.make(tick_cut(job.record, ("2", "10", "11"), later))
    job.make(spoil(job.record, "3", "", later))
    job.close(later)
    status, out = told("restore", "hill", "--to", "2026-03-05")
    assert status == 0
    assert "now as not cut: board 2, 10." in out
    assert "no longer in the plan: board 11." in out
    assert "now as good: board 3." in out
    # Taken back to where nothing was cut meanwhile, it says nothing of boards.
    assert "cut" not in told("restore", "hill", "--to", "2026-03-03")[1]


ZONES = (
    "Pacific/Auckland",
    "Pacific/Chatham",
    "Pacific/Kiritimati",
    "Asia/Kathmandu",
    "America/St_Johns",
)


@pytest.fixture(params=ZONES)
def machine_zone(request, monkeypatch):
    """The machine's own time zone, another one than the business's."""
    monkeypatch.setenv("TZ", request.param)
    time.tzset()
    yield request.param
    monkeypatch.undo()
    time.tzset()


@pytest.mark.unix("Windows takes no zone from TZ")
def test_a_damaged_file_names_times_as_restore_reads_them(
    machine_zone, desk, worked, told, door_clock
) -> None:
    """Both in the business's zone, whatever the computer's is."""
    door_clock.at = door_clock.at.astimezone(ZoneInfo(machine_zone))
    desk.shop.change(door_clock.at, zone="America/Denver")
    path = worked / "here.json"
    whole = path.read_bytes()
    path.write_bytes(whole[:-9])
    said = told("progress", "hill")[1]
    at = said.partition(" as of ")[2][:16]
    assert at == "2026-03-04 05:30"  # 07:30 at -05:00, on Denver's clocks
    assert f"as of {at}" in told("restore", "hill")[1]
    assert "It is as it was at" in told("restore", "hill", "--to", at)[1]
    assert "jobs/hill-house/here.json.1: kept from 2026-03-03 05:30" in told("check")[1]
    (worked / "here.json.1").unlink()
    path.write_bytes(whole[:-9])
    history = worked / "here.history"
    lines = history.read_bytes().splitlines(keepends=True)
    history.write_bytes(b"".join([*lines[:-2], b"x" + lines[-2][1:], lines[-1]]))
    said = told("progress", "hill")[1]
    assert "of 2026-03-04 05:30" in said.partition(" without ")[2]


def test_restore_a_damaged_job_to_a_time(desk, worked, told) -> None:
    path = worked / "here.json"
    path.write_bytes(path.read_bytes()[:-9])
    status, out = told("progress", "hill")
    assert status == 2
    assert "`crewdesk restore hill-house` recovers it as of 2026-03-04" in out
    status, out = told("restore", "hill", "--to", "2026-03-02 23:00")
    assert status == 0
    assert "nothing is lost" in out
    assert desk.open("hill-house", writing=False).record.job.notes == "day 1"
    # Without a history that leads back, the latest copy of that time is taken.
    path.write_bytes(path.read_bytes()[:-9])
    (worked / "here.history").write_bytes(b"")
    status, out = told("restore", "hill", "--to", "2026-03-03 23:00")
    assert status == 0
    assert "but undo of what was done before" in out
    assert desk.open("hill-house", writing=False).record.job.notes == "day 2"


def test_a_whole_file_that_a_sync_left_without_its_history(desk, worked, told, now, tmp_path):
    other = Desk(shutil.copytree(desk.folder, tmp_path / "other"), "there")
    job = other.open("hill-house")
    job.make(beams.change_job(job.record, {"notes": "theirs"}, now + timedelta(days=3)))
    job.close(now + timedelta(days=3))
    copy = worked / "there.json"
    shutil.copy(job.path, copy)
    desk.open("hill-house").close(now)
    status, out = told("check")
    assert status == 0
    assert (
        "there.json: whole from 2026-03-05 06:30; the history before it hasn't arrived yet" in out
    )
    assert told("import", str(copy)) == (0, "Imported Hill house as hill-house-2.\n")
    assert desk.open("hill-house-2", writing=False).record.job.notes == "theirs"
    assert desk.open("hill-house", writing=False).record.job.notes == "day 3"
    # It comes, and all is there.
    shutil.copy(job.path.with_suffix(".history"), worked)
    assert desk.open("hill-house", writing=False).record.job.notes == "theirs"


def test_settle_shows_and_chooses(desk, worked, told, now, tmp_path) -> None:
    assert told("settle", "hill") == (0, "Nothing was changed in two places.\n")
    other = shutil.copytree(desk.folder, tmp_path / "other")
    for folder, name, days in ((desk.folder, "here", 3), (other, "there", 4)):
        notes = {"here": "mine", "there": "theirs"}[name]
        job = Desk(folder, name).open("hill-house")
        job.make(beams.change_job(job.record, {"notes": notes}, now + timedelta(days=days)))
        job.close(now + timedelta(days=days))
        Desk(folder, name).shop.change(now + timedelta(days=days), who=notes)
    for name in ("jobs/hill-house/there.history", "shop/there.history"):
        shutil.copy(other / name, desk.folder / name)
    assert "here.json: 11 changes, 1 changed in two places" in told("check")[1]
    desk.open("hill-house").close(now)
    status, out = told("settle", "hill")
    assert status == 0
    assert "1. stands: changed the job settings" in out
    assert "job / 1 / notes: now mine; other theirs" in out
    values = json.loads(told("settle", "hill", "1", "--json")[1])["unsettled"]
    assert values[0]["places"] == [
        {"place": "job / 1 / notes", "stands": "mine", "other": "theirs"}
    ]
    assert "no number 2" in told("settle", "hill", "2", "--keep", "other")[1]
    assert "Type its number, for example" in told("settle", "hill", "--keep", "other")[1]
    status, out = told("settle", "hill", "1", "--keep", "other")
    assert (status, out) == (
        0,
        "Saved: kept the other change: changed the job settings.\n",
    )
    assert desk.open("hill-house", writing=False).record.job.notes == "theirs"
    # Of the shop too, without a change of it before.
    assert "shop / 1 / who: now mine; other theirs" in told("settle")[1]
    assert told("settle", "1", "--keep", "other")[0] == 0
    assert desk.shop.shop().who == "theirs"
    assert told("settle") == (0, "Nothing was changed in two places.\n")
    assert "all sound" in told("check")[1]


@pytest.mark.unix("FIFOs and links are made")
def test_what_is_no_folder_where_one_was_is_named(desk, worked, told, tmp_path) -> None:
    """Each stands where a folder with data was a while ago."""

    def put(path: Path, what: str) -> str:
        aside = tmp_path / "aside"
        path.rename(aside)
        if what == "pipe":
            os.mkfifo(path)
        elif what == "file":
            path.write_bytes(b"")
        else:
            path.symlink_to(tmp_path / "nowhere")
        shown = str(path.relative_to(desk.folder))
        out = told("check")
        read = told("accounts")
        listed = told("progress", worked.name)
        path.unlink()
        aside.rename(path)
        assert out[0] == 1
        assert f"WRONG  {shown}: it is a" in out[1]
        assert "can't be read: it is a" in read[1]
        return str(listed)

    for what in ("pipe", "link"):
        assert "can't be read: it is a" in put(worked, what)
    for what in ("pipe", "link", "file"):
        assert "can't be read: it is a" in put(desk.jobs_folder, what)
        put(desk.shop.path.parent, what)
    os.mkfifo(worked / "there.history")
    status, out = told("check")
    assert (status, out.count("WRONG")) == (1, 1)
    assert f"WRONG  jobs/{worked.name}/there.history: it is a pipe, not a file" in out


def test_accounts_say_which_job_they_are_without(desk, worked, told) -> None:
    whole = worked / "here.json"
    whole.write_bytes(whole.read_bytes()[:-9])
    status, out = told("accounts")
    assert status == 0
    assert "The hours of one job aren't counted. hill-house/here.json can't be read" in out
