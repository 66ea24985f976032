"""Where the system wants a program's data, settings and cache."""

import os
import sys
from pathlib import Path
from typing import Literal

Kind = Literal["data", "config", "cache"]

_XDG = {"data": ".local/share", "config": ".config", "cache": ".cache"}


def user_folder(kind: Kind) -> Path:
    """Return crewdesk's own folder of a kind, whether it's there or not.

    On Linux it is read here, from XDG_DATA_HOME and so on (XDG Base Directory Specification,
    "Environment variables": relative paths are ignored), since loading platformdirs takes a
    tenth of the time of a whole command. Everywhere else platformdirs says it.
    """
    if sys.platform == "linux" and "ANDROID_ROOT" not in os.environ:
        told = os.environ.get(f"XDG_{kind.upper()}_HOME", "")
        home = os.environ.get("HOME", "")
        if told.startswith("/"):
            return Path(told, "crewdesk")
        if home.startswith("/"):
            return Path(home, _XDG[kind], "crewdesk")
    import platformdirs

    named = {
        "data": platformdirs.user_data_path,
        "config": platformdirs.user_config_path,
        "cache": platformdirs.user_cache_path,
    }
    return named[kind]("crewdesk", appauthor=False)
