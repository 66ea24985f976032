"""A typed list of beams, such as ``Great room: 4 beams 16' 7-1/4x6``, line by line.

A line is ROOM: COUNT beams LENGTH WIDTHxHEIGHT. Leave out the room if it is that of the line
before, the count if it is one, the length if unknown, the section for the job's own. Numbers are
separated by blanks only, so a line is split in every way that makes sense; it is accepted if there
is just one. A length without a mark can be feet or inches.

Widths are over the outside of the sides, heights are rough widths of a side. Plausible sizes of a
box beam (common practice, no source): 3 to 48 in wide, 2 to 48 in high, 6 in to 100 ft long. These
bounds only distinguish a length from a section.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from crewdesk.errors import Ambiguous, BadInput, Unread
from crewdesk.length import INCHES_PER_FOOT, feet_and_inches, mixed
from crewdesk.trade.cuts.pitch import read_pitch
from crewdesk.trade.read_length import read_length

MOST_LINES = 200
LONGEST_LINE = 200
MOST_OF_A_LINE = 99
SHORTEST, LONGEST = Fraction(6), Fraction(1200)
NARROWEST, WIDEST = Fraction(3), Fraction(48)
LOWEST, HIGHEST = Fraction(2), Fraction(48)

_BULLET = re.compile(r"^ *(?:[-*\u2022\u2013\u00b7] +|\d{1,3}[.)] +(?=[^\W\d]))")
_TIMES = str.maketrans("\u00d7\u2715\u2a2fX*", "xxxxx")
_BEAMS = r"(?:(?:box )?beams?|pcs\.?|pieces?|of|ea\.?|each)"
_HEADS = (
    re.compile(rf"(\d{{1,6}}) ?{_BEAMS}(?!\w)(.*)"),
    re.compile(rf"(?:an? |one )?{_BEAMS}(?!\w)()(.*)"),
    re.compile(r"(\d{1,3}) (.*)"),
    re.compile(r"()(.*)"),
)
_TIMES_HEAD = re.compile(r"(\d{1,3}) ?[x@](.*)")
_ROOM = re.compile(rf"([^\d:]*?[^\W\d][^\d:]*?) +(?=(?:(?:an? |one )?{_BEAMS})(?:\W|$)|\.?\d)")
_FILLER = re.compile(r"(?:^| )(?:,|;|@|at|long|wide|high)(?= |$)")
_TO_NUMBER = re.compile(r"^[^\d]*(?=\d)")
_TYPE = re.compile(
    r"\b(?:sloped|sloping|pitched|vaulted|usual|uneven|(?:along|against|under) (?:an? |the )?"
    r"(?:wall|ridge)|wall(?= beams?\b)|ridge(?= beams?\b)|mit(?:er|re)e?d(?: box)?)\b",
    re.IGNORECASE,
)
_SLOPE = re.compile(
    r",? *\b(?:sloped|sloping|pitched|vaulted|cathedral)(?: at)? +"
    r"(\d+(?:\.\d+|(?:[- ]\d+)?/\d+)? ?(?:/|in) ?12(?!\d)|\d+(?:\.\d+)? ?(?:deg\w*|°))",
    re.IGNORECASE,
)
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_FORM = "ROOM: HOW MANY beams LENGTH WIDTHxHEIGHT, for example Great room: 4 beams 16' 7-1/4x6"
_Facts = dict[str, Any]
"""The facts in every error about a line: its number, `line`, and its `text`."""
_UNMARKED = re.compile(r"\d+(?:\.\d*)?|\.\d+|(?:\d+(?: *- *| +))?\d+ ?/ ?\d+")


class _OutOfBounds(BadInput):
    """An implausible count of beams or section."""


class TypeInList(BadInput):
    """A beam's type or ceiling in a list, which can't have one."""


@dataclass(frozen=True)
class BeamLine:
    """Beams of one kind in a room: lengths in inches, None where not given; `pitch` is the slope
    of their ceiling as typed, "" for a flat one."""

    room: str
    count: int = 1
    length: Fraction | None = None
    width: Fraction | None = None
    height: Fraction | None = None
    pitch: str = ""

    def written(self) -> str:
        """Return the line in typed form, which parses to an equal one."""
        parts = [f"{self.room}: {self.count} beam{'' if self.count == 1 else 's'}"]
        if self.length is not None:
            parts.append(feet_and_inches(self.length))
        if self.width is not None and self.height is not None:
            parts.append(f'{mixed(self.width)}" x {mixed(self.height)}"')
        if self.pitch:
            parts.append(f"sloped {self.pitch}")
        return " ".join(parts)


def read_beam_list(text: str, *, unit: str = "in") -> tuple[BeamLine, ...]:
    """Return the beams of a typed list; empty lines are skipped.

    A line ``ROOM:`` alone sets the room of the lines below. A tab-separated line from a spreadsheet
    is room, count, length, width, height. A bare number is in `unit`, "in" or "mm".

    Raises `BadInput` with the line's number for an invalid line, `Ambiguous` for one with several
    meanings (each of its `readings` would be accepted), and `TypeInList` if only a word for a
    beam's type or ceiling is invalid.
    """
    lines = [(at, line) for at, line in enumerate(text.splitlines(), 1) if line.strip()]
    if len(lines) > MOST_LINES:
        raise BadInput(
            "A list can have up to {most} lines. Put the rest in a second list.", most=MOST_LINES
        )
    found: list[BeamLine] = []
    room = ""
    for number, line in lines:
        pitch, line = _slope_in(line)
        given = " ".join(line.split())
        facts: _Facts = {"line": number, "text": given[:60]}
        if len(given) > LONGEST_LINE:
            raise BadInput(
                "Line {line} has more than {most} characters: {text}...", most=LONGEST_LINE, **facts
            )
        cells = [" ".join(cell.split()) for cell in line.strip("\r\n").split("\t")]
        if len(cells) == 1 and (kind := _type_in(given)):
            raise TypeInList(
                "Line {line}: leave out {type}. A list has no beam types; once the beams are "
                "added, set a beam's type and ceiling with Edit beam on the run sheet.",
                type=kind,
                **facts,
            )
        named, ways = _of_cells(cells, facts) if len(cells) > 1 else _of_words(given)
        room = named or room
        if not room:
            raise BadInput(
                f"Line {{line}}, {{text}}, has no room, and no line before it has one. "
                f"Type {_FORM}.",
                **facts,
            )
        if ways is not None:
            found.append(replace(_only(room, ways, facts, unit), pitch=pitch))
    if not found:
        raise BadInput(f"There is no beam in the list. Type {_FORM}.")
    return tuple(found)


def _slope_in(line: str) -> tuple[str, str]:
    """Return the slope that a line gives its beams' ceiling, "" for none, and the line without
    it; raises `BadInput` where no ceiling is so steep."""
    found = _SLOPE.search(line)
    if found is None:
        return "", line
    typed = found[1].lower()
    rise, _, _ = re.sub(r" ?in ?(?=12$)", "/", typed).rpartition("/")
    pitch = f"{rise.strip()}/12" if typed.endswith("12") else f"{_NUMBER.findall(typed)[0]}deg"
    read_pitch(pitch)
    return pitch, line[: found.start()] + line[found.end() :]


def _type_in(given: str) -> str:
    """Return the words for a beam's type or ceiling in a line, after its room; "" if there are
    none. Such a word can be a room's name before a colon or a number."""
    rest = given.rpartition(":")[2] if ":" in given else _TO_NUMBER.sub("", given)
    found = _TYPE.search(rest)
    return found[0] if found else ""


