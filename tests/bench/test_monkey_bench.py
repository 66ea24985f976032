"""A user without sense at the program, for 20,000 events: keys, junk, pastes, clicks, sizes of
the window, leaps of the clock. After each the app stands and every record is sound (see
`tests/monkey/valid.py`); at the end all is undone, to the very beginning.

Run with ``pytest -n 0 -s tests/bench/test_monkey_bench.py``; `MONKEY_SEEDS` names others, as
``MONKEY_SEEDS=100-139``. It takes a quarter of an hour and more.
"""

import os
import pkgutil
import time
from collections import Counter
from importlib import import_module
from pathlib import Path

import pytest
from textual.screen import Screen

import crewdesk.screens
from tests.monkey.desk import BEGUN, filled
from tests.monkey.user import Monkey

EVENTS, EACH = 20_000, 1_000
FIRST, _, LAST = os.environ.get("MONKEY_SEEDS", f"1-{EVENTS // EACH}").partition("-")
SEEDS = range(int(FIRST), int(LAST or FIRST) + 1)


def every_page() -> set[str]:
    """The names of all screens that crewdesk has."""
    names = set()
    for module in pkgutil.walk_packages(crewdesk.screens.__path__, "crewdesk.screens."):
        for name, one in vars(import_module(module.name)).items():
            ours = isinstance(one, type) and one.__module__ == module.name
            if ours and issubclass(one, Screen) and not one.__subclasses__():
                names.add(name)
    return names


async def test_twenty_thousand_events(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    done, changes, seen, began = 0, 0, Counter(), time.process_time()
    for seed in SEEDS:
        home = tmp_path / f"{seed}" / "home"
        home.mkdir(parents=True)
        monkeypatch.setenv("HOME", str(home))
        monkeypatch.chdir(home)
        desk, id_ = filled(home / "data")
        monkey = Monkey(desk, seed, BEGUN)
        await monkey.play(EACH, open_job=id_)
        monkey.undo_all()
        done, changes, seen = done + len(monkey.done), changes + monkey.changes, seen + monkey.seen
        print(f"seed {seed}: {len(monkey.done)} events, {monkey.changes} changes of a record")
        assert {path.name for path in tmp_path.iterdir()} == {f"{n}" for n in SEEDS if n <= seed}
    unseen = every_page() - set(seen)
    print(
        f"events {done} (bar {EVENTS}), each looked at after {changes} changes; crashes 0 (bar 0)"
    )
    print(f"unsound records 0 (bar 0); undone to the start {len(SEEDS)} of {len(SEEDS)}")
    print(f"pages seen {len(every_page()) - len(unseen)} of {len(every_page())}", unseen or "")
    print(f"{(time.process_time() - began) / done * 1000:.0f} ms of CPU for each")
    if len(SEEDS) * EACH >= EVENTS:
        assert done >= EVENTS
        assert not unseen
