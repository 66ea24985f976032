"""crewdesk in a real terminal of 80 by 24, typed at and read as a person would."""

import os
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import pexpect
import pyte
import pytest

COLUMNS, ROWS = 80, 24
PATIENCE = 30.0
KEYS = {
    "enter": "\r",
    "esc": "\x1b",
    "tab": "\t",
    "backtab": "\x1b[Z",
    "up": "\x1b[A",
    "down": "\x1b[B",
    "right": "\x1b[C",
    "left": "\x1b[D",
    "pgdn": "\x1b[6~",
    "pgup": "\x1b[5~",
    "f1": "\x1bOP",
    "f2": "\x1bOQ",
    "f4": "\x1bOS",
    "f7": "\x1b[18~",
    "f8": "\x1b[19~",
    "ctrl+q": "\x11",
    "ctrl+s": "\x13",
    "ctrl+u": "\x15",
    "ctrl+z": "\x1a",
}


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """All tests here are marked `unix`: there is no pty on Windows; see `tests/windows`."""
    for item in items:
        if item.path.is_relative_to(Path(__file__).parent):
            item.add_marker(pytest.mark.unix("it needs a terminal of Unix (pty)"))


class Desk:
    """crewdesk as it runs in the terminal."""

    def __init__(self, *words: str, data: Path) -> None:
        self.screen = pyte.Screen(COLUMNS, ROWS)
        self._stream = pyte.ByteStream(self.screen)
        env = {**os.environ, "TERM": "xterm-16color", "COLORTERM": ""}
        self.child = pexpect.spawn(
            sys.executable,
            ["-m", "crewdesk", "--data", str(data), *words],
            env=env,
            dimensions=(ROWS, COLUMNS),
            timeout=1,
        )
        self.child.delaybeforesend = None

    @property
    def text(self) -> str:
        """What stands on the screen."""
        return "\n".join(line.rstrip() for line in self.screen.display)

    def see(self, *words: str) -> str:
        """Wait until all of some words stand on the screen; gives the screen."""
        self._until(lambda: all(word in self.text for word in words), f"{words}")
        return self.text

    def see_no_more(self, word: str) -> None:
        """Wait until a word is gone from the screen."""
        self._until(lambda: word not in self.text, f"no {word!r}")

    def press(self, *keys: str) -> None:
        """Press keys by their names."""
        for key in keys:
            self.child.send(KEYS.get(key, key))
            self._read(0.05)

    def press_until(self, key: str, word: str) -> None:
        """Press a key again and again until a word stands on the screen."""
        for _ in range(100):
            if word in self.text:
                return
            before = self.text
            self.press(key)
            self._until(lambda before=before: self.text != before, f"a change by {key}")
            self._read(0.2)
        raise AssertionError(f"{word!r} didn't come up:\n{self.text}")

    def type(self, text: str) -> None:
        """Type a text."""
        self.child.send(text)
        self._read(0.05)

    def left(self) -> int | None:
        """Wait until the program has left; gives its exit status."""
        self._until(lambda: not self.child.isalive(), "left")
        self.child.close()
        return self.child.exitstatus

    def _read(self, timeout: float) -> None:
        with suppress(pexpect.TIMEOUT, pexpect.EOF):
            self._stream.feed(self.child.read_nonblocking(65536, timeout=timeout))

    def _until(self, true: Callable[[], bool], what: str) -> None:
        end = time.monotonic() + PATIENCE
        while not true():
            assert time.monotonic() < end, f"Waited in vain for {what}:\n{self.text}"
            self._read(0.1)


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Callable[..., Desk]]:
    """Starts crewdesk on one data folder, again and again."""
    running: list[Desk] = []

    def start(*words: str) -> Desk:
        (tmp_path / "data").mkdir(exist_ok=True)  # it would ask before it makes one
        running.append(Desk(*words, data=tmp_path / "data"))
        return running[-1]

    yield start
    for one in running:
        one.child.close(force=True)
