"""``python -m tests.bench.mutants [--mutants N] [--seed N] [--workers N] [--seconds N]
[--bar B] [--folder F]``.

Draw mutants of `trade`, `job` and `store`: each is a file with one node of its syntax tree
changed. Run each against the tests that run that place, the cheapest first, up to that many
seconds of them. At least 85% must be caught; print those that are not.
"""

import argparse
import collections
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from contextlib import suppress
from multiprocessing import Pool, current_process
from pathlib import Path

from tests.bench.dry_fit.mutate import Place
from tests.bench.mutants.covering import DRAWN, ROOT, Covering, covering
from tests.bench.mutants.drawing import drawn, made

BAR = 0.85
MOST_TESTS = 600
_HERE = ("tests", "crewdesk", "sample_data", "themes", "pyproject.toml", "README.md")
CAUGHT, HUNG, PASSED, NOT_RUN = "caught", "hung", "PASSED", "NOT RUN"


def main() -> bool:
    """Return whether enough mutants are caught."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.mutants", description=__doc__)
    parser.add_argument("--mutants", type=int, default=500)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--seconds", type=float, default=45, help="of tests a mutant (45)")
    parser.add_argument("--bar", type=float, default=BAR, help="the share to catch (0.85)")
    parser.add_argument(
        "--folder", default="", help="of crewdesk, as trade/cuts: change it, run its own tests"
    )
    args = parser.parse_args()
    begun = time.monotonic()
    known = covering(args.workers, args.folder)
    mapped = time.monotonic() - begun
    print(f"{len(known.costs)} tests, lines known after {mapped:.0f} s", flush=True)
    work = [
        (place, _chosen(known, place, args.seconds), args.seconds)
        for place in drawn(args.seed, args.mutants, args.folder)
    ]
    counts: collections.Counter[str] = collections.Counter()
    with (
        tempfile.TemporaryDirectory(prefix="crewdesk-mutants-") as folder,
        Pool(args.workers, _copy, (folder,)) as pool,
    ):
        for word, told in pool.imap_unordered(_try, work, chunksize=1):
            counts[word] += 1
            if word not in (CAUGHT, HUNG):
                print(f"  {word:<7} {told}", flush=True)
    caught = counts[CAUGHT] + counts[HUNG]
    share = caught / max(len(work), 1)
    print(
        f"{caught} of {len(work)} mutants caught, {share:.1%} (bar {args.bar:.0%}); "
        f"{counts[HUNG]} of them hung, {counts[NOT_RUN]} are run by no test; "
        f"{time.monotonic() - begun:.0f} s (bar for 500: 3600 s)"
    )
    return share >= args.bar


def _chosen(known: Covering, place: Place, seconds: float) -> list[str]:
    """Return the tests to run a mutant against: its own package's first, then the cheapest."""
    package = place.file.split("/")[1]
    names = sorted(
        known.tests_of(place),
        key=lambda name: (not name.startswith(f"tests/{package}"), known.costs[name]),
    )
    chosen: list[str] = []
    for name in names:
        seconds -= known.costs[name]
        if (seconds < 0 and chosen) or len(chosen) == MOST_TESTS:
            break
        chosen.append(name)
    return chosen


def _copy(folder: str) -> None:
    """Make the copy of the checkout that a worker changes, and go there."""
    here = Path(folder) / current_process().name
    here.mkdir()
    for name in _HERE:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, here / name, ignore=shutil.ignore_patterns("*.pyc"))
        else:
            shutil.copy2(ROOT / name, here / name)
    os.chdir(here)


def _try(work: tuple[Place, Sequence[str], float]) -> tuple[str, str]:
    place, names, seconds = work
    one = made(place)
    if not names:
        return NOT_RUN, str(one)
    path, temporary = Path(place.file), Path.cwd() / "tmp"
    sound = path.read_bytes()
    temporary.mkdir()
    env = {**os.environ, "PYTHONPATH": str(Path.cwd()), "TMPDIR": str(temporary)}
    env |= {"PYTHONDONTWRITEBYTECODE": "1", "CREWDESK_MUTANT": place.file}
    words = [sys.executable, "-m", "pytest", "-x", "-n", "0", "-p", "no:randomly"]
    listed = temporary / "tests"  # as a file: names of 600 tests may be too long for a command line
    listed.write_text("\n".join(names), "utf-8")
    words += ["-p", "no:cacheprovider", *DRAWN, "--no-header", f"@{listed}"]
    try:
        path.write_text(one.text, "utf-8")
        run = subprocess.Popen(
            words,
            env=env,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        try:
            return (CAUGHT if run.wait(60 + 5 * seconds) else PASSED), str(one)
        except subprocess.TimeoutExpired:
            return HUNG, str(one)
        finally:
            with suppress(ProcessLookupError):  # what it started goes too
                os.killpg(run.pid, signal.SIGKILL)
            run.wait()
    finally:
        path.write_bytes(sound)
        shutil.rmtree(temporary, ignore_errors=True)


if __name__ == "__main__":
    sys.exit(not main())
