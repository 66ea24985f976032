"""What lies in a record's folder: every machine's history and whole copies."""

import os
import re
from pathlib import Path

from crewdesk.store.history_file import HISTORY

_COPY = r"[^.].*\.json(\.[0-9]+)?"


def histories(folder: Path) -> list[Path]:
    """Every history in a record's folder, by name; raises `OSError`."""
    return [one for one in _files(folder) if one.suffix == HISTORY and one.name != HISTORY]


def copy_files(folder: Path) -> list[Path]:
    """Every whole copy in a record's folder, by name; raises `OSError`."""
    return [one for one in _files(folder) if re.fullmatch(_COPY, one.name)]


def _files(folder: Path) -> list[Path]:
    try:
        with os.scandir(folder) as entries:
            return sorted(
                Path(one.path)
                for one in entries
                if not one.name.startswith(".") and not one.is_dir(follow_symlinks=False)
            )
    except (FileNotFoundError, NotADirectoryError):
        return []
