"""Versions for a bug report: no name, no path, nothing of the jobs."""

import os
import re
import sys

from crewdesk import __version__
from crewdesk.store.checkpoint import SCHEMA

LIBRARIES = (
    "textual",
    "rich",
    "tinydb",
    "filelock",
    "platformdirs",
    "fpdf2",
    "highspy",
    "numpy",
    "icalendar",
    "python-dateutil",
    "tzdata",
)
_PLAIN = re.compile(r"[\w.+-]{1,40}", re.ASCII)
"""The printable values of the environment: none that could be a path, an address or a sentence."""


def version_text() -> str:
    """Return the versions of crewdesk, of its files, of Python, the system and the libraries, and
    what kind of terminal it is, in one line."""
    import platform

    python = f"Python {platform.python_version()}"
    release = platform.mac_ver()[0] or platform.release()
    system = " ".join(filter(None, (platform.system(), release, platform.machine())))
    libraries = ", ".join(f"{name} {_version(name)}" for name in LIBRARIES)
    return (
        f"crewdesk {__version__}, files of schema {SCHEMA}; {python} on {system}; {libraries}; "
        f"{_terminal()}"
    )


def _version(name: str) -> str:
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version(name)
    except PackageNotFoundError:
        return "is missing"


def _terminal() -> str:
    """Return the terminal's kind, size, encoding and connection."""
    kinds = [os.environ.get(name, "") for name in ("TERM", "COLORTERM", "TERM_PROGRAM")]
    lines = [one for one in kinds if _PLAIN.fullmatch(one)] or ["of unknown kind"]
    passed = {"WT_SESSION": "Windows Terminal", "TMUX": "tmux", "STY": "screen"}
    passed |= {"SSH_CONNECTION": "ssh"}
    lines += [name for variable, name in passed.items() if os.environ.get(variable)]
    try:
        lines.append("{}x{}".format(*os.get_terminal_size(sys.__stdout__.fileno())))  # type: ignore[union-attr]
    except (AttributeError, OSError, ValueError):
        lines.append("output not to a terminal")
    lines.append(str(getattr(sys.stdout, "encoding", None) or "no encoding"))
    if os.environ.get("NO_COLOR"):
        lines.append("NO_COLOR")
    return f"terminal {', '.join(lines)}"
