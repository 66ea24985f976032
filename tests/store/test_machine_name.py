"""This machine's name is kept where no copy of a data folder takes it along.

Where each system keeps config and data: platformdirs' own classes for the three.
"""

import platformdirs
import platformdirs.windows
import pytest
from platformdirs.macos import MacOS
from platformdirs.unix import Unix
from platformdirs.windows import Windows

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
    from_names = platformdirs.windows.get_win_folder_from_env_vars
    monkeypatch.setattr(platformdirs.windows, "get_win_folder", from_names)
    return request.param("crewdesk", False)


def test_it_is_not_in_the_data_folder(system, tmp_path) -> None:
    kept = name_file()
    assert kept.is_relative_to(tmp_path)
    assert not kept.is_relative_to(system.user_data_path)


def test_it_stays_the_same_and_a_copied_data_folder_does_not_bring_it_along(
    system, tmp_path
) -> None:
    name = machine_name()
    assert machine_name() == name
    data = system.user_data_path
    copied = {one.name: one.read_bytes() for one in data.glob("*")} if data.exists() else {}
    assert name.encode() not in copied.values()
