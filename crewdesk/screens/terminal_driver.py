"""The driver of a Unix terminal: input that can't end the program, signals, a window that closes.

Textual's driver does the rest. It handles no signal that ends a program, reads the keyboard as
strict UTF-8, and hangs where it writes to a terminal that is gone.
"""

import asyncio
import os
import selectors
import signal
import sys
import termios
from codecs import getincrementaldecoder
from contextlib import suppress
from typing import IO, Any, cast

from textual.drivers.linux_driver import LinuxDriver

from crewdesk.screens.program import Host
from crewdesk.screens.terminal_input import ForgivingParser

ENDING = (signal.SIGTERM, signal.SIGHUP, signal.SIGINT)
_POLL = 0.1
"""Seconds between two looks for input."""
_PATIENCE = 5
"""So many looks without input before a character that was begun counts as unknown."""
_AS_BEFORE = (
    b"\x1b[?2004l"  # bracketed paste off
    b"\x1b[?7h"  # line wrap on
    b"\x1b[?2048l"  # resize reports off
    b"\x1b[?1000l\x1b[?1003l\x1b[?1015l\x1b[?1006l\x1b[?1016l"  # mouse off
    b"\x1b[<u"  # the usual keyboard protocol
    b"\x1b[?1049l"  # the usual screen
    b"\x1b[?25h"  # cursor on
    b"\x1b[?1004l"  # focus reports off
)
"""What Textual turns on, turned off again; https://invisible-island.net/xterm/ctlseqs/."""


class TerminalDriver(LinuxDriver):
    """Reads and draws on a terminal until the program leaves, or something ends it."""

    def __init__(self, app: Any, **options: Any) -> None:
        super().__init__(app, **options)
        self._file: Any = _Output(sys.__stderr__)

    def start_application_mode(self) -> None:
        """Take the terminal, and listen for the signals that end a program."""
        self._loop = asyncio.get_running_loop()
        for one in ENDING:
            if signal.getsignal(one) != signal.SIG_IGN:  # `nohup` stays as it was asked for
                self._loop.add_signal_handler(one, self._desk_app.end_by, int(one))
        super().start_application_mode()  # type: ignore[no-untyped-call]

    def stop_application_mode(self) -> None:
        """Give the terminal back as it was."""
        if self._writer_thread is not None:
            super().stop_application_mode()

    def leave_now(self, status: int) -> None:
        """End the program at once, where it could not leave in time; the terminal is put back
        as far as that goes without waiting."""
        with suppress(OSError, termios.error):
            os.set_blocking(2, False)
            os.write(2, _AS_BEFORE)
        with suppress(OSError, termios.error):
            if self.attrs_before is not None:
                termios.tcsetattr(self.fileno, termios.TCSANOW, self.attrs_before)
        os._exit(status)

    def run_input_thread(self) -> None:
        """Hand on what is typed until the program leaves or the terminal is gone."""
        parser = ForgivingParser(self._debug)
        decoder = getincrementaldecoder("utf-8")("replace")
        idle = 0
        with selectors.SelectSelector() as selector:
            selector.register(self.fileno, selectors.EVENT_READ)
            while not self.exit_event.is_set():
                if selector.select(_POLL):
                    if not (data := _read(self.fileno)):
                        self._loop.call_soon_threadsafe(self._desk_app.end_by, int(signal.SIGHUP))
                        return
                    idle, text = 0, decoder.decode(data)
                else:
                    idle += 1
                    text = decoder.decode(b"", final=True) if idle == _PATIENCE else ""
                if text:
                    for message in parser.feed(text):
                        self.process_message(message)
                for message in parser.tick():
                    self.process_message(message)

    @property
    def _desk_app(self) -> Host:
        return cast(Host, self._app)


class _Output:
    """The terminal to write to; what comes after it is gone is dropped."""

    def __init__(self, file: IO[str] | None) -> None:
        self._terminal: Any = file
        self._gone = file is None

    def write(self, text: str) -> None:
        """Write text, if there is a terminal yet."""
        if not self._gone:
            try:
                self._terminal.write(text)
            except OSError:
                self._gone = True

    def flush(self) -> None:
        """Send what was written."""
        if not self._gone:
            try:
                self._terminal.flush()
            except OSError:
                self._gone = True

    def isatty(self) -> bool:
        """Return whether it is a terminal, even if it is gone."""
        return True

    def fileno(self) -> int:
        """Return the terminal's file handle."""
        return int(self._terminal.fileno())


def _read(fileno: int) -> bytes:
    """Return what was typed; nothing where the terminal is gone."""
    try:
        return os.read(fileno, 4096)
    except OSError:
        return b""
