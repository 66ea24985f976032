"""Every change of a record, one to a line.

A line is a CRC-32 in hexadecimal, a space, the line's seal, a space, the change as JSON
with its number, and a line feed. The CRC tells whether the line is as it was written. The
seal is the beginning of a SHA-256 over the seal of the line before and the JSON, so it
names the whole history up to there: two histories that carry the same seal are the same
up to it, and lines of different histories can't stand in one. Lines of schema 1 have no
seal; theirs is reckoned.

Adding lines and fsyncing them is what saving changes is; a line counts once its line feed
is on the disk. A last line without one was never acknowledged and is let go of. Only the
machine whose name a history bears writes it; the file is opened for that and closed again.
"""

import json
import os
import re
from collections.abc import Iterator, Sequence
from contextlib import suppress
from errno import EIO
from functools import cached_property
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple
from zlib import crc32

from crewdesk.errors import Damaged, Unsure
from crewdesk.job.change import Change
from crewdesk.store.checkpoint import START, Place, put_file
from crewdesk.store.disk import sync, sync_folder, unlink, write_at
from crewdesk.store.regular import open_handle, open_to_read, read_bytes, unreadable

HISTORY = ".history"
SEAL = 16
"""Hexadecimal digits of a seal."""
_NEAR = 4_096
_BLOCK = 65_536
_SEALED = rb"[0-9a-f]{%d} " % SEAL
_OF = rb'"of":\[([^\[\]]*)\]\}\Z'

Stat = tuple[int, int, int, int]


class Line(NamedTuple):
    """A change as it stands in a history, with the place behind it."""

    change: Change
    place: Place

    @property
    def brought(self) -> Change:
        """The change, with what names it wherever it is brought in: its first seal."""
        return self.change if self.change.of else self.change._replace(of=(self.place.seal,))


class History:
    """The lines of one history, of which only those are read that are asked for."""

    def __init__(self, path: Path, lines: Sequence[bytes], rest: bytes = b"") -> None:
        """`lines` come without their line feeds; `rest` is what stands behind the last one."""
        self.path = path
        self.lines = list(lines)
        self.rest = rest

    @staticmethod
    def read(path: Path) -> "History":
        """The history in a file, without lines where there is none; raises `Damaged`."""
        try:
            *lines, rest = read_bytes(path).split(b"\n")
        except FileNotFoundError:
            return History(path, ())
        except OSError as error:
            raise unreadable(path, error) from None
        return History(path, lines, rest)

    @cached_property
    def seals(self) -> list[str]:
        """The seal of every line, as the line itself says."""
        seals, seal = [], ""
        for line in self.lines:
            seal = _sealed(line) or _seal(seal, _parts(line)[1])
            seals.append(seal)
        return seals

    @cached_property
    def where(self) -> dict[str, int]:
        """How many lines there are up to the one with a seal; 0 for the start."""
        return {"": 0} | {seal: number for number, seal in enumerate(self.seals, 1)}

    @cached_property
    def holds(self) -> dict[str, int]:
        """The seals of its lines and of all that they brought in, each with the number of the
        first line by which that is held."""
        found: dict[str, int] = {}
        for number, (seal, line) in enumerate(zip(self.seals, self.lines, strict=True), 1):
            for one in (seal, *named(line)):
                found.setdefault(one, number)
        return found

    @property
    def begun(self) -> str:
        """The name of its beginning, see `beginning`; "" where there is no line."""
        return beginning(self.lines[0]) if self.lines else ""

    @property
    def end(self) -> str:
        """The seal of the last line; "" where there is none."""
        return self.seals[-1] if self.lines else ""

    def place(self, number: int) -> Place:
        """The place behind line `number`."""
        size = sum(len(line) + 1 for line in self.lines[:number])
        return Place(number, size, self.seals[number - 1] if number else "")

    def after(self, number: int) -> Iterator[Line]:
        """Each line after line `number`; raises `Damaged` at one that isn't as written."""
        yield from _numbered(self.path, self.lines[number:], self.rest, self.place(number))

    def fits(self, number: int) -> bool:
        """Whether line `number` is whole and follows on the one before."""
        line = self.lines[number - 1]
        before = self.seals[number - 2] if number > 1 else ""
        told = _sealed(line)
        return is_whole(line) and (not told or told == _seal(before, _parts(line)[1]))

    def add(self, changes: Sequence[Change]) -> list[Line]:
        """Add lines for changes, here alone."""
        added, place = [], self.place(len(self.lines))
        for change in changes:
            line, place = _line(place, change)
            self.lines.append(line)
            added.append(Line(change, place))
        self.forget()
        return added

    def forget(self) -> None:
        """Read the seals again when they are asked for next: lines were changed."""
        for name in ("seals", "where", "holds"):
            self.__dict__.pop(name, None)


