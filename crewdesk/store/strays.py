"""Copies that a program which syncs folders puts beside a record when two machines changed it.

Such a copy has the record's name with something behind it that no job's id holds, as
`hill-house (conflicted copy).history` or `hill-house.sync-conflict-20260302.json`. What
it holds tells whether it really is one: its history must begin as the record's own.
"""

import re
from collections.abc import Iterable
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from crewdesk.store import checkpoint
from crewdesk.store.checkpoint import START
from crewdesk.store.history_file import HistoryFile, Line
from crewdesk.store.storage import HISTORY
from crewdesk.store.trouble import Damaged

APPLE_DOUBLE = "._"
"""How the files begin that macOS puts beside each file on a disk that isn't its own; what they
hold is none of ours."""
SUFFIXES = (".json", HISTORY)
_ID = re.compile("[a-z0-9][a-z0-9-]*")
_IN_ID = re.compile("[a-z0-9]")


def owner(stem: str, ids: Iterable[str]) -> str | None:
    """The id of which a file's name, without what is behind its last dot, is a copy's.

    None where it is an id itself, or a copy of none of `ids`.
    """
    if _ID.fullmatch(stem):
        return None
    of = [id_ for id_ in ids if stem.startswith(id_) and not _IN_ID.match(stem[len(id_) :])]
    return max(of, key=len, default=None)


def plain_ids(folder: Path) -> set[str]:
    """The ids in a folder; raises `OSError`."""
    return {
        one.stem for one in folder.iterdir() if one.suffix in SUFFIXES and _ID.fullmatch(one.stem)
    }


def strays(path: Path) -> list[Path]:
    """The copies that lie beside a record, histories first; raises `OSError`."""
    found = [
        one
        for one in path.parent.iterdir()
        if one.suffix in SUFFIXES and one.stem != path.stem and one.stem.startswith(path.stem)
    ]
    ids = plain_ids(path.parent) if found else set()
    return sorted(
        (one for one in found if owner(one.stem, ids) == path.stem),
        key=lambda one: (one.suffix != HISTORY, one.name),
    )


def copy_of(stray: Path, lines: list[Line]) -> list[Line]:
    """The lines of a history that is a copy; raises `Damaged` where it is none of `lines`."""
    there = HistoryFile(stray).read(START)
    if not there or not lines or there[0].place != lines[0].place:
        raise Damaged(stray, "it is no copy of the history that bears its name")
    return there


def is_known(stray: Path, kind: str, lines: list[Line]) -> bool:
    """Whether a whole file that is a copy holds nothing that a history does not have."""
    place = checkpoint.read(stray, kind).head.place
    seals = {line.place.seal for line in lines} | {of for line in lines for of in line.change.of}
    return place.seal in seals


def put_aside(stray: Path, now: datetime) -> None:
    """Give a copy that was taken in a name that nobody looks at; it is not thrown away."""
    aside = stray.with_name(f"{stray.name}.merged-{now:%Y%m%d-%H%M%S}")
    with suppress(OSError):
        if not aside.exists():
            stray.rename(aside)
