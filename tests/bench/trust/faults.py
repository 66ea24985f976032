"""Every call that a save makes of the system fails, or the program stops there.

The act is done once to see which calls it makes; then once for each of them and each way to
go wrong, in a forked program. One that only fails goes on: the change must be kept and saved
by trying again. One that stops is opened again.
"""

import os
import shutil
import sys
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from copy import deepcopy
from errno import EIO, ENOSPC, EROFS
from pathlib import Path
from typing import Any

import crewdesk.store.checkpoint as checkpoint
from crewdesk.errors import CrewdeskError, Damaged, NotSaved
from crewdesk.job.beams import beams
from crewdesk.job.beams.piece import Spot
from crewdesk.job.change import Change, Tables
from crewdesk.job.steps import ticks
from crewdesk.store.desk import Desk
from crewdesk.store.job_file import JobFile
from tests.bench.trust.count import Count
from tests.bench.trust.kills import NOW

ID = "hill"
STOPPED, DONE, WRONG = 77, 78, 79
CALLS = ("open", "write", "fsync", "ftruncate", "replace", "write whole", "flush", "close", "mkdir")
WAYS = ("fails", "full", "read only", "stops before", "stops after", "stops half way")
CODES = {"fails": EIO, "full": ENOSPC, "read only": EROFS}

Fault = Callable[[str, Callable[..., Any], tuple[Any, ...]], Any]


def faults(
    folder: Path, acts: tuple[str, ...] = (), least: int = 200, *, every: int = 1
) -> list[Count]:
    """Let every call of some acts (of all, where none is named) go wrong in every way, or in each
    so many-th of these; what is lost is told on stderr, and counted."""
    desk = begun(folder / "begun")
    tried = lost = 0
    for name in acts or ACTS:
        act = ACTS[name]
        calls, states = _done_once(desk, folder, act)
        assert {"fsync", "open"} <= set(calls), (name, calls)
        for call, nth, way in ways_wrong(calls, every):
            told = f"{name}: {call} {nth} {way}"
            tried += 1
            try:
                _one(desk, folder, act, (call, nth, way), states, told)
            except (AssertionError, CrewdeskError) as error:
                lost += 1
                print(error, file=sys.stderr)
    return [
        Count("calls of a save that failed, or where the program stopped", tried, least),
        Count("of them with something lost or there by half", lost, 0, most=True),
    ]


def ways_wrong(calls: list[str], every: int = 1) -> list[tuple[str, int, str]]:
    """Each way in which each of some calls may go wrong, or each so many-th of them: the call, its
    number among its like, and the way."""
    wrong = [
        (call, calls[: at + 1].count(call), way)
        for at, call in enumerate(calls)
        for way in WAYS
        if way != "stops half way" or call in ("write", "write whole")
    ]
    return wrong[::every]


def begun(folder: Path) -> Desk:
    """A desk with one job of two beams."""
    from fractions import Fraction

    from crewdesk.trade.cuts.section import Section

    desk = Desk(folder)
    id_ = desk.create(beams.new_job(ID, Section(Fraction(8), Fraction(10)), NOW))
    assert id_ == ID
    for name in ("Ridge", "Cross"):
        job = desk.open(ID)
        job.make(beams.add_beam(job.record, name, "Hall", NOW))
        job.close(NOW)
    return desk


def _tick(job: JobFile) -> None:
    job.make(ticks.tick(job.record, Spot("1", "A"), "rip-side", NOW))


def _tick_and_write(job: JobFile) -> None:
    _tick(job)
    job.write_whole(NOW)


def _undo_and_tick(job: JobFile) -> None:
    job.undo(NOW)
    job.redo(NOW)
    _tick(job)


ACTS = {
    "a tick": _tick,
    "a tick and the whole file": _tick_and_write,
    "undo, redo and a tick": _undo_and_tick,
}


def _done_once(
    desk: Desk, folder: Path, act: Callable[[JobFile], None]
) -> tuple[list[str], list[Tables]]:
    """The calls that an act makes, and the states that the record goes through."""
    there = copied(desk, folder)
    job = there.open(ID)
    states, make = [_state(job)], job.make

    def noted(change: Change, *, sound: bool = True) -> int:
        number = make(change, sound=sound)
        states.append(_state(job))
        return number

    job.make = noted  # type: ignore[method-assign]

    seen = calls_of(lambda: act(job))
    job.close(NOW)
    return seen, states


