"""Imports point one way; the contracts stand in pyproject.toml."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def test_imports_point_one_way() -> None:
    done = subprocess.run(
        [Path(sys.executable).parent / "lint-imports", "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
