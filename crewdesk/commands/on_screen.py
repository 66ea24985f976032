"""The program on screen: opened on a data folder, or on a copy of the sample job."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from crewdesk.commands.streams import let_go_of, printable, put_out
from crewdesk.errors import NotAllowed

if TYPE_CHECKING:
    from crewdesk.store.desk import Desk
    from crewdesk.store.machine_clock import Clock


def demo(clock: "Clock", *, large: bool) -> None:
    """Open the program on a fresh copy of the sample job, and say where it stays; raises
    `NotAllowed` without a terminal."""
    import tempfile

    from crewdesk.paper.job_document import sample_desk

    needs_terminal()
    with _ended_by_signals():
        folder = Path(tempfile.mkdtemp(prefix="crewdesk-demo-"))
        try:
            desk, id_ = sample_desk(folder, clock())
            put_out(
                f"A fresh copy of the sample job is in {folder}. Your own jobs aren't touched.\n"
            )
            on_screen(desk, clock, id_, large=large, first_time=True)
        except BaseException:  # nobody was told that it stays
            import shutil

            shutil.rmtree(folder, ignore_errors=True)
            raise
    put_out(
        f"The sample job is still in {folder}. Go on with `crewdesk --data {folder}`, "
        "or delete that folder.\n"
    )


@contextmanager
def _ended_by_signals() -> Iterator[None]:
    """Let SIGTERM and SIGHUP raise `SystemExit`, with 128 + the signal, so that what must be
    cleaned up is. Once the program draws, its driver takes them (`screens/parts/terminal.py`)."""
    import signal

    def end(number: int, _frame: object) -> None:
        raise SystemExit(128 + number)

    before = {}
    for name in ("SIGTERM", "SIGHUP"):  # Windows has no SIGHUP
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) == signal.SIG_DFL:
            before[number] = signal.signal(number, end)
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def on_screen(
    desk: "Desk",
    clock: "Clock",
    job: str | None = None,
    *,
    large: bool = False,
    first_time: bool = False,
) -> None:
    """Open the program, on a job where one is named; raises `NotAllowed` without a terminal.

    first_time: whether to say on the run sheet what to try first.

    Whatever ends it, what waits to be saved is saved if that can be done. Raises `SystemExit`
    with its status where it did not leave as it should.
    """
    needs_terminal()
    from platformdirs import user_cache_path, user_config_path

    from crewdesk.screens.app import CrewdeskApp

    app = CrewdeskApp(
        desk,
        open_job=job,
        themes_folder=user_config_path("crewdesk", appauthor=False) / "themes",
        cache_folder=user_cache_path("crewdesk", appauthor=False),
        large=large,
        clock=clock,
        first_time=first_time,
    )
    try:
        with _ended_by_signals():
            app.run()
    except OSError:
        if not app.return_code:  # otherwise it is the terminal that is gone
            raise
    finally:
        lost = app.rescue()
    if lost or app.return_code:
        _say_at_the_end(lost)
        raise SystemExit(app.return_code or 1)


def _say_at_the_end(sentence: str) -> None:
    """Print a sentence to stderr. A terminal that is gone is let go of: Python would change the
    exit status where it can't write there."""
    for file, text in ((sys.stdout, ""), (sys.stderr, sentence and f"crewdesk: {sentence}\n")):
        try:
            if file is not None:
                file.write(printable(text, file))
                file.flush()
        except OSError:
            let_go_of(file)


def needs_terminal() -> None:
    """Raise `NotAllowed` if standard input or output is no terminal."""
    if not (
        sys.__stdin__ and sys.__stdin__.isatty() and sys.__stdout__ and sys.__stdout__.isatty()
    ):
        raise NotAllowed(
            "The program needs a terminal. See `crewdesk --help` for commands that print."
        )
