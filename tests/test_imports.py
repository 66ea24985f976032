"""Imports point one way; the contracts stand in pyproject.toml."""

import re
import subprocess
import sys
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest
from grimp import build_graph

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


def test_nothing_below_the_screens_imports_itself_round_about() -> None:
    """Imports for types, late imports and modules named in texts are counted. The screens are
    left out: a page opens the page that opened it."""
    graph = build_graph("crewdesk", cache_dir=None)
    imports = {
        name: {*graph.find_modules_directly_imported_by(name), *_named_in_texts(name)}
        for name in graph.modules
        if not name.startswith("crewdesk.screens")
    }
    assert "crewdesk.job.entry" in imports["crewdesk.job.record"]
    try:
        TopologicalSorter(imports).prepare()
    except CycleError as circle:
        pytest.fail(" <- ".join(circle.args[1]))


def _named_in_texts(name: str) -> list[str]:
    path = ROOT.joinpath(*name.split("."))
    path = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
    return re.findall(r'"(crewdesk\.[a-z_.]+)"', path.read_text("utf-8"))
