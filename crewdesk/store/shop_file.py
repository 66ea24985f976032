"""The business's file, with the ledger of all jobs.

It is opened for one action and closed again, so that several programs can change it in turn: an
action is computed and saved under the shop's lock. So each number is given once.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crewdesk.errors import ClockDoubt, CrewdeskError, Damaged, Newer
from crewdesk.job.books.shop import Shop
from crewdesk.job.books.shop_record import ShopRecord, change_shop, changed_values
from crewdesk.job.change import Change
from crewdesk.store import machine_clock
from crewdesk.store.disk import unreadable, why_no_folder
from crewdesk.store.history_lines import histories, stamp
from crewdesk.store.record_file import PATIENCE, RecordFile, locked, release

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from crewdesk.store.recovery import Copy

KIND = "shop"

Act = Callable[[ShopRecord, datetime], Change]


class ShopFile:
    """The business's record on disk.

    With `keeps_last` a file damaged during use is shown as last read, and `trouble` says so; then
    it can't be changed.
    """

    def __init__(
        self, path: Path, *, check_clock: Callable[[datetime | None], None] | None = None
    ) -> None:
        """Set the file up; `check_clock` is called with the time of the last change before a
        change, and may raise."""
        self.path = path
        self.check_clock = check_clock
        self.keeps_last = False
        self.trouble = ""
        self._last: ShopRecord | None = None
        self._news: dict[str, bool] = {}
        self._seen: tuple[object, ...] | None = None
        self._zone: ZoneInfo | None = None
        self._zone_read_at: tuple[object, ...] | None = None

    def record(self) -> ShopRecord:
        """Return the business's record; raises `Damaged`."""
        try:
            record, self.trouble = self._read().record, ""
        except Damaged as damaged:
            self.trouble = str(damaged)
            if not self.keeps_last or self._last is None:
                raise
            return self._last
        if self.keeps_last:
            self._last = record
        return record

    @property
    def last(self) -> ShopRecord | None:
        """The record as last read, if it `keeps_last`."""
        return self._last

    def last_change(self) -> datetime | None:
        """Return when the record was last changed; raises `Damaged`."""
        return self._read().last

    def shop(self) -> Shop:
        """Return the business settings; the usual values if never changed."""
        return self.record().shop

    def zone(self) -> "ZoneInfo | None":
        """Return the business's time zone; None if none is set or could be read.

        The file is read again only if it changed, so this is fast enough for every key.
        """
        try:
            stamps = self._stamps()
        except OSError:  # keep the zone while the disk is missing
            return self._zone
        if stamps != self._zone_read_at:
            with suppress(CrewdeskError):
                self._zone = self._read().record.zone
            self._zone_read_at = stamps
        return self._zone

    def _stamps(self) -> tuple[object, ...]:
        """Return values that change whenever any machine's history does; raises `OSError`."""
        return tuple((one.name, stamp(one)) for one in histories(self.path.parent))

    def changed(self) -> bool:
        """Return whether another program or machine changed the record since the last call or
        change here; False at first."""
        try:
            now = self._stamps()
        except OSError:
            return False
        before, self._seen = self._seen, now
        return before not in (None, now)

    @property
    def news(self) -> tuple[str, ...]:
        """Sentences for this machine's documents that other machines' files renumbered, until
        `forget_news`."""
        return tuple(text for text, fresh in self._news.items() if fresh)

    def forget_news(self) -> None:
        """Forget the `news` after they were shown; they don't come again."""
        self._news = dict.fromkeys(self._news, False)

    def take_in(self, now: datetime) -> None:
        """Save other machines' changes in this machine's own files, so that they aren't news again;
        raises as `make`."""
        with self._open(now):
            pass

    def history(self) -> list[Change]:
        """Return every change of the record, oldest first."""
        return self._read().history()

    def make(self, act: Act, now: datetime) -> Change:
        """Make the change that `act` returns for the current record; return it.

        Raises as `act` and as `RecordFile.make`.
        """
        with self._open(now) as file:
            change = act(file.record, now)
            file.make(change)
        with suppress(OSError):
            self._seen = self._stamps()
        return change

    def to_undo(self) -> Change | None:
        """Return the change that `undo` would undo: the latest by anyone. Raises `Damaged`."""
        return self._read().to_undo()

    def undo(self, now: datetime) -> Change:
        """Undo the record's latest change; issued documents stay. Raises `NotAllowed`."""
        with self._open(now) as file:
            return file.undo(now)

    def redo(self, now: datetime) -> Change:
        """Redo the change that was undone last. Raises `NotAllowed`."""
        with self._open(now) as file:
            return file.redo(now)

    def change(self, now: datetime, **values: Any) -> Shop:
        """Set business settings, as typed; return the new settings.

        Raises `NotAllowed`, and `BadInput` for an invalid value.
        """
        with self._open(now) as file:
            if changed_values(file.record, values):
                file.make(change_shop(file.record, values, now))
            return file.record.shop

    def copies(self) -> "tuple[Copy, ...]":
        """Return the versions that the record can be recovered to, the least loss first."""
        from crewdesk.store.recovery import copies

        return copies(self.path, KIND, ShopRecord)

    def bring_back(
        self,
        now: datetime,
        *,
        choose: "Callable[[tuple[Copy, ...]], Copy]" = lambda every: every[0],
    ) -> "Copy":
        """Recover the unreadable record; see `crewdesk.store.recovery`."""
        from crewdesk.store.recovery import bring_back

        lock = locked(self.path, PATIENCE)
        try:
            copy = bring_back(self.path, KIND, now, ShopRecord, lambda _: {}, choose=choose)
            self.trouble = ""
            return copy
        finally:
            release(lock)

    def _read(self) -> RecordFile[ShopRecord]:
        return self._file(writing=False)

    def _file(self, *, writing: bool) -> RecordFile[ShopRecord]:
        """Return the record's file; a damaged one names its recovery versions."""
        try:
            if why := why_no_folder(self.path.parent):
                raise Damaged(self.path.parent, why)
            file = RecordFile(self.path, KIND, ShopRecord, writing=writing, hold=writing)
            if file.alone is not None:
                from crewdesk.job.books.documents import numbers_changed

                for text in numbers_changed(ShopRecord(file.alone), file.record):
                    self._news.setdefault(text, True)
            return file
        except Newer:
            raise
        except Damaged as damaged:
            if every := self.copies():
                text = every[0].told(self._zone or machine_clock.machine_now().tzinfo)
                damaged.text = f"{damaged} `crewdesk restore` recovers it {text}."
            raise
        except OSError as error:
            raise unreadable(self.path, error) from None

    @contextmanager
    def _open(self, now: datetime) -> Iterator[RecordFile[ShopRecord]]:
        """Yield the record open for writing; raises `ReadOnly` if another program keeps its
        lock."""
        file = self._file(writing=True)
        try:
            file.writable()
            if self.check_clock is not None:
                self.check_clock(file.last)
            yield file
        except ClockDoubt:
            file.let_go()
            raise
        finally:
            file.close(now)
