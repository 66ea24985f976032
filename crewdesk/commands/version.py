"""What runs here, as a bug report needs it: no name, no path, nothing of the jobs."""

import platform
import sys
from importlib.metadata import PackageNotFoundError, version

from crewdesk import __version__
from crewdesk.store.checkpoint import SCHEMA

_PARTS = ("textual", "rich", "tinydb", "filelock")


def version_text() -> str:
    """Return the versions of crewdesk, of its files, of Python, the system and the parts that it
    is made with, in one line."""
    parts = [f"{name} {_version(name)}" for name in _PARTS]
    system = f"{platform.system()} {platform.machine()}".strip()
    python = ".".join(map(str, sys.version_info[:3]))
    return f"crewdesk {__version__}, files of schema {SCHEMA}; Python {python} on {system}; " + (
        ", ".join(parts)
    )


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "is missing"
