"""What ends the program from outside: noise on the line, signals, a window that is closed."""

import os
import signal
import termios
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from crewdesk.store.desk import Desk
from tests.terminal.conftest import Desk as Terminal

JOB = "tamarack-bend"
PUT_BACK = (
    b"\x1b[?1049l",  # the usual screen
    b"\x1b[?25h",  # the cursor
    b"\x1b[?2004l",  # bracketed paste off
    b"\x1b[?1000l",  # mouse off
    b"\x1b[?1003l",
)
"""Control sequences of https://invisible-island.net/xterm/ctlseqs/ctlseqs.html."""


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, copy_data) -> Path:
    """A data folder with the sample job, and a folder for whatever is temporary."""
    copy_data(tmp_path / "data")
    (tmp_path / "tmp").mkdir()
    monkeypatch.setenv("TMPDIR", str(tmp_path / "tmp"))
    return tmp_path / "data"


@pytest.fixture(autouse=True)
def a_hangup_that_counts() -> Iterator[None]:
    """Take SIGHUP as usual, also where the tests run under `nohup`, which every program started
    from there would inherit."""
    usual = signal.signal(signal.SIGHUP, signal.SIG_DFL)
    yield
    signal.signal(signal.SIGHUP, usual)


def ready(terminal: Terminal) -> Terminal:
    """Open the job, whose run sheet is then in front."""
    terminal.see("Tamarack Bend", "Jobs")
    terminal.press("enter")
    terminal.see("Space")
    return terminal


def one_that_waits(terminal: Terminal, data: Path) -> int:
    """Make a change that can't be saved as long as the folder is away; return how many changes
    are saved, with the folder back in its place."""
    before = len(Desk(data).open(JOB, writing=False).history())
    (data / "jobs").rename(data / "away")
    terminal.press_until("down", "checks it off")
    terminal.press(" ")
    terminal.see("1 not saved")
    (data / "away").rename(data / "jobs")
    return before


def rest(terminal: Terminal) -> bytes:
    """Return all that the program still writes, until it is gone."""
    written, end = b"", time.monotonic() + 30
    while terminal.child.isalive() and time.monotonic() < end:
        try:
            written += terminal.child.read_nonblocking(65536, timeout=0.1)
        except Exception:  # nothing to read yet, or nothing ever again
            continue
    while True:
        try:
            written += terminal.child.read_nonblocking(65536, timeout=0.2)
        except Exception:
            return written


def test_bytes_that_are_no_utf_8_and_endless_numbers(
    desk: Callable[..., Terminal], data: Path
) -> None:
    """A Latin-1 terminal sends one byte E9 for é (ISO 8859-1); numbers in an escape sequence may
    be of any length (ECMA-48, 5.4)."""
    terminal = ready(desk())
    for noise in (
        b"\xe9",
        b"\xff\xfe\xe9x",
        b"\x1b[99999999999999999999~",
        b"\x1b[55296u",  # half a UTF-16 pair
        b"\x1b[48;99999999;99999999;1;1t",  # a terminal that can't be
        b"\x1b[48;0;0;0;0t\x1b[<0;5;5M",
    ):
        terminal.child.send(noise)
        terminal.press("down")
    terminal.press("f2")
    terminal.see("The clock")
    terminal.press("esc")
    terminal.see("Space")
    # A character nobody can read is typed as unknown.
    terminal.press("\x06")  # Find
    terminal.see("what you want to do")
    terminal.child.send(b"caf\xe9")
    terminal.see("caf\N{REPLACEMENT CHARACTER}")
    terminal.press("esc", "ctrl+q")
    assert terminal.left() == 0


@pytest.mark.parametrize(
    "number",
    [
        signal.SIGTERM,
        *(pytest.param(one, marks=pytest.mark.slow) for one in (signal.SIGHUP, signal.SIGINT)),
    ],
)
def test_a_signal_saves_what_waits_and_puts_the_terminal_back(
    desk: Callable[..., Terminal], data: Path, number: signal.Signals
) -> None:
    """The status of a program that a signal ended is 128 + its number (POSIX, 2.8.2). A shell
    without job control starts what runs behind it with SIGINT ignored, which is inherited."""
    usual = signal.signal(number, signal.SIG_DFL)
    try:
        terminal = desk()
    finally:
        signal.signal(number, usual)
    ready(terminal)
    before = one_that_waits(terminal, data)
    raw = termios.tcgetattr(terminal.child.child_fd)[3]
    assert not raw & (termios.ECHO | termios.ICANON)
    terminal.child.kill(number)
    written = rest(terminal)
    put_back = termios.tcgetattr(terminal.child.child_fd)[3]
    terminal.child.close()
    assert terminal.child.exitstatus == 128 + number
    for sequence in PUT_BACK:
        assert written.rfind(sequence) >= 0, sequence
    assert put_back & termios.ECHO
    assert put_back & termios.ICANON
    assert len(Desk(data).open(JOB, writing=False).history()) == before + 1