class HistoryFile:
    """The history that this machine writes; `end` is where the next line goes.

    Where `lines` is set, they are the history and still have to be put in the file.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.end = START
        self.lines: list[bytes] | None = None
        self._there = 0
        self._known: Stat | None = None

    def tail(self, place: Place) -> list[Line] | None:
        """The lines after a place, or None where the file does not hold it; sets `end` behind
        the last. Raises `Damaged`."""
        known = stamp(self.path)
        try:
            with open_to_read(self.path) as file:
                if file.seek(0, os.SEEK_END) < place.bytes:
                    return None
                before, reach = b"", _NEAR
                while before.count(b"\n") < 2 and len(before) < place.bytes:
                    file.seek(max(0, place.bytes - reach))
                    before = file.read(min(reach, place.bytes))
                    reach *= 4
                file.seek(place.bytes)
                *lines, rest = file.read().split(b"\n")
        except FileNotFoundError:
            if place.bytes:
                return None
            before, lines, rest = b"", [], b""
        except OSError as error:
            raise unreadable(self.path, error) from None
        if place.bytes:
            last = before[:-1].rpartition(b"\n")[2]
            if not before.endswith(b"\n") or not is_whole(last):
                return None
            if _sealed(last) not in ("", place.seal):
                return None
        after = list(_numbered(self.path, lines, rest, place))
        self.end = after[-1].place if after else place
        self._known, self.lines = known, None
        return after

    def take(self, whole: History, there: History, known: Stat | None) -> None:
        """Take it that the history is `whole`, to be put in the file where that holds another;
        it held what is `there` when it looked like `known`."""
        self.end, self._known = whole.place(len(whole.lines)), known
        count = len(there.lines)
        if there.lines == whole.lines:
            self.lines = None
        else:
            self.lines = whole.lines
            self._there = count if whole.lines[:count] == there.lines else 0

    def all(self) -> History:
        """The whole history as it is; raises `Damaged`."""
        return History.read(self.path) if self.lines is None else History(self.path, self.lines)

    def changes(self) -> list[Change]:
        """Every change up to `end`; raises `Damaged`."""
        whole = self.all()
        count = self.end.changes
        if len(whole.lines) < count:
            raise Damaged(self.path, f"it ends before change {count}")
        upto = History(self.path, whole.lines[:count])
        return [line.change for line in upto.after(0)]

    def back(self, place: Place) -> Iterator[tuple[int, Change]]:
        """Each change up to a place with its number, the latest first; raises `Damaged`."""
        for number, line in self._lines_back(place):
            yield number, change_in(self.path, line, number)

    def one(self, number: int, place: Place) -> Change:
        """Change `number`, looked for from a place behind it on; raises `Damaged`."""
        for at, line in self._lines_back(place):
            if at == number:
                return change_in(self.path, line, number)
        raise Damaged(self.path, f"change {number} is missing")

    def _lines_back(self, place: Place) -> Iterator[tuple[int, bytes]]:
        """Each line up to a place with its number, the latest first: a long history is not
        read whole for its last changes. Raises `Damaged`."""
        number = place.changes
        if self.lines is not None:
            yield from zip(range(number, 0, -1), reversed(self.lines[:number]), strict=True)
            return
        at, rest = place.bytes - 1, b""  # the last line feed ends the last line
        while at > 0:
            begin = max(0, at - _BLOCK)
            try:
                with open_to_read(self.path) as file:
                    file.seek(begin)
                    rest, *lines = (file.read(at - begin) + rest).split(b"\n")
            except OSError as error:
                raise unreadable(self.path, error) from None
            at = begin
            for line in reversed(lines if at else [rest, *lines]):
                yield number, line
                number -= 1

    def moved(self) -> bool:
        """Whether the file is another than it was left, or gone."""
        now = stamp(self.path)
        return now != self._known and (now is not None or self.end.bytes > 0)

    def go_back(self, place: Place) -> None:
        """Take it that nothing was read: what is there now can't be used."""
        self.end, self._known, self.lines = place, None, None

    def put(self) -> None:
        """Put `lines` in the file, made to last, if they aren't there; raises `OSError`."""
        if self.lines is None:
            return
        lines, end = self.lines, self.end
        if self._there:
            whole = History(self.path, lines)
            self.end = whole.place(self._there)
            try:
                self._append(b"".join(line + b"\n" for line in lines[self._there :]))
            finally:
                self.end = end
        else:
            put_file(self.path, b"".join(line + b"\n" for line in lines))
        self.lines, self._known = None, stamp(self.path)

    def add(self, *changes: Change) -> list[Line]:
        """Add lines, made to last before this returns.

        Raises `OSError`, having added nothing, and `Unsure` where that can't be said.
        """
        place, data, lines = self.end, list[bytes](), list[Line]()
        for change in changes:
            text, place = _line(place, change)
            data.append(text + b"\n")
            lines.append(Line(change, place))
        self._append(b"".join(data))
        self.end = place
        self._known = stamp(self.path)
        return lines

    def _append(self, data: bytes) -> None:
        """Write behind `end`; raises `OSError`, having written nothing, and `Unsure`."""
        new = not self.path.exists()
        handle = open_handle(self.path, os.O_RDWR | os.O_CREAT)
        try:
            try:
                self._write(handle, data, new=new)
            except BaseException as error:
                self._take_back(handle, error)
                raise
            finally:
                with suppress(OSError):  # what counts was made to last before
                    os.close(handle)
        except BaseException:
            if new and not self.end.bytes:
                with suppress(OSError):
                    unlink(self.path)
            raise

    def _write(self, handle: int, data: bytes, *, new: bool) -> None:
        size = os.fstat(handle).st_size
        if size < self.end.bytes:
            raise OSError(EIO, "the history is shorter than it was")
        if size > self.end.bytes:  # a line that was never acknowledged
            os.ftruncate(handle, self.end.bytes)
        write_at(handle, data, self.end.bytes)
        if new:
            sync_folder(self.path.parent)
        sync(handle)

    def _take_back(self, handle: int, error: BaseException) -> None:
        """Cut off what was written of lines that were not taken; raises `Unsure`."""
        try:
            if os.fstat(handle).st_size > self.end.bytes:
                os.ftruncate(handle, self.end.bytes)
                with suppress(OSError):  # nobody reads the line any more, which counts
                    sync(handle)
            self._known = stamp(self.path)
        except OSError:
            self._known = None
            if isinstance(error, OSError):
                raise Unsure(error.errno or EIO, error.strerror or str(error)) from None


