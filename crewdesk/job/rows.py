"""Typed views of a record's tables, made when first asked for and again after a change.

The tables are plain JSON (see `crewdesk.job.change`). What a table's rows must be is told
by a reader for each; a change that leaves a row which its reader refuses is not made.
"""

import re
from collections.abc import Callable, Hashable, Iterable, Mapping
from importlib import import_module
from itertools import chain
from typing import Any, ClassVar

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.change import Change, Doc, Edit, RowsAfter, Tables, put, rows_after
from crewdesk.job.parsing import refusing_alone
from crewdesk.job.text_limits import brief, coming_in

ONLY_ROW = "1"
_ROW = "[1-9][0-9]{0,8}"


class Rows:
    """`OF` names the record in sentences, `HEAD` the table that has one row alone."""

    OF: ClassVar[str]
    HEAD: ClassVar[str]
    READERS: ClassVar[Mapping[str, Callable[[str, Doc], object]]]
    SOUND: ClassVar[Mapping[str, Callable[[Any, Doc], None]]] = {}
    """By table, what a row must be to come in, beyond what its reader asks for: gets the row as
    read, and its document."""
    NUMBERED: ClassVar[frozenset[str]] = frozenset()
    """The tables whose rows keep their numbers whatever happens."""
    IN_TURN: ClassVar[frozenset[str]] = frozenset()
    """The tables whose rows are numbered without a gap, and stay for ever."""

    def __init__(self, tables: Tables) -> None:
        self.tables = tables
        self._views: dict[tuple[str, str], object] = {}

    def view(self, table: str, row: str) -> Any:
        """One row of a table as its kind has it; raises `NotAllowed` where there is none."""
        key = (table, row)
        if key not in self._views:
            try:
                doc = self.tables[table][row]
            except KeyError:
                raise NotAllowed(
                    f"There is no row {row} among the {table} of this {self.OF}."
                ) from None
            self._views[key] = self.read_row(table, row, doc)
        return self._views[key]

    def read_row(self, table: str, row: str, doc: Doc) -> Any:
        """Read a row that is in the record; raises `NotAllowed`."""
        return self.READERS[table](row, doc)

    def every(self, table: str) -> tuple[Any, ...]:
        """Every row of a table, in the order of the rows' numbers."""
        return tuple(self.view(table, row) for row in sorted(self.tables.get(table, {}), key=int))

    def new_row(self, table: str) -> str:
        """Return a row number that is free in a table, also of what is kept apart."""
        apart = set() if table in self.NUMBERED else self.rows_apart(table)
        return str(1 + max(map(int, chain(self.tables.get(table, {}), apart)), default=0))

    def rows_apart(self, table: str) -> set[str]:
        """Return the rows of a table that are kept apart whole, until the user chooses: another
        row with such a number would be written over then."""
        return {
            edit["at"][1]
            for doc in self.tables.get("unsettled", {}).values()
            for edit in doc["edits"]
            if len(edit["at"]) == 2 and edit["at"][0] == table
        }

    def forget(self, rows: Iterable[tuple[str, str]]) -> None:
        """Drop the views of rows that were changed."""
        for key in rows:
            self._views.pop(key, None)

    def renew(self, tables: Tables) -> None:
        """Read other tables from now on; a row that is the same object keeps its view."""
        old, self.tables = self.tables, tables
        for table, row in list(self._views):
            now, then = tables.get(table, {}).get(row), old.get(table, {}).get(row)
            if now is not then:
                del self._views[table, row]

    def check(self, rows: RowsAfter, *, sound: bool = True) -> None:
        """Read rows as they would stand; raises `NotAllowed` where one makes no sense or, with
        `sound`, can't come in.

        What can't come in may stay so in a row where it was before.
        """
        for table, docs in rows.items():
            self._check_table(table)
            for row, doc in docs.items():
                try:
                    self.check_row(table, row, doc, sound=sound)
                except CrewdeskError:
                    before = self.tables.get(table, {}).get(row)
                    if doc is None or before is None or not sound:
                        raise
                    if self.not_sound(table, row, before) is None:
                        raise
                    self.check_row(table, row, doc, sound=False)

    def _check_table(self, table: str) -> None:
        if table not in self.READERS:
            known = ", ".join(self.READERS)
            raise NotAllowed(f"A {self.OF} has no table {brief(table)}. It has {known}.")

    def not_sound(self, table: str, row: str, doc: Doc) -> CrewdeskError | None:
        """What a row that is here would be refused with if it came in today; None for nothing."""
        try:
            self._hold(table, row, doc)
        except CrewdeskError as refused:
            return refused
        return None

    def _hold(self, table: str, row: str, doc: Doc) -> None:
        """Read a row as what comes in; raises `NotAllowed`."""
        with coming_in(), refusing_alone():
            self.SOUND.get(table, _anything)(self.READERS[table](row, doc), doc)

    def check_row(self, table: str, row: str, doc: Doc | None, *, sound: bool = True) -> None:
        """Read a row as it would stand; raises `NotAllowed` where it makes no sense or, with
        `sound`, can't come in."""
        if not re.fullmatch(_ROW, row) or (table == self.HEAD and row != ONLY_ROW):
            raise NotAllowed(f"There can't be a row {brief(row)} among the {table}.")
        self.check_kept(table, row, doc)
        if doc is None:
            return
        if sound:
            self._hold(table, row, doc)
        else:
            self.READERS[table](row, doc)

    def check_kept(self, table: str, row: str, doc: Doc | None) -> None:
        """Raises `NotAllowed` where a row may not become `doc` (None: be taken out)."""

    def broken_rules(self, rows: Iterable[tuple[str, str]]) -> dict[Hashable, str]:
        """What does not hold between rows though each makes sense by itself, as far as
        `rows` have to do with it: by a key, each with the sentence that tells it."""
        return {}

    def completed(self, edits: list[Edit]) -> list[Edit]:
        """Return edits with those that must go along, so that the rows make sense together.
        Raises `NotAllowed` where they can't."""
        return edits

    @staticmethod
    def renumbered(at: tuple[str, ...], value: Any, moved: Mapping[tuple[str, str], str]) -> Any:
        """A value for a place, with the rows that it names by the numbers they have now."""
        return value

    def moved_with(self, table: str, doc: Doc, row: str) -> dict[tuple[str, str], str]:
        """What else is numbered anew, as `renumbered` takes it, where a row becomes `row`."""
        return {}

    def also_known(self, at: tuple[str, ...], doc: Doc) -> list[Edit]:
        """What keeps the names that a row at a place was known by elsewhere, where it was `doc`."""
        return []

    def united(self, edit: Edit) -> Edit:
        """Return an edit; of a place where what both sides put is kept, one that keeps both."""
        return edit

    def names(self, edit: Edit) -> set[tuple[str, str]]:
        """What a row that an edit adds names other rows by, as the keys of `moved_with`."""
        return set()

    @staticmethod
    def reworded(what: str, edits: Iterable[Edit], moved: Mapping[tuple[str, str], str]) -> str:
        """The words of a change whose rows were numbered anew."""
        return what

    def make(self, change: Change, *, sound: bool = True) -> None:
        """Make a change in memory alone: all of it or, where it is refused, none; `sound` as in
        `check`."""
        rows = rows_after(self.tables, change)
        self.check(rows, sound=sound)
        put(self.tables, rows)
        self.forget(change.rows)


def _anything(_row: Any, _doc: Doc) -> None:
    """What a table without rules of its own asks of a row."""


def read_later(module: str, name: str) -> Callable[[str, Doc], Any]:
    """The reader `from_doc` of a kind of row, whose module is loaded with its first row:
    a cut list is told without what is only money."""

    def read(row: str, doc: Doc) -> Any:
        return getattr(import_module(module), name).from_doc(row, doc)

    return read
