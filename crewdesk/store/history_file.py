"""A machine's history of one record: append lines and read them back (see `history_lines`).

To save changes is to append lines and fsync them; a line counts once its line feed is on the disk.
A last line without one was never saved and is dropped. Only the machine in a history's name writes
it; the file is opened for each write and closed again.
"""

import os
from collections.abc import Iterator
from contextlib import suppress
from errno import EIO
from pathlib import Path

from crewdesk.errors import Damaged, Unsure
from crewdesk.job.change import Change
from crewdesk.store.checkpoint import START, Place, put_file
from crewdesk.store.disk import (
    open_handle,
    open_to_read,
    sync,
    sync_folder,
    unlink,
    unreadable,
    write_at,
)
from crewdesk.store.history_lines import (
    BLOCK,
    NEAR,
    History,
    Line,
    Stat,
    change_in,
    is_whole,
    line_of,
    numbered,
    seal_in,
    stamp,
)


class HistoryFile:
    """The history that this machine writes; `end` is the place of the next line.

    If `lines` is set, they are the history and still have to be written to the file.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.end = START
        self.lines: list[bytes] | None = None
        self._there = 0
        self._known: Stat | None = None

    def tail(self, place: Place) -> list[Line] | None:
        """Return the lines after a place, or None if the file doesn't have it; set `end` after the
        last. Raises `Damaged`."""
        known = stamp(self.path)
        try:
            with open_to_read(self.path) as file:
                if file.seek(0, os.SEEK_END) < place.bytes:
                    return None
                before, reach = b"", NEAR
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
            if seal_in(last) not in ("", place.seal):
                return None
        after = list(numbered(self.path, lines, rest, place))
        self.end = after[-1].place if after else place
        self._known, self.lines = known, None
        return after

    def take(self, whole: History, there: History, known: Stat | None) -> None:
        """Set the history to `whole`, to be written to the file if that differs; the file had
        `there` when it looked like `known`."""
        self.end, self._known = whole.place(len(whole.lines)), known
        count = len(there.lines)
        if there.lines == whole.lines:
            self.lines = None
        else:
            self.lines = whole.lines
            self._there = count if whole.lines[:count] == there.lines else 0

    def all(self) -> History:
        """Return the whole history; raises `Damaged`."""
        return History.read(self.path) if self.lines is None else History(self.path, self.lines)

    def changes(self) -> list[Change]:
        """Return every change up to `end`; raises `Damaged`."""
        whole = self.all()
        count = self.end.changes
        if len(whole.lines) < count:
            raise Damaged(self.path, f"it ends before change {count}")
        upto = History(self.path, whole.lines[:count])
        return [line.change for line in upto.after(0)]

    def back(self, place: Place) -> Iterator[tuple[int, Change]]:
        """Yield each change up to a place with its number, the latest first; raises `Damaged`."""
        for number, line in self._lines_back(place):
            yield number, change_in(self.path, line, number)

    def one(self, number: int, place: Place) -> Change:
        """Return change `number`, searching back from a later place; raises `Damaged`."""
        for at, line in self._lines_back(place):
            if at == number:
                return change_in(self.path, line, number)
        raise Damaged(self.path, f"change {number} is missing")

    def _lines_back(self, place: Place) -> Iterator[tuple[int, bytes]]:
        """Yield each line up to a place with its number, the latest first, without reading a long
        history in full. Raises `Damaged`."""
        number = place.changes
        if self.lines is not None:
            yield from zip(range(number, 0, -1), reversed(self.lines[:number]), strict=True)
            return
        at, rest = place.bytes - 1, b""  # the last line feed ends the last line
        while at > 0:
            begin = max(0, at - BLOCK)
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
        """Return whether the file differs from its last state, or is gone."""
        now = stamp(self.path)
        return now != self._known and (now is not None or self.end.bytes > 0)

    def go_back(self, place: Place) -> None:
        """Forget what was read: the file's content can't be used."""
        self.end, self._known, self.lines = place, None, None

    def put(self) -> None:
        """Write `lines` to the file and fsync, if they aren't there; raises `OSError`."""
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
        """Append lines and fsync before returning.

        Raises `OSError` if nothing was added, `Unsure` if that is unknown.
        """
        place, data, lines = self.end, list[bytes](), list[Line]()
        for change in changes:
            text, place = line_of(place, change)
            data.append(text + b"\n")
            lines.append(Line(change, place))
        self._append(b"".join(data))
        self.end = place
        self._known = stamp(self.path)
        return lines

    def _append(self, data: bytes) -> None:
        """Write after `end`; raises `OSError` if nothing was written, else `Unsure`."""
        new = not self.path.exists()
        handle = open_handle(self.path, os.O_RDWR | os.O_CREAT)
        try:
            try:
                self._write(handle, data, new=new)
            except BaseException as error:
                self._take_back(handle, error)
                raise
            finally:
                with suppress(OSError):  # saved data was fsynced before
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
        if size > self.end.bytes:  # a line that was never saved
            os.ftruncate(handle, self.end.bytes)
        write_at(handle, data, self.end.bytes)
        if new:
            sync_folder(self.path.parent)
        sync(handle)

    def _take_back(self, handle: int, error: BaseException) -> None:
        """Cut off lines that were not saved; raises `Unsure`."""
        try:
            if os.fstat(handle).st_size > self.end.bytes:
                os.ftruncate(handle, self.end.bytes)
                with suppress(OSError):  # readers ignore the line anyway
                    sync(handle)
            self._known = stamp(self.path)
        except OSError:
            self._known = None
            if isinstance(error, OSError):
                raise Unsure(error.errno or EIO, error.strerror or str(error)) from None
