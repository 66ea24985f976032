"""What is true of the shop over all jobs: who works, with which level, shown how."""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass, fields, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from crewdesk.job.change import Change, Tables, edit, rows_after
from crewdesk.job.refused import Refused
from crewdesk.job.words import LONGEST_NAME, checked_line
from crewdesk.store.bring_back import Copy, bring_back
from crewdesk.store.storage import RecordBase, RecordStorage
from crewdesk.store.trouble import NotSaved, ReadOnly, unreadable
from crewdesk.trade.length import STEPS, read_length

KIND = "shop"
ROW = "1"
PATIENCE = 5
"""So many seconds for another crewdesk to be through with the shop."""


@dataclass(frozen=True)
class Shop:
    """`who` takes the readings; `level` is the length of the level at hand, as typed;
    `step` is what lengths are shown to in a new job; `theme` is the screen's."""

    who: str = ""
    level: str = "24"
    step: str = "1/32"
    theme: str = ""


class ShopFile:
    """The shop on disk. It is written by whoever changes it last, one value at a time."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def shop(self) -> Shop:
        """The shop as it stands; one that was never written has the usual values."""
        with self._opened() as storage:
            return _shop(storage.tables)

    def change(self, now: datetime, **values: Any) -> Shop:
        """Give the shop other values; gives it as it then stands.

        Raises `Refused`, and `Refusal` where the level is no length.
        """
        with self._locked(), self._opened() as storage:
            old = _shop(storage.tables)
            new = _checked(Shop(**{**asdict(old), **values}))
            if new == old:
                return old
            at = ("shop", ROW)
            change = Change("changed the shop", (edit(storage.tables, at, asdict(new)),), now)
            rows = rows_after(storage.tables, change)
            with storage.saving(change):
                self._base.put_all(rows)
            with suppress(NotSaved):
                storage.write_whole(now, {})
        return new

    def bring_back(self, now: datetime) -> Copy:
        """Bring the shop back when it can't be read; see `crewdesk.store.bring_back`."""
        with self._locked():
            return bring_back(self.path, KIND, now, lambda _: {})

    @contextmanager
    def _opened(self) -> Iterator[RecordStorage]:
        try:
            self._base = RecordBase(self.path, KIND, storage=RecordStorage)
        except OSError as error:
            raise unreadable(self.path, error) from None
        storage = self._base.storage
        assert isinstance(storage, RecordStorage)
        try:
            yield storage
        finally:
            self._base.close()

    @contextmanager
    def _locked(self) -> Iterator[None]:
        from filelock import FileLock, Timeout

        lock = FileLock(self.path.with_suffix(".lock"), mode=0o600)
        try:
            lock.acquire(timeout=PATIENCE)
        except Timeout:
            raise ReadOnly(self.path) from None
        except OSError as error:
            raise NotSaved(self.path, error) from None
        try:
            yield
        finally:
            lock.release()


def _shop(tables: Tables) -> Shop:
    doc = tables.get("shop", {}).get(ROW, {})
    return Shop(**{one.name: str(doc[one.name]) for one in fields(Shop) if one.name in doc})


def _checked(shop: Shop) -> Shop:
    if shop.step not in STEPS:
        raise Refused(f"Lengths are shown to {', '.join(STEPS)}; nothing was changed.")
    if read_length(shop.level) <= 0:
        raise Refused("A level has a length of more than zero; nothing was changed.")
    return replace(
        shop,
        who=checked_line(shop.who, "name of who reads", most=LONGEST_NAME),
        theme=checked_line(shop.theme, "name of a theme", most=LONGEST_NAME),
    )
