"""What is different between tables of one record."""

from collections.abc import Mapping, Sequence
from itertools import chain
from typing import TYPE_CHECKING, Any

from crewdesk.job.change import ABSENT, Change, Doc, Edit, Tables, copied, put, rows_after

if TYPE_CHECKING:
    pass


def in_order(old: Mapping[str, Doc], rows: Mapping[str, Doc]) -> dict[str, Doc]:
    """Return rows in the order that they have in `old`, and behind them those that are new."""
    return {row: rows[row] for row in chain(old, rows) if row in rows}


def with_same_rows(old: Tables, new: Tables) -> Tables:
    """New tables, in which a row that is as it was is the same object."""
    return {
        table: {
            row: was if (was := old.get(table, {}).get(row)) == doc and was is not None else doc
            for row, doc in rows.items()
        }
        for table, rows in new.items()
    }


def changed_rows(old: Tables, new: Tables) -> set[tuple[str, str]]:
    """The rows that are not the same object in both."""
    return {
        (table, row)
        for table in (*old, *new)
        for row in (*old.get(table, {}), *new.get(table, {}))
        if old.get(table, {}).get(row) is not new.get(table, {}).get(row)
    }


def undone(tables: Tables, changes: Sequence[Change]) -> Tables:
    """Tables as they were before the changes that led to them; raises `NotAllowed`."""
    then = copied(tables)
    for change in reversed(changes):
        put(then, rows_after(then, change.taken_back(0, change.when)))
    return then


def in_common(some: Any, other: Any) -> Any:
    """What two tables, or two objects in them, hold alike."""
    return {
        key: in_common(value, other[key]) if isinstance(value, dict) else value
        for key, value in some.items()
        if key in other
        and (value == other[key] or (isinstance(value, dict) and isinstance(other[key], dict)))
    }


def difference(old: Tables, new: Tables) -> tuple[Edit, ...]:
    """The edits that make tables what others are, row by row."""
    return tuple(
        Edit((table, row), before, after)
        for table in dict.fromkeys(chain(old, new))
        for row in dict.fromkeys(chain(old.get(table, {}), new.get(table, {})))
        if (before := old.get(table, {}).get(row, ABSENT))
        != (after := new.get(table, {}).get(row, ABSENT))
    )
