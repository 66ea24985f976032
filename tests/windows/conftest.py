"""A Windows Python under wine, in which crewdesk is installed; see `setup.sh`.

It is made once and kept in `.windows-python`, or in the folder that CREWDESK_WINDOWS names.
Without wine these tests are skipped, with CI=true they fail.
"""

import os
import subprocess
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path, PureWindowsPath

import pyte
import pytest

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
SAMPLE = ROOT / "sample_data" / "tamarack-bend.json"
ROWS, COLUMNS = 40, 120
PATIENCE = 60
"""Seconds for whatever a Windows program does under wine on a busy machine."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """All tests here are marked `windows`."""
    for item in items:
        if item.path.is_relative_to(HERE):
            item.add_marker(pytest.mark.windows)


class Windows:
    """A Windows machine with crewdesk on it, which sees this machine's files as drive Z:."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    @staticmethod
    def path(path: Path) -> str:
        """A path of this machine as Windows has it."""
        return str(PureWindowsPath("Z:\\").joinpath(*path.absolute().parts[1:]))

    def run(
        self, *words: str, given: bytes = b"", where: Path | None = None, status: int | None = 0
    ) -> bytes:
        """Run python.exe; gives the bytes of stdout, and of stderr behind them."""
        done = subprocess.run(
            [self.folder / "winpy", *words],
            input=given,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            cwd=where or self.folder,
            env=_environment(),
            timeout=None if where else PATIENCE,
            check=False,
        )
        if status is not None:
            assert done.returncode == status, done.stdout.decode("utf-8", "replace")
        return done.stdout

    def start(self, code: str, *words: str, **env: str) -> subprocess.Popen[bytes]:
        """Start python.exe with some code; stdin and stdout are pipes."""
        return subprocess.Popen(
            [self.folder / "winpy", "-c", code, *words],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            cwd=self.folder,
            env=_environment() | env,
        )

    def kill(self, process_id: int) -> None:
        """End a Windows program as its task manager does: at once, with TerminateProcess."""
        self.run("-c", f"import os, signal; os.kill({process_id}, signal.SIGTERM)")


def _environment() -> dict[str, str]:
    names = ("CREWDESK_DATA", "CREWDESK_MACHINE", "PYTHONPATH", "PYTHONUTF8", "PYTHONIOENCODING")
    kept = {name: value for name, value in os.environ.items() if name not in names}
    return kept | {"TMPDIR": "/tmp"}  # wine keeps a folder there while its server runs


@pytest.fixture(scope="session")
def windows() -> Windows:
    """The machine, with crewdesk as it is in this checkout."""
    setup = HERE / "setup.sh"
    required = os.environ.get("CI") == "true"
    if not required and subprocess.run([setup, "--can"], check=False).returncode:
        pytest.skip("windows: wine isn't installed, see tests/windows/setup.sh")
    folder = Path(os.environ.get("CREWDESK_WINDOWS") or ROOT / ".windows-python")
    done = subprocess.run(
        [setup, folder, ROOT],
        env={**os.environ, "TESTS": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return Windows(folder)


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """A data folder that isn't there yet."""
    return tmp_path / "data"


@pytest.fixture
def crewdesk(windows: Windows, data: Path) -> Callable[..., bytes]:
    """Runs one of crewdesk's commands on `data`; gives the bytes that it prints."""

    def do(*words: str, **options: object) -> bytes:
        return windows.run("-m", "crewdesk", "--data", windows.path(data), *words, **options)

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
