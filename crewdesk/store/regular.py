"""The one place where files are opened: regular ones alone, and none by a link out of its folder.

A pipe (FIFO) that bears a job's name would hang every command, and a link that a sync or an
archive brought along could lead to any file of the user's.
"""

import os
from errno import EINVAL, EISDIR, ELOOP, ENXIO
from io import BufferedReader
from pathlib import Path
from stat import S_ISBLK, S_ISCHR, S_ISDIR, S_ISFIFO, S_ISREG, S_ISSOCK

from crewdesk.errors import Damaged
from crewdesk.store.disk import open_safe, waits_again

OURS_ALONE, ALL_OURS = 0o600, 0o700
APPLE_DOUBLE = "._"
"""How the files begin that macOS puts beside each file on a disk that isn't its own; what they
hold is none of ours."""
READ = os.O_RDONLY
AFRESH = os.O_WRONLY | os.O_CREAT | os.O_TRUNC
NEW = os.O_WRONLY | os.O_CREAT | os.O_EXCL
_NO_LINK = getattr(os, "O_NOFOLLOW", 0)
_SORTS = (
    (S_ISFIFO, "a pipe"),
    (S_ISSOCK, "a socket"),
    (S_ISCHR, "a device"),
    (S_ISBLK, "a device"),
)


class NotRegular(OSError):
    """What bears the name is something else than a file, or a link out of its folder."""


def open_handle(path: Path, flags: int, *, named: bool = False) -> int:
    """Return an open handle on a regular file, which only the user may read if it is made.

    flags: as of `os.open`. named: the user named this very file, or it came with crewdesk, so
    that links are followed, a device is taken, and a pipe to write to that someone reads. Raises
    `NotRegular` and `OSError`; never waits for another program to open the other end.
    """
    real = path if named else _followed(path)
    try:
        handle = open_safe(real, flags | (0 if named else _NO_LINK), OURS_ALONE)
    except OSError as error:
        if error.errno == ELOOP:
            raise NotRegular(ELOOP, "it is a link", str(path)) from None
        if error.errno == ENXIO:  # a pipe or a socket at whose other end is nobody
            raise NotRegular(EINVAL, "it is a pipe or a socket, not a file", str(path)) from None
        raise
    mode = os.fstat(handle).st_mode
    if named and (S_ISCHR(mode) or (S_ISFIFO(mode) and flags & os.O_WRONLY)):
        waits_again(handle)
    elif not S_ISREG(mode):
        os.close(handle)
        if S_ISDIR(mode):
            raise IsADirectoryError(EISDIR, os.strerror(EISDIR), str(path))
        sort = next((name for is_sort, name in _SORTS if is_sort(mode)), "something else")
        raise NotRegular(EINVAL, f"it is {sort}, not a file", str(path))
    return handle


def open_to_read(path: Path, *, named: bool = False) -> BufferedReader:
    """Return a regular file, open to be read; see `open_handle`."""
    return open(open_handle(path, READ, named=named), "rb")


def read_bytes(path: Path, *, named: bool = False) -> bytes:
    """Return all that a regular file holds; see `open_handle`."""
    with open_to_read(path, named=named) as file:
        return file.read()


def _followed(path: Path) -> Path:
    """Return the file that a link in the same folder leads to; raises `NotRegular` where it
    leads out of it."""
    if not path.is_symlink():
        return path
    try:
        real = path.resolve()
    except (OSError, RuntimeError):  # a link to itself; RuntimeError before Python 3.13
        raise NotRegular(ELOOP, "it is a link to itself", str(path)) from None
    if real.parent != path.parent.resolve():
        raise NotRegular(ELOOP, "it is a link out of its folder", str(path))
    return real


def why_no_folder(path: Path) -> str:
    """Return why what bears a folder's name is none; "" where it is one or nothing is there.

    A link to a folder is one. Raises `OSError` where the system doesn't say.
    """
    try:
        mode = path.stat().st_mode
    except FileNotFoundError:
        return "it is a link that leads nowhere" if path.is_symlink() else ""
    except (OSError, RuntimeError) as error:
        if path.is_symlink():
            return "it is a link that can't be followed"
        if isinstance(error, RuntimeError):
            raise OSError(ELOOP, os.strerror(ELOOP)) from None
        raise
    sort = next((name for is_sort, name in _SORTS if is_sort(mode)), "a file")
    return "" if S_ISDIR(mode) else f"it is {sort}, not a folder"


def unreadable(path: Path, error: OSError) -> Damaged:
    """Return what to raise where the system doesn't let a file be read, or it is no regular
    file."""
    if isinstance(error, NotRegular):
        return Damaged(path, str(error.strerror))
    return Damaged(path, f"the system says '{error.strerror or error}'")
