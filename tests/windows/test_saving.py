"""Kill and restart, two programs at one job, files that others hold: on Windows."""

from collections.abc import Callable
from pathlib import Path

from tests.windows.conftest import SAMPLE, Windows

Run = Callable[..., bytes]
BEGIN = """
import os, sys, time
from datetime import datetime, timedelta
from pathlib import Path
from crewdesk.job.beams import beams
from crewdesk.store.desk import Desk
now = datetime.fromisoformat("2026-03-20T16:40:00-06:00")
desk = Desk(Path(sys.argv[1]))
def note(job, text):
    return job.make(beams.change_job(job.record, {"notes": text}, now))
"""


def test_nothing_acknowledged_is_lost_when_it_is_killed(
    windows: Windows, crewdesk: Run, data: Path
) -> None:
    crewdesk("import", windows.path(SAMPLE))
    for wait in range(1, 4):
        writer = windows.start(
            BEGIN
            + """
print(os.getpid(), flush=True)
job = desk.open("tamarack-bend")
for number in range(100_000):
    note(job, f"note {sys.argv[2]}.{number}")
    print(number, flush=True)
""",
            windows.path(data),
            str(wait),
        )
        with writer:
            process_id = int(writer.stdout.readline())
            told = [int(writer.stdout.readline()) for _ in range(wait * 7)]
            windows.kill(process_id)
            told += [int(line) for line in writer.stdout.read().split(b"\n")[:-1]]
        assert told == list(range(len(told)))
        assert b"all sound" in crewdesk("check")
        document = crewdesk("export", "tamarack").decode()
        assert all(f'"note {wait}.{number}"' in document for number in told)
        assert f'"note {wait}.{told[-1] + 2}"' not in document  # at most one more was on its way
    crewdesk("undo", "tamarack", "--now-is-right")
    assert b"all sound" in crewdesk("check")


def test_two_programs_save_one_job_at_once(windows: Windows, crewdesk: Run, data: Path) -> None:
    crewdesk("import", windows.path(SAMPLE))
    each = 25
    code = (
        BEGIN
        + f"""
job = desk.open("tamarack-bend")
print("ready", flush=True)
sys.stdin.readline()
for number in range({each}):
    job.look()
    note(job, f"{{sys.argv[2]}} {{number}}")
job.close(now)
"""
    )
    both = [windows.start(code, windows.path(data), who) for who in ("ada", "bo")]
    for one in both:
        assert one.stdout.readline().strip() == b"ready"
    for one in both:
        one.stdin.write(b"\n")
        one.stdin.flush()
    for one in both:
        one.communicate(timeout=120)
        assert one.returncode == 0
    document = crewdesk("export", "tamarack").decode()
    for who in ("ada", "bo"):
        assert all(f'"{who} {number}"' in document for number in range(each))
    assert b"all sound" in crewdesk("check")


HELD = """
import ctypes, os, tempfile, threading
from pathlib import Path
from crewdesk.store import disk
kernel = ctypes.windll.kernel32
kernel.CreateFileW.restype = ctypes.c_void_p
READ, SHARE_READ, OPEN = 0x80000000, 1, 3
def hold(path, share):
    # What a scanner does: it opens a file and lets nobody rename, remove or write it.
    handle = kernel.CreateFileW(str(path), READ, share, None, OPEN, 0, None)
    assert handle not in (None, ctypes.c_void_p(-1).value)
    return handle
def let_go(handle, after):
    threading.Timer(after, kernel.CloseHandle, [ctypes.c_void_p(handle)]).start()
at = tempfile.TemporaryDirectory()
here = Path(at.name)
old, new = here / "a", here / "b"
"""


def test_a_file_that_a_scanner_holds_is_replaced_once_it_lets_go(windows: Windows) -> None:
    printed = windows.run(
        "-c",
        HELD
        + """
for held in (old, new):
    old.write_bytes(b"fresh")
    new.write_bytes(b"stale")
    handle = hold(held, SHARE_READ)
    try:
        os.replace(old, new)
        print("Windows let it be replaced")
    except PermissionError:
        pass
    let_go(handle, 0.3)
    disk.replace(old, new)
    assert new.read_bytes() == b"fresh"
handle = hold(new, SHARE_READ)
let_go(handle, 0.3)
disk.unlink(new)
assert list(here.iterdir()) == []
new.write_bytes(b"here")
handle = hold(new, 0)
let_go(handle, 0.1)
opened = disk.open_safe(new, os.O_RDONLY, 0o600)
assert os.read(opened, 9) == b"here"
os.close(opened)
at.cleanup()
print("all")
""",
    )
    assert printed.split() == [b"all"]


def test_a_sync_replaces_the_files_of_a_job_that_is_open(
    windows: Windows, crewdesk: Run, data: Path
) -> None:
    # A program that syncs folders writes a new file and renames it over the old one, which
    # Windows refuses while anybody holds the old one open without share delete.
    crewdesk("import", windows.path(SAMPLE))
    printed = windows.run(
        "-c",
        BEGIN
        + """
job = desk.open("tamarack-bend")
note(job, "one")
for path in job.path.parent.iterdir():
    if path.suffix in (".json", ".history"):
        fresh = path.with_name("sync.tmp")
        fresh.write_bytes(path.read_bytes())
        os.replace(fresh, path)
note(job, "two")
job.close(now)
print("all")
""",
        windows.path(data),
    )
    assert printed.split() == [b"all"]
    assert b'"two"' in crewdesk("export", "tamarack")


def test_the_tests_of_the_store_pass_there(windows: Windows) -> None:
    """All of tests/store but those that are marked `unix`; each of these says why."""
    assert windows.beside is not None
    printed = windows.beside.printed()
    counted = printed.splitlines()[-1]
    assert " passed" in counted, printed
    assert "failed" not in counted, printed
    assert "error" not in counted, printed
    skipped = [line for line in printed.splitlines() if line.startswith("SKIPPED")]
    assert skipped
    assert [line for line in skipped if ": unix: " not in line] == []
    print(counted)
