import os
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import datetime
from errno import EIO
from pathlib import Path
from stat import S_ISDIR

import pytest

from crewdesk.store.desk import Desk
from crewdesk.store.job_file import JobFile
from tests.conftest import make_job


@pytest.fixture
def job(desk: Desk, now: datetime) -> Iterator[JobFile]:
    """The job of `tests/conftest.py` as it is when it was begun just now: its files are looked
    at here."""
    opened = make_job(desk)
    yield opened
    opened.close(now)


@pytest.fixture
def failing(monkeypatch: pytest.MonkeyPatch) -> Callable[..., AbstractContextManager[list[str]]]:
    """While it lasts, one of the system's calls fails, at its `nth` time; gives what failed."""

    def fault(call: str, nth: int = 1, code: int = EIO) -> AbstractContextManager[list[str]]:
        return _fault(monkeypatch, call, nth, code)

    return fault


@contextmanager
def _fault(monkeypatch, call: str, nth: int, code: int) -> Iterator[list[str]]:
    owner, name = CALLS[call]
    real, hits, seen = getattr(owner, name), [], [0]

    def broken(*args, **kwargs):
        if not MATTERS.get(call, lambda *_: True)(*args):
            return real(*args, **kwargs)
        seen[0] += 1
        if seen[0] < nth:
            return real(*args, **kwargs)
        hits.append(call)
        if call == "write":  # os.fdopen would have closed it
            os.close(args[0])
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as patch:
        patch.setattr(owner, name, broken)
        yield hits


CALLS = {
    "open": (os, "open"),
    "write": (os, "fdopen"),
    "fsync": (os, "fsync"),
    "fsync folder": (os, "fsync"),
    "rename": (Path, "replace"),
    "any rename": (Path, "replace"),
    "line": (os, "write"),
    "truncate": (os, "ftruncate"),
}
MATTERS = {
    "fsync": lambda handle: not S_ISDIR(os.fstat(handle).st_mode),
    "fsync folder": lambda handle: S_ISDIR(os.fstat(handle).st_mode),
    "rename": lambda path, _: path.suffix == ".new",
}


@pytest.fixture
def files() -> Callable[[Path], dict[str, bytes]]:
    """What a folder's files hold, by name; locks left out."""

    def read(folder: Path) -> dict[str, bytes]:
        return {
            one.name: one.read_bytes()
            for one in sorted(folder.iterdir())
            if one.is_file() and one.suffix != ".lock"
        }

    return read
