"""Drives `crewdesk demo` in a real terminal: `python drive_demo.py path/to/crewdesk`.

It stands by itself, so that it can drive a crewdesk that is installed anywhere. It
exits with 0 where the sample job came up with every room and stage and the program
left as it was asked to, else it shows the screen as it was and exits with 1.
"""

import os
import re
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import pexpect
import pyte

ROWS, COLUMNS = 60, 120
PATIENCE = 30.0
CTRL_Q = "\x11"
FOLDER = re.compile(r"sample job is in (\S+)\. ")
ROOMS = ("Great room", "Dining room", "Study")
STAGES = ("Rip", "Ease", "Tape", "Tack", "Scribe", "Final nail", "Fix-up")
ON_SHEET = ("Tamarack Bend", *ROOMS, *STAGES)


class Terminal:
    """A program in a terminal, and what that terminal shows."""

    def __init__(self, command: str, words: list[str], home: Path) -> None:
        self.screen = pyte.Screen(COLUMNS, ROWS)
        self._stream = pyte.ByteStream(self.screen)
        self.said = b""
        env = {**os.environ, "HOME": str(home), "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        env["TMPDIR"] = str(home)  # where it stops half-way, nothing stays
        for name in ("CREWDESK_DATA", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "PYTHONPATH"):
            env.pop(name, None)
        self.child = pexpect.spawn(command, words, env=env, dimensions=(ROWS, COLUMNS), timeout=1)

    def text(self) -> str:
        """The screen's lines."""
        return "\n".join(line.rstrip() for line in self.screen.display)

    def until(self, what: str, true: Callable[[], bool]) -> None:
        """Read what the program prints until something is true; leaves with 1 in vain."""
        end = time.monotonic() + PATIENCE
        while not true():
            if time.monotonic() > end:
                sys.exit(
                    f"Waited {PATIENCE:.0f} s in vain until {what}. The screen:\n{self.text()}"
                )
            try:
                data = self.child.read_nonblocking(65536, timeout=0.2)
            except pexpect.TIMEOUT:
                continue
            except pexpect.EOF:
                if not true():
                    sys.exit(f"It ended before {what}. The screen:\n{self.text()}")
                return
            self.said += data
            self._stream.feed(data)


def drive(command: str, home: Path) -> None:
    """Open the sample job, see that it is all there, and leave."""
    terminal = Terminal(command, ["demo"], home)
    terminal.until(
        "the sample job is on the screen", lambda: all(t in terminal.text() for t in ON_SHEET)
    )
    print(terminal.text())
    terminal.child.send(CTRL_Q)
    terminal.until("it has left", lambda: not terminal.child.isalive())
    terminal.child.close()
    if terminal.child.exitstatus != 0:
        sys.exit(f"It left with {terminal.child.exitstatus}. The screen:\n{terminal.text()}")
    plain = re.sub(r"\s*\r?\n", "", terminal.said.decode(errors="replace"))
    found = FOLDER.search(plain)
    if found is None:
        sys.exit("It did not say where the sample job lies.")
    folder = Path(found[1])
    if f"still in {folder}." not in plain:
        sys.exit("It did not say afterwards where the sample job is.")
    if not list(folder.glob("jobs/*/*.json")):
        sys.exit(f"There is no job in {folder}.")
    shutil.rmtree(folder)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as home_folder:
        drive(sys.argv[1], Path(home_folder))
