"""Files: the only place that opens them, and all differences between systems.

Only regular files are opened, and no links out of their folder. A pipe (FIFO) with a job's name
would hang every command, and a link from a sync or an archive could lead to any file of the user.

Everything else in crewdesk treats a disk as POSIX describes it. Windows lacks `pwrite`, doesn't
rename or remove a file that a program has open, and reserves some names for devices. macOS keeps
fsynced data in the drive's own memory.
"""

import os
import re
import time
from collections.abc import Callable
from errno import EBADF, EDQUOT, EINVAL, EIO, EISDIR, ELOOP, ENOSPC, ENOTSUP, ENXIO, ESTALE
from io import BufferedReader
from pathlib import Path
from stat import S_ISBLK, S_ISCHR, S_ISDIR, S_ISFIFO, S_ISREG, S_ISSOCK
from typing import TypeVar

import crewdesk
from crewdesk.errors import Damaged

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]

WINDOWS = os.name == "nt"
_SAFE = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
"""Flags that Windows lacks, and one without which it would write CRLF."""
_TRIES, _TRIES_TO_OPEN, _WAIT = 20, 6, 0.05
"""How often and after how many seconds Windows tries again: a virus scanner or a sync program
releases a file within a fraction of a second (from experience, no source)."""
_NOT_ON_DISK = (EIO, ENOSPC, EDQUOT, ESTALE)
"""Errors after which another fsync could succeed although data was dropped."""
_CANNOT_SYNC_FOLDERS = (EINVAL, ENOTSUP, EBADF)
_DEVICES = {"con", "prn", "aux", "nul", "conin$", "conout$"} | {
    f"{port}{number}" for port in ("com", "lpt") for number in "0123456789¹²³"
}
_UNFIT = r'[<>:"/\\|?*\x00-\x1f]'
_Result = TypeVar("_Result")


def open_safe(path: Path, flags: int, mode: int) -> int:
    """Return a handle of a file: binary, never blocking, not inherited by child processes.

    flags, mode: as of `os.open`. Raises `OSError`, for a folder `IsADirectoryError` on Windows
    too. Close a handle before its file is renamed or removed.
    """
    if WINDOWS and path.is_dir():
        raise IsADirectoryError(EISDIR, os.strerror(EISDIR), str(path))
    return patiently(lambda: os.open(path, flags | _SAFE, mode), _TRIES_TO_OPEN)


def waits_again(handle: int) -> None:
    """Make reads and writes of a device or a pipe block again, which `open_safe` turned off."""
    if hasattr(os, "O_NONBLOCK"):
        os.set_blocking(handle, True)


def write_at(handle: int, data: bytes, at: int) -> None:
    """Write all of `data` from byte `at` on. Raises `OSError`; part of it may be written then.

    The handle's own position moves; `os.pwrite` would leave it but isn't there on Windows.
    """
    os.lseek(handle, at, os.SEEK_SET)
    done = 0
    while done < len(data):
        done += os.write(handle, data[done:])


def sync(handle: int) -> None:
    """Flush a file's data to the disk. Raises `OSError`.

    On macOS fsync ends at the drive, which keeps data in memory; F_FULLFSYNC empties that too
    (fsync(2) and fcntl(2) of macOS). It takes far longer, so one save calls this once, last:
    for a new file, after `sync_folder`. File systems without it get an fsync.
    """
    full = getattr(fcntl, "F_FULLFSYNC", None)
    if full is not None:
        try:
            fcntl.fcntl(handle, full)
            return
        except OSError as error:
            if error.errno in _NOT_ON_DISK:
                raise
    os.fsync(handle)


def sync_folder(folder: Path) -> None:
    """Flush the names in a folder to the disk, if the system can. Raises `OSError`.

    On macOS the drive may keep them in memory until the next `sync`. Windows opens no folder.
    """
    if WINDOWS:
        return
    try:
        handle = os.open(folder, os.O_RDONLY)
    except PermissionError:
        return
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in _CANNOT_SYNC_FOLDERS:
            raise
    finally:
        os.close(handle)


