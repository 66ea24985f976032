"""The only use of Textual's private names; tests/screens/test_terminal.py lists the versions it was
tested with.

The terminal sends what ends Textual: it reads the keyboard as strict UTF-8 and takes every number
in an escape sequence for a character, so that a terminal set to Latin-1, a line with noise on it
or a cat on the keyboard ends it. It handles no signal that ends a program, and hangs where it
writes to a terminal that is gone. Nothing public lets one read, listen or write in another way,
or go on after an error.
"""

import asyncio
import os
import selectors
import signal
import sys
from codecs import getincrementaldecoder
from collections.abc import Callable, Iterable
from contextlib import suppress
from typing import IO, Any

from rich.cells import cell_len
from rich.console import RenderableType
from rich.text import Text
from textual import events
from textual._xterm_parser import XTermParser
from textual.app import App
from textual.driver import Driver
from textual.message import Message
from textual.widgets import Input

from crewdesk.paper.plain import plain

UNKNOWN = "\N{REPLACEMENT CHARACTER}"
"""The replacement for every unreadable character of the terminal."""
LARGEST_TERMINAL = 2_000
"""Columns or rows; a resize report beyond it is noise, and drawing it would fill the memory."""


class ForgivingParser(XTermParser):
    """Textual's parser, which starts over after a sequence that it can't take."""

    def feed(self, data: str) -> Iterable[Message]:
        """Return the messages in the next characters; no text makes it raise an error."""
        if not data:  # the end of the input
            yield from super().feed(data)
            return
        for character in data:
            try:
                yield from map(_readable, filter(_believable, super().feed(character)))
            except (ArithmeticError, ValueError):
                self._start_over()
                yield events.Key("replacement_character", UNKNOWN)

    def tick(self) -> Iterable[Message]:
        """Return the result of an unfinished sequence."""
        try:
            yield from map(_readable, filter(_believable, super().tick()))
        except (ArithmeticError, ValueError):
            self._start_over()

    def _start_over(self) -> None:
        self._tokens.clear()
        self._timeout_time = None
        self._gen = self.parse(self._tokens.append)
        self._awaiting = next(self._gen)


def _believable(message: Message) -> bool:
    """Return whether a message is plausible for a terminal."""
    if isinstance(message, events.Resize):
        return all(0 < side <= LARGEST_TERMINAL for side in message.size)
    return True


def _readable(message: Message) -> Message:
    """Return the message; for half of a UTF-16 pair, which text can't contain, an unknown key."""
    if isinstance(message, events.Key) and _is_half_a_pair(message.character or ""):
        return events.Key("replacement_character", UNKNOWN)
    return message


def _is_half_a_pair(text: str) -> bool:
    return any("\ud800" <= one <= "\udfff" for one in text)


class SturdyApp(App[None]):
    """An app that can continue after an error, with a terminal that can't end it."""

    leave_now: Callable[[int], None] | None = None
    """Ends the program at once; set by the terminal's driver."""

    def goes_on(self, error: Exception) -> bool:
        """Show an unexpected error; return whether the program continues."""
        return False

    def get_driver_class(self) -> type[Driver]:
        """Return the driver of this system's terminal; a test's, or the one that TEXTUAL_DRIVER
        names, stays."""
        usual = super().get_driver_class()
        if sys.platform != "win32" and usual is LinuxDriver:
            return TerminalDriver
        return usual

    def _handle_exception(self, error: Exception) -> None:
        if not self.goes_on(error):
            super()._handle_exception(error)

    def panic(self, *renderables: RenderableType) -> None:
        """End with the error; the exit status reports a failure."""
        self._return_code = self._return_code or 1
        super().panic(*renderables)


class TypedLine(Input):
    """An input that shows signs which can't be seen, or could drive the terminal, as question
    marks. They stay in its value, so that what was in the record is not changed by looking
    at it, and what was pasted is refused or taken as it is."""

    @property
    def _value(self) -> Text:
        return Text(plain(self.value), no_wrap=True, overflow="ignore", end="")

    def _position_to_cell(self, position: int) -> int:
        return cell_len(plain(self.value[:position]))


if sys.platform == "win32":
    from textual.drivers import win32

    win32.XTermParser = ForgivingParser  # its reader takes the one named there
else:
    import termios

    from textual.drivers.linux_driver import LinuxDriver

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
        """Reads from and draws on a terminal until the program exits or is ended."""

        def __init__(self, app: Any, **options: Any) -> None:
            super().__init__(app, **options)
            self._end_by = app.end_by
            app.leave_now = self.leave_now
            self._file: Any = _Output(sys.__stderr__)

        def start_application_mode(self) -> None:
            """Set the terminal up, and listen for the signals that end a program."""
            self._loop = asyncio.get_running_loop()
            for one in ENDING:
                if signal.getsignal(one) != signal.SIG_IGN:  # `nohup` stays as it was asked for
                    self._loop.add_signal_handler(one, self._end_by, int(one))
            super().start_application_mode()  # type: ignore[no-untyped-call]

        def stop_application_mode(self) -> None:
            """Restore the terminal."""
            if self._writer_thread is not None:
                super().stop_application_mode()

        def leave_now(self, status: int) -> None:
            """End the program at once if it couldn't exit in time; restore the terminal as far as
            possible without waiting."""
            with suppress(OSError, termios.error):
                os.set_blocking(2, False)
                os.write(2, _AS_BEFORE)
            with suppress(OSError, termios.error):
                if self.attrs_before is not None:
                    termios.tcsetattr(self.fileno, termios.TCSANOW, self.attrs_before)
            os._exit(status)

        def run_input_thread(self) -> None:
            """Pass input on until the program exits or the terminal is gone."""
            parser = ForgivingParser(self._debug)
            decoder = getincrementaldecoder("utf-8")("replace")
            idle = 0
            with selectors.SelectSelector() as selector:
                selector.register(self.fileno, selectors.EVENT_READ)
                while not self.exit_event.is_set():
                    if selector.select(_POLL):
                        if not (data := _read(self.fileno)):
                            self._loop.call_soon_threadsafe(self._end_by, int(signal.SIGHUP))
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

    class _Output:
        """The terminal for output; writes after it is gone are dropped."""

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
        """Return the input; empty if the terminal is gone."""
        try:
            return os.read(fileno, 4096)
        except OSError:
            return b""
