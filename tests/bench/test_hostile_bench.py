"""Hostile texts on every page that two keys in a row bring, and the main job under strace.

Run with ``pytest -n 0 -s tests/bench/test_hostile_bench.py``. strace sees what the compiled
libraries ask of the system as well, which Python's own audit hooks don't.
"""

import re
import shutil
import subprocess
import sys
from collections import Counter
from datetime import datetime
from pathlib import Path

import pytest

from crewdesk.screens.run_sheet.run_sheet import RunSheetPage
from crewdesk.store.desk import Desk
from tests.hostile.strings import fill_desk
from tests.hostile.test_no_network import DOES, EVENTS, ROOT, surroundings
from tests.hostile.walk import shown, walk
from tests.monkey.user import MonkeyApp

NOW = datetime.fromisoformat("2026-03-06T08:00:00-07:00")
CALL = re.compile(r"(\w+)\((\w+)")
LOCAL = {"AF_UNIX"}


@pytest.mark.parametrize("size", [(120, 40), (80, 24), (38, 10)])
async def test_every_page_shows_it_as_text(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    desk = Desk(tmp_path / "data")
    id_ = fill_desk(desk, NOW)
    MonkeyApp.at = NOW
    app, seen = MonkeyApp(desk, open_job=id_), Counter()
    async with app.run_test(size=size) as pilot:
        while not isinstance(app.screen, RunSheetPage):
            await pilot.pause()
        async for name in walk(app, pilot, deep=2):
            assert shown(app).replace("\n", "").isprintable(), name
            seen[name] += 1
    print(f"{size}: {seen.total()} screens of {len(seen)} pages, unseen marks shown raw 0 (bar 0)")
    assert len(seen) >= 20


def test_the_system_is_asked_for_no_socket(tmp_path: Path) -> None:
    if not (strace := shutil.which("strace")):
        pytest.skip("there is no strace here")
    told = tmp_path / "told"
    done = subprocess.run(
        [strace, "-f", "-e", "trace=network", "-o", str(told), sys.executable, "-c", DOES,
         str(ROOT), str(tmp_path), f"{EVENTS}"],
        capture_output=True, text=True, check=False, cwd=tmp_path, env=surroundings(tmp_path),
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    lines = told.read_text().splitlines()
    calls = Counter(found.groups() for line in lines for found in CALL.finditer(line))
    families = {family for (call, family) in calls if call in ("socket", "socketpair")}
    print(f"network calls under strace: {dict(calls)}; families but AF_UNIX 0 (bar 0)")
    assert families <= LOCAL
    assert not {call for call, _ in calls} & {"connect", "bind", "listen", "accept"}
    # A thread wakes the loop through the pair of sockets that it has: that goes to no address.
    assert not [line for line in lines if "sendto(" in line and "NULL, 0" not in line]
