"""Convert a data folder of an older crewdesk, which has all files side by side.

Up to schema 3 a job was `jobs/NAME.json` and `jobs/NAME.history`, written by every machine, and the
business `shop.json` and `shop.history`. First the whole folder is copied to `kept-from-schema-3`.
Then each file is moved unchanged into its record's folder, where it is read like another machine's
and never written again.
"""

import re
from collections.abc import Iterable
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from crewdesk.errors import NotAllowed
from crewdesk.store.checkpoint import put_file
from crewdesk.store.disk import ALL_OURS, read_bytes, replace
from crewdesk.store.history_lines import HISTORY

KEPT = "kept-from-schema-3"
_ID = "[a-z0-9][a-z0-9-]*"
_IN_ID = "[a-z0-9]"
_OURS = r"(?P<stem>[^.].*?)(\.json(\.[0-9]+)?|\.history)"
_HEAD = b'{"crewdesk":"shop","schema":4,"history":{"changes":0,"bytes":0,"seal":""}'
_BODY = b'"tables":{}}\n'
_SEAL = sha256(_HEAD + b"}\n" + _BODY).hexdigest().encode()
SIGN = _HEAD + b',"sha256":"' + _SEAL + b'",\n' + _BODY
"""The content of `shop.json` from schema 4 on: it makes an older crewdesk ask for an update."""


def take_over(folder: Path, *, make: bool = True) -> None:
    """Convert a data folder if it has files of an older crewdesk.

    make: write the notice for an older crewdesk even if the folder is new. Raises `NotAllowed` if
    it can't be written; the next call continues.
    """
    jobs = folder / "jobs"
    try:
        flat = [(one, jobs, stem) for one, stem in _flat(jobs)]
        flat += [
            (one, folder, "shop") for one, stem in _flat(folder) if owner(stem, ["shop"]) == "shop"
        ]
    except OSError:  # reported when it is used
        return
    try:
        flat = [one for one in flat if not _is_sign(one[0])]
        if flat:
            _keep(folder)
        ids = {stem for one, where, stem in flat if where == jobs and re.fullmatch(_ID, stem)}
        ids |= {one.name for one in jobs.iterdir() if one.is_dir()}
        for one, where, stem in flat:
            id_ = stem if where == folder else owner(stem, ids)
            if id_ is None and one.suffix == HISTORY and not one.stat().st_size:
                continue
            if id_ is not None:
                _move(one, where / id_)
        if (make or flat) and not _is_sign(folder / "shop.json"):
            with suppress(OSError):
                put_file(folder / "shop.json", SIGN)
    except OSError as error:
        raise NotAllowed(
            f"{folder} was written by an older crewdesk and can't be upgraded: "
            f"{error.strerror or error}. Free some space or make it writable, then try "
            "again."
        ) from None


def owner(stem: str, ids: Iterable[str]) -> str | None:
    """Return the id that a file's name belongs to: its own, or that of a sync's copy such as
    `hill-house (conflicted copy)`. None if it is none of `ids`."""
    of = [
        id_
        for id_ in ids
        if stem == id_
        or (
            stem.startswith(id_)
            and not re.match(_IN_ID, stem[len(id_) :])
            and not re.fullmatch(_ID, stem)
        )
    ]
    return max(of, key=len, default=None)


def _flat(folder: Path) -> list[tuple[Path, str]]:
    """Return records' files that are side by side, with the name before the suffix."""
    return [
        (one, found["stem"])
        for one in sorted(folder.iterdir())
        if one.is_file() and not one.is_symlink() and (found := re.fullmatch(_OURS, one.name))
    ]


def _is_sign(path: Path) -> bool:
    try:
        return path.name == "shop.json" and read_bytes(path) == SIGN
    except FileNotFoundError:
        return False
    except OSError:
        return True


def _keep(folder: Path) -> None:
    """Copy everything once, unchanged; raises `OSError`."""
    import shutil  # slow to import, and needed once

    kept = folder / KEPT
    if kept.exists():
        return
    half = folder / f"{KEPT}.half"
    shutil.rmtree(half, ignore_errors=True)
    half.mkdir(mode=ALL_OURS)
    for one in (folder, folder / "jobs"):
        there = half / one.relative_to(folder)
        there.mkdir(mode=ALL_OURS, exist_ok=True)
        for file in one.iterdir():
            if file.is_file() and not file.is_symlink() and file.suffix != ".lock":
                shutil.copy2(file, there / file.name)
    replace(half, kept)


def _move(path: Path, folder: Path) -> None:
    """Move a file into its record's folder, under a free name; raises `OSError`."""
    folder.mkdir(mode=ALL_OURS, exist_ok=True)
    found = re.fullmatch(_OURS, path.name)
    assert found is not None
    stem, rest = found["stem"], path.name[len(found["stem"]) :]
    to, count = folder / path.name, 1
    while to.exists():
        if read_bytes(to) == read_bytes(path):
            break
        count += 1
        to = folder / f"{stem} {count}{rest}"
    replace(path, to)
