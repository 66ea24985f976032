"""What a command prints: lines, or one JSON object."""

import json
import os
import sys
from typing import Any, TextIO

from crewdesk.errors import NotAllowed
from crewdesk.paper.plain import plain


def in_json(values: dict[str, Any]) -> str:
    """One JSON object, as it is printed."""
    return json.dumps(values) + "\n"


def in_lines(*lines: str) -> str:
    """Lines as they are printed."""
    return "\n".join(map(plain, lines)) + "\n"


def put_out(text: str) -> None:
    """Print, and make sure that it went out; what the terminal can't show becomes a `?`."""
    if sys.stdout is None:
        raise NotAllowed("There is nowhere to print to.")
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
