"""Typed views of a record's tables, made at first use and again after a change.

The tables are plain JSON (see `crewdesk.job.change`). A parser for each table defines valid rows; a
change that would leave an invalid row is refused.
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
    """The typed tables of a record. `OF` names it in sentences, `HEAD` is the table with a single
    row."""

    OF: ClassVar[str]
    HEAD: ClassVar[str]
    READERS: ClassVar[Mapping[str, Callable[[str, Doc], object]]]
    SOUND: ClassVar[Mapping[str, Callable[[Any, Doc], None]]] = {}
    """Further checks of new rows by table: called with the parsed row and its document."""
    NUMBERED: ClassVar[frozenset[str]] = frozenset()
    """The tables whose rows never get new numbers."""
    IN_TURN: ClassVar[frozenset[str]] = frozenset()
    """The tables whose rows are numbered without a gap and stay forever."""

    def __init__(self, tables: Tables) -> None:
        self.tables = tables
        self._views: dict[tuple[str, str], object] = {}

    def view(self, table: str, row: str) -> Any:
        """Return one row of a table, parsed; raises `NotAllowed` if there is none."""
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
        """Parse a row that is in the record; raises `NotAllowed`."""
        return self.READERS[table](row, doc)

    def every(self, table: str) -> tuple[Any, ...]:
        """Return every row of a table, by row number."""
        return tuple(self.view(table, row) for row in sorted(self.tables.get(table, {}), key=int))

    def new_row(self, table: str) -> str:
        """Return a free row number of a table, also among changes kept apart."""
        apart = set() if table in self.NUMBERED else self.rows_apart(table)
        return str(1 + max(map(int, chain(self.tables.get(table, {}), apart)), default=0))

    def rows_apart(self, table: str) -> set[str]:
        """Return the rows of a table that are kept apart whole until you choose; another row with
        their number would overwrite them."""
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
        """Use other tables from now on; a row that is the same object keeps its view."""
        old, self.tables = self.tables, tables
        for table, row in list(self._views):
            now, then = tables.get(table, {}).get(row), old.get(table, {}).get(row)
            if now is not then:
                del self._views[table, row]

    def check(self, rows: RowsAfter, *, sound: bool = True) -> None:
        """Parse rows after a change; raise `NotAllowed` if one is invalid or, with `sound`, may not
        come in.

        An older row that may not come in can stay if it was there before.
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
        """Return the error that a saved row would raise if it came in today; None if it is fine."""
        try:
            self._hold(table, row, doc)
        except CrewdeskError as refused:
            return refused
        return None

    def _hold(self, table: str, row: str, doc: Doc) -> None:
        """Parse a row by the rules for new rows; raises `NotAllowed`."""
        with coming_in(), refusing_alone():
            self.SOUND.get(table, _anything)(self.READERS[table](row, doc), doc)

    def check_row(self, table: str, row: str, doc: Doc | None, *, sound: bool = True) -> None:
        """Parse a row after a change; raise `NotAllowed` if it is invalid or, with `sound`, may not
        come in."""
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
        """Raise `NotAllowed` if a row may not become `doc` (None: be removed)."""

    def broken_rules(self, rows: Iterable[tuple[str, str]]) -> dict[Hashable, str]:
        """Return broken rules between valid rows, as far as they concern `rows`: by key, each with
        its sentence."""
        return {}

    def completed(self, edits: list[Edit]) -> list[Edit]:
        """Return edits with the further ones that they require. Raises `NotAllowed` if there are
        none that work."""
        return edits

    @staticmethod
    def renumbered(at: tuple[str, ...], value: Any, moved: Mapping[tuple[str, str], str]) -> Any:
        """Return a value for a place, with the new numbers of rows that it refers to."""
        return value

    def moved_with(self, table: str, doc: Doc, row: str) -> dict[tuple[str, str], str]:
        """Return further renumbering, as `renumbered` takes it, if a row becomes `row`."""
        return {}

    def also_known(self, at: tuple[str, ...], doc: Doc) -> list[Edit]:
        """Return edits that keep the keys that a row was known by elsewhere, when it was `doc`."""
        return []

    def united(self, edit: Edit) -> Edit:
        """Return an edit; if both sides' values are kept, an edit that keeps both."""
        return edit

    def names(self, edit: Edit) -> set[tuple[str, str]]:
        """What a row that an edit adds names other rows by, as the keys of `moved_with`."""
        return set()

    @staticmethod
    def reworded(what: str, edits: Iterable[Edit], moved: Mapping[tuple[str, str], str]) -> str:
        """Return the words of a change whose rows were renumbered."""
        return what

    def make(self, change: Change, *, sound: bool = True) -> None:
        """Make a change in memory: all of it or, if refused, none; `sound` as in `check`."""
        rows = rows_after(self.tables, change)
        self.check(rows, sound=sound)
        put(self.tables, rows)
        self.forget(change.rows)


def _anything(_row: Any, _doc: Doc) -> None:
    """The check of a table without rules of its own."""


def read_later(module: str, name: str) -> Callable[[str, Doc], Any]:
    """Return the parser `from_doc` of a kind of row, whose module is imported with its first row: a
    cut list doesn't load what is only about money."""

    def read(row: str, doc: Doc) -> Any:
        return getattr(import_module(module), name).from_doc(row, doc)

    return read
