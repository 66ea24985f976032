"""The wheel holds the themes and the sample job, and works away from the checkout."""

import os
import re
import subprocess
import sys
import tomllib
import zipfile
from email import message_from_string
from importlib.metadata import PackageNotFoundError, requires
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import crewdesk

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
    look = "from crewdesk.store.disk import shipped as s; print(s('sample_data'), s('themes'))"
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


def test_it_says_what_it_is_and_whose_work_is_in_it(unpacked: Path) -> None:
    """The fields are those of the core metadata specifications on packaging.python.org."""
    [information] = unpacked.glob("crewdesk-*.dist-info")
    metadata = message_from_string((information / "METADATA").read_text("utf-8"))
    assert metadata["Version"] == crewdesk.__version__
    assert metadata["License"] is metadata["License-Expression"] is None  # the owner's to choose
    told = (unpacked / "crewdesk" / "THIRD_PARTY.md").read_text("utf-8")
    assert told == (ROOT / "crewdesk" / "THIRD_PARTY.md").read_text("utf-8")
    for font in (unpacked / "crewdesk" / "fonts").iterdir():
        assert font.suffix in (".ttf", ".txt")
    assert (unpacked / "crewdesk" / "fonts" / "LICENSE.txt").is_file()


def test_every_package_that_it_runs_on_is_listed_with_its_license() -> None:
    """The packages are those that the installed ones say they need."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    needed: set[str] = set()
    left = [Requirement(one) for one in project["dependencies"]]
    while left:
        one = left.pop()
        name = canonicalize_name(one.name)
        extras = [{"extra": extra} for extra in ("", *one.extras)]
        if name in needed or (one.marker and not any(map(one.marker.evaluate, extras))):
            continue
        needed.add(name)
        try:
            words = requires(name) or []
        except PackageNotFoundError:  # another platform's
            continue
        inner = map(Requirement, words)
        left += [
            each for each in inner if each.marker is None or any(map(each.marker.evaluate, extras))
        ]
    rows = re.findall(
        r"^\| (\S+) \| (\S.*?) \|", (ROOT / "crewdesk" / "THIRD_PARTY.md").read_text("utf-8"), re.M
    )
    listed = {name for name, _ in rows}
    assert len(needed) > 10
    assert needed <= listed
