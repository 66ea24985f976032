"""A million inputs for what reads lengths, times, money and files, grown by atheris along the
branches that they reach. Nothing may come out but a `BadInput` or `NotAllowed` of one sentence.

Run with ``pytest -n 0 -s tests/bench/test_fuzz_bench.py``; it needs the `bench` extra and
about ten minutes.
"""

import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
RUNS = {"lengths": 350_000, "times": 300_000, "money": 300_000, "imports": 50_000}
BAR = 1_000_000


def test_a_million_inputs(tmp_path: Path) -> None:
    pytest.importorskip("atheris")
    given = 0
    for name, runs in RUNS.items():
        corpus, began = tmp_path / name, time.perf_counter()
        corpus.mkdir()
        done = subprocess.run(
            [sys.executable, "-m", "tests.bench.fuzz_one", name, f"{runs}", f"{corpus}"],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, (done.stdout + done.stderr)[-4000:]
        assert f"given {runs}" in done.stdout
        given += runs
        took = time.perf_counter() - began
        kept = len(list(corpus.iterdir()))
        print(f"{name:8} {runs:>9,} inputs, {kept:>5} kept for a new branch, {took:5.0f} s")
    print(f"all      {given:>9,} inputs (bar {BAR:,}), exceptions that are not ours 0 (bar 0)")
    assert given >= BAR
