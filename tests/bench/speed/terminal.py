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

    def painted(self, quiet: float = 0.06) -> tuple[float, int]:
        """Read a whole frame and what follows it, until nothing came for `quiet` seconds:
        when the last frame ended, and how many bytes came."""
        begun = heard = time.perf_counter()
        ended, count = 0.0, 0
        while not ended or time.perf_counter() - heard < quiet:
            if time.perf_counter() - begun > PATIENCE:
                raise TimeoutError("no frame came")
            if data := self._read(0.002):
                heard = time.perf_counter()
                count += len(data)
                ended = heard if FRAME_ENDS in data else ended
        return ended, count

    def rest(self, seconds: float) -> int:
        """Read for so long; gives how many bytes came."""
        until, count = time.perf_counter() + seconds, 0
        while time.perf_counter() < until:
            count += len(self._read(0.002))
        return count

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
