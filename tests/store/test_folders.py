"""crewdesk's folders lie where platformdirs, which many programs use, says they do."""

import platformdirs
import pytest

from crewdesk.store.folders import user_folder

THERE = {
    "data": platformdirs.user_data_path,
    "config": platformdirs.user_config_path,
    "cache": platformdirs.user_cache_path,
}
SET = [
    {"HOME": "/home/ada"},
    {"HOME": "/home/ada/"},
    {"HOME": "/"},
    {
        "HOME": "/home/ada",
        "XDG_DATA_HOME": "/d/x",
        "XDG_CONFIG_HOME": "/e/y/",
        "XDG_CACHE_HOME": "/f",
    },
    {"HOME": "/home/ada", "XDG_DATA_HOME": "", "XDG_CONFIG_HOME": "", "XDG_CACHE_HOME": ""},
    {"XDG_DATA_HOME": "/d/x", "XDG_CONFIG_HOME": "/e/y", "XDG_CACHE_HOME": "/f"},
    {},
]


@pytest.mark.parametrize("kind", THERE)
@pytest.mark.parametrize("told", SET)
def test_folders_are_the_system_s(monkeypatch, kind, told) -> None:
    for name in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"):
        monkeypatch.delenv(name, raising=False)
    for name, path in told.items():
        monkeypatch.setenv(name, path)
    assert user_folder(kind) == THERE[kind]("crewdesk", appauthor=False)
