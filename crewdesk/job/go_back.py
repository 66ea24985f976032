"""Going back to how a record stood at a time: one change, which can be undone like any other."""

from collections.abc import Sequence
from datetime import datetime

from crewdesk.errors import NotAllowed
from crewdesk.job.change import ABSENT, Change, Edit, Tables, put, rows_after


def gone_back(tables: Tables, history: Sequence[Change], to: datetime, now: datetime) -> Change:
    """The change that makes the record what it was after the last change that was made no
    later than `to`; `history` is all of it, oldest first.

    Raises `NotAllowed` where nothing was made by then, or nothing since.
    """
    count = next((n for n, one in enumerate(history) if one.when > to), len(history))
    at = f"{to:%Y-%m-%d %H:%M}"
    if not count:
        began = f"{history[0].when.astimezone(to.tzinfo):%Y-%m-%d %H:%M}" if history else ""
        raise NotAllowed(
            f"Nothing is known of it at {at}; the first change is of {began}."
            if began
            else "It has no history, so it can't be taken back to a time."
        )
    then = {table: dict(rows) for table, rows in tables.items()}
    for one in reversed(history[count:]):
        put(then, rows_after(then, one.taken_back(0, now)))
    edits = tuple(
        Edit((table, row), old if old is not None else ABSENT, new if new is not None else ABSENT)
        for table in dict.fromkeys((*tables, *then))
        for row in dict.fromkeys((*tables.get(table, {}), *then.get(table, {})))
        if (old := tables.get(table, {}).get(row)) != (new := then.get(table, {}).get(row))
    )
    if not edits:
        raise NotAllowed(f"It is as it was at {at}; nothing was changed.")
    return Change(f"went back to what it was at {at}", edits, now)
