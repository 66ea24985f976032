"""Every change of a record, one to a line, only ever added to.

A line is a CRC-32 in hexadecimal, a space, the line's seal, a space, the change as JSON
with its number, and a line feed. The CRC tells whether the line is as it was written. The
seal is the beginning of a SHA-256 over the seal of the line before and the JSON, so it
names the whole history up to there: two histories that carry the same seal are the same
up to it, and lines of different histories can't stand in one. Lines of schema 1 have no
seal; theirs is reckoned.

Adding lines and fsyncing them is what saving changes is; a line counts once its line feed
is on the disk. A last line without one was never acknowledged and is let go of.
"""

import json
import os
import re
from collections.abc import Iterator
from contextlib import suppress
from errno import EIO
from io import BytesIO
from itertools import islice
from pathlib import Path
from typing import BinaryIO, NamedTuple
from zlib import crc32

from crewdesk.job.change import Change
from crewdesk.store.checkpoint import START, Place, sync_folder
from crewdesk.store.regular import open_handle, open_to_read
from crewdesk.store.seal import sha256
from crewdesk.store.trouble import Damaged, Elsewhere, unreadable

SEAL = 16
"""Hexadecimal digits of a seal."""
_NEAR = 1_024
_SEALED = re.compile(rb"[0-9a-f]{%d} " % SEAL)

Stat = tuple[int, int, int, int]


class Line(NamedTuple):
    """A change as it stands in a history, with the place behind it."""

    change: Change
    place: Place


