"""What differs from system to system where files are written, made to last, renamed and named.

Everything else in crewdesk treats a disk as POSIX describes it. Windows lacks `pwrite`, lets
nobody rename or remove a file that any program holds open, and takes some names for devices.
macOS keeps what was fsynced in the drive's own memory.
"""

import os
import re
import time
from collections.abc import Callable
from errno import EBADF, EDQUOT, EINVAL, EIO, EISDIR, ENOSPC, ENOTSUP, ESTALE
from pathlib import Path
from typing import TypeVar

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]

WINDOWS = os.name == "nt"
_SAFE = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)
"""Windows lacks the first two; without the last it would write CRLF."""
_TRIES, _TRIES_TO_OPEN, _WAIT = 20, 6, 0.05
"""How often and after how many seconds Windows is asked again: a virus scanner or a program that
syncs folders lets go of a file within a fraction of a second (from experience, no source)."""
_NOT_ON_DISK = (EIO, ENOSPC, EDQUOT, ESTALE)
"""Errors after which another fsync could succeed although data was dropped."""
_CANNOT_SYNC_FOLDERS = (EINVAL, ENOTSUP, EBADF)
_DEVICES = {"con", "prn", "aux", "nul", "conin$", "conout$"} | {
    f"{port}{number}" for port in ("com", "lpt") for number in "0123456789¹²³"
}
_UNFIT = r'[<>:"/\\|?*\x00-\x1f]'
_Result = TypeVar("_Result")


def open_safe(path: Path, flags: int, mode: int) -> int:
    """Return a handle of a file: bytes as they are, never waiting, not for programs started here.

    flags, mode: as of `os.open`. Raises `OSError`, for a folder `IsADirectoryError` on Windows
    too. Close a handle before its file is renamed or removed.
    """
    if WINDOWS and path.is_dir():
        raise IsADirectoryError(EISDIR, os.strerror(EISDIR), str(path))
    return patiently(lambda: os.open(path, flags | _SAFE, mode), _TRIES_TO_OPEN)


def waits_again(handle: int) -> None:
    """Let reading and writing a device or a pipe wait for it, which `open_safe` turned off."""
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
    """Make what was written to a file last, even if the power fails. Raises `OSError`.

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
    """Make the names in a folder last, where the system can. Raises `OSError`.

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
    """Return what a call returns. On Windows it is tried again for up to a second while another
    program holds the file. Raises what it raises last."""
    for _ in range(tries if WINDOWS else 0):
        try:
            return call()
        except PermissionError:
            time.sleep(_WAIT)
    return call()


def is_device(name: str) -> bool:
    """Return whether Windows takes a file's or folder's name for a device, as `con` or `NUL.txt`.

    https://learn.microsoft.com/en-us/windows/win32/fileio/naming-a-file
    """
    return name.partition(".")[0].rstrip(" ").lower() in _DEVICES


def fit_name(stem: str) -> str:
    """Return a name that every system can keep: that of a device gets `job-` before it.

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