@pytest.mark.parametrize("ignoring", [False, pytest.param(True, marks=pytest.mark.slow)])
def test_a_window_that_is_closed(
    desk: Callable[..., Terminal], data: Path, *, ignoring: bool
) -> None:
    """The system sends SIGHUP as the terminal goes; one that is ignored, as by nohup, leaves
    the end of the input to tell of it."""
    usual = signal.signal(signal.SIGHUP, signal.SIG_IGN) if ignoring else None
    try:
        terminal = desk()
    finally:
        if ignoring:
            signal.signal(signal.SIGHUP, usual)
    ready(terminal)
    before = one_that_waits(terminal, data)
    terminal.child.ptyproc.fileobj.close()
    status, end = (0, 0), time.monotonic() + 30
    while status[0] == 0 and time.monotonic() < end:
        status = os.waitpid(terminal.child.pid, os.WNOHANG)
        time.sleep(0.05)
    terminal.child.ptyproc.closed = terminal.child.ptyproc.terminated = True
    assert os.waitstatus_to_exitcode(status[1]) == 128 + signal.SIGHUP
    assert len(Desk(data).open(JOB, writing=False).history()) == before + 1


@pytest.mark.slow
def test_a_signal_takes_the_sample_job_along(
    desk: Callable[..., Terminal], data: Path, tmp_path: Path
) -> None:
    """The demo's, and the one that is looked at from the jobs; by one signal each, for they all
    come to the same end (above)."""
    terminal = desk("demo")
    terminal.see("Tamarack Bend", "Space")
    assert [one.name[:14] for one in (tmp_path / "tmp").iterdir()] == ["crewdesk-demo-"]
    end_by(terminal, signal.SIGTERM)
    assert list((tmp_path / "tmp").iterdir()) == []
    terminal = desk()
    terminal.see("Tamarack Bend", "Jobs")
    terminal.press("s")
    terminal.see("Space Check off")
    assert [one.name[:16] for one in (tmp_path / "tmp").iterdir()] == ["crewdesk-sample-"]
    end_by(terminal, signal.SIGHUP)
    assert list((tmp_path / "tmp").iterdir()) == []


def end_by(terminal: Terminal, number: signal.Signals) -> None:
    """End the program by a signal, and see that its status says so."""
    terminal.child.kill(number)
    rest(terminal)
    terminal.child.close()
    assert terminal.child.exitstatus == 128 + number


@pytest.mark.slow
def test_a_terminal_that_nobody_reads_does_not_hold_the_program(
    desk: Callable[..., Terminal], data: Path
) -> None:
    terminal = ready(desk())
    before = one_that_waits(terminal, data)
    for _ in range(200):  # more than the terminal and all that lies before it can take
        terminal.child.send("\x1b[B\x1b[C\x1b[D\x1b[A")
    terminal.child.kill(signal.SIGTERM)
    end = time.monotonic() + 30
    while terminal.child.isalive() and time.monotonic() < end:
        time.sleep(0.1)
    terminal.child.close()
    assert terminal.child.exitstatus == 128 + signal.SIGTERM
    assert len(Desk(data).open(JOB, writing=False).history()) == before + 1


def test_the_program_asks_before_it_makes_a_data_folder(
    desk: Callable[..., Terminal], tmp_path: Path
) -> None:
    away = tmp_path / "stick" / "data"
    terminal = desk("--data", str(away))
    terminal.see("There is no data folder", "Make it? [y/n]")
    terminal.press("n", "enter")
    assert terminal.left() == 2
    assert not away.exists()
    terminal = desk("--data", str(away))
    terminal.see("Make it? [y/n]")
    assert not away.exists()
    terminal.press("y", "enter")
    terminal.see("Jobs")
    assert away.is_dir()
