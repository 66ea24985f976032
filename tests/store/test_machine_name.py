"""This machine's name is kept where no copy of a data folder takes it along.

Where each system keeps config and data: platformdirs' own classes for the three.
"""

import os
import platform

import platformdirs
import platformdirs.windows
import pytest
from platformdirs.macos import MacOS
from platformdirs.unix import Unix
from platformdirs.windows import Windows

from crewdesk.cli import main
from crewdesk.store.desk import Desk
from crewdesk.store.machine import machine_name, name_file


@pytest.fixture(params=[MacOS, Unix, Windows])
def system(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch, tmp_path):
    """A system, its folders in `tmp_path`."""
    monkeypatch.delenv("CREWDESK_MACHINE", raising=False)
    for name in ("HOME", "USERPROFILE", "LOCALAPPDATA", "APPDATA"):
        monkeypatch.setenv(name, str(tmp_path))
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME"):
        monkeypatch.delenv(name, raising=False)
    for name in ("user_config_path", "user_data_path"):
        monkeypatch.setattr(
            platformdirs,
            name,
            lambda app, appauthor, name=name: getattr(request.param(app, appauthor), name),
        )
    monkeypatch.setattr("crewdesk.store.machine.XDG", request.param is Unix)
    from_names = platformdirs.windows.get_win_folder_from_env_vars
    monkeypatch.setattr(platformdirs.windows, "get_win_folder", from_names)
    return request.param("crewdesk", False)


def test_it_is_not_in_the_data_folder(system, tmp_path) -> None:
    kept = name_file()
    assert kept.is_relative_to(tmp_path)
    assert not kept.is_relative_to(system.user_data_path)


@pytest.mark.unix("a folder without a drive is not absolute there")
@pytest.mark.parametrize("config", [None, "", "config", "/srv/config"])
def test_on_linux_it_is_in_the_config_folder(monkeypatch, tmp_path, config) -> None:
    # As platformdirs has it; a folder that isn't absolute counts for nothing.
    monkeypatch.setattr("crewdesk.store.machine.XDG", True)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    if config is not None:
        monkeypatch.setenv("XDG_CONFIG_HOME", config)
    assert name_file() == Unix("crewdesk", False).user_config_path / "machine"


def test_it_stays_the_same_and_a_copied_data_folder_does_not_bring_it_along(
    system, tmp_path
) -> None:
    name = machine_name()
    assert machine_name() == name
    data = system.user_data_path
    copied = {one.name: one.read_bytes() for one in data.glob("*")} if data.exists() else {}
    assert name.encode() not in copied.values()


@pytest.mark.parametrize("name", ["日本", "Ő", "...", " - "])
def test_a_name_that_no_file_can_have_is_refused(monkeypatch, tmp_path, refusing, name) -> None:
    monkeypatch.setenv("CREWDESK_MACHINE", name)
    assert "Set it to a name such as laptop." in refusing(Desk, tmp_path / "data")
    assert not (tmp_path / "data").exists()


def test_a_name_with_some_letters_that_fit_is_taken(monkeypatch) -> None:
    monkeypatch.setenv("CREWDESK_MACHINE", "日本 Laptop")
    assert machine_name() == "laptop"


@pytest.mark.unix("a FIFO is made")
def test_a_pipe_in_place_of_the_name_hangs_no_command(monkeypatch, tmp_path, capsys) -> None:
    monkeypatch.delenv("CREWDESK_MACHINE")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    kept = name_file()
    kept.parent.mkdir(parents=True)
    os.mkfifo(kept)
    monkeypatch.setattr(platform, "node", lambda: "bench.example")
    assert main(["shop", "name=Quill", "--data", str(tmp_path / "data")]) == 0
    assert [one.name for one in (tmp_path / "data" / "shop").glob("*.history")] == ["bench.history"]
