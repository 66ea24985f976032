"""Texts that come into the record: how long they may be, and what they may hold.

A row that a record holds was taken by this crewdesk or an older one, so it is read as freely as
ever was. What comes in, by a change or an import, is held to more (see `crewdesk.job.invariants`).
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
    """Read inside as what comes in."""
    before = _COMES_IN.set(True)
    try:
        yield
    finally:
        _COMES_IN.reset(before)


def comes_in() -> bool:
    """Whether what is read now comes in."""
    return _COMES_IN.get()


LONGEST_NAME = 80
LONGEST_LINE = 200
LONGEST_NOTE = 2000

_UNSHOWN = "[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]"
"""Controls, marks that turn the writing direction, halves of a character."""
_BRIEF = Repr()
_BRIEF.maxstring = _BRIEF.maxother = _BRIEF.maxlong = 60
_BRIEF.maxlevel = 2


def brief(value: Any) -> str:
    """A value out of a file as a sentence can quote it: short and printable."""
    return re.sub(_UNSHOWN, "?", _BRIEF.repr(value).replace("\n", " "))


def quoted(text: str) -> str:
    """What a user typed as a sentence can say it again: on one line, not too long."""
    line = re.sub(_UNSHOWN, "?", " ".join(text.split()))
    return line if len(line) <= LONGEST_NAME else f"{line[:LONGEST_NAME]}..."


_MOST_NAMED = 4


def named(names: Sequence[str]) -> str:
    """Return the first few names in a row, and that there are others where there are more."""
    more = " and others" if len(names) > _MOST_NAMED else ""
    return ", ".join(names[:_MOST_NAMED]) + more


def lines_of(text: str) -> str:
    """A text of more than one line as it stands in one: its lines parted by `` / ``."""
    return " / ".join(text.splitlines())


def text_of(line: str) -> str:
    """The text that `lines_of` put into a line."""
    return "\n".join(part.strip() for part in line.split(" / ") if part.strip())


def checked_name(text: Any, what: str) -> str:
    """A name of one line, trimmed; raises `NotAllowed` where it is empty or too long."""
    name = checked_line(text, f"{what}'s name", most=LONGEST_NAME)
    if not name:
        raise NotAllowed(f"A {what} needs a name.")
    return name


def checked_line(text: Any, what: str, *, most: int = LONGEST_LINE) -> str:
    """One line, its gaps made single spaces, maybe empty; raises `NotAllowed` if too long.

    A line of signs that nobody sees, such as a space of no width, comes in as an empty one.
    """
    line = _checked(" ".join(_words(text, what).split()), what, most)
    return line if line.isascii() or not comes_in() or _seen(line) else ""


def checked_note(text: Any, what: str = "note", *, most: int = LONGEST_NOTE) -> str:
    """A note of any number of lines, trimmed; raises `NotAllowed` where it is too long."""
    note = _words(text, what).replace("\r\n", "\n").replace("\t", " ")
    return _checked(note.strip(), what, most)


_BLANK = frozenset("\u115f\u1160\u2800\u3164\uffa0")
"""Signs that count as letters or symbols and show nothing: fillers, the empty braille cell."""
_UNSEEN = frozenset({"Cc", "Cf", "Mn", "Me", "Zl", "Zp", "Zs"})
"""The general categories of signs that show nothing by themselves (Unicode Standard, 4.5)."""


def _seen(line: str) -> bool:
    """Whether a line has a sign that shows."""
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
