"""A terminal that only keeps time: when a word first came, when a frame was whole.

It says that it takes synchronized output, so that Textual ends each frame with a mark.
"""

import os
import sys
import time
from pathlib import Path

import pexpect

from tests.bench.speed.starting import ROOT

COLUMNS, ROWS = 120, 40
ASKS_SYNC, TAKES_SYNC = b"\x1b[?2026$p", "\x1b[?2026;2$y"
FRAME_ENDS = b"\x1b[?2026l"
PATIENCE = 60.0


class Terminal:
    """A program in a terminal of 120 by 40; `seen` is all that it has sent."""

    def __init__(self, *words: str) -> None:
        env = {**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        env.pop("PYTHONDONTWRITEBYTECODE", None)
        self.seen = b""
        self.begun = time.perf_counter()
        self._child = pexpect.spawn(
            sys.executable,
            list(words),
            env=env,
            cwd=str(ROOT),
            dimensions=(ROWS, COLUMNS),
        )
        self._child.delaybeforesend = None

    def until(self, word: str) -> float:
        """Milliseconds from the start till a word came."""
        while word.encode() not in self.seen:
            if time.perf_counter() - self.begun > PATIENCE:
                raise TimeoutError(f"{word} never came")
            self._read(0.05)
        return (time.perf_counter() - self.begun) * 1000

    def quiet(self, seconds: float) -> tuple[float, int]:
        """Read until nothing came for so long: when the last frame ended, bytes read."""
        last, count, heard = time.perf_counter(), 0, time.perf_counter()
        while time.perf_counter() - heard < seconds:
            if data := self._read(0.002):
                heard = time.perf_counter()
                count += len(data)
                if FRAME_ENDS in data:
                    last = heard
        return last, count

    def press(self, keys: str) -> float:
        """Send keys; gives the moment."""
        self._child.send(keys)
        return time.perf_counter()

    @property
    def memory(self) -> float:
        """What the program holds in memory, in MB (resident, on Linux)."""
        for line in Path(f"/proc/{self._child.pid}/status").read_text().splitlines():
            if line.startswith("VmRSS"):
                return int(line.split()[1]) / 1024
        raise OSError("the system does not tell what a program holds in memory")

    def close(self) -> None:
        self._child.close(force=True)

    def _read(self, timeout: float) -> bytes:
        try:
            data: bytes = self._child.read_nonblocking(65536, timeout=timeout)
        except pexpect.TIMEOUT:
            return b""
        self.seen = self.seen[-4096:] + data
        if ASKS_SYNC in data:
            self._child.send(TAKES_SYNC)
        return data
