"""What is true of the shop over all jobs: who works, with which level, shown how."""

from dataclasses import asdict, dataclass, fields
from datetime import datetime
from pathlib import Path
from typing import Any

from crewdesk.job.change import Change, Tables, edit, rows_after
from crewdesk.job.refused import Refused
from crewdesk.store.storage import RecordBase, RecordStorage
from crewdesk.trade.length import STEPS, read_length

KIND = "shop"
ROW = "1"


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
        base = RecordBase(self.path, KIND, storage=RecordStorage)
        rows: Tables = base.storage.read() or {}
        base.close()
        doc = rows.get("shop", {}).get(ROW, {})
        return Shop(**{one.name: str(doc[one.name]) for one in fields(Shop) if one.name in doc})

    def change(self, now: datetime, **values: Any) -> Shop:
        """Give the shop other values; gives it as it then stands. Raises `Refused`."""
        old = self.shop()
        new = Shop(**{**asdict(old), **values})
        if new.step not in STEPS:
            raise Refused(f"Lengths are shown to {', '.join(STEPS)}; nothing was changed.")
        if read_length(new.level) <= 0:
            raise Refused("A level has a length of more than zero; nothing was changed.")
        if new == old:
            return old
        from filelock import FileLock

        with FileLock(self.path.with_suffix(".lock"), mode=0o600):
            base = RecordBase(self.path, KIND, storage=RecordStorage)
            storage = base.storage
            assert isinstance(storage, RecordStorage)
            change = Change(
                "changed the shop", (edit(storage.tables, ("shop", ROW), asdict(new)),), now
            )
            with storage.saving(change):
                base.put_all(rows_after(storage.tables, change))
            storage.write_whole(now, {})
            base.close()
        return new
