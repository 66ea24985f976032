"""Limits of new text: how long it may be, and which characters it may have.

Saved rows were accepted by this crewdesk or an older one, so they are read without these limits.
New rows, by a change or an import, must keep them (see `crewdesk.job.invariants`).
"""

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from reprlib import Repr
from typing import Any

from crewdesk.errors import NotAllowed

_COMES_IN: ContextVar[bool] = ContextVar("_COMES_IN", default=False)


@contextmanager
def coming_in() -> Iterator[None]:
    """Apply the limits for new values inside."""
    before = _COMES_IN.set(True)
    try:
        yield
    finally:
        _COMES_IN.reset(before)


def comes_in() -> bool:
    """Return whether the value being parsed is new."""
    return _COMES_IN.get()


LONGEST_NAME = 80
LONGEST_LINE = 200
LONGEST_NOTE = 2000

_UNSHOWN = "[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]"
"""Control characters, marks that change the writing direction, half characters."""
_BRIEF = Repr()
_BRIEF.maxstring = _BRIEF.maxother = _BRIEF.maxlong = 60
_BRIEF.maxlevel = 2


def brief(value: Any) -> str:
    """Return a file's value for a sentence: short and printable."""
    return re.sub(_UNSHOWN, "?", _BRIEF.repr(value).replace("\n", " "))


def quoted(text: str) -> str:
    """Return typed text for a sentence: on one line, not too long."""
    line = re.sub(_UNSHOWN, "?", " ".join(text.split()))
    return line if len(line) <= LONGEST_NAME else f"{line[:LONGEST_NAME]}..."


_MOST_NAMED = 4


def named(names: Sequence[str]) -> str:
    """Return the first few names in a row, and that there are others if there are more."""
    more = " and others" if len(names) > _MOST_NAMED else ""
    return ", ".join(names[:_MOST_NAMED]) + more


def lines_of(text: str) -> str:
    """Return a text of several lines in one line, separated by `` / ``."""
    return " / ".join(text.splitlines())


def text_of(line: str) -> str:
    """Return the text that `lines_of` put into a line."""
    return "\n".join(part.strip() for part in line.split(" / ") if part.strip())


def checked_name(text: Any, what: str) -> str:
    """Return a name of one line, trimmed; raises `NotAllowed` if it is empty or too long."""
    name = checked_line(text, f"{what}'s name", most=LONGEST_NAME)
    if not name:
        raise NotAllowed(f"A {what} needs a name.")
    return name


def checked_line(text: Any, what: str, *, most: int = LONGEST_LINE) -> str:
    """Return one line with single spaces, maybe empty; raises `NotAllowed` if too long.

    A line of invisible characters, such as a zero-width space, comes in as an empty one.
    """
    line = _checked(" ".join(_words(text, what).split()), what, most)
    return line if line.isascii() or not comes_in() or _seen(line) else ""


def checked_note(text: Any, what: str = "note", *, most: int = LONGEST_NOTE) -> str:
    """Return a note of any number of lines, trimmed; raises `NotAllowed` if it is too long."""
    note = _words(text, what).replace("\r\n", "\n").replace("\t", " ")
    return _checked(note.strip(), what, most)


_BLANK = frozenset("\u115f\u1160\u2800\u3164\uffa0")
"""Characters that count as letters or symbols but are invisible: fillers, the empty braille
cell."""
_UNSEEN = frozenset({"Cc", "Cf", "Mn", "Me", "Zl", "Zp", "Zs"})
"""The general categories of invisible characters (Unicode Standard, 4.5)."""


def _seen(line: str) -> bool:
    """Return whether a line has a visible character."""
    from unicodedata import category

    return any(category(sign) not in _UNSEEN and sign not in _BLANK for sign in line)


def _words(text: Any, what: str) -> str:
    if not isinstance(text, str):
        raise NotAllowed(f"The {what} must be text, not {brief(text)}.")
    return text


def _checked(text: str, what: str, most: int) -> str:
    if len(text) > most:
        raise NotAllowed(f"That {what} has {len(text)} characters; the limit is {most}.")
    if not text.isprintable() and (found := re.search(_UNSHOWN, text)):
        raise NotAllowed(
            f"That {what} has a character in it that can't be shown "
            f"(U+{ord(found[0]):04X}). Remove it."
        )
    return text
