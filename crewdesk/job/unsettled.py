"""A change that was made in two places at once: one stands, the other is kept apart.

It is a row of the record like any other, so it lasts, is shown on every machine that
shares the job, and what is chosen about it can be undone.
"""

from datetime import datetime
from typing import Any, NamedTuple

from crewdesk.errors import NotAllowed
from crewdesk.job.change import ABSENT, Change, Doc, Edit, edit, look
from crewdesk.job.readings import moment
from crewdesk.job.rows import Rows
from crewdesk.job.words import brief, checked_note
from crewdesk.job.written import read_plainly

TABLE = "unsettled"
LONGEST_VALUE = 60
_BESIDE = ("when", "who", "instrument")
"""Fields that say nothing of what was changed."""


class Unsettled(NamedTuple):
    """What was kept apart: `what` it did and `when`, `against` what that stands or which
    rule it would break, in words; `places` with the values that it would put there."""

    row: str
    what: str
    when: datetime
    against: str
    places: tuple[tuple[tuple[str, ...], Any], ...]

    def to_doc(self) -> Doc:
        """As JSON; a place without a value is to hold nothing."""
        return {
            "what": self.what,
            "when": self.when.isoformat(),
            "against": self.against,
            "edits": [Edit(at, ABSENT, value).to_doc() for at, value in self.places],
        }

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "Unsettled":
        """What `to_doc` wrote; raises `NotAllowed`."""
        with read_plainly(f"Row {row} of what is not settled", "such a row is"):
            edits = [Edit.from_doc(one) for one in doc["edits"]]
            if not all(
                len(one.at) > 1 and all(isinstance(key, str) for key in one.at) for one in edits
            ):
                raise TypeError
            return Unsettled(
                row,
                checked_note(doc["what"], "wording of a change"),
                moment(doc["when"], "change"),
                checked_note(doc["against"], "wording of a change"),
                tuple((one.at, one.after) for one in edits),
            )


def unsettled(record: Rows) -> tuple[Unsettled, ...]:
    """Every change that was kept apart, in the order in which they came."""
    return record.every(TABLE, Unsettled.from_doc)


def compared(record: Rows, one: Unsettled) -> list[tuple[str, str, str]]:
    """For each place of it: the place, what stands there and what was kept apart, in words."""
    return [
        (" / ".join(at), told(look(record.tables, at)), told(value)) for at, value in one.places
    ]


def told(value: Any) -> str:
    """A value of the record in a few words."""
    if value is ABSENT:
        return "nothing"
    if isinstance(value, list) and value and isinstance(value[-1], dict):
        return told(value[-1])
    if isinstance(value, dict):
        if value.get("typed"):
            return told(value["typed"])
        parts = [
            f"{key} {told(inner)}"
            for key, inner in value.items()
            if not isinstance(inner, dict | list) and key not in _BESIDE
        ]
        return brief(", ".join(parts))[1:-1] if parts else "an object"
    return value if isinstance(value, str) and len(value) < LONGEST_VALUE else brief(value)


def leave(record: Rows, row: str, now: datetime) -> Change:
    """The change that leaves what stands as it is; what was kept apart stays in the history."""
    one = record.view(TABLE, row, Unsettled.from_doc)
    return Change(f"left as it stands, not: {one.what}"[:2000], (_gone(record, row),), now)


def put_in(record: Rows, row: str, now: datetime) -> Change:
    """The change that puts what was kept apart in the place of what stands.

    Raises `NotAllowed` where that would break a rule, with the sentence that says which.
    """
    one = record.view(TABLE, row, Unsettled.from_doc)
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
                f"{' / '.join(at[:-1])} is no longer there, so '{one.what}' can't be put in; "
                "nothing was changed."
            )
        made = edit(record.tables, at, value)
        if made.before != made.after:
            edits.append(made)
    edits = record.completed(edits)
    change = Change(f"put in: {one.what}"[:2000], (*edits, _gone(record, row)), now)
    check_between(record, change)
    return change


def check_between(record: Rows, change: Change) -> None:
    """Raises `NotAllowed` where a change would leave something odd between rows."""
    after = type(record)({table: dict(rows) for table, rows in record.tables.items()})
    after.make(change, sound=False)
    before = record.odd(change.rows)
    for key, sentence in after.odd(change.rows).items():
        if key not in before:
            raise NotAllowed(f"{sentence} Nothing was changed.")


def _gone(record: Rows, row: str) -> Edit:
    return edit(record.tables, (TABLE, row), ABSENT)
