"""Errors of the disk below Python: every call that crewdesk makes of the system on a file in its
data folder fails (EIO, ESTALE), takes half of what is written, or all fail from one on, as where
a folder on the network goes away; also under the screens.

The calls go through `shim.c`, which `cc` compiles; where there is none, nothing is counted.
"""

import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial
from itertools import count
from pathlib import Path

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams import beams
from crewdesk.job.beams.piece import Spot
from crewdesk.job.steps import ticks
from crewdesk.store.desk import Desk
from crewdesk.store.integrity import check
from tests.bench.trust.count import Count
from tests.bench.trust.faults import DONE, ID, begun, copied, in_fork
from tests.bench.trust.kills import NOW
from tests.bench.trust.money import ACTS, BEFORE, books, one_wrong, told_of

SHIM = Path(__file__).with_name("shim.c")
ROOT = Path(__file__).parents[3]
WAYS = ("eio", "estale", "gone", "short", "half")
WRITES = ("short", "half")
MONEY = ("an invoice issued", "an invoice credited", "an invoice paid")
SPOTS = tuple(Spot(row, key) for row in "12" for key in "AB")
_CHANGES = count(1)


def compiler() -> str | None:
    """A compiler for the shim; None where there is none, or where it is of no use."""
    if not sys.platform.startswith("linux"):
        return None
    return shutil.which("cc") or shutil.which("gcc") or shutil.which("clang")


def disk(
    folder: Path,
    ways: tuple[str, ...] = WAYS,
    *,
    money: tuple[str, ...] = MONEY,
    screens: int = 60,
    least: int = 800,
    every: int = 1,
) -> list[Count]:
    """Let every call of some acts (or each so many-th) go wrong in some ways, and so many moments
    in the screens."""
    cc = compiler()
    if cc is None:
        print("  not tried: there is no C compiler here, or no Linux", file=sys.stderr)
        return []
    shim = folder / "shim.so"
    subprocess.run([cc, "-shared", "-fPIC", "-O1", "-o", str(shim), str(SHIM), "-ldl"], check=True)
    env = os.environ | {
        "LD_PRELOAD": str(shim),
        "SHIM_UNDER": str(folder / "there"),
        "SHIM_CONTROL": str(folder / "control"),
        "SHIM_LOG": str(folder / "log"),
    }
    told = json.dumps([str(folder), ways, money, screens, every])
    command = [sys.executable, "-m", "tests.bench.trust.disk", told]
    done = subprocess.run(command, env=env, cwd=ROOT, stdout=subprocess.PIPE, check=True)
    tried, lost, on_screen, lost_there = json.loads(done.stdout)
    return [
        Count("calls of the system that the disk failed", tried, least),
        Count("of them with something lost, doubled or told wrong", lost, 0, most=True),
        Count("moments in the screens at which it failed", on_screen, screens),
        Count("of them with something lost, or the program gone", lost_there, 0, most=True),
    ]


@contextmanager
def _failing(folder: Path, way: str, nth: int) -> Iterator[None]:
    control = folder / "control"
    control.write_text(f"{way} {nth} {next(_CHANGES)}")
    try:
        yield
    finally:
        control.write_text("")


def _in_shim(
    folder: Path, ways: list[str], money: list[str], screens: int, every: int
) -> list[int]:
    desk = begun(folder / "begun")
    tried = lost = 0
    there = copied(desk, folder)
    for way, nth in list(_each(folder, ways, lambda: _tick(there)))[::every]:
        tried += 1
        try:
            _one_tick(copied(desk, folder), folder, way, nth)
        except (AssertionError, CrewdeskError, OSError) as error:
            lost += 1
            print(f"ticks: {way} {nth}: {type(error).__name__} {error}", file=sys.stderr)
    for act in BEFORE:
        desk.shop.make(act, NOW)
    for name in money:
        there = copied(desk, folder)
        calls = [*_each(folder, ways, lambda there=there, name=name: told_of(there, *ACTS[name]))]
        want = books(there)
        for way, nth in calls[::every]:
            tried += 1
            try:
                wrong = partial(_failing, folder, way, nth)
                one_wrong(copied(desk, folder), ACTS[name], wrong, want)
            except (AssertionError, CrewdeskError, OSError) as error:
                lost += 1
                print(f"{name}: {way} {nth}: {type(error).__name__} {error}", file=sys.stderr)
    return [tried, lost, *_on_screen(desk, folder, screens, ways)]


