"""What README shows of the program is what the program makes: its run sheet, its keys."""

import re
import shlex
from pathlib import Path

import pytest
from platformdirs.api import PlatformDirsABC
from platformdirs.macos import MacOS
from platformdirs.unix import Unix

from crewdesk.cli import _parser
from tests.pictures.drawn import words_of
from tests.pictures.into_readme import README, note, pictures, with_pictures
from tests.pictures.tour import FOLDER, photographed

TEXT = README.read_text()


@pytest.fixture(scope="module")
def made() -> dict[str, str]:
    """What the program makes for README."""
    return pictures()


def test_what_it_shows_is_what_the_program_makes(made: dict[str, str]) -> None:
    assert all(TEXT.count(note(name)) == 1 for name in made)
    assert "Great room" in made["run_sheet"]
    picture = made["run_sheet"].splitlines()[1:-1]
    assert len(picture) == 24
    assert all(len(line) <= 80 for line in picture)
    assert with_pictures(TEXT, made) == TEXT, "run: python -m tests.pictures.into_readme"
    assert made["run_sheet"] in TEXT
    assert made["keys"] in TEXT
    assert made["commands"] in TEXT


def test_a_stale_picture_is_put_right(made: dict[str, str]) -> None:
    old = {"run_sheet": "```text\nold\n```\n", "keys": "| a |\n| b |\n", "commands": "| c |\n"}
    stale = with_pictures(TEXT, old)
    assert stale != TEXT
    assert old["run_sheet"] in stale
    assert f"{old['keys']}\n`Ctrl+f` finds" in stale
    assert with_pictures(stale, made) == TEXT


@pytest.mark.parametrize("instrument", ["laser", "level", "square", "tape"])
def test_it_tells_how_to_read_with_each_instrument(instrument: str) -> None:
    readings = TEXT.partition("## Readings\n")[2].partition("\n## ")[0]
    assert f", with the {instrument}.**" in readings
    assert "ladder" in readings


async def test_the_tour_s_pictures_are_what_the_program_shows() -> None:
    for name, svg in (await photographed()).items():
        path = FOLDER / f"{name}.svg"
        told = "run: python -m tests.pictures.tour"
        assert words_of(path.read_text(encoding="utf-8")) == words_of(svg), told
        assert f"]({path.relative_to(README.parent)})" in TEXT


@pytest.mark.parametrize(
    ("system", "data", "config"),
    [
        (Unix, "~/.local/share/crewdesk", "~/.config/crewdesk"),
        (MacOS, "~/Library/Application Support/crewdesk", "the data folder above"),
    ],
)
def test_the_folders_that_it_names_are_the_system_s(
    system: type[PlatformDirsABC], data: str, config: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By platformdirs' class for each; Windows' is looked at in `tests/windows`."""
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME"):
        monkeypatch.delenv(name, raising=False)
    folders = system("crewdesk", appauthor=False)
    assert folders.user_data_path == Path(data).expanduser()
    named = data if config.startswith("the data") else config
    assert folders.user_config_path == Path(named).expanduser()
    words = " ".join(TEXT.split())
    assert f"`{data}` on {'macOS' if system is MacOS else 'Linux'}" in words
    assert config in words


def test_every_file_that_the_guide_names_is_there() -> None:
    root = README.parent
    guide = (root / "DEVELOPERS.md").read_text("utf-8")
    named = set(re.findall(r"`([a-z_/]+(?:\.py|/))`", guide))
    assert len(named) > 50
    places = [root, *(root / "crewdesk").rglob("")]
    assert [name for name in named if not any((at / name).exists() for at in places)] == []


def test_the_commands_that_it_shows_are_taken() -> None:
    shown = {
        one for one in re.findall(r"`(crewdesk[^`\n]*)`", TEXT) if not re.search(r"[\[A-Z]", one)
    }
    assert {"crewdesk --large", "crewdesk demo --large"} <= shown
    for one in shown:
        words = shlex.split(one)[1:]
        if not {"--help", "--version"} & {*words}:  # they end by themselves
            assert _parser(words).parse_args(words)


def test_its_commands_for_powershell_are_those_for_sh() -> None:
    blocks = re.findall(r"```(sh|powershell)\n(.*)\n```", TEXT.partition("\n## Five minutes")[0])
    assert [shell for shell, _ in blocks] == ["sh", "powershell"] * 2
    for (_, sh), (_, powershell) in zip(blocks[::2], blocks[1::2], strict=True):
        # A venv's programs: https://docs.python.org/3/library/venv.html (Scripts on Windows). The
        # launcher `py` finds the newest Python (PEP 397), and Windows PowerShell 5.1 has no &&.
        there = sh.replace(" && ", "; ").replace("python3 ", "py ").replace("/", "\\")
        assert powershell == there.replace("\\bin\\", "\\Scripts\\")
