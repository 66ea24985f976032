"""The lines of a history, one for each change of a record.

A line is a CRC-32 in hexadecimal, a space, its chain hash, a space, the change as JSON with its
number, and a line feed. The CRC detects damage. The chain hash ("seal") is the beginning of a
SHA-256 over the hash of the line before and the JSON, so it identifies the whole history up to
there: histories with a common hash are equal up to it, and lines of different histories can't be
mixed. Lines of schema 1 have none; it is computed.
"""

import json
import os
import re
from collections.abc import Iterator, Sequence
from functools import cached_property
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple
from zlib import crc32

from crewdesk.errors import Damaged, Newer
from crewdesk.job.change import Change
from crewdesk.store.checkpoint import Place, read_head
from crewdesk.store.disk import open_to_read, read_bytes, unreadable

HISTORY = ".history"
SEAL = 16
"""The hexadecimal digits of a chain hash."""
NEAR = 4_096
BLOCK = 65_536
_SEALED = rb"[0-9a-f]{%d} " % SEAL
_OF = rb'"of":\[([^\[\]]*)\]\}\Z'
Stat = tuple[int, int, int, int]


class Line(NamedTuple):
    """A change in a history, with the place after it."""

    change: Change
    place: Place

    @property
    def brought(self) -> Change:
        """Return the change with its first chain hash, which identifies it wherever it is
        merged."""
        return self.change if self.change.of else self.change._replace(of=(self.place.seal,))


class History:
    """The lines of one history, parsed only when asked for."""

    def __init__(self, path: Path, lines: Sequence[bytes], rest: bytes = b"") -> None:
        """Set the lines, without their line feeds; `rest` is the text after the last one."""
        self.path = path
        self.lines = list(lines)
        self.rest = rest

    @staticmethod
    def read(path: Path) -> "History":
        """Return the history in a file, without lines if there is none; raises `Damaged`."""
        try:
            *lines, rest = read_bytes(path).split(b"\n")
        except FileNotFoundError:
            return History(path, ())
        except OSError as error:
            raise unreadable(path, error) from None
        return History(path, lines, rest)

    @cached_property
    def seals(self) -> list[str]:
        """The chain hash of every line, as written in it."""
        seals, seal = [], ""
        for line in self.lines:
            seal = seal_in(line) or _seal(seal, _parts(line)[1])
            seals.append(seal)
        return seals

    @cached_property
    def where(self) -> dict[str, int]:
        """Return the number of lines up to the one with a hash; 0 for the start."""
        return {"": 0} | {seal: number for number, seal in enumerate(self.seals, 1)}

    @cached_property
    def holds(self) -> dict[str, int]:
        """The chain hashes of its lines and of all merged lines, each with the number of the first
        line that includes it."""
        found: dict[str, int] = {}
        for number, (seal, line) in enumerate(zip(self.seals, self.lines, strict=True), 1):
            for one in (seal, *named(line)):
                found.setdefault(one, number)
        return found

    @property
    def begun(self) -> str:
        """The record's permanent id, see `beginning`; "" without a line."""
        return beginning(self.lines[0]) if self.lines else ""

    @property
    def end(self) -> str:
        """The chain hash of the last line; "" if there is none."""
        return self.seals[-1] if self.lines else ""

    def place(self, number: int) -> Place:
        """Return the place after line `number`."""
        size = sum(len(line) + 1 for line in self.lines[:number])
        return Place(number, size, self.seals[number - 1] if number else "")

    def after(self, number: int) -> Iterator[Line]:
        """Yield each line after line `number`; raises `Damaged` at a damaged one."""
        yield from numbered(self.path, self.lines[number:], self.rest, self.place(number))

    def fits(self, number: int) -> bool:
        """Return whether line `number` is intact and follows the one before."""
        line = self.lines[number - 1]
        before = self.seals[number - 2] if number > 1 else ""
        text = seal_in(line)
        return is_whole(line) and (not text or text == _seal(before, _parts(line)[1]))

    def add(self, changes: Sequence[Change]) -> list[Line]:
        """Add lines for changes, in memory only."""
        added, place = [], self.place(len(self.lines))
        for change in changes:
            line, place = line_of(place, change)
            self.lines.append(line)
            added.append(Line(change, place))
        self.forget()
        return added

    def forget(self) -> None:
        """Drop the cached hashes: lines were changed."""
        for name in ("seals", "where", "holds"):
            self.__dict__.pop(name, None)


def end_of(path: Path) -> str:
    """Return the chain hash at the end of a history, from its last bytes; the CRC of a schema 1
    line, or "" without lines. Raises `OSError`."""
    with open_to_read(path) as file:
        size = file.seek(0, os.SEEK_END)
        reach = NEAR
        while True:
            file.seek(max(0, size - reach))
            data = file.read(reach)
            lines = data[: data.rfind(b"\n") + 1].split(b"\n")[:-1]
            if len(lines) > 1 or reach >= size:
                return seal_in(lines[-1]) or lines[-1][:8].decode("latin-1") if lines else ""
            reach *= 4


