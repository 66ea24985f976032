"""What a command reads from a program before it and prints for one behind it: UTF-8, as it is."""

import sys
from errno import EINVAL
from io import TextIOWrapper

from crewdesk.errors import BadInput

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
    """Return what a pipe brings, at most so many characters, without the mark that some
    programs begin UTF-8 with. Raises `BadInput` where it isn't UTF-8."""
    try:
        return sys.stdin.read(most).removeprefix(_BOM)
    except UnicodeDecodeError as error:
        raise BadInput(
            f"The list that came in isn't text in {error.encoding.upper()}. Save it as UTF-8, "
            "then try again."
        ) from None


def is_broken_pipe(error: OSError) -> bool:
    """Return whether nobody reads any more what is printed; Windows calls that an invalid
    argument."""
    windows = _WINDOWS and error.errno == EINVAL and error.filename is None
    return isinstance(error, BrokenPipeError) or windows