def end_of(path: Path) -> str:
    """The seal at the end of a history, read from its last bytes alone; its CRC where the line
    is of schema 1, "" where there is no line. Raises `OSError`."""
    with open_to_read(path) as file:
        size = file.seek(0, os.SEEK_END)
        reach = _NEAR
        while True:
            file.seek(max(0, size - reach))
            data = file.read(reach)
            lines = data[: data.rfind(b"\n") + 1].split(b"\n")[:-1]
            if len(lines) > 1 or reach >= size:
                return _sealed(lines[-1]) or lines[-1][:8].decode("latin-1") if lines else ""
            reach *= 4


def first_line(path: Path) -> bytes:
    """The first line of a history; b"" where it is not whole or can't be read."""
    try:
        with open_to_read(path) as file:
            line = file.readline()
    except OSError:
        return b""
    return line if line.endswith(b"\n") and is_whole(line[:-1]) else b""


def beginning(line: bytes) -> str:
    """The name of the beginning of a record whose history has this first line: the first name
    that the line bears from before, where a history was put together anew, else its seal. "" for
    no line."""
    line = line.rstrip(b"\n")
    if not line:
        return ""
    return (named(line) or [_sealed(line) or _seal("", _parts(line)[1])])[0]


def stamp(path: Path) -> Stat | None:
    """What changes with every save of a file; None where there is no file that can be read."""
    try:
        told = path.stat()
    except OSError:
        return None
    return told.st_dev, told.st_ino, told.st_size, told.st_mtime_ns


def named(line: bytes) -> list[str]:
    """The seals of the lines that a line brought in."""
    if not line.endswith(b'"]}') or not (of := re.search(_OF, line)):
        return []
    return of[1].decode("ascii", "replace").replace('"', "").split(",")


def change_in(path: Path, line: bytes, number: int | None) -> Change:
    """The change in a line; raises `Damaged`, also where it is not that number."""
    if not is_whole(line):
        raise Damaged(path, f"change {number} is not as it was written")
    try:
        doc = json.loads(_parts(line)[1])
        if number is not None and doc["number"] != number:
            raise Damaged(path, f"change {number} is missing")
        return Change.from_doc(doc)
    except (ValueError, KeyError, TypeError, RecursionError):
        raise Damaged(path, f"change {number} is not a change") from None


def is_whole(line: bytes) -> bool:
    """Whether a line, without its line feed, is as it was written."""
    check, _, rest = line.partition(b" ")
    return bool(rest) and check == b"%08x" % crc32(rest)


def _numbered(path: Path, lines: Sequence[bytes], rest: bytes, place: Place) -> Iterator[Line]:
    """Each line of what comes after a place; raises `Damaged`."""
    number, at, seal = place
    for line in lines:
        number += 1
        change = change_in(path, line, number)
        told, seal = _sealed(line), _seal(seal, _parts(line)[1])
        if told and told != seal:
            raise Damaged(path, f"change {number} belongs to another history")
        at += len(line) + 1
        yield Line(change, Place(number, at, seal))
    if is_whole(rest):  # a torn line has no wrong end
        raise Damaged(path, f"change {number + 1} is not as it was written")


def _line(place: Place, change: Change) -> tuple[bytes, Place]:
    number = place.changes + 1
    doc = {"number": number, **change.to_doc()}
    text = json.dumps(doc, separators=(",", ":")).encode()
    seal = _seal(place.seal, text)
    rest = seal.encode() + b" " + text
    line = b"%08x %s" % (crc32(rest), rest)
    return line, Place(number, place.bytes + len(line) + 1, seal)


def _parts(line: bytes) -> tuple[str, bytes]:
    """A line's seal, "" where it has none, and its JSON."""
    rest = line.partition(b" ")[2]
    if re.match(_SEALED, rest):
        return rest[:SEAL].decode(), rest[SEAL + 1 :]
    return "", rest


def _sealed(line: bytes) -> str:
    return _parts(line)[0]


def _seal(before: str, text: bytes) -> str:
    return sha256(before.encode() + text).hexdigest()[:SEAL]
