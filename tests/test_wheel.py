"""The wheel holds the themes and the sample job, and works away from the checkout."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a wheel that was built from this checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", folder, ROOT],
        cwd=folder,
        check=True,
        capture_output=True,
    )
    [wheel] = folder.glob("*.whl")
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(folder / "site")
    return folder / "site"


def test_it_ships_what_the_checkout_ships(unpacked: Path) -> None:
    for name in ("themes", "sample_data"):
        here = {path.name: path.read_bytes() for path in (ROOT / name).iterdir()}
        there = {path.name: path.read_bytes() for path in (unpacked / "crewdesk" / name).iterdir()}
        assert there == here
        assert here
    [information] = unpacked.glob("crewdesk-*.dist-info")
    assert sorted(path.name for path in unpacked.iterdir()) == ["crewdesk", information.name]


def test_it_finds_its_own_sample_and_no_other(unpacked: Path, tmp_path: Path) -> None:
    """The commands run from the wheel alone, in a folder that knows nothing of the checkout."""
    look = "from crewdesk.store.shipped import shipped as s; print(s('sample_data'), s('themes'))"
    env = {**os.environ, "PYTHONPATH": str(unpacked), "CREWDESK_DATA": str(tmp_path / "data")}

    def run(*words: str) -> str:
        done = subprocess.run(
            [sys.executable, *words],
            cwd=tmp_path,
            env=env,
            capture_output=True,
            text=True,
            check=True,
        )
        return done.stdout

    package = unpacked / "crewdesk"
    assert run("-c", look).split() == [str(package / "sample_data"), str(package / "themes")]
    sample = str(package / "sample_data" / "tamarack-bend.json")
    assert "tamarack-bend" in run("-m", "crewdesk", "import", sample)
    assert "hearth wall" in run("-m", "crewdesk", "cutlist", "tamarack")
