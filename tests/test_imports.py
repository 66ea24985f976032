"""Imports point one way; the contracts stand in pyproject.toml."""

import re
import subprocess
import sys
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest
from grimp import build_graph

from crewdesk.screens import router

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


def test_nothing_imports_itself_round_about() -> None:
    """Imports for types, late imports and modules named in texts are counted. The router makes
    the pages by their names; as none of them imports it, it stands over them all."""
    graph = build_graph("crewdesk", cache_dir=None)
    imports = {
        name: {*graph.find_modules_directly_imported_by(name), *_named_in_texts(name)}
        for name in graph.modules
    }
    assert "crewdesk.job.time.entry" in imports["crewdesk.job.record"]
    assert "crewdesk.screens.parts.program" in imports["crewdesk.screens.parts.page"]
    try:
        TopologicalSorter(imports).prepare()
    except CycleError as circle:
        pytest.fail(" <- ".join(circle.args[1]))


def test_no_page_imports_another() -> None:
    """The router alone makes them, by their names; only the app imports it."""
    graph = build_graph("crewdesk", cache_dir=None)
    pages = {f"crewdesk.screens.{made_by.rpartition('.')[0]}" for made_by in router.PAGES.values()}
    assert pages <= graph.modules
    for page in pages:
        assert not graph.find_modules_directly_imported_by(page) & pages, page
    assert graph.find_modules_that_directly_import(router.__name__) == {"crewdesk.screens.desk_app"}


def _named_in_texts(name: str) -> list[str]:
    path = ROOT.joinpath(*name.split("."))
    path = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
    return re.findall(r'"(crewdesk\.[a-z_.]+)"', path.read_text("utf-8"))
