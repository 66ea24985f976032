"""Changing what is true of the shop, as it is typed."""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.books.shop import Shop, shown
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.shop_typed import READERS
from crewdesk.job.change import Change, Doc, edit
from crewdesk.job.readings import level_typed
from crewdesk.job.rows import ONLY_ROW
from crewdesk.job.today import typed_zone
from crewdesk.job.words import brief


def _level(text: Any) -> str:
    """A level's length as typed; raises `BadInput` and `NotAllowed`."""
    level: str = READERS["level"](text)
    level_typed(level)
    return level


_TYPED: Mapping[str, Callable[[Any], Any]] = {"zone": typed_zone, "level": _level}
"""What is checked more closely when it is typed than when it is read out of the record."""


def change_shop(books: ShopRecord, values: Mapping[str, Any], now: datetime) -> Change:
    """The change that gives the shop other values, each as typed (see `shown`).

    Raises `NotAllowed`, and `BadInput` where a value can't be read.
    """
    new = changed_values(books, values)
    if not new:
        raise NotAllowed("Nothing is different; nothing was changed.")
    if "first_number" in new and books.tables.get("documents"):
        raise NotAllowed("Invoices were issued already, so their first number stays as it was.")
    at = ("shop", ONLY_ROW)
    edits = [edit(books.tables, (*at, key), value) for key, value in new.items()]
    if ONLY_ROW not in books.tables.get("shop", {}):
        edits = [edit(books.tables, at, new)]
    return Change(f"changed the shop: {', '.join(new).replace('_', ' ')}", tuple(edits), now)


def changed_values(books: ShopRecord, values: Mapping[str, Any]) -> Doc:
    """Those of the values that are others than the shop has; raises as `change_shop`."""
    new: Doc = {}
    for key, value in values.items():
        if key not in READERS:
            raise NotAllowed(f"The shop has no {brief(key)}; it has {', '.join(READERS)}.")
        read = _TYPED.get(key, READERS[key])(value)
        if read != getattr(books.shop, key):
            new[key] = shown(Shop(**{key: read}), key)
    return new
