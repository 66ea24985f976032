"""Conflicts: of two changes of one thing in two places, one is in effect and the other is kept
apart.

A kept one is a row of the record, so it lasts, shows on every machine that shares the job, and a
choice about it can be undone.
"""

from datetime import datetime
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.change import ABSENT, Change, Edit, edit, look
from crewdesk.job.row import NOTE, TIME, Kind, TableRow, field, many
from crewdesk.job.rows import Rows
from crewdesk.job.text_limits import brief

TABLE = "unsettled"
LONGEST_VALUE = 60
_BESIDE = ("when", "who", "instrument")
"""Fields that don't describe the change."""


def _place(doc: Any, _what: str) -> tuple[tuple[str, ...], Any]:
    one = Edit.from_doc(doc)
    if len(one.at) < 2 or not all(isinstance(key, str) for key in one.at):
        raise TypeError
    return one.at, one.after


PLACE = Kind(_place, lambda one: Edit(one[0], ABSENT, one[1]).to_doc(), "`at` and `after`")
"""A place with its new value; without one the place becomes empty."""


class Unsettled(TableRow, noun="change kept apart"):
    """A change kept apart: `what` it did and `when`; `against`, the change in effect or the rule it
    would break, in words; `places` with its values."""

    what: str = field(NOTE)
    when: datetime = field(TIME)
    against: str = field(NOTE)
    places: tuple[tuple[tuple[str, ...], Any], ...] = field(many(PLACE, "edit"), key="edits")


def unsettled(record: Rows) -> tuple[Unsettled, ...]:
    """Return every change kept apart, in the order they came."""
    return record.every(TABLE)


def compared(record: Rows, one: Unsettled) -> list[tuple[str, str, str]]:
    """Return for each of its places: the place, the current value and the kept one, in words."""
    return [
        (" / ".join(at), text(look(record.tables, at)), text(value)) for at, value in one.places
    ]


def text(value: Any) -> str:
    """Return a value of the record in a few words."""
    if value is ABSENT:
        return "nothing"
    if isinstance(value, list) and value and isinstance(value[-1], dict):
        return text(value[-1])
    if isinstance(value, dict):
        if value.get("typed"):
            return text(value["typed"])
        parts = [
            f"{key} {text(inner)}"
            for key, inner in value.items()
            if not isinstance(inner, dict | list) and key not in _BESIDE
        ]
        return brief(", ".join(parts))[1:-1] if parts else "an object"
    return value if isinstance(value, str) and len(value) < LONGEST_VALUE else brief(value)


def leave(record: Rows, row: str, now: datetime) -> Change:
    """Return the change that leaves the current values; the kept ones stay in the history."""
    one = record.view(TABLE, row)
    return Change(f"kept the current value, not: {one.what}"[:2000], (_gone(record, row),), now)


def put_in(record: Rows, row: str, now: datetime) -> Change:
    """Return the change that replaces the current values by the kept ones.

    Raises `NotAllowed` with the rule's sentence if that would break a rule.
    """
    one = record.view(TABLE, row)
    edits: list[Edit] = []
    moved: dict[tuple[str, str], str] = {}
    for at, value in one.places:
        if at[0] in record.IN_TURN and len(at) == 2 and isinstance(value, dict):
            new = record.new_row(at[0])
            moved |= record.moved_with(at[0], value, new)
            at = (at[0], new)
        value = value if value is ABSENT else record.renumbered(at, value, moved)
        if len(at) > 2 and look(record.tables, at[:-1]) is ABSENT:
            raise NotAllowed(
                f"{' / '.join(at[:-1])} isn't there any more, so '{one.what}' can't be "
                "taken. Nothing was changed."
            )
        made = edit(record.tables, at, value)
        if made.before != made.after:
            edits.append(made)
    edits = record.completed(edits)
    change = Change(f"kept the other change: {one.what}"[:2000], (*edits, _gone(record, row)), now)
    check_between(record, change)
    return change


def check_between(record: Rows, change: Change) -> None:
    """Raise `NotAllowed` if a change would break a rule between rows."""
    after = type(record)({table: dict(rows) for table, rows in record.tables.items()})
    after.make(change, sound=False)
    before = record.broken_rules(change.rows)
    for key, sentence in after.broken_rules(change.rows).items():
        if key not in before:
            raise NotAllowed(f"{sentence} Nothing was changed.")


def _gone(record: Rows, row: str) -> Edit:
    return edit(record.tables, (TABLE, row), ABSENT)
