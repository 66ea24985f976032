"""What a command reads from a program before it and prints, for people or a program behind it."""

import json
import os
import sys
from errno import EINVAL
from io import TextIOWrapper
from typing import Any, TextIO

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.paper.plain import plain

_WINDOWS = sys.platform == "win32"
_BOM = "\N{ZERO WIDTH NO-BREAK SPACE}"


def use_utf8() -> None:
    """Read and print UTF-8 on Windows too, which takes a code page of the country for files and
    pipes, and end lines with what was printed: CSV brings its own CRLF."""
    for one in (sys.stdin, sys.stdout, sys.stderr):
        if _WINDOWS and isinstance(one, TextIOWrapper) and not one.isatty():
            newline = None if one is sys.stdin else ""
            one.reconfigure(encoding="utf-8", newline=newline)


def read_in(most: int) -> str:
    """Return what a pipe brings, at most so many characters, without the mark that some programs
    begin UTF-8 with. Raises `BadInput` if it isn't UTF-8."""
    try:
        return sys.stdin.read(most).removeprefix(_BOM)
    except UnicodeDecodeError as error:
        raise BadInput(
            f"The list isn't text in {error.encoding.upper()}. Save it as UTF-8, then try again."
        ) from None


def is_broken_pipe(error: OSError) -> bool:
    """Return whether nobody reads any more what is printed; Windows calls that an invalid
    argument."""
    windows = _WINDOWS and error.errno == EINVAL and error.filename is None
    return isinstance(error, BrokenPipeError) or windows


def in_json(values: dict[str, Any]) -> str:
    """One JSON object, as it is printed."""
    return json.dumps(values) + "\n"


def in_lines(*lines: str) -> str:
    """Lines as they are printed."""
    return "\n".join(map(plain, lines)) + "\n"


def put_out(text: str) -> None:
    """Print, and make sure that it went out; what the terminal can't show becomes a `?`."""
    if sys.stdout is None:
        raise NotAllowed("There is no output to print to.")
    _write(sys.stdout, text)


def put_beside(text: str) -> None:
    """Print beside what a command prints for a program to read."""
    if sys.stderr is not None:
        _write(sys.stderr, text)


def _write(stream: TextIO, text: str) -> None:
    stream.write(printable(text, stream))
    stream.flush()


def printable(text: str, file: TextIO) -> str:
    """Return text with a `?` for each character that a terminal or file can't show."""
    coded = file.encoding or "utf-8"
    return text.encode(coded, "replace").decode(coded)


def let_go_of(file: TextIO) -> None:
    """Drop what still waits to be printed, so that leaving does not fail on it again."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, file.fileno())
    os.close(nowhere)
