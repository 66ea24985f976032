"""A Textual driver for a Windows Python under wine: bytes through pipes.

Wine's console does not understand escape sequences. Set TEXTUAL_DRIVER=pipe_driver:PipeDriver,
and COLUMNS and LINES to the size. It runs on Windows alone and is copied there by `setup.sh`.
"""

import asyncio
import msvcrt
import os
import queue
import sys
import threading

from textual import events
from textual._xterm_parser import XTermParser
from textual.driver import Driver
from textual.geometry import Size

for _one in (sys.__stdin__, sys.__stdout__):
    _one.isatty = lambda: True


class PipeDriver(Driver):
    """Reads keys from stdin and draws on stdout, whatever they are."""

    def __init__(self, app, **options) -> None:
        options["size"] = (int(os.environ.get("COLUMNS", 80)), int(os.environ.get("LINES", 24)))
        super().__init__(app, **options)
        self._stop = False

    def write(self, data: str) -> None:
        os.write(1, data.encode("utf-8"))

    def start_application_mode(self) -> None:
        msvcrt.setmode(0, os.O_BINARY)
        msvcrt.setmode(1, os.O_BINARY)
        self.write("\x1b[?1049h\x1b[?25l\x1b[2J")
        size = Size(*self._size)
        resize = self._app._post_message(events.Resize(size, size))
        asyncio.run_coroutine_threadsafe(resize, asyncio.get_running_loop())
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        parser = XTermParser(False)
        came: queue.Queue[bytes] = queue.Queue()

        def read() -> None:
            while got := os.read(0, 1024):
                came.put(got)

        threading.Thread(target=read, daemon=True).start()
        while not self._stop:
            try:
                got = came.get(timeout=0.05).decode("utf-8", "replace")
            except queue.Empty:
                got = ""  # the tick lets a lone Esc through
            for event in (*(parser.feed(got) if got else ()), *parser.tick()):
                self.process_message(event)

    def disable_input(self) -> None:
        self._stop = True

    def stop_application_mode(self) -> None:
        self.write("\x1b[?1049l\x1b[?25h")
