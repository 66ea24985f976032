"""A change of the record: before, after, and how it is undone.

The record is plain JSON: tables of rows, each row a document. An `Edit` has the path of one place
(`beams`, `3`, `pieces`, `A`, `steps`, `tape`) and its value before and after, or `ABSENT`. A
`Change` is one action of the user: a few edits and its words. Undo swaps before and after.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from enum import Enum
from itertools import chain
from math import isfinite
from typing import Any, Final, NamedTuple

from crewdesk.errors import NotAllowed
from crewdesk.job.text_limits import brief

Path = tuple[str, ...]
"""Where a value is in the record: a table, a row, and keys inside it."""
Doc = dict[str, Any]
Tables = dict[str, dict[str, Doc]]
RowsAfter = dict[str, dict[str, Doc | None]]


class _Absent(Enum):
    ABSENT = "absent"


ABSENT: Final = _Absent.ABSENT


class Edit(NamedTuple):
    """One place of the record, before and after; `at` is table, row and the keys below."""

    at: tuple[str, ...]
    before: Any
    after: Any

    def swapped(self) -> "Edit":
        """Return the edit that undoes this one."""
        return Edit(self.at, self.after, self.before)

    def to_doc(self) -> Doc:
        """Return the edit as JSON; an absent side is left out."""
        doc: Doc = {"at": list(self.at)}
        if self.before is not ABSENT:
            doc["before"] = self.before
        if self.after is not ABSENT:
            doc["after"] = self.after
        return doc

    @staticmethod
    def from_doc(doc: Doc) -> "Edit":
        """Return the edit that `to_doc` wrote."""
        return Edit(tuple(doc["at"]), doc.get("before", ABSENT), doc.get("after", ABSENT))


class Change(NamedTuple):
    """One action of the user: `what` in words for the history, its `edits`, `when`.

    `undoes` and `redoes` are the number of the change that it undoes or redoes. `of` lists the
    chain hashes of another history's lines that it merges (see `merge`).
    """

    what: str
    edits: tuple[Edit, ...]
    when: datetime
    undoes: int | None = None
    redoes: int | None = None
    of: tuple[str, ...] = ()

    @property
    def rows(self) -> frozenset[tuple[str, str]]:
        """The (table, row) pairs that it touches."""
        return frozenset((one.at[0], one.at[1]) for one in self.edits)

    def taken_back(self, number: int, when: datetime) -> "Change":
        """Return the change that undoes this one, number `number`."""
        return Change(self.what, self._swapped(), when, undoes=number)

    def made_again(self, number: int, when: datetime) -> "Change":
        """Return the change that redoes this one, number `number`."""
        return Change(self.what, self.edits, when, redoes=number)

    def _swapped(self) -> tuple[Edit, ...]:
        return tuple(edit.swapped() for edit in reversed(self.edits))

    def to_doc(self) -> Doc:
        """Return the change as JSON, times in ISO 8601."""
        doc: Doc = {
            "when": self.when.isoformat(),
            "what": self.what,
            "edits": [edit.to_doc() for edit in self.edits],
        }
        if self.undoes is not None:
            doc["undoes"] = self.undoes
        if self.redoes is not None:
            doc["redoes"] = self.redoes
        if self.of:
            doc["of"] = list(self.of)
        return doc

    @staticmethod
    def from_doc(doc: Doc) -> "Change":
        """Return the change that `to_doc` wrote."""
        return Change(
            doc["what"],
            tuple(Edit.from_doc(edit) for edit in doc["edits"]),
            datetime.fromisoformat(doc["when"]),
            doc.get("undoes"),
            doc.get("redoes"),
            tuple(doc.get("of", ())),
        )


def look(tables: Tables, at: Iterable[str]) -> Any:
    """Return the value at a path, or `ABSENT`."""
    here: Any = tables
    for key in at:
        if not isinstance(here, dict) or key not in here:
            return ABSENT
        here = here[key]
    return here


def edit(tables: Tables, at: tuple[str, ...], after: Any) -> Edit:
    """Return the edit that sets a path of the record to `after`.

    Raises `NotAllowed` if the record can't keep `after`.
    """
    from copy import deepcopy  # not needed for reading

    return Edit(at, deepcopy(look(tables, at)), after if after is ABSENT else as_json(after))


def as_json(value: Any) -> Any:
    """Return a copy of a value as JSON returns it: tuples as lists.

    Raises `NotAllowed` for a value without a JSON form: other types, infinite numbers.
    """
    if isinstance(value, dict) and all(isinstance(key, str) for key in value):
        return {key: as_json(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [as_json(one) for one in value]
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, float) and isfinite(value):
        return value
    raise NotAllowed(
        f"{brief(value)} can't be kept in a job. Text, whole numbers, lists and tables can."
    )


def edit_row(row: Doc | None, edits: Iterable[Edit]) -> Doc | None:
    """Return a new row with the edits applied; the old one is unchanged.

    Only the dicts on the way to an edit are copied. `None` means no row. Raises `NotAllowed` if the
    record doesn't have an edit's value before.
    """
    top: Doc = {} if row is None else {"row": row}
    for one in edits:
        keys = ("row", *one.at[2:])
        top = dict(top)
        here = top
        for key in keys[:-1]:
            if not isinstance(here.get(key), dict):
                raise NotAllowed(_moved(one))
            here[key] = dict(here[key])
            here = here[key]
        if here.get(keys[-1], ABSENT) != one.before:
            raise NotAllowed(_moved(one))
        if one.after is ABSENT:
            here.pop(keys[-1], None)
        else:
            from copy import deepcopy

            here[keys[-1]] = deepcopy(one.after)
    return top.get("row")


def rows_after(tables: Tables, change: Change) -> RowsAfter:
    """Return every row that a change touches as it will be, by table.

    Raises `NotAllowed` if the record doesn't have the change's values before.
    """
    grouped: dict[tuple[str, str], list[Edit]] = {}
    for one in change.edits:
        grouped.setdefault((one.at[0], one.at[1]), []).append(one)
    new: RowsAfter = {}
    for (table, row), edits in grouped.items():
        new.setdefault(table, {})[row] = edit_row(tables.get(table, {}).get(row), edits)
    return new


def copied(tables: Tables) -> Tables:
    """Return copies of the tables, so that rows can be added and removed."""
    return {table: dict(rows) for table, rows in tables.items()}


def put(tables: Tables, rows: RowsAfter) -> None:
    """Put rows into tables, in place; None removes one."""
    for table, docs in rows.items():
        here = tables.setdefault(table, {})
        for row, doc in docs.items():
            if doc is None:
                here.pop(row, None)
            else:
                here[row] = doc


def _moved(one: Edit) -> str:
    return f"Another computer changed {' / '.join(one.at)}. Look again. Nothing was changed."


def in_order(old: Mapping[str, Doc], rows: Mapping[str, Doc]) -> dict[str, Doc]:
    """Return rows in their order in `old`, new ones last."""
    return {row: rows[row] for row in chain(old, rows) if row in rows}


def with_same_rows(old: Tables, new: Tables) -> Tables:
    """Return new tables in which unchanged rows are the same objects."""
    return {
        table: {
            row: was if (was := old.get(table, {}).get(row)) == doc and was is not None else doc
            for row, doc in rows.items()
        }
        for table, rows in new.items()
    }


def changed_rows(old: Tables, new: Tables) -> set[tuple[str, str]]:
    """Return the rows that are not the same object in both."""
    return {
        (table, row)
        for table in (*old, *new)
        for row in (*old.get(table, {}), *new.get(table, {}))
        if old.get(table, {}).get(row) is not new.get(table, {}).get(row)
    }


def undone(tables: Tables, changes: Sequence[Change]) -> Tables:
    """Return the tables before some changes; raises `NotAllowed`."""
    then = copied(tables)
    for change in reversed(changes):
        put(then, rows_after(then, change.taken_back(0, change.when)))
    return then


def in_common(some: Any, other: Any) -> Any:
    """Return the common content of two tables, or of two objects in them."""
    return {
        key: in_common(value, other[key]) if isinstance(value, dict) else value
        for key, value in some.items()
        if key in other
        and (value == other[key] or (isinstance(value, dict) and isinstance(other[key], dict)))
    }


def difference(old: Tables, new: Tables) -> tuple[Edit, ...]:
    """Return the edits that turn some tables into others, row by row."""
    return tuple(
        Edit((table, row), before, after)
        for table in dict.fromkeys(chain(old, new))
        for row in dict.fromkeys(chain(old.get(table, {}), new.get(table, {})))
        if (before := old.get(table, {}).get(row, ABSENT))
        != (after := new.get(table, {}).get(row, ABSENT))
    )


def touch(some: Sequence[Path], others: Sequence[Path]) -> bool:
    """Return whether a path of one list is inside, or is, a path of the other."""
    return any(a[: len(b)] == b[: len(a)] for a in some for b in others)


def shortest(paths: Sequence[Path]) -> list[Path]:
    """Return each path that is inside no other, once."""
    found: list[Path] = []
    for path in sorted(set(paths), key=len):
        if not any(path[: len(one)] == one for one in found):
            found.append(path)
    return sorted(found)