def replace(path: Path, to: Path) -> None:
    """Rename a file or folder, over a file that has the new name. Raises `OSError`."""
    patiently(lambda: path.replace(to))


def unlink(path: Path) -> None:
    """Remove a file if it is there; close it first. Raises `OSError`."""
    patiently(lambda: path.unlink(missing_ok=True))


def patiently(call: Callable[[], _Result], tries: int = _TRIES) -> _Result:
    """Return a call's result. On Windows, retry for up to a second while another program has the
    file open. Raises the last error."""
    for _ in range(tries if WINDOWS else 0):
        try:
            return call()
        except PermissionError:
            time.sleep(_WAIT)
    return call()


def is_device(name: str) -> bool:
    """Return whether a name is reserved for a device on Windows, such as `con` or `NUL.txt`.

    https://learn.microsoft.com/en-us/windows/win32/fileio/naming-a-file
    """
    return name.partition(".")[0].rstrip(" ").lower() in _DEVICES


def fit_name(stem: str) -> str:
    """Return a name that every system accepts: a device's name gets the prefix `job-`.

    Data folders move between systems, so this is the same on each.
    """
    return f"job-{stem}" if is_device(stem) else stem


def why_unfit(name: str) -> str:
    """Return why a file can't have this name here, or ""; Windows alone refuses any."""
    if not WINDOWS:
        return ""
    if is_device(name):
        return "Windows reserves this name for a device"
    if found := re.search(_UNFIT, name):
        return f"Windows doesn't allow {found[0]!r} in a name"
    if name != name.rstrip(". "):
        return "Windows drops dots and spaces at the end of a name"
    return ""


OURS_ALONE, ALL_OURS = 0o600, 0o700
APPLE_DOUBLE = "._"
"""The prefix of files that macOS puts beside each file on foreign disks; they aren't ours."""
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
    """The name belongs to something else than a file, or to a link out of its folder."""


def open_handle(path: Path, flags: int, *, named: bool = False) -> int:
    """Return an open handle on a regular file, created readable by the user only.

    flags: as of `os.open`. named: the user named this very file, or it came with crewdesk, so links
    are followed, and a device, or a pipe that has a reader, is accepted. Raises `NotRegular` and
    `OSError`; never waits for another program to open the other end.
    """
    real = path if named else _followed(path)
    try:
        handle = open_safe(real, flags | (0 if named else _NO_LINK), OURS_ALONE)
    except OSError as error:
        if error.errno == ELOOP:
            raise NotRegular(ELOOP, "it is a link", str(path)) from None
        if error.errno == ENXIO:  # a pipe or a socket without a reader
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
    """Return a regular file open for reading; see `open_handle`."""
    return open(open_handle(path, READ, named=named), "rb")


def read_bytes(path: Path, *, named: bool = False) -> bytes:
    """Return the content of a regular file; see `open_handle`."""
    with open_to_read(path, named=named) as file:
        return file.read()


def _followed(path: Path) -> Path:
    """Return the target of a link in the same folder; raise `NotRegular` if it leads out of it."""
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
    """Return why something with a folder's name isn't one; "" if it is one or nothing is there.

    A link to a folder is one. Raises `OSError` if the system doesn't say.
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
    """Return the error for a file that the system doesn't let us read, or that isn't regular."""
    if isinstance(error, NotRegular):
        return Damaged(path, str(error.strerror))
    return Damaged(path, f"the system says '{error.strerror or error}'")


def shipped(name: str) -> Path:
    """Return the folder `fonts`, `themes` or `sample_data`.

    In a wheel it is inside the package, in a checkout beside it; the fonts are always inside.
    """
    package = Path(crewdesk.__file__).parent
    inside = package / name
    return inside if inside.is_dir() else package.parent / name
