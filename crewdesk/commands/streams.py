"""Standard input and output of commands, for people and for other programs."""

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
    """Use UTF-8 on Windows too, where files and pipes would use a code page, and don't translate
    line ends: CSV has its own CRLF."""
    for one in (sys.stdin, sys.stdout, sys.stderr):
        if _WINDOWS and isinstance(one, TextIOWrapper) and not one.isatty():
            newline = None if one is sys.stdin else ""
            one.reconfigure(encoding="utf-8", newline=newline)


def read_in(most: int) -> str:
    """Return a pipe's text, at most `most` characters, without a UTF-8 byte order mark. Raises
    `BadInput` if it isn't UTF-8."""
    try:
        return sys.stdin.read(most).removeprefix(_BOM)
    except UnicodeDecodeError as error:
        raise BadInput(
            f"The list isn't text in {error.encoding.upper()}. Save it as UTF-8, then try again."
        ) from None


def is_broken_pipe(error: OSError) -> bool:
    """Return whether the output's reader is gone; Windows reports an invalid argument."""
    windows = _WINDOWS and error.errno == EINVAL and error.filename is None
    return isinstance(error, BrokenPipeError) or windows


def in_json(values: dict[str, Any]) -> str:
    """Return one JSON object as printed."""
    return json.dumps(values) + "\n"


def in_lines(*lines: str) -> str:
    """Return lines as printed."""
    return "\n".join(map(plain, lines)) + "\n"


def put_out(text: str) -> None:
    """Print and flush; characters that the terminal can't show become `?`."""
    if sys.stdout is None:
        raise NotAllowed("There is no output to print to.")
    _write(sys.stdout, text)


def put_beside(text: str) -> None:
    """Print to stderr, beside output for a program."""
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
    """Drop pending output, so that exiting does not fail on it again."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, file.fileno())
    os.close(nowhere)