@dataclass(frozen=True)
class _Way:
    """One way to split a line: its texts, each maybe empty."""

    count: str
    length: str
    width: str
    height: str
    marked: bool = False
    """Whether only a length with a mark makes sense."""


def _of_cells(cells: list[str], facts: _Facts) -> tuple[str, list[_Way] | None]:
    """Return the room of a table's row, and the one way to read it; None for a heading."""
    room, count, length, width, height, *more = (*cells, "", "", "", "")
    if any(more) or bool(width) != bool(height):
        raise _not_understood(facts)
    if not any((count, length, width)):
        return room.strip(" :"), None
    return room.strip(" :"), [_Way(count, length, width, height)]


def _of_words(given: str) -> tuple[str, list[_Way] | None]:
    """Return the room of a line, and every way to read the rest; None if there is nothing."""
    line = _BULLET.sub("", given)
    room, colon, rest = line.rpartition(":")
    if not colon:
        found = _ROOM.match(line)
        beams = found is None or re.fullmatch(rf"(?:an? |one )?{_BEAMS}", found[1].lower())
        room, rest = ("", line) if found is None or beams else (found[1], line[found.end() :])
    return room.strip(" -,"), list(_ways(rest)) if rest.strip() else None


def _ways(rest: str) -> Iterator[_Way]:
    plain = " ".join(rest.lower().translate(_TIMES).split())
    plain = re.sub(r"(?<=[\d\"'.]) by (?=[\d.])", " x ", plain)
    heads = [(m[1], m[2], False) for head in _HEADS if (m := head.fullmatch(plain))]
    if (m := _TIMES_HEAD.fullmatch(plain)) is not None:
        heads.append((m[1], m[2], True))
    for count, body, marked in heads:
        words = re.sub(r"[,;](?= |$)", " ", body)
        words = " ".join(_FILLER.sub(" ", _FILLER.sub(" ", words)).split())
        if "x" not in words:
            yield _Way(count, words, "", "", marked)
        width, times, more = words.partition("x")
        height, again, length = more.partition("x")
        if again and width.strip() and height.strip():
            yield _Way(count, length, width, height, marked)
        elif times and not again:
            for texts in _around(width.split(), height.split()):
                yield _Way(count, *texts, marked)


