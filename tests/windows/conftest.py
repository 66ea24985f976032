"""A Windows Python under wine, in which crewdesk is installed; see `setup.sh`.

It is made once and kept in `.windows-python`, or in the folder that CREWDESK_WINDOWS names.
Without wine these tests are skipped, with CI=true they fail.
"""

import json
import os
import signal
import subprocess
import threading
import time
from base64 import b64decode, b64encode
from collections.abc import Callable, Generator, Iterator
from pathlib import Path, PureWindowsPath
from typing import Any

import pyte
import pytest

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
SAMPLE = ROOT / "sample_data" / "tamarack-bend.json"
ROWS, COLUMNS = 40, 120
TESTS_OF_THE_STORE = "test_the_tests_of_the_store_pass_there"
PATIENCE = 120
"""Seconds for whatever a Windows program does under wine on a busy machine."""


@pytest.hookimpl(wrapper=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> Generator[None, None, None]:
    """All tests here are marked `windows`; the one that waits longest comes last."""
    for item in items:
        if item.path.is_relative_to(HERE):
            item.add_marker(pytest.mark.windows)
    yield
    items.sort(key=lambda item: item.name == TESTS_OF_THE_STORE)


class Windows:
    """A Windows machine with crewdesk on it, which sees this machine's files as drive Z:."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._worker = self.start("", program=str(HERE / "worker.py"))
        self.beside: Beside | None = None
        # wine's services start with the first program and keep its pipes open as long as they run.
        assert self.command("--version").startswith(b"crewdesk ")

    @staticmethod
    def path(path: Path) -> str:
        """A path of this machine as Windows has it."""
        return str(PureWindowsPath("Z:\\").joinpath(*path.absolute().parts[1:]))

    def run(self, *words: str, given: bytes = b"", status: int | None = 0) -> bytes:
        """Run python.exe; gives the bytes of stdout, and of stderr behind them."""
        done = subprocess.run(
            [self.folder / "winpy", *words],
            input=given,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            cwd=self.folder,
            env=_environment(),
            timeout=PATIENCE,
            check=False,
        )
        if status is not None:
            assert done.returncode == status, done.stdout.decode("utf-8", "replace")
        return done.stdout

    def start(
        self, code: str, *words: str, program: str = "", **env: str
    ) -> subprocess.Popen[bytes]:
        """Start python.exe with some code or a program; stdin and stdout are pipes."""
        what = [self.path(Path(program))] if program else ["-c", code]
        return subprocess.Popen(
            [self.folder / "winpy", *what, *words],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            cwd=self.folder,
            env=_environment() | env,
        )

    def kill(self, process_id: int) -> None:
        """End a Windows program as its task manager does: at once, with TerminateProcess."""
        self._ask({"kill": process_id})

    def command(self, *words: str, given: bytes = b"", status: int = 0) -> bytes:
        """Run one of crewdesk's commands, in the program that runs them all (`worker.py`)."""
        told = self._ask({"words": words, "given": b64encode(given).decode()})
        printed = b64decode(told["printed"])
        assert told["status"] == status, printed.decode("utf-8", "replace")
        return printed

    def _ask(self, asked: dict[str, object]) -> dict[str, Any]:
        assert self._worker.stdin is not None
        assert self._worker.stdout is not None
        self._worker.stdin.write(json.dumps(asked).encode() + b"\n")
        self._worker.stdin.flush()
        return json.loads(self._worker.stdout.readline())

    def close(self) -> None:
        """End what still runs."""
        if self.beside is not None:
            self.beside.end()
        if self._worker.poll() is None:
            self._worker.communicate(timeout=PATIENCE)


class Beside:
    """The tests in some files or folders, running on the Windows Python beside other things."""

    def __init__(self, windows: Windows, *paths: str) -> None:
        words = ("-m", "pytest", "-n", "0", "-p", "no:cacheprovider", "-rs")
        self._program = subprocess.Popen(
            [windows.folder / "winpy", *words, *paths],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            cwd=ROOT,
            env=_environment(),
            start_new_session=True,
        )
        self._printed: list[bytes] = []
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        assert self._program.stdout is not None
        while data := os.read(self._program.stdout.fileno(), 65536):
            self._printed.append(data)

    def printed(self) -> str:
        """Wait until they are through; gives what they printed."""
        self._program.wait()
        self._reader.join(5)  # a program of wine's own may keep the pipe open
        return b"".join(self._printed).decode("utf-8", "replace")

    def end(self) -> None:
        """End them, if they still run."""
        if self._program.poll() is None:
            os.killpg(self._program.pid, signal.SIGKILL)


def _environment() -> dict[str, str]:
    names = ("CREWDESK_DATA", "CREWDESK_MACHINE", "PYTHONPATH", "PYTHONUTF8", "PYTHONIOENCODING")
    kept = {name: value for name, value in os.environ.items() if name not in names}
    return kept | {"TMPDIR": "/tmp"}  # wine keeps a folder there while its server runs


@pytest.fixture(scope="session")
def windows(request: pytest.FixtureRequest) -> Iterator[Windows]:
    """The machine, with crewdesk as it is in this checkout. The tests of the store run on it
    beside all others, if they are asked for."""
    setup = HERE / "setup.sh"
    required = os.environ.get("CI") == "true"
    if not required and subprocess.run([setup, "--can"], check=False).returncode:
        pytest.skip("windows: wine isn't installed, see tests/windows/setup.sh")
    folder = Path(os.environ.get("CREWDESK_WINDOWS") or ROOT / ".windows-python")
    done = subprocess.run(
        [setup, folder, ROOT],
        env={**_environment(), "TESTS": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    machine = Windows(folder)
    if any(item.name == TESTS_OF_THE_STORE for item in request.session.items):
        machine.beside = Beside(machine, "tests/store")
    yield machine
    machine.close()


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """A data folder that isn't there yet."""
    return tmp_path / "data"


@pytest.fixture
def crewdesk(windows: Windows, data: Path) -> Callable[..., bytes]:
    """Runs one of crewdesk's commands on `data`, `alone` as a program of its own; gives the
    bytes that it prints."""

    def do(*words: str, alone: bool = False, **options: object) -> bytes:
        words = ("--data", windows.path(data), *words)
        if alone:
            return windows.run("-m", "crewdesk", *words, **options)
        return windows.command(*words, **options)

    return do


class Screens:
    """crewdesk's screens on a Windows machine, by `pipe_driver`, and what they show."""

    def __init__(self, windows: Windows, words: list[str], note: Path) -> None:
        code = (
            f"import os; open({windows.path(note)!r}, 'w').write(str(os.getpid()))\n"
            f"os.environ['TMPDIR'] = {windows.path(note.parent)!r}\n"
            "import pipe_driver, sys\nfrom crewdesk.cli import main\nsys.exit(main())"
        )
        self._windows, self._note = windows, note
        self._screen = pyte.Screen(COLUMNS, ROWS)
        self._stream = pyte.ByteStream(self._screen)
        self._lock = threading.Lock()
        env = {
            "TEXTUAL_DRIVER": "pipe_driver:PipeDriver",
            "COLUMNS": str(COLUMNS),
            "LINES": str(ROWS),
            "COLORTERM": "truecolor",
            "TERM": "xterm-256color",
        }
        self._program = windows.start(code, *words, **env)
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        assert self._program.stdout is not None
        while data := os.read(self._program.stdout.fileno(), 65536):
            with self._lock:
                self._stream.feed(data)

    def text(self) -> str:
        """The screen's lines."""
        with self._lock:
            return "\n".join(line.rstrip() for line in self._screen.display)

    def until(self, *texts: str, gone: str = "") -> str:
        """Wait until all texts are on the screen, and one is `gone`; gives the screen."""
        end = time.monotonic() + PATIENCE
        while not all(one in self.text() for one in texts) or (gone and gone in self.text()):
            ended = self._program.poll()
            assert ended is None, f"it ended with {ended}:\n{self.text()}"
            assert time.monotonic() < end, f"no {texts} on the screen:\n{self.text()}"
            time.sleep(0.1)
        return self.text()

    def press(self, keys: str) -> None:
        """Send what the keyboard sends."""
        assert self._program.stdin is not None
        self._program.stdin.write(keys.encode())
        self._program.stdin.flush()

    def kill(self) -> None:
        """End the program at once."""
        self._windows.kill(int(self._note.read_text()))
        self.left()

    def left(self) -> int:
        """Wait until it has left; gives the exit status."""
        return self._program.wait(PATIENCE)

    def close(self) -> None:
        """End it, if it still runs."""
        if self._program.poll() is None:
            self._windows.kill(int(self._note.read_text()))
            self._program.communicate(timeout=PATIENCE)


@pytest.fixture
def screens(windows: Windows, tmp_path: Path, data: Path) -> Iterator[Callable[..., Screens]]:
    """Opens crewdesk's screens on `data`, or with other words."""
    opened: list[Screens] = []

    def open_screens(*words: str) -> Screens:
        note = tmp_path / f"process-{len(opened)}"
        words = words or ("--data", windows.path(data))
        opened.append(Screens(windows, list(words), note))
        return opened[-1]

    yield open_screens
    for one in opened:
        one.close()
