"""A command that only prints loads none of what only the screens and the books need."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

SAMPLE = Path(__file__).parent.parent / "sample_data" / "tamarack-bend.json"
HEAVY = {"textual", "rich", "highspy", "numpy", "fpdf"}
OF_OTHER_SYSTEMS = {"platformdirs"} if sys.platform == "linux" else set()
PROBE = """
import json, sys
from crewdesk.cli import main
status = main(sys.argv[1:])
print(json.dumps([status, sorted({name.partition(".")[0] for name in sys.modules})]),
      file=sys.stderr)
"""


@pytest.mark.parametrize(
    ("words", "spared"),
    [
        (["cutlist", "tamarack"], HEAVY | OF_OTHER_SYSTEMS),
        (["hours", "tamarack", "--json"], HEAVY),
        (["stock"], HEAVY),
        (["sheet", "tamarack", "cautions"], HEAVY - {"fpdf"}),
        (["figure", "length", "12 3 5/16"], HEAVY | {"tinydb", "filelock", "platformdirs"}),
    ],
)
def test_printing_is_light(tmp_path: Path, copy_data, words: list[str], spared: set[str]) -> None:
    copy_data(tmp_path)
    env = {name: value for name, value in os.environ.items() if name != "CREWDESK_MACHINE"}
    env["XDG_CONFIG_HOME"] = str(tmp_path / "config")  # where the machine's name is kept
    done = subprocess.run(
        [sys.executable, "-c", PROBE, *words, "--data", str(tmp_path)],
        capture_output=True,
        text=True,
        check=True,
        cwd=tmp_path,
        env={**env, "PYTHONPATH": str(SAMPLE.parent.parent)},
    )
    status, loaded = json.loads(done.stderr)
    assert status == 0
    assert "crewdesk" in loaded
    assert spared.isdisjoint(loaded), spared & set(loaded)


def test_the_run_sheet_is_there_without_what_other_pages_need() -> None:
    code = (
        "import json, sys\n"
        "from crewdesk.screens import app, router\n"
        "router.found('run-sheet')\n"
        "print(json.dumps([router.PAGES, list(sys.modules)]))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    pages, loaded = json.loads(done.stdout)
    modules = {name: f"crewdesk.screens.{one.rpartition('.')[0]}" for name, one in pages.items()}
    assert {name for name, one in modules.items() if one in loaded} == {"run-sheet"}
    assert {"crewdesk.store.books", "highspy", "numpy", "fpdf"}.isdisjoint(loaded)
