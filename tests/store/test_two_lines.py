"""A backup copied back over a newer folder, by halves: files of two lines of changes lie there in
any mix, and one is damaged. What any of them still tells is never lost untold.
"""

import json
import random
import re
import shutil
from contextlib import suppress
from datetime import timedelta

import pytest

from crewdesk.errors import Damaged
from crewdesk.job.beams import beams
from crewdesk.job.books.job_lists import typed_material
from crewdesk.store import checkpoint
from crewdesk.store.desk import Desk
from crewdesk.store.history_lines import History, is_whole
from crewdesk.store.integrity import check

TOKEN = re.compile("token-[a-z]-[0-9]+")


@pytest.fixture(scope="module")
def lines(tmp_path_factory, now, section):
    """The files of a job as they were backed up, worked on after that, and after the backup was
    copied back and worked on: by name, what each of the three holds."""
    desk = Desk(tmp_path_factory.mktemp("lines"), "here")
    id_ = desk.create(beams.new_job("Hill house", section, now))
    folder = desk.path(id_).parent
    files = {}

    def work(line: str, days: range) -> None:
        for day in days:
            job = desk.open(id_)
            for count in range(2):
                at = now + timedelta(days=day, minutes=count)
                text = f"token-{line}-{day * 2 + count}"
                job.make(typed_material(job.record, text, "1", "2", at))
            if day % 3 != 2:
                job.close(at)
            else:
                job._unlock()  # as after a kill: the last changes stand in the history alone
        files[line] = {
            one.name: one.read_bytes() for one in folder.iterdir() if one.suffix != ".lock"
        }

    work("b", range(4))
    work("n", range(4, 9))
    for name in files["n"]:
        (folder / name).unlink()
    for name, data in files["b"].items():
        (folder / name).write_bytes(data)
    work("m", range(20, 24))
    shutil.rmtree(desk.folder)
    return files


@pytest.fixture(scope="module")
def section():
    from fractions import Fraction

    from crewdesk.trade.cuts.section import Section

    return Section(Fraction(8), Fraction(10))


def reachable(folder) -> set[str]:
    """The tokens that any line or whole file tells which is as it was written."""
    found = set()
    for one in folder.iterdir():
        if one.suffix == ".history":
            for line in History.read(one).lines:
                if is_whole(line):
                    found |= set(TOKEN.findall(line.decode()))
        elif ".json" in one.name and "damaged" not in one.name:
            try:
                found |= tokens(checkpoint.read(one, "job").tables)
            except Damaged:
                continue
    return found


def tokens(tables) -> set[str]:
    return set(TOKEN.findall(json.dumps(tables)))


@pytest.mark.parametrize("seed", range(60))
def test_what_can_be_reached_is_never_lost_untold(lines, tmp_path, now, seed) -> None:
    chance = random.Random(seed)
    desk = Desk(tmp_path / "data", "here")
    folder = desk.path("hill-house").parent
    folder.mkdir()
    names = sorted({name for one in lines.values() for name in one})
    for name in names:
        versions = [one[name] for one in lines.values() if name in one]
        if chance.random() < 0.9:
            (folder / name).write_bytes(chance.choice(versions))
    spoiled = chance.choice([None, *sorted(folder.iterdir())])
    if spoiled is not None:
        data = spoiled.read_bytes()
        at = chance.randrange(len(data))
        way = chance.choice(("flip", "cut", "gone"))
        if way == "gone":
            spoiled.unlink()
        else:
            rest = bytes([data[at] ^ 1]) + data[at + 1 :] if way == "flip" else b""
            spoiled.write_bytes(data[:at] + rest)
    if not desk.ids():
        return
    want = reachable(folder)
    told: set[str] = set()
    try:
        job = desk.open("hill-house", writing=False)
    except Damaged:
        offers = desk.copies("hill-house")
        assert offers or not want
        if not offers:
            return
        best = desk.bring_back("hill-house", now)
        assert best == offers[0]
        told = tokens([one.to_doc() for one in best.later])
        if told:
            assert "nothing is lost" not in best.told(now.tzinfo)
        job = desk.open("hill-house", writing=False)
    here = tokens(job.record.tables)
    with suppress(Damaged):  # an early line that is bad stops undo alone
        here |= tokens([one.to_doc() for one in job.history()])
    # A kept copy of another line still lies there; `check` says so, and restore offers it.
    apart = set()
    for one in check(desk):
        if "another line" in one.told:
            apart |= tokens(checkpoint.read(one.path, "job").tables)
    assert want <= here | told | apart, want - here - told - apart


def test_a_newer_whole_file_over_an_older_history_loses_nothing(lines, tmp_path) -> None:
    desk = Desk(tmp_path / "data", "here")
    folder = desk.path("hill-house").parent
    folder.mkdir()
    (folder / "here.json").write_bytes(lines["n"]["here.json"])
    (folder / "here.history").write_bytes(lines["b"]["here.history"])
    want = tokens(checkpoint.read(folder / "here.json", "job").tables)
    job = desk.open("hill-house", writing=False)
    assert tokens(job.record.tables) == want
    assert len(job.history()) > 1


def test_restore_does_not_take_a_copy_of_another_line(lines, tmp_path, now) -> None:
    """The newer folder's copy holds more changes, but was discarded with the backup."""
    desk = Desk(tmp_path / "data", "here")
    folder = desk.path("hill-house").parent
    folder.mkdir()
    for name, data in lines["m"].items():
        (folder / name).write_bytes(data)
    (folder / "here.json.3").write_bytes(lines["n"]["here.json"])
    (folder / "here.json").write_bytes(b"spoiled")
    best, other = desk.copies("hill-house")
    assert best.path.name == "here.json.1"
    assert other.path.name == "here.json.3"
    assert "what only a copy of" in best.told(now.tzinfo)
    assert "'added" in other.told(now.tzinfo) or "changes" in other.told(now.tzinfo)
    desk.bring_back("hill-house", now)
    found = tokens(desk.open("hill-house", writing=False).record.tables)
    assert {one[6] for one in found} == {"b", "m"}
    # The other one can be chosen, and that can be undone.
    (folder / "here.json").write_bytes(b"spoiled")
    desk.bring_back("hill-house", now, choose=lambda every: every[-1])
    job = desk.open("hill-house")
    assert {one[6] for one in tokens(job.record.tables)} == {"b", "n"}
    job.undo(now)
    assert tokens(job.record.tables) == found
    job.close(now)