def first_line(path: Path) -> bytes:
    """Return the first line of a history; b"" if it is incomplete or can't be read."""
    try:
        with open_to_read(path) as file:
            line = file.readline()
    except OSError:
        return b""
    return line if line.endswith(b"\n") and is_whole(line[:-1]) else b""


def beginning(line: bytes) -> str:
    """Return a record's permanent id from its history's first line: the first merged hash that the
    line names, if the history was rebuilt, else its own. "" without a line."""
    line = line.rstrip(b"\n")
    if not line:
        return ""
    return (named(line) or [seal_in(line) or _seal("", _parts(line)[1])])[0]


def stamp(path: Path) -> Stat | None:
    """Return values that change with every save of a file; None if there is no readable file."""
    try:
        text = path.stat()
    except OSError:
        return None
    return text.st_dev, text.st_ino, text.st_size, text.st_mtime_ns


def named(line: bytes) -> list[str]:
    """Return the chain hashes of the lines that a line merged."""
    if not line.endswith(b'"]}') or not (of := re.search(_OF, line)):
        return []
    return of[1].decode("ascii", "replace").replace('"', "").split(",")


def change_in(path: Path, line: bytes, number: int | None) -> Change:
    """Return the change in a line; raises `Damaged`, also for another number."""
    if not is_whole(line):
        raise Damaged(path, f"change {number} isn't as it was saved")
    try:
        doc = json.loads(_parts(line)[1])
        if number is not None and doc["number"] != number:
            raise Damaged(path, f"change {number} is missing")
        return Change.from_doc(doc)
    except (ValueError, KeyError, TypeError, RecursionError):
        raise Damaged(path, f"change {number} isn't a change") from None


def is_whole(line: bytes) -> bool:
    """Return whether a line, without its line feed, is intact."""
    check, _, rest = line.partition(b" ")
    return bool(rest) and check == b"%08x" % crc32(rest)


def numbered(path: Path, lines: Sequence[bytes], rest: bytes, place: Place) -> Iterator[Line]:
    """Yield each line after a place; raises `Damaged`."""
    number, at, seal = place
    for line in lines:
        number += 1
        change = change_in(path, line, number)
        text, seal = seal_in(line), _seal(seal, _parts(line)[1])
        if text and text != seal:
            raise Damaged(path, f"change {number} belongs to another history")
        at += len(line) + 1
        yield Line(change, Place(number, at, seal))
    if is_whole(rest):  # an incomplete line can't pass
        raise Damaged(path, f"change {number + 1} isn't as it was saved")


def line_of(place: Place, change: Change) -> tuple[bytes, Place]:
    """Return the line of a change after a place, and the place after it."""
    number = place.changes + 1
    doc = {"number": number, **change.to_doc()}
    text = json.dumps(doc, separators=(",", ":")).encode()
    seal = _seal(place.seal, text)
    rest = seal.encode() + b" " + text
    line = b"%08x %s" % (crc32(rest), rest)
    return line, Place(number, place.bytes + len(line) + 1, seal)


def _parts(line: bytes) -> tuple[str, bytes]:
    """Return a line's chain hash, or "" if it has none, and its JSON."""
    rest = line.partition(b" ")[2]
    if re.match(_SEALED, rest):
        return rest[:SEAL].decode(), rest[SEAL + 1 :]
    return "", rest


def seal_in(line: bytes) -> str:
    """Return a line's chain hash; "" if it has none."""
    return _parts(line)[0]


def _seal(before: str, text: bytes) -> str:
    return sha256(before.encode() + text).hexdigest()[:SEAL]


_COPY = r"[^.].*\.json(\.[0-9]+)?"


def histories(folder: Path) -> list[Path]:
    """Return every history in a record's folder, by name; raises `OSError`."""
    return [one for one in _files(folder) if one.suffix == HISTORY and one.name != HISTORY]


def copy_files(folder: Path) -> list[Path]:
    """Return every whole copy in a record's folder, by name; raises `OSError`."""
    return [one for one in _files(folder) if re.fullmatch(_COPY, one.name)]


def check_newer(path: Path, kind: str) -> None:
    """Raise `Newer` if another machine's whole copy beside `path`, this machine's, is from a newer
    crewdesk."""
    for one in copy_files(path.parent):
        if one.suffix == ".json" and one != path:
            try:
                read_head(one, kind)
            except Newer:
                raise
            except (Damaged, OSError):
                continue


def _files(folder: Path) -> list[Path]:
    try:
        with os.scandir(folder) as entries:
            return sorted(
                Path(one.path)
                for one in entries
                if not one.name.startswith(".") and not one.is_dir(follow_symlinks=False)
            )
    except (FileNotFoundError, NotADirectoryError):
        return []


def common(some: History, other: History) -> tuple[int, int]:
    """Return the last place that two histories share: the number of lines of each."""
    for number in range(len(some.lines), 0, -1):
        there = other.where.get(some.seals[number - 1])
        if there is not None:
            return number, there
    return 0, 0
