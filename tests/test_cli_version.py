"""`crewdesk --version` and the last line of `check`: what a bug report needs, nothing private."""

import json
import platform
import re
import tomllib
from contextlib import suppress
from importlib.metadata import version
from pathlib import Path

import pytest

from crewdesk import __version__
from crewdesk.cli import main
from crewdesk.commands.version import LIBRARIES
from crewdesk.store.checkpoint import SCHEMA

ROOT = Path(__file__).parent.parent


@pytest.fixture
def said(capsys):
    """Runs a command; gives what it printed, without the line's end."""

    def run(*words):
        with suppress(SystemExit):
            assert main(words) == 0
        return capsys.readouterr().out.removesuffix("\n")

    return run


def test_it_tells_every_version_in_one_line(desk, job, now, said, monkeypatch) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("COLORTERM", "truecolor")
    told = said("--version")
    assert "\n" not in told
    assert told.startswith(f"crewdesk {__version__}, files of schema {SCHEMA}; Python 3.")
    assert f"Python {platform.python_version()} on {platform.system()} " in told
    for name in LIBRARIES:
        assert f" {name} {version(name)}" in told
    assert "; terminal xterm-256color, truecolor, " in told
    job.close(now)
    assert said("check", "--data", str(desk.folder)).splitlines()[-1] == told
    assert json.loads(said("check", "--json", "--data", str(desk.folder)))["version"] == told


def test_it_names_every_library_that_it_needs() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    needed = {re.match(r"[\w-]+", one)[0] for one in project["dependencies"]}
    assert needed == set(LIBRARIES)


def test_nothing_private_is_in_it(desk, job, now, said, monkeypatch) -> None:
    private = {
        "TERM_PROGRAM": "/home/ada/term",
        "TERM": "ada quill's",
        "COLORTERM": "x" * 41,
        "SSH_CONNECTION": "10.1.2.3 50000 10.4.5.6 22",
        "TMUX": "/tmp/tmux-1000/ada,1,0",
        "USER": "ada",
        "HOME": "/home/ada",
    }
    for name, value in private.items():
        monkeypatch.setenv(name, value)
    job.close(now)
    for told in (
        said("--version"),
        said("check", "--json", "--data", str(desk.folder)).partition('"files"')[0],
    ):
        assert "tmux, ssh" in told
        for word in (*private.values(), "ada", "Ada", "hill", str(desk.folder)):
            assert word not in told
        assert f" {platform.node()} " not in told


def test_it_says_which_library_is_missing(said, monkeypatch) -> None:
    from importlib import metadata

    real = metadata.version

    def without_numpy(name: str) -> str:
        if name == "numpy":
            raise metadata.PackageNotFoundError(name)
        return real(name)

    monkeypatch.setattr(metadata, "version", without_numpy)
    assert ", numpy is missing, " in said("--version")