class HistoryFile:
    """The history beside a record; `end` is where the next line goes."""

    def __init__(self, path: Path, *, watched: bool = False) -> None:
        """`watched` keeps what was read open, so that it can still be read when another
        file was put in its place."""
        self.path = path
        self.end = START
        self._watched = watched
        self._open: BinaryIO | None = None
        self._known: Stat | None = None
        self._handle: int | None = None
        self._torn = False

    def read(self, place: Place, *, strictly: bool = False) -> list[Line]:
        """The lines after a place; sets `end` behind the last.

        Raises `Elsewhere` where the history does not hold that place, and `Damaged` where
        a whole line is not what was written. `strictly` says that the line before the place
        must be whole too, not only its seal, since more is to be added behind it.
        """
        file, known = self._look()
        try:
            start = self._placed(file, place, strictly=strictly)
            lines = list(self._each(file.read(), start))
        except OSError as error:
            raise unreadable(self.path, error) from None
        self._let_go_of_open()
        self._open = file if self._watched else None
        self._known = known
        self.end = lines[-1].place if lines else start
        return lines

    def sound(self, place: Place) -> list[Line]:
        """The same, but up to the first line that is not what was written."""
        data, start = self._after(place)
        lines: list[Line] = []
        with suppress(Damaged):
            lines.extend(self._each(data, start))
        self.end = lines[-1].place if lines else start
        return lines

    def after(self, count: int) -> tuple[list[Change], int]:
        """The changes in whole lines that are numbered after `count`, and how many lines
        behind those before can't be read; for telling what is lost. Raises `Damaged`."""
        found: list[Change] = []
        bad = at = 0
        for line in BytesIO(self._after(START)[0]):
            if not line.endswith(b"\n"):
                break
            try:
                change = self._change(line, None)
                number = json.loads(_parts(line)[1]).get("number")
            except Damaged:
                number = None
            at = number if type(number) is int else at + 1
            if at > count and at == number:
                found.append(change)
            elif at > count:
                bad += 1
        return found, bad

    def begins(self) -> bool:
        """Whether its first line is whole."""
        try:
            with open_to_read(self.path) as file:
                line = file.readline()
        except OSError:
            return False
        return line.endswith(b"\n") and _is_whole(line)

    def first(self, count: int) -> list[Change]:
        """The first `count` changes; raises `Damaged`. Leaves `end` as it is."""
        lines = self._each(self._after(START)[0], START)
        changes = [line.change for line in islice(lines, count)]
        if len(changes) < count:
            raise Damaged(self.path, f"it ends before change {count}")
        return changes

    def starts(self) -> list[int]:
        """Where each change's line starts, from change 1 on."""
        starts, at = [], 0
        for line in BytesIO(self._after(START)[0]):
            starts.append(at)
            at += len(line)
        return starts

    def one(self, start: int, number: int) -> Change:
        """Change `number`, whose line starts at byte `start`; raises `Damaged`."""
        try:
            with open_to_read(self.path) as file:
                file.seek(start)
                return self._change(file.readline(), number)
        except OSError as error:
            raise unreadable(self.path, error) from None

    def as_it_was(self) -> list[Line]:
        """The lines that were read and added, though another file may stand there now.

        Raises `Damaged` where they can't be read any more.
        """
        try:
            if self._open is None:
                raise Damaged(self.path, "what was there before is gone")
            self._open.seek(0)
            data = self._open.read(self.end.bytes)
            lines = list(self._each(data, START))
        except OSError as error:
            raise unreadable(self.path, error) from None
        if (lines[-1].place if lines else START) != self.end:
            raise Damaged(self.path, "what was there before is gone")
        return lines

    def go_back(self, place: Place) -> None:
        """Take it that nothing was read: what is there now can't be used."""
        self.end, self._known = place, None

    def moved(self) -> bool:
        """Whether the file is another than it was left, or gone."""
        try:
            return _stat(self.path.stat()) != self._known
        except FileNotFoundError:
            return self.end.bytes > 0
        except OSError:
            return False

    def _look(self) -> tuple[BinaryIO, Stat | None]:
        """The file, open, and what the system tells of it; one that is not there is empty."""
        try:
            file = open_to_read(self.path)
            return file, _stat(os.fstat(file.fileno()))
        except FileNotFoundError:
            return BytesIO(), None
        except OSError as error:
            raise unreadable(self.path, error) from None

    def _after(self, place: Place) -> tuple[bytes, Place]:
        """What comes after a place, and the place with its seal; raises as `read`."""
        file, _ = self._look()
        with file:
            try:
                start = self._placed(file, place)
                return file.read(), start
            except OSError as error:
                raise unreadable(self.path, error) from None

    def _placed(self, file: BinaryIO, place: Place, *, strictly: bool = False) -> Place:
        """Go to a place in the file; gives it with its seal. Raises `Elsewhere`, `OSError`."""
        size = file.seek(0, os.SEEK_END)
        if size < place.bytes:
            why = f"it ends before change {place.changes}" if size else "it is empty or gone"
            raise Elsewhere(self.path, why)
        last, reach = b"", _NEAR
        while last.count(b"\n") < 2 and len(last) < place.bytes:
            reach *= 4
            file.seek(max(0, place.bytes - reach))
            last = file.read(min(reach, place.bytes))
        last = last[last.rfind(b"\n", 0, -1) + 1 :]
        seal = _sealed(last)
        file.seek(0)
        if last and not seal:
            for line in BytesIO(file.read(place.bytes)):
                seal = _next(seal, line)
        if last and (not last.endswith(b"\n") or (place.seal and seal != place.seal)):
            raise Elsewhere(self.path, f"it has another change {place.changes}")
        if last and strictly and not _is_whole(last):
            raise Elsewhere(self.path, f"change {place.changes} is not as it was written")
        file.seek(place.bytes)
        return Place(place.changes, place.bytes, seal)

    def _each(self, data: bytes, place: Place) -> Iterator[Line]:
        """Each line of what comes after a place; raises `Damaged`."""
        seal, number, at = place.seal, place.changes, place.bytes
        for line in BytesIO(data):
            number += 1
            if not line.endswith(b"\n"):
                if _is_whole(line):  # a torn line has no wrong end
                    raise Damaged(self.path, f"change {number} is not as it was written")
                return
            at += len(line)
            change = self._change(line, number)
            told, seal = _sealed(line), _next(seal, line)
            if told and told != seal:
                raise Damaged(self.path, f"change {number} belongs to another history")
            yield Line(change, Place(number, at, seal))

    def _change(self, line: bytes, number: int | None) -> Change:
        if not _is_whole(line):
            raise Damaged(self.path, f"change {number} is not as it was written")
        try:
            doc = json.loads(_parts(line)[1])
            if number is not None and doc["number"] != number:
                raise Damaged(self.path, f"change {number} is missing")
            return Change.from_doc(doc)
        except (ValueError, KeyError, TypeError, RecursionError):
            raise Damaged(self.path, f"change {number} is not a change") from None

    def add(self, *changes: Change) -> list[Line]:
        """Add lines, made to last before this returns; raises `OSError`, adding nothing."""
        data, place, lines = b"", self.end, []
        for change in changes:
            text, place = _line(place, change)
            data += text
            lines.append(Line(change, place))
        handle = self._opened()
        if self._torn:
            os.ftruncate(handle, self.end.bytes)
        self._torn = True
        try:
            done = 0
            while done < len(data):
                done += os.pwrite(handle, data[done:], self.end.bytes + done)
            os.fsync(handle)
        except BaseException:
            with suppress(OSError):
                os.ftruncate(handle, self.end.bytes)
                os.fsync(handle)
            self._known = _stat(os.fstat(handle))
            raise
        self.end = place
        self._torn = False
        self._known = _stat(os.fstat(handle))
        return lines

    def let_go_of_rest(self) -> None:
        """Cut the file off at `end`, made to last; raises `OSError`."""
        os.fsync(self._opened())

    def _opened(self) -> int:
        if self._handle is not None and not self._still_there(self._handle):
            self._let_go_of_handle()
        if self._handle is None:
            new = not self.path.exists()
            handle = open_handle(self.path, os.O_RDWR | os.O_CREAT)
            try:
                if os.fstat(handle).st_size < self.end.bytes:
                    raise OSError(EIO, "the history is shorter than it was")
                os.ftruncate(handle, self.end.bytes)
                if new:
                    sync_folder(self.path.parent)
            except BaseException:
                os.close(handle)
                if new:
                    self.path.unlink(missing_ok=True)
                raise
            self._handle = handle
        return self._handle

    def _still_there(self, handle: int) -> bool:
        """Whether a handle is on the file that bears the name now."""
        try:
            return os.path.samestat(os.fstat(handle), self.path.stat())
        except OSError:
            return False

    def close(self) -> None:
        """Let go of the file."""
        self._let_go_of_open()
        self._let_go_of_handle()

    def _let_go_of_handle(self) -> None:
        """Close the file that was written; where that fails nothing is lost, since each line
        was made to last when it was added."""
        handle, self._handle = self._handle, None
        if handle is not None:
            with suppress(OSError):
                os.close(handle)

    def _let_go_of_open(self) -> None:
        if self._open is not None:
            self._open.close()
            self._open = None


