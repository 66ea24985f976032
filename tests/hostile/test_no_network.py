"""The program has no business on the network: it opens no socket but the pair of pipes that
asyncio keeps to wake itself, and starts no other program that could.

What Python tells of itself (PEP 578, audit hooks) is listened to in a process of its own, in
which the main job is done by commands, and a user without sense is at the screen for a short
while. `tests/bench/test_monkey_bench.py` lets that one go on.
"""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
PLAIN_SOCKET = "socket.__new__ AF_UNIX"
EVENTS = 20

DOES = """
import socket, sys

heard = []

def listen(event, given):
    if event == "socket.__new__":
        heard.append(f"socket.__new__ {socket.AddressFamily(given[1]).name}")
    elif event.startswith(("socket.", "http.", "ftplib.", "smtplib.", "urllib.", "webbrowser.")):
        heard.append(event)
    elif event in ("subprocess.Popen", "os.system", "os.exec", "os.posix_spawn", "os.fork"):
        heard.append(f"{event} {given!r:.200}")

sys.addaudithook(listen)

import asyncio, contextlib, io, json, os
from pathlib import Path
from crewdesk.cli import main
from tests.monkey.desk import BEGUN, filled
from tests.monkey.user import Monkey

root, folder, EVENTS = sys.argv[1], sys.argv[2], int(sys.argv[3])
job = "tamarack-bend"
COMMANDS = (
    f"import {root}/sample_data/tamarack-bend.json", f"stock --take {root}/sample_data/stock.json",
    "shop name=Beams hour=85 tax=7.5", f"cutlist {job}", f"progress {job}", f"hours {job} --csv",
    f"estimate {job} --accept --by Ada", f"invoice {job} --issue", "pay 1 10",
    f"invoice {job} --number 1 --pdf {folder}/1.pdf", "credit 1 --reason wrong", f"took {job}",
    f"planned {job} --ics", "accounts --csv", f"export {job} --to {folder}/out.json",
    "figure length 12ft",
)
done = []
for words in COMMANDS:
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()) as e:
        done.append((main(words.split()), words, e.getvalue()))

desk, id_ = filled(Path(folder) / "junk")
monkey = Monkey(desk, seed=7, begun=BEGUN)
asyncio.run(monkey.play(EVENTS, open_job=id_))
monkey.undo_all()
open_now = []
if os.path.isdir("/proc/self/fd"):
    for fd in os.listdir("/proc/self/fd"):
        with contextlib.suppress(OSError):
            open_now.append(os.readlink(f"/proc/self/fd/{fd}"))
told = {"heard": heard, "done": done, "open": open_now, "events": len(monkey.done)}
print(json.dumps(told | {"changes": monkey.changes}))
"""


def surroundings(tmp_path: Path) -> dict[str, str]:
    """What a process is started with, so that it keeps to a folder of the test."""
    own = {"PYTHONPATH": ROOT, "HOME": tmp_path, "CREWDESK_DATA": tmp_path / "data"}
    return {**os.environ, **{name: str(path) for name, path in own.items()}}


def run(tmp_path: Path, code: str) -> dict:
    done = subprocess.run(
        [sys.executable, "-c", code, str(ROOT), str(tmp_path), f"{EVENTS}"],
        capture_output=True,
        text=True,
        check=False,
        cwd=tmp_path,
        env=surroundings(tmp_path),
    )
    assert done.returncode == 0, done.stderr[-3000:]
    return json.loads(done.stdout.splitlines()[-1])


@pytest.mark.unix("asyncio wakes itself by a TCP socket on Windows")
def test_the_main_job_and_junk_at_the_screen_open_no_socket(tmp_path: Path) -> None:
    told = run(tmp_path, DOES)
    assert [words for status, *words in told["done"] if status != 0] == []
    assert set(told["heard"]) <= {PLAIN_SOCKET}, set(told["heard"])
    # asyncio's own: one pair for its loop, which ran once (asyncio.selector_events).
    assert told["heard"].count(PLAIN_SOCKET) == 2
    assert not any(one.startswith("socket:") for one in told["open"])
    assert told["events"] >= EVENTS
    assert told["changes"] > 1


@pytest.mark.unix("asyncio wakes itself by a TCP socket on Windows")
def test_the_ear_hears(tmp_path: Path) -> None:
    """The same listener hears a socket, a name looked up and a program started."""
    listens = DOES.split("import asyncio", 1)[0]
    code = listens + (
        "import json, subprocess\n"
        "socket.socket(socket.AF_INET).close()\n"
        "try: socket.getaddrinfo('localhost', 1)\n"
        "except OSError: pass\n"
        "subprocess.run(['true'], check=False)\n"
        "print(json.dumps({'heard': heard}))\n"
    )
    heard = run(tmp_path, code)["heard"]
    assert heard[0] == "socket.__new__ AF_INET"
    assert "socket.getaddrinfo" in heard
    assert any(one.startswith("subprocess.Popen") for one in heard)