def calls_of(act: Callable[[], object]) -> list[str]:
    """Do something; gives the calls that it made, in their order."""
    seen: list[str] = []

    def note(call: str, real: Callable[..., Any], args: tuple[Any, ...]) -> Any:
        seen.append(call)
        return real(*args)

    with watched(note):
        act()
    return seen


def copied(desk: Desk, folder: Path) -> Desk:
    """A fresh copy of a desk, to let things go wrong in."""
    there = folder / "there"
    shutil.rmtree(there, ignore_errors=True)
    shutil.copytree(desk.folder, there)
    return Desk(there)


def _one(
    desk: Desk,
    folder: Path,
    act: Callable[[JobFile], None],
    wrong: tuple[str, int, str],
    states: list[Tables],
    told: str,
) -> None:
    there = copied(desk, folder)
    status = in_fork(lambda: _in_child(there, act, *wrong), told)
    job = there.open(ID)
    ticked = "rip-side" in job.record.beam("1").piece("A").steps
    assert ticked or status == STOPPED, f"{told}: lost"
    if status == STOPPED:
        assert _state(job) in states, f"{told}: by half"
    if not ticked:
        _tick(job)
    for _ in range(3):
        if job.record.beams:
            job.undo(NOW)
    assert job.record.beams == (), f"{told}: its history does not lead back"
    job.close(NOW)


def in_fork(act: Callable[[], int], told: str) -> int:
    """Do something in a forked program; gives `DONE` or `STOPPED`."""
    child = os.fork()
    if not child:
        status = WRONG
        try:
            status = act()
        except Exception:  # the program's end, told where it is looked for
            traceback.print_exc()
        finally:
            os._exit(status)
    status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    assert status in (STOPPED, DONE), f"{told}: went wrong ({status})"
    return status


def once(call: str, nth: int, way: str) -> Fault:
    """The nth call of a name goes wrong, and no other."""
    count = [0]

    def fault(name: str, real: Callable[..., Any], args: tuple[Any, ...]) -> Any:
        if name == call:
            count[0] += 1
            if count[0] == nth:
                return _go_wrong(way, real, args)
        return real(*args)

    return fault


def _in_child(desk: Desk, act: Callable[[JobFile], None], call: str, nth: int, way: str) -> int:
    job = desk.open(ID)
    job.holding = True
    try:
        with watched(once(call, nth, way)):
            act(job)
    except (NotSaved, Damaged):
        pass
    if job.waiting:
        job.save()
    if "rip-side" not in job.record.beam("1").piece("A").steps:
        _tick(job)
    job.close(NOW)
    return DONE


def _go_wrong(way: str, real: Callable[..., Any], args: tuple[Any, ...]) -> Any:
    """Fail a call in a way, or stop the program there."""
    if way in CODES:
        raise OSError(CODES[way], os.strerror(CODES[way]))
    if way == "stops half way":
        args = tuple(
            one[: len(one) // 2] if isinstance(one, bytes | memoryview) else one for one in args
        )
    if way != "stops before":
        real(*args)
    os._exit(STOPPED)


class _File:
    """A file whose writing and flushing can go wrong."""

    def __init__(self, file: Any, fault: Fault) -> None:
        self._file, self._fault = file, fault

    def __enter__(self) -> "_File":
        return self

    def __exit__(self, *_: object) -> None:
        self._file.close()

    def fileno(self) -> int:
        return int(self._file.fileno())

    def write(self, data: bytes) -> Any:
        return self._fault(
            "write whole", lambda part: (self._file.write(part), self._file.flush()), (data,)
        )

    def flush(self) -> Any:
        return self._fault("flush", self._file.flush, ())


@contextmanager
def watched(fault: Fault) -> Iterator[None]:
    """Let every call of the store go through `fault`."""
    real = {name: getattr(os, name) for name in CALLS if hasattr(os, name)}
    fdopen = os.fdopen

    def through(name: str) -> Callable[..., Any]:
        return lambda *args, **kwargs: fault(
            name, lambda *given: real[name](*given, **kwargs), args
        )

    for name in real:
        setattr(os, name, through(name))
    checkpoint.os.fdopen = lambda handle, mode: _File(fdopen(handle, mode), fault)
    try:
        yield
    finally:
        for name, one in real.items():
            setattr(os, name, one)
        checkpoint.os.fdopen = fdopen


def _state(job: JobFile) -> Tables:
    return {name: deepcopy(rows) for name, rows in job.record.tables.items() if rows}
