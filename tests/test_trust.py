"""Nothing lost and nothing let in, in short; `python -m tests.bench.trust` does it in earnest.

The model is how SQLite is tested (https://www.sqlite.org/testing.html): crashes at every
point of a save, every call of the system failing once, and files damaged at random.
"""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest

from tests.bench.trust.__main__ import ONE, PARTS, SHM, Part
from tests.bench.trust.begun import of_jobs_begun
from tests.bench.trust.clock_back import clock_back
from tests.bench.trust.count import Count
from tests.bench.trust.damage import damage
from tests.bench.trust.disk import compiler, disk
from tests.bench.trust.faults import faults
from tests.bench.trust.kills import kills
from tests.bench.trust.machines import machines
from tests.bench.trust.money import money

needs_compiler = pytest.mark.skipif(compiler() is None, reason="no C compiler for the shim here")


def faulted(every: int) -> list[Any]:
    """Acts of which each so many-th call of the system fails, in one way after the other."""
    return [
        pytest.param(partial(part, acts=(act,), least=least // every, every=every), id=name)
        for part, act, least, name in (
            (faults, "a tick and the whole file", 80, "every call fails"),
            (of_jobs_begun, "a new job", 50, "a new job fails"),
            (money, "an invoice paid", 80, "money at every call"),
        )
    ]


@pytest.mark.parametrize(
    "part",
    [
        *faulted(every=4),
        pytest.param(partial(kills, times=20), id="killed at random moments"),
        pytest.param(
            partial(disk, ways=("eio",), money=("an invoice paid",), screens=0, least=20, every=6),
            id="a disk that fails",
            marks=needs_compiler,
        ),
        pytest.param(partial(clock_back, steps=150), id="a clock set back"),
        pytest.param(partial(machines, steps=250), id="three machines"),
        pytest.param(partial(damage, times=20), id="damaged at random"),
    ],
)
def test_nothing_is_lost(part) -> None:
    holds(part)


@pytest.mark.slow
@pytest.mark.parametrize(
    "part",
    [*faulted(every=1), pytest.param(partial(damage, times=100), id="damaged at random")],
)
def test_nothing_is_lost_at_any_call(part) -> None:
    holds(part)


def holds(part: Callable[[Path], list[Count]]) -> None:
    # In memory, where there is one for files: what counts are the moments, not the disk.
    with TemporaryDirectory(dir=SHM if SHM.is_dir() else None) as folder:
        for count in part(Path(folder)):
            assert count.holds, count.line


@pytest.mark.slow
@needs_compiler
def test_the_bench_of_the_disk_still_runs_under_the_screens() -> None:
    with TemporaryDirectory() as folder:
        for count in disk(Path(folder), ("eio",), money=(), screens=1, least=1, every=ONE):
            assert count.holds, count.line


@pytest.mark.parametrize(
    "part",
    [
        pytest.param(part, id=part.name, marks=needs_compiler if part.run is disk else ())
        for part in PARTS
    ],
)
def test_each_part_of_the_bench_still_runs(part: Part, monkeypatch) -> None:
    monkeypatch.setenv("CREWDESK_MACHINE", "here")
    with TemporaryDirectory(dir=SHM if SHM.is_dir() else None) as folder:
        counts = part.least(Path(folder))
    assert counts
    assert all(count.holds for count in counts if count.most), [count.line for count in counts]
