"""Two programs at one job, a program killed in the middle, a disk that is full: all real."""

import subprocess
import sys
from pathlib import Path

import pytest

from crewdesk.job.beams import beams

ROOT = Path(__file__).parents[2]
BEGIN = """
import json, os, random, signal, sys, time
sys.dont_write_bytecode = True  # a full disk would leave half a file of it
from datetime import datetime
from pathlib import Path
from crewdesk.job.beams import beams
from crewdesk.job.record import Record
from crewdesk.errors import CrewdeskError
from crewdesk.store import record_file
from crewdesk.store.desk import Desk
now = datetime.fromisoformat("2026-03-02T07:30:00-05:00")
desk = Desk(Path(sys.argv[1]))
def note(job, text):
    return job.make(beams.change_job(job.record, {"notes": text}, now))
"""


@pytest.fixture
def program(desk):
    """Starts another Python on the same data folder, to do what `then` says."""
    running = []

    def start(then: str) -> subprocess.Popen:
        one = subprocess.Popen(
            [sys.executable, "-c", BEGIN + then, str(desk.folder)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=ROOT,
        )
        running.append(one)
        return one

    yield start
    for one in running:
        if one.poll() is None:
            one.kill()
        one.communicate()


def test_two_programs_write_one_job(desk, job, now, program) -> None:
    job.make(beams.change_job(job.record, {"customer": "Bo Quill"}, now))
    other = program(
        """
job = desk.open("hill-house")
print(job.read_only, job.record.job.customer)
note(job, "theirs")
sys.stdout.flush()
sys.stdin.readline()
job.look()
print(job.record.job.site, [change.what for change in job.came])
note(job, "theirs again")
job.close(now)
"""
    )
    assert other.stdout.readline() == "False Bo Quill\n"
    while not job.came:
        job.look()
    assert job.record.job.notes == "theirs"
    job.make(beams.change_job(job.record, {"site": "Lot 8"}, now))
    out, _ = other.communicate("\n", timeout=30)
    assert out == "Lot 8 ['changed the job settings']\n"
    job.undo(now)
    # Mine was taken back, not the later one of the other.
    assert (job.record.job.site, job.record.job.notes) == ("", "theirs again")
    assert len(job.history()) == 8


def test_a_program_that_is_killed_holds_up_nobody(desk, job, now, program) -> None:
    job.close(now)
    other = program(
        """
job = desk.open("hill-house")
print(note(job, "from the other"), flush=True)
with job._locked(5):
    print("held", flush=True)
    sys.stdin.read()
"""
    )
    assert other.stdout.readline() == "4\n"
    assert other.stdout.readline() == "held\n"
    other.kill()
    other.wait(timeout=30)
    mine = desk.open("hill-house")
    assert not mine.read_only
    assert mine.record.job.notes == "from the other"
    assert mine.undo(now).what == "changed the job settings"
    mine.close(now)


@pytest.mark.unix("Windows can't limit the size of a program's files")
def test_a_disk_that_is_full(desk, job, now, program) -> None:
    job.close(now)
    before = job.path.read_bytes()
    out, _ = program(
        """
import resource
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
def room(size): resource.setrlimit(resource.RLIMIT_FSIZE, (size, resource.RLIM_INFINITY))
job = desk.open("hill-house")
history = job.path.with_suffix(".history")
room(history.stat().st_size + 700)
made = 0
try:
    while True:
        note(job, str(made + 1) * 3)
        made += 1
except CrewdeskError as no: print(type(no).__name__, no)
size = history.stat().st_size
print(made, job.record.job.notes, len(job.history()) - 3)
try: note(job, "y" * 900)
except CrewdeskError as no: print(type(no).__name__)
print(history.stat().st_size == size)
room(10)
try: desk.create(beams.new_job("Mill", job.record.job.section, now))
except CrewdeskError as no: print(type(no).__name__)
print(desk.ids())
job.close(now)
print(job.path.stat().st_size)
room(resource.RLIM_INFINITY)
job = desk.open("hill-house")
print(job.record.job.notes)
note(job, "after")
job.close(now)
"""
    ).communicate(timeout=30)
    lines = out.splitlines()
    assert lines[0] == (
        f"NotSaved Not saved: {desk.jobs_folder / 'hill-house'} says 'File too large'. Nothing "
        "was changed. Try again once that is fixed."
    )
    made, notes, history = lines[1].split()
    assert int(made) > 1
    assert (notes, history) == (made * 3, made)
    assert lines[2:] == [
        "NotSaved",
        "True",
        "NotSaved",
        "['hill-house']",
        str(len(before)),
        notes,
    ]
    assert desk.open("hill-house", writing=False).record.job.notes == "after"


def test_two_programs_begin_jobs_of_one_name(desk, record, now, program) -> None:
    begin = """
sys.stdin.readline()
from fractions import Fraction
from crewdesk.trade.cuts.section import Section
for _ in range(8):
    print(desk.create(beams.new_job("Twin", Section(Fraction(8), Fraction(10)), now)))
"""
    others = [program(begin) for _ in range(2)]
    for one in others:
        one.stdin.write("\n")
        one.stdin.flush()
    told = [id_ for one in others for id_ in one.communicate(timeout=30)[0].split()]
    mine = desk.create(beams.new_job("Twin", record.job.section, now))
    assert sorted([*told, mine]) == desk.ids()
    assert len(set(told)) == 16
    for id_ in desk.ids():
        job = desk.open(id_)
        assert len(job.history()) == 1
        job.close(now)