def _each(folder: Path, ways: list[str], act) -> Iterator[tuple[str, int]]:
    """Do something once; gives every way in which each of its calls can go wrong."""
    log = folder / "log"
    log.unlink(missing_ok=True)
    with _failing(folder, "count", 0):
        act()
    for nth, call in enumerate(log.read_text(), 1):
        yield from ((way, nth) for way in ways if call == "w" or way not in WRITES)


def _tick(desk: Desk) -> list[str]:
    """Open a job and check three steps off; gives what is told of each."""
    told: list[str] = []
    try:
        job = desk.open(ID)
    except (CrewdeskError, OSError):
        return told
    job.holding = True
    for spot in SPOTS[:3]:
        with suppress(CrewdeskError):
            change = ticks.tick(job.record, spot, "rip-side", NOW)
            with suppress(CrewdeskError):
                job.make(change)
            told.append(spot.piece if spot.piece in "AB" else "")
    desk.kept = job  # type: ignore[attr-defined]
    return told


def _one_tick(desk: Desk, folder: Path, way: str, nth: int) -> None:
    def in_child() -> int:
        with _failing(folder, way, nth):
            told = _tick(desk)
        if told:
            job = desk.kept  # type: ignore[attr-defined]
            if not job.read_only:
                job.save()
                assert not job.waiting
                assert _done(job) == len(told), (told, _done(job))
            job.close(NOW)
            (folder / "told").write_text(str(0 if job.read_only and not _done(job) else len(told)))
        return DONE

    (folder / "told").write_text("0")
    in_fork(in_child, f"{way} {nth}")
    made_there = int((folder / "told").read_text())
    job = desk.open(ID)
    found = _done(job)
    assert found == made_there, f"{made_there} were made, {found} are there"
    job.make(beams.change_job(job.record, {"notes": "later"}, NOW))
    job.close(NOW)
    assert all(one.sound for one in check(desk)), [one for one in check(desk) if not one.sound]


def _done(job) -> int:
    return sum("rip-side" in job.record.beam(one.beam).piece(one.piece).steps for one in SPOTS)


def _on_screen(desk: Desk, folder: Path, times: int, ways: list[str]) -> list[int]:
    """Check a step off, or clear it, at moments when the disk fails; then it comes back."""
    from tests.terminal.conftest import Desk as Terminal

    tried = lost = 0
    terminal = None
    for number in range(times):
        way, nth = ways[number % len(ways)], 1 + number // len(ways)
        there = copied(desk, folder)
        before = len(there.open(ID, writing=False).history())
        terminal = Terminal(data=there.folder)
        try:
            terminal.see("hill", "Jobs")
            terminal.press("enter")
            terminal.press_until("down", "checks it off")
            tried += 1
            with _failing(folder, way, nth):
                terminal.press(" ")
                terminal._read(1.0)
                time.sleep(0.3)
                terminal._read(0.5)
            terminal.press("ctrl+q")
            left = terminal.left()
            assert left == 0, f"it left with {left}"
            found = len(there.open(ID, writing=False).history())
            assert found == before + 1, f"{found - before} changes of 1 are there"
            assert all(one.sound for one in check(there)), "a file is called wrong"
        except (AssertionError, CrewdeskError, OSError) as error:
            lost += 1
            print(f"screens: {way} {nth}: {error}\n{terminal.text}", file=sys.stderr)
        finally:
            terminal.child.close(force=True)
    return [tried, lost]


if __name__ == "__main__":
    place, *more = json.loads(sys.argv[1])
    print(json.dumps(_in_shim(Path(place), *more)))
