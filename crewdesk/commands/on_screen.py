"""Open the screens, on a data folder or on a copy of the sample job."""

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
    """Open the program on a fresh copy of the sample job, and print its folder; raises `NotAllowed`
    without a terminal."""
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
        except BaseException:  # its folder wasn't printed
            import shutil

            shutil.rmtree(folder, ignore_errors=True)
            raise
    put_out(
        f"The sample job is still in {folder}. Go on with `crewdesk --data {folder}`, "
        "or delete that folder.\n"
    )


@contextmanager
def _ended_by_signals() -> Iterator[None]:
    """Let SIGTERM and SIGHUP raise `SystemExit`, with 128 + the signal, so that cleanup runs. Once
    the screens are drawn, their driver handles them (`screens/parts/terminal.py`)."""
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
    """Open the screens, on a named job if any; raises `NotAllowed` without a terminal.

    first_time: show on the run sheet what to try first. However it ends, pending changes are saved
    if possible. Raises `SystemExit` with its status after an abnormal end.
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
        if not app.return_code:  # otherwise the terminal is gone
            raise
    finally:
        lost = app.rescue()
    if lost or app.return_code:
        _say_at_the_end(lost)
        raise SystemExit(app.return_code or 1)


def _say_at_the_end(sentence: str) -> None:
    """Print a sentence to stderr. Detach from a terminal that is gone, since Python would change
    the exit status if it can't write there."""
    for file, text in ((sys.stdout, ""), (sys.stderr, sentence and f"crewdesk: {sentence}\n")):
        try:
            if file is not None:
                file.write(printable(text, file))
                file.flush()
        except OSError:
            let_go_of(file)


def needs_terminal() -> None:
    """Raise `NotAllowed` if standard input or output isn't a terminal."""
    if not (
        sys.__stdin__ and sys.__stdin__.isatty() and sys.__stdout__ and sys.__stdout__.isatty()
    ):
        raise NotAllowed(
            "The program needs a terminal. See `crewdesk --help` for commands that print."
        )
