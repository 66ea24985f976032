"""Find which tests run a line of crewdesk, by running the tests once under coverage.

The result is kept in `.mutants/` in the checkout until a file of crewdesk or of the tests
changes.
"""

import ast
import hashlib
import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from coverage import CoverageData

from tests.bench.dry_fit.mutate import Place
from tests.bench.mutants.contexts import COSTS

ROOT = Path(__file__).parents[3]
KEPT = ROOT / ".mutants"
PACKAGES = ("trade", "job", "store")
LEFT_OUT = (
    "tests/bench",
    "tests/pictures",
    "tests/terminal",
    "tests/test_speed.py",
    "tests/test_startup.py",
    "tests/test_wheel.py",
)
"""Tests that fail where the machine is busy, or that run crewdesk in a process of its own alone,
where coverage sees no line."""
DRAWN = ("--hypothesis-seed=0", "--hypothesis-profile=some")
"""Each run draws the same examples."""


class Covering(NamedTuple):
    """The data of coverage, and the seconds of processor time of each test that passed."""

    data: tuple[CoverageData, ...]
    costs: dict[str, float]

    def tests_of(self, place: Place) -> set[str]:
        """Return the tests that run the statement of a place, or, where only an import runs it,
        those that run anything of its file."""
        tree = ast.parse((ROOT / place.file).read_text("utf-8"))
        by_line: dict[int, set[str]] = {}
        for one in self.data:
            for line, names in one.contexts_by_lineno(str(ROOT / place.file)).items():
                by_line.setdefault(line, set()).update(set(names) & self.costs.keys())
        lines, in_function = _statement(tree, place.line)
        found = set().union(*(by_line.get(line, ()) for line in lines))
        if found or in_function:
            return found
        return set().union(*by_line.values())


def _statement(tree: ast.Module, line: int) -> tuple[range, bool]:
    """Return the lines of the innermost statement around a line, and whether a function holds it.
    Of a statement with a body the lines before the body count, of a function all of them."""
    lines, in_function = range(line, line + 1), False
    defines = ast.FunctionDef | ast.AsyncFunctionDef
    for node in ast.walk(tree):  # outer nodes come first
        if not isinstance(node, ast.stmt) or not node.lineno <= line <= (node.end_lineno or 0):
            continue
        if isinstance(node, defines):
            in_function = in_function or line >= node.body[0].lineno
            lines = range(node.lineno, (node.end_lineno or 0) + 1)
        else:
            body = getattr(node, "body", None) or getattr(node, "cases", None)
            end = body[0].pattern.lineno if hasattr(node, "cases") else None
            end = end or (body[0].lineno if body else (node.end_lineno or 0) + 1)
            lines = range(node.lineno, max(end, node.lineno + 1))
    return lines, in_function


def covering(workers: int, folder: str = "") -> Covering:
    """Return which tests run which lines: the kept result, or a new one. `folder`: run the tests
    of that folder alone."""
    key = f"{folder} {_key()}"
    KEPT.mkdir(exist_ok=True)
    told = KEPT / "key"
    if not told.exists() or told.read_text("utf-8") != key:
        _run(workers, folder)
        told.write_text(key, "utf-8")
    data, costs = [], {}
    for path in sorted(KEPT.glob("lines-*")):
        one = CoverageData(str(path))
        one.read()
        data.append(one)
        found = json.loads((KEPT / f"costs-{path.name[6:]}").read_text("utf-8"))
        costs.update(found["costs"])
        for name in found["failed"]:
            print(f"  fails without a fault, so it's left out: {name}")
    return Covering(tuple(data), costs)


def _run(workers: int, folder: str) -> None:
    for old in KEPT.iterdir():
        old.unlink()
    files = [one for one in _files(f"tests/{folder}") if one.name.startswith("test_")]
    names = [one.relative_to(ROOT).as_posix() for one in files]
    names = [one for one in names if not one.startswith(LEFT_OUT)]
    runs = []
    for shard in range(workers):
        env = {
            **os.environ,
            "COVERAGE_FILE": str(KEPT / f"lines-{shard}"),
            COSTS: str(KEPT / f"costs-{shard}"),
        }
        sources = ",".join(str(ROOT / "crewdesk" / one) for one in PACKAGES)
        words = [sys.executable, "-m", "coverage", "run", f"--source={sources}", "-m", "pytest"]
        words += ["-n", "0", "-p", "tests.bench.mutants.contexts", "-p", "no:randomly"]
        words += ["-p", "no:cacheprovider", *DRAWN, *names[shard::workers]]
        with (KEPT / f"told-{shard}").open("w") as out:
            runs.append(subprocess.Popen(words, cwd=ROOT, env=env, stdout=out, stderr=out))
    for one in runs:
        if one.wait() not in (0, 1):
            raise SystemExit(f"The tests could not be run; see {KEPT}/told-*.")


def _key() -> str:
    digest = hashlib.sha256()
    for path in (*_files("crewdesk"), *_files("tests")):
        digest.update(path.relative_to(ROOT).as_posix().encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()


def _files(folder: str) -> Iterator[Path]:
    return iter(sorted((ROOT / folder).rglob("*.py")))
