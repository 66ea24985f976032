"""The test suite at other hours: `python -m tests.bench.any_hour [--quick] [PYTEST WORDS...]`.

The whole default suite is run under Debian's faketime at moments that are known to break tests, on
a machine in each of three zones, and what passed and failed is printed for each. With `--quick`
only the tests of dates are run, at two of them. Further words go to pytest.
"""

import os
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple
from zoneinfo import ZoneInfo

ROOT = Path(__file__).parent.parent.parent
ZONES = ("UTC", "America/Los_Angeles", "Asia/Tokyo")
ON_THE_MACHINE = ("2027-12-31 23:50", "2028-02-29 02:30")
"""What the machine's clock shows: ten minutes to a new year, and the night of a leap day."""
IN_DENVER = {
    "2027-03-14 02:30": datetime(2027, 3, 14, 9, 30, tzinfo=UTC),
    "2027-11-07 01:30": datetime(2027, 11, 7, 8, 30, tzinfo=UTC),
}
"""What the clocks in Denver show as they are changed, at whatever hour that is on the machine.
2:30 is skipped in March: it is the moment at which a clock shows it that was not put forward. 1:30
comes twice in November: it is the second time. Clocks in the US go forward at 2:00 on the second
Sunday of March and back at 2:00 on the first Sunday of November (15 U.S.C. 260a)."""

OF_DATES = (
    "tests/job/test_today.py",
    "tests/job/test_typed_entry.py",
    "tests/job/books",
    "tests/trade/books/test_read_time.py",
    "tests/trade/books/test_local_time.py",
    "tests/store/test_machine_clock.py",
    "tests/test_cli_today.py",
    "tests/test_cli_books.py",
    "tests/test_cli_trust.py",
    "tests/screens/test_today_on_screens.py",
    "tests/screens/test_accounts_and_took.py",
)
"""The tests that are about days, hours and the books."""
QUICK = (("2027-12-31 23:50", "America/Los_Angeles"), ("2027-11-07 01:30", "UTC"))
MISSING = (
    "faketime isn't installed, so the tests can't be run at another hour. Install it, for example "
    "with `apt-get install faketime`."
)
LONGEST = 3600
"""So many seconds for one run."""


class Result(NamedTuple):
    """How many tests passed, failed and were skipped, and the names of those that failed."""

    passed: int
    failed: int
    skipped: int
    names: tuple[str, ...]


def moment_of(shown: str, zone: str) -> datetime:
    """Return the moment of one of the times above, on a machine in a zone."""
    if shown in IN_DENVER:
        return IN_DENVER[shown]
    return datetime.fromisoformat(shown).replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)


def faked(moment: datetime, zone: str, words: Sequence[str]) -> tuple[list[str], dict[str, str]]:
    """Return the command that runs Python with `words` at a moment in a zone, and its environment.

    The clock is moved by an offset and runs on from there: an absolute time would begin anew in
    each process that a test starts, and can't tell apart two times that clocks show twice. The
    monotonic clock stays as it is, since Python waits by it.
    """
    ahead = round((moment - datetime.now(UTC)).total_seconds())
    shim = str(Path(__file__).parent / "faked")
    env = {**os.environ, "TZ": zone, "PYTHONPATH": shim, "NO_FAKE_STAT": "1"}
    faketime = shutil.which("faketime") or "faketime"
    offset = f"{ahead:+d}s"
    return [faketime, "--exclude-monotonic", "-f", offset, sys.executable, *words], env


def wrong_clock(moment: datetime, zone: str) -> str:
    """Return what is wrong with faketime on this machine; "" where it works."""
    look = "import time; from datetime import datetime as d; time.sleep(0.01)"
    look += "; print(d.now().astimezone().isoformat())"
    command, env = faked(moment, zone, ("-c", look))
    done = subprocess.run(command, env=env, capture_output=True, text=True, timeout=60, check=False)
    try:
        seen = datetime.fromisoformat(done.stdout.strip())
    except ValueError:
        return f"Python doesn't run under faketime here: {done.stderr.strip()[-300:]}"
    there = moment.astimezone(ZoneInfo(zone))
    if abs((seen - moment).total_seconds()) > 60 or seen.utcoffset() != there.utcoffset():
        return f"faketime shows {seen.isoformat()} here where {there.isoformat()} was asked for."
    return ""


def run(moment: datetime, zone: str, words: Sequence[str]) -> Result:
    """Run pytest at a moment in a zone."""
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder) / "report.xml"
        marked = ("-m", "pytest", "-p", "no:cacheprovider", "-m", "not slow")
        command, env = faked(moment, zone, (*marked, f"--junitxml={report}", *words))
        done = subprocess.run(
            command,
            env=env,
            cwd=ROOT,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            timeout=LONGEST,
            check=False,
        )
        if not report.exists():
            return Result(0, 1, 0, (f"pytest itself: {done.stdout.strip()[-600:]}",))
        cases = list(ET.parse(report).getroot().iter("testcase"))
    bad = [one for one in cases if one.find("failure") is not None or one.find("error") is not None]
    skipped = sum(one.find("skipped") is not None for one in cases)
    names = tuple(f"{one.get('classname')}::{one.get('name')}" for one in bad)
    return Result(len(cases) - len(bad) - skipped, len(bad), skipped, names)


def main(words: Sequence[str]) -> int:
    """Run and print all of it; the exit status is 1 where a test failed, 2 without faketime."""
    quick = "--quick" in words
    more = [one for one in words if one != "--quick"]
    if shutil.which("faketime") is None:
        print(MISSING)
        return 2
    every = QUICK if quick else [(s, z) for s in (*ON_THE_MACHINE, *IN_DENVER) for z in ZONES]
    failed = 0
    for shown, zone in every:
        moment = moment_of(shown, zone)
        if wrong := wrong_clock(moment, zone):
            print(wrong)
            return 2
        where = "in Denver" if shown in IN_DENVER else "there"
        print(f"{shown} {where:<10} machine in {zone:<20} ", end="", flush=True)
        found = run(moment, zone, (*(OF_DATES if quick else ()), *more))
        print(f"{found.passed:>5} passed {found.failed:>4} failed {found.skipped:>3} skipped")
        for name in found.names:
            print(f"    {name}")
        failed += found.failed or not found.passed
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
