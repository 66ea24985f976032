"""Every call of what puts a job's files there, beside a save: a new job, one taken in out of
a file, one that was damaged and is brought back. Each fails once, or the program stops there.

Afterwards the job is there whole or not at all (or still damaged, to be brought back again),
the job beside it is untouched, and the same can be done again.
"""

import sys
from collections.abc import Callable
from contextlib import suppress
from fractions import Fraction
from functools import partial
from pathlib import Path

from crewdesk.errors import CrewdeskError, Damaged
from crewdesk.job.beams import beams
from crewdesk.store.desk import Desk
from crewdesk.trade.cuts.section import Section
from tests.bench.trust.count import Count
from tests.bench.trust.faults import (
    DONE,
    ID,
    begun,
    calls_of,
    copied,
    in_fork,
    once,
    watched,
    ways_wrong,
)
from tests.bench.trust.kills import NOW

NEW = "dale"
SECTION = Section(Fraction(6), Fraction(8))


def _create(desk: Desk) -> None:
    desk.create(beams.new_job(NEW, SECTION, NOW))


def _take_in(desk: Desk) -> None:
    desk.take_in(desk.give_out(ID), NOW)


def _bring_back(desk: Desk) -> None:
    desk.bring_back(NEW, NOW)


ACTS: dict[str, Callable[[Desk], None]] = {
    "a new job": _create,
    "a job taken in": _take_in,
    "a job brought back": _bring_back,
}


def of_jobs_begun(
    folder: Path, acts: tuple[str, ...] = (), least: int = 150, *, every: int = 1
) -> list[Count]:
    """Let every call of some acts (of all, where none is named) go wrong in every way, or in each
    so many-th of these."""
    tried = lost = 0
    for name in acts or ACTS:
        desk = begun(folder / name)
        if name == "a job brought back":
            _create(desk)
            spoiled = desk.path(NEW)
            spoiled.write_bytes(spoiled.read_bytes().replace(b"{", b"(", 3))
        there = copied(desk, folder)
        calls = calls_of(partial(ACTS[name], there))
        assert "open" in calls, (name, calls)
        for call, nth, way in ways_wrong(calls, every):
            tried += 1
            try:
                _one(desk, folder, name, (call, nth, way), f"{name}: {call} {nth} {way}")
            except (AssertionError, CrewdeskError) as error:
                lost += 1
                print(name, call, nth, way, error, file=sys.stderr)
    return [
        Count("calls that put a job there and failed, or stopped", tried, least),
        Count("of them with a job there by half, or another one touched", lost, 0, most=True),
    ]


def _one(desk: Desk, folder: Path, name: str, wrong: tuple[str, int, str], told: str) -> None:
    there, before = copied(desk, folder), desk.open(ID, writing=False).record.tables
    in_fork(lambda: _in_child(there, ACTS[name], *wrong), told)
    assert there.open(ID, writing=False).record.tables == before, f"{told}: {ID} was touched"
    for id_ in there.ids():
        try:
            job = there.open(id_, writing=False)
        except Damaged:
            assert name == "a job brought back", f"{told}: {id_} is there by half"
            continue
        assert job.record.job.name in (NEW, ID), f"{told}: {id_} is another"
        assert len(job.record.beams) in (0, 2), f"{told}: {id_} is there by half"
    if name != "a job brought back" or _damaged(there):
        ACTS[name](there)
    assert not _damaged(there), f"{told}: it was not brought back"


def _damaged(desk: Desk) -> bool:
    for id_ in desk.ids():
        try:
            desk.open(id_, writing=False)
        except Damaged:
            return True
    return False


def _in_child(desk: Desk, act: Callable[[Desk], None], call: str, nth: int, way: str) -> int:
    with (
        suppress(CrewdeskError),
        watched(once(call, nth, way)),
    ):  # one sentence is all that may come of it
        act(desk)
    return DONE
