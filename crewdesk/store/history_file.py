"""Every change of a record, one to a line, only ever added to.

A line is a CRC-32 in hexadecimal, a space, the change as JSON with its number, and a
line feed. Adding one line and fsyncing it is what saving a change is; the line counts
once its line feed is on the disk. A last line without one was never acknowledged and
is let go of.
"""

import json
import os
from collections.abc import Iterator
from contextlib import suppress
from itertools import islice
from pathlib import Path
from zlib import crc32

from crewdesk.job.change import Change
from crewdesk.store.checkpoint import OURS_ALONE, sync_folder
from crewdesk.store.trouble import Damaged, unreadable


class HistoryFile:
    """The history beside a record; `end` is where the next line goes."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.end = 0
        self._handle: int | None = None
        self._torn = False

    def read(self, offset: int, number: int) -> list[Change]:
        """The changes after change `number`, whose line ends at byte `offset`.

        Sets `end` behind the last. Raises `Damaged` where a whole line is not what was
        written.
        """
        changes = list(self._each(offset, number))
        self.end = offset + sum(length for _, length in changes)
        return [change for change, _ in changes]

    def sound(self, offset: int, number: int) -> list[Change]:
        """The same, but up to the first line that is not what was written."""
        changes: list[Change] = []
        self.end = offset
        with suppress(Damaged):
            for change, length in self._each(offset, number):
                changes.append(change)
                self.end += length
        return changes

    def first(self, count: int) -> list[Change]:
        """The first `count` changes; raises `Damaged`. Leaves `end` as it is."""
        changes = [change for change, _ in islice(self._each(0, 0), count)]
        if len(changes) < count:
            raise Damaged(self.path, f"it ends before change {count}")
        return changes

    def starts(self) -> list[int]:
        """Where each change's line starts, from change 1 on."""
        starts, at = [], 0
        for line in self._lines(0, 0):
            starts.append(at)
            at += len(line)
        return starts

    def one(self, start: int, number: int) -> Change:
        """Change `number`, whose line starts at byte `start`; raises `Damaged`."""
        try:
            with self.path.open("rb") as file:
                file.seek(start)
                return self._change(file.readline(), number)
        except OSError as error:
            raise unreadable(self.path, error) from None

    def _each(self, offset: int, number: int) -> Iterator[tuple[Change, int]]:
        """Each change with its line's length; raises `Damaged`."""
        for line in self._lines(offset, number):
            if not line.endswith(b"\n"):
                return
            number += 1
            yield self._change(line, number), len(line)

    def _lines(self, offset: int, number: int) -> list[bytes]:
        try:
            with self.path.open("rb") as file:
                if file.seek(0, os.SEEK_END) < offset:
                    raise Damaged(self.path, f"it ends before change {number}")
                file.seek(offset)
                return file.readlines()
        except FileNotFoundError:
            if offset:
                raise Damaged(self.path, "it is gone") from None
            return []
        except OSError as error:
            raise unreadable(self.path, error) from None

    def _change(self, line: bytes, number: int) -> Change:
        check, _, text = line[:-1].partition(b" ")
        if check != b"%08x" % crc32(text):
            raise Damaged(self.path, f"change {number} is not as it was written")
        try:
            doc = json.loads(text)
            if doc["number"] != number:
                raise Damaged(self.path, f"change {number} is missing")
            return Change.from_doc(doc)
        except (ValueError, KeyError, TypeError, RecursionError):
            raise Damaged(self.path, f"change {number} is not a change") from None

    def add(self, number: int, change: Change) -> None:
        """Add one line, made to last before this returns; raises `OSError`, adding nothing."""
        self._add(_line(number, change))

    def add_all(self, changes: list[Change]) -> None:
        """Add many lines from number 1 on, with one fsync; raises `OSError`, adding nothing."""
        self._add(b"".join(_line(number, change) for number, change in enumerate(changes, 1)))

    def _add(self, line: bytes) -> None:
        handle = self._opened()
        if self._torn:
            os.ftruncate(handle, self.end)
        self._torn = True
        try:
            done = 0
            while done < len(line):
                done += os.pwrite(handle, line[done:], self.end + done)
            os.fsync(handle)
        except BaseException:
            with suppress(OSError):
                os.ftruncate(handle, self.end)
                os.fsync(handle)
            raise
        self.end += len(line)
        self._torn = False

    def let_go_of_rest(self) -> None:
        """Cut the file off at `end`, made to last; raises `OSError`."""
        os.fsync(self._opened())

    def _opened(self) -> int:
        if self._handle is None:
            new = not self.path.exists()
            handle = os.open(self.path, os.O_RDWR | os.O_CREAT, OURS_ALONE)
            try:
                os.ftruncate(handle, self.end)
                if new:
                    sync_folder(self.path.parent)
            except BaseException:
                os.close(handle)
                if new:
                    self.path.unlink(missing_ok=True)
                raise
            self._handle = handle
        return self._handle

    def close(self) -> None:
        """Let go of the file."""
        if self._handle is not None:
            os.close(self._handle)
            self._handle = None


def _line(number: int, change: Change) -> bytes:
    doc = {"number": number, **change.to_doc()}
    text = json.dumps(doc, separators=(",", ":")).encode()
    return b"%08x %s\n" % (crc32(text), text)
