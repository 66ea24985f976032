"""The shop's own file, with the trail of money over all jobs.

It is opened for one act and let go again, so that several programs can change it, one after the
other: an act is computed and saved while the shop's lock is held. So a number is given once,
whoever asks.
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
    """The shop on disk.

    With `keeps_last` one that is damaged while it is used is read as it was last, and
    `trouble` says so; nothing can be changed in it then.
    """

    def __init__(
        self, path: Path, *, check_clock: Callable[[datetime | None], None] | None = None
    ) -> None:
        """`check_clock` gets the time of the last change before one is made, and may raise."""
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
        """The shop's record as it stands; raises `Damaged`."""
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
        """The record as it was read last, where it `keeps_last`."""
        return self._last

    def last_change(self) -> datetime | None:
        """Return when the shop was last changed; raises `Damaged`."""
        return self._read().last

    def shop(self) -> Shop:
        """The shop as it stands; one that was never written has the usual values."""
        return self.record().shop

    def zone(self) -> "ZoneInfo | None":
        """Return the business's time zone: None if none is set or none could be read yet.

        The file is read again only where it has changed, so this can be asked at every key.
        """
        try:
            stamps = self._stamps()
        except OSError:  # the disk is gone for a while, the zone is not
            return self._zone
        if stamps != self._zone_read_at:
            with suppress(CrewdeskError):
                self._zone = self._read().record.zone
            self._zone_read_at = stamps
        return self._zone

    def _stamps(self) -> tuple[object, ...]:
        """What changes whenever any machine's history does; raises `OSError`."""
        return tuple((one.name, stamp(one)) for one in histories(self.path.parent))

    def changed(self) -> bool:
        """Whether anybody else changed the shop since this was asked last or a change was made
        here; False at first."""
        try:
            now = self._stamps()
        except OSError:
            return False
        before, self._seen = self._seen, now
        return before not in (None, now)

    @property
    def news(self) -> tuple[str, ...]:
        """A sentence for each document of this machine whose number other machines' files
        changed, as noticed when the shop was read or opened; until `forget_news`."""
        return tuple(told for told, fresh in self._news.items() if fresh)

    def forget_news(self) -> None:
        """Forget the `news`, once they were shown; the same are never news again."""
        self._news = dict.fromkeys(self._news, False)

    def take_in(self, now: datetime) -> None:
        """Save what came in from other machines in this machine's own files, so that it isn't
        news again; raises as `make`."""
        with self._open(now):
            pass

    def history(self) -> list[Change]:
        """Every change of the shop, oldest first."""
        return self._read().history()

    def make(self, act: Act, now: datetime) -> Change:
        """Make the change that `act` gives, over the shop as it stands; gives it.

        Raises as `act` and as `RecordFile.make`.
        """
        with self._open(now) as file:
            change = act(file.record, now)
            file.make(change)
        with suppress(OSError):
            self._seen = self._stamps()
        return change

    def to_undo(self) -> Change | None:
        """The change that `undo` would take back: the latest, whoever made it. Raises `Damaged`."""
        return self._read().to_undo()

    def undo(self, now: datetime) -> Change:
        """Take the shop's latest change back; what was issued stays. Raises `NotAllowed`."""
        with self._open(now) as file:
            return file.undo(now)

    def redo(self, now: datetime) -> Change:
        """Make the change of the shop that was undone last again. Raises `NotAllowed`."""
        with self._open(now) as file:
            return file.redo(now)

    def change(self, now: datetime, **values: Any) -> Shop:
        """Give the shop other values, as typed; gives it as it then stands.

        Raises `NotAllowed`, and `BadInput` where a value can't be read.
        """
        with self._open(now) as file:
            if changed_values(file.record, values):
                file.make(change_shop(file.record, values, now))
            return file.record.shop

    def copies(self) -> "tuple[Copy, ...]":
        """What the shop can be brought back from, that which loses least first."""
        from crewdesk.store.recovery import copies

        return copies(self.path, KIND, ShopRecord)

    def bring_back(
        self,
        now: datetime,
        *,
        choose: "Callable[[tuple[Copy, ...]], Copy]" = lambda every: every[0],
    ) -> "Copy":
        """Bring the shop back when it can't be read; see `crewdesk.store.recovery`."""
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
        """The shop's file; a damaged one tells what it can be brought back from."""
        try:
            if why := why_no_folder(self.path.parent):
                raise Damaged(self.path.parent, why)
            file = RecordFile(self.path, KIND, ShopRecord, writing=writing, hold=writing)
            if file.alone is not None:
                from crewdesk.job.books.documents import numbers_changed

                for told in numbers_changed(ShopRecord(file.alone), file.record):
                    self._news.setdefault(told, True)
            return file
        except Newer:
            raise
        except Damaged as damaged:
            if every := self.copies():
                told = every[0].told(self._zone or machine_clock.machine_now().tzinfo)
                damaged.text = f"{damaged} `crewdesk restore` recovers it {told}."
            raise
        except OSError as error:
            raise unreadable(self.path, error) from None

    @contextmanager
    def _open(self, now: datetime) -> Iterator[RecordFile[ShopRecord]]:
        """The shop, open to be written; raises `ReadOnly` where another holds on to it."""
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