def _around(left: list[str], right: list[str]) -> Iterator[tuple[str, str, str]]:
    """Return length, width and height from the words around a times sign."""
    if left and right:
        for cut in range(len(left)):
            yield " ".join(left[:cut]), " ".join(left[cut:]), " ".join(right)
        for cut in range(1, len(right)):
            yield " ".join(right[cut:]), " ".join(left), " ".join(right[:cut])


def _only(room: str, ways: list[_Way], facts: _Facts, unit: str) -> BeamLine:
    """Return the one meaning of all ways to split a line."""
    found: dict[BeamLine, None] = {}
    troubles: list[BadInput] = []
    for way in ways:
        try:
            found |= dict.fromkeys(_meant(room, way, facts, unit))
        except BadInput as refusal:
            troubles.append(refusal)
    if len(found) > 1:
        readings = tuple(one.written() for one in found)
        raise Ambiguous(f"Line {facts['line']}", readings)
    if not found:
        telling = [one for one in troubles if isinstance(one, _OutOfBounds)]
        raise telling[0] if telling else _not_understood(facts)
    return next(iter(found))


def _not_understood(facts: _Facts) -> Unread:
    return Unread(f"Line {{line}}, {{text}}, can't be read. Type {_FORM}.", **facts)


def _meant(room: str, way: _Way, facts: _Facts, unit: str) -> Iterator[BeamLine]:
    """Return the meaning of a way to split a line; raises `BadInput` if it has none."""
    width, height = (_read(text, unit) for text in (way.width, way.height))
    lengths = list(_lengths(way, unit)) if way.length else [None]
    count = way.count or "1"
    if not lengths or not (count.isascii() and count.isdecimal()):
        raise _not_understood(facts)
    if not 1 <= int(count[:9]) <= MOST_OF_A_LINE:
        raise _OutOfBounds(
            "Line {line} has {count} beams; a line can have from 1 to {most}.",
            count=count,
            most=MOST_OF_A_LINE,
            **facts,
        )
    if (
        width is not None
        and height is not None
        and not (NARROWEST <= width <= WIDEST and LOWEST <= height <= HIGHEST)
    ):
        raise _OutOfBounds(
            "Line {line} has a section {width} in wide and {height} in high. Width "
            "comes first, over the sides, from {narrowest} in to {widest} in; height "
            "from {lowest} in to {highest} in.",
            width=width,
            height=height,
            narrowest=Fraction(NARROWEST),
            widest=Fraction(WIDEST),
            lowest=Fraction(LOWEST),
            highest=Fraction(HIGHEST),
            **facts,
        )
    for length in lengths:
        yield BeamLine(room, int(count), length, width, height)


def _lengths(way: _Way, unit: str) -> Iterator[Fraction]:
    """Return the plausible lengths that may be meant."""
    unmarked = unit == "in" and _UNMARKED.fullmatch(way.length) is not None
    if way.marked and unmarked:
        return
    read = read_length(way.length, unit=unit)
    for length in (read, read * INCHES_PER_FOOT) if unmarked else (read,):
        if SHORTEST <= length <= LONGEST:
            yield length


def _read(text: str, unit: str) -> Fraction | None:
    return read_length(text, unit=unit) if text else None