def _stat(told: os.stat_result) -> Stat:
    return told.st_dev, told.st_ino, told.st_size, told.st_mtime_ns


def _line(place: Place, change: Change) -> tuple[bytes, Place]:
    number = place.changes + 1
    doc = {"number": number, **change.to_doc()}
    text = json.dumps(doc, separators=(",", ":")).encode()
    seal = _seal(place.seal, text)
    rest = seal.encode() + b" " + text
    line = b"%08x %s\n" % (crc32(rest), rest)
    return line, Place(number, place.bytes + len(line), seal)


def _is_whole(line: bytes) -> bool:
    """Whether all but a line's last byte is as it was written."""
    check, _, rest = line[:-1].partition(b" ")
    return check == b"%08x" % crc32(rest)


def _parts(line: bytes) -> tuple[str, bytes]:
    """A line's seal, "" where it has none, and its JSON."""
    rest = line[:-1].partition(b" ")[2]
    if _SEALED.match(rest):
        return rest[:SEAL].decode(), rest[SEAL + 1 :]
    return "", rest


def _sealed(line: bytes) -> str:
    return _parts(line)[0]


def _next(seal: str, line: bytes) -> str:
    """The seal behind a line that comes after one with `seal`."""
    return _seal(seal, _parts(line)[1])


def _seal(before: str, text: bytes) -> str:
    return sha256(before.encode() + text)[:SEAL]
