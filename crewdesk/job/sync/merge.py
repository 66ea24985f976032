"""Changes made in two places at once, brought together.

Both sides began from the same record. One side's changes stay in their order; the other's are
applied on top of them, place by place: a row that a change adds gets a number that is free, and
what refers to it follows. In a table that is numbered in turn, a row keeps its number if that is
free. A change that touches a place which the other side changed too, or that would break a rule
which held on each side by itself, is not made: its places are kept apart as an `Unsettled` row, for
the user to choose. What both sides did alike is done once. Two machines that merge at once agree.
"""

from collections.abc import Callable, Hashable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import datetime
from itertools import count
from typing import Any

from crewdesk.errors import CrewdeskError
from crewdesk.job.change import (
    ABSENT,
    Change,
    Doc,
    Edit,
    Path,
    Tables,
    copied,
    look,
    put,
    rows_after,
    shortest,
    touch,
)
from crewdesk.job.rows import Rows
from crewdesk.job.sync.conflicts import TABLE, Unsettled
from crewdesk.job.sync.undoing import Undoing


@dataclass
class _Apart:
    """Changes of one side that touch common places and are kept apart together."""

    whats: list[str] = field(default_factory=list)
    paths: list[Path] = field(default_factory=list)
    of: list[str] = field(default_factory=list)
    names: set[tuple[str, str]] = field(default_factory=set)
    """What rows that it would add are named by (see `Rows.moved_with`)."""
    why: str = ""
    when: datetime | None = None


def merged(
    record: Callable[[Tables], Rows],
    base: Tables,
    ours: Sequence[Change],
    onto: Tables,
    theirs: Sequence[Change],
    common: int,
    undoing: Callable[[], Undoing],
) -> list[Change]:
    """Return the changes to make after `theirs` so that `ours` count too.

    base: the tables after the last common change, number `common`. onto: the tables after `theirs`.
    undoing: the undo state after `theirs`. A change of ours is left out if theirs already includes
    everything in its `of`. If theirs includes a part, the rest is kept apart.
    """
    for planned in (True, False):
        merge = _Merge(record, base, onto, theirs, common, undoing)
        for number, change in merge.in_turn(ours) if planned else enumerate(ours, common + 1):
            merge.take(number, change)
        if not merge.coming:  # else a row was kept apart that others were numbered around
            break
    return merge.finished()


class _Merge:
    def __init__(
        self,
        record: Callable[[Tables], Rows],
        base: Tables,
        onto: Tables,
        theirs: Sequence[Change],
        common: int,
        undoing: Callable[[], Undoing],
    ) -> None:
        self.base = base
        self.own, self.there = record(copied(base)), record(copied(onto))
        self.theirs, self.common, self.last = theirs, common, common + len(theirs)
        self.known = {
            line: number for number, change in enumerate(theirs, common + 1) for line in change.of
        }
        self.moved: dict[tuple[str, str], str] = {}
        self.planned: dict[tuple[str, str], str] = {}
        self.coming: set[tuple[str, str]] = set()
        """The rows that are planned and not made yet."""
        self.numbers: dict[int, int] = {}
        self.made: list[Change] = []
        self.apart: list[_Apart] = []
        self._fold = undoing
        self._folded: Undoing | None = None

    @property
    def undoing(self) -> Undoing:
        """The undo state after theirs and our changes so far."""
        if self._folded is None:
            self._folded = self._fold()
            for number, change in enumerate(self.made, self.last + 1):
                self._folded.note(number, change)
        return self._folded

    def in_turn(self, ours: Sequence[Change]) -> list[tuple[int, Change]]:
        """Plan the rows that ours add to tables that are numbered in turn, and return ours with
        their numbers, in an order in which those rows come in turn.

        A row keeps its number if that is free and it names none that gets another. The others get
        the free numbers in their order. Where a change does more than add such a row, nothing is
        planned.
        """
        every = list(enumerate(ours, self.common + 1))
        adds: dict[tuple[str, str], tuple[int, Change]] = {}
        for number, change in every:
            if change.of and self.known.keys() >= set(change.of):
                continue
            rows = [(one.at[0], one.at[1]) for one in change.edits if self._is_new_in_turn(one)]
            if rows and len(change.edits) > 1:
                return every
            adds |= dict.fromkeys(rows, (number, change))
        for table in self.there.IN_TURN:
            there = self.there.tables.get(table, {})
            kept, moved, names = set[str](), list[str](), set[tuple[str, str]]()
            for (of, row), (_, change) in adds.items():
                if of == table and (row in there or self.there.names(change.edits[0]) & names):
                    moved.append(row)
                    names |= self.there.moved_with(table, change.edits[0].after, row).keys()
                elif of == table:
                    kept.add(row)
            free = (row for row in map(str, count(1)) if row not in there and row not in kept)
            self.planned |= {(table, row): row for row in kept}
            self.planned |= {(table, row): next(free) for row in moved}
        self.coming = {(table, new) for (table, _), new in self.planned.items()}
        by_row = sorted(self.planned, key=lambda one: int(self.planned[one]))
        row_of = {number: int(self.planned[one]) for one, (number, _) in adds.items()}
        found: dict[int, Change] = {}
        for number, change in every:
            if upto := row_of.get(number):
                found |= dict(adds[one] for one in by_row if int(self.planned[one]) <= upto)
            found[number] = change
        return [*found.items()]

    def _is_new_in_turn(self, edit: Edit) -> bool:
        """Return whether it adds a row to a table that is numbered in turn, which theirs didn't
        alike."""
        table, row = edit.at[:2]
        return (
            len(edit.at) == 2
            and table in self.there.IN_TURN
            and edit.before is ABSENT
            and row not in self.base.get(table, {})
            and self.there.tables.get(table, {}).get(row) != edit.after
        )

    def take(self, number: int, change: Change) -> None:
        """Add the next change of ours."""
        rows = rows_after(self.own.tables, change)
        put(self.own.tables, rows)
        self.own.forget(change.rows)
        new = tuple(one for one in change.of if one not in self.known)
        if change.of and not new:
            brought = self.known[change.of[0]]
            self.numbers[number] = brought
            self._follow(change, self.theirs[brought - self.common - 1])
            self._note_names(change)
            return
        in_part, change = new != change.of, change._replace(of=new)
        fine = tuple(one for edit in change.edits for one in _finer(edit))
        if change.undoes is None and change.redoes is None and self._done_alike(fine):
            return
        mine = change._replace(edits=tuple(self._renumbered(one) for one in fine))
        mine = mine._replace(what=self.there.reworded(mine.what, mine.edits, self.moved))
        groups = [
            one
            for one in self.apart
            if touch(one.paths, [e.at for e in fine])
            or any(one.names & self.there.names(edit) for edit in fine)
        ]
        if in_part and any(table != TABLE for table, _ in change.rows):
            # Applied in full, it might repeat the part that theirs includes.
            why = "Part of it was merged before."
        else:
            why = "" if groups else self._made(number, mine, change)
        if why or groups:
            self._keep_apart(change, [one.at for one in fine], groups, why)

    def _made(self, number: int, mine: Change, as_it_was: Change) -> str:
        """Apply a change on top of theirs; if it can't be applied, return why, in a sentence."""
        there = self.there
        try:
            rows = rows_after(there.tables, mine)
            there.check(rows, sound=False)
        except CrewdeskError as refused:
            return str(refused)
        before, old = there.broken_rules(mine.rows), _rows_of(there.tables, rows)
        put(there.tables, rows)
        there.forget(mine.rows)
        new = {k: text for k, text in there.broken_rules(mine.rows).items() if k not in before}
        if new:
            alone = {self._key(key) for key in self.own.broken_rules(as_it_was.rows)}
            new = {key: text for key, text in new.items() if key not in alone}
        if new:
            put(there.tables, old)
            there.forget(mine.rows)
            return next(iter(new.values()))
        mine = self._turning(mine)
        self.made.append(mine)
        self.coming -= mine.rows
        self.numbers[number] = self.last + len(self.made)
        if self._folded is not None:
            self._folded.note(self.last + len(self.made), mine)
        return ""

    def _turning(self, change: Change) -> Change:
        """Return an undo or redo with its change's new number; a plain change if that change is no
        longer in the required state."""
        if change.undoes is not None:
            now = self._now(change.undoes)
            return change._replace(undoes=now if self.undoing.stands(now) else None)
        if change.redoes is not None:
            now = self._now(change.redoes)
            return change._replace(redoes=now if now in self.undoing.taken else None)
        return change

    def _now(self, number: int) -> int:
        """Return the new number of a change of ours, or of both; 0 if it has none."""
        return self.numbers.get(number, number if number <= self.common else 0)

    def _renumbered(self, edit: Edit) -> Edit:
        """Return an edit with the new numbers of the rows that it touches and names."""
        table, row = edit.at[:2]
        if (
            len(edit.at) == 2
            and edit.before is ABSENT
            and table != self.there.HEAD
            and (table not in self.there.NUMBERED or table in self.there.IN_TURN)
            and row not in self.base.get(table, {})
            and (table, row) not in self.moved
        ):
            if table in self.there.IN_TURN:
                new = self.planned.get((table, row)) or self.there.new_row(table)
                self._move(table, row, edit.after, new)
                return self._moved(edit)
            taken = {*self.there.tables.get(table, {}), *self.there.rows_apart(table)}
            taken |= {new for (where, _), new in self.moved.items() if where == table}
            if row in taken:
                taken |= {*self.own.tables.get(table, {})}
                self._move(table, row, edit.after, str(1 + max(map(int, taken))))
        return self._moved(edit)

    def _move(self, table: str, row: str, doc: Doc, new: str) -> None:
        self.moved |= self.there.moved_with(table, doc, new)
        if new != row:
            self.moved[table, row] = new

    def _moved(self, edit: Edit) -> Edit:
        at = self._at(edit.at)
        before, after = (
            value if value is ABSENT else self.there.renumbered(at, value, self.moved)
            for value in (edit.before, edit.after)
        )
        return self.there.united(Edit(at, before, after))

    def _at(self, at: Path) -> Path:
        return (at[0], self.moved.get((at[0], at[1]), at[1]), *at[2:])

    def _key(self, key: Hashable) -> Hashable:
        if isinstance(key, tuple) and key[0] == "gate":
            return (key[0], self.moved.get(("beams", key[1]), key[1]), *key[2:])
        if isinstance(key, tuple) and key[0] == "pieces":
            return (key[0], self.moved.get(("beams", key[1]), key[1]))
        if isinstance(key, tuple) and key[0] == "order":
            return (key[0], self.moved.get(("entries", key[1]), key[1]))
        return key

    def _follow(self, ours: Change, theirs: Change) -> None:
        """Map the rows that were renumbered when theirs merged ours before."""
        rows = [one.at for one in theirs.edits if len(one.at) == 2]
        whole = [one for one in ours.edits if len(one.at) == 2]
        if len(whole) != len(rows):  # another change that includes it
            return
        for one in whole:
            table, new = rows.pop(0)
            if one.before is ABSENT and table == one.at[0]:
                self._move(table, one.at[1], one.after, new)

    def _note_names(self, ours: Change) -> None:
        """Keep by what else rows were known here that theirs brought in and numbered."""
        edits = [
            edit
            for one in ours.edits
            if len(one.at) == 2 and one.before is ABSENT
            for edit in self.there.also_known(self._at(one.at), one.after)
        ]
        if edits:
            what = f"noted another number of: {ours.what}"[:2000]
            change = Change(what, tuple(edits), ours.when)
            self.there.make(change, sound=False)
            self.made.append(change)
            if self._folded is not None:
                self._folded.note(self.last + len(self.made), change)

    def _done_alike(self, edits: Sequence[Edit]) -> bool:
        there = self.there.tables
        return all(look(there, one.at) == one.after for one in map(self._moved, edits))

    def _keep_apart(
        self, change: Change, paths: list[Path], groups: list[_Apart], why: str
    ) -> None:
        group = groups[0] if groups else _Apart(why=why)
        for other in groups[1:]:
            self.apart.remove(other)
            group.whats += other.whats
            group.paths += other.paths
            group.of += other.of
            group.names |= other.names
        if not groups:
            self.apart.append(group)
        group.whats.append(change.what)
        group.paths += paths
        group.of += change.of
        for one in change.edits:
            if len(one.at) == 2 and isinstance(one.after, dict) and one.before is ABSENT:
                # It has no number here: rows that refer to it are kept apart under its old number.
                new = self.there.moved_with(one.at[0], one.after, one.at[1])
                group.names |= new.keys()
                for name in new:
                    self.moved.pop(name, None)
        group.when = change.when

    def finished(self) -> list[Change]:
        """Return every change to make, those that keep something apart last."""
        return [*self.made, *(one for group in self.apart for one in self._unsettled(group))]

    def _unsettled(self, group: _Apart) -> list[Change]:
        places: dict[Path, Any] = {}
        for path in shortest(group.paths):
            value, at = look(self.own.tables, path), self._at(path)
            if value == look(self.base, path):
                continue  # undone since
            for end in range(2, len(at)):
                if look(self.there.tables, at[:end]) is ABSENT:
                    at, value = at[:end], look(self.own.tables, path[:end])
                    break
            if value is not ABSENT:
                value = self.there.renumbered(at, deepcopy(value), self.moved)
            if value != look(self.there.tables, at):
                places[at] = value
        if not places:
            return []
        assert group.when is not None
        row = self.there.new_row(TABLE)
        words = list(dict.fromkeys(group.whats))
        more = f", and {len(words) - 1} more" if len(words) > 1 else ""
        against = self._standing([self._at(path) for path in group.paths]) or group.why
        kept = Unsettled(
            row, words[-1][:1900] + more, group.when, against[:2000], tuple(places.items())
        )
        change = Change(
            f"kept apart: {kept.what}"[:2000],
            (Edit((TABLE, row), ABSENT, kept.to_doc()),),
            group.when,
            of=tuple(group.of),
        )
        self.there.make(change)
        return [change]

    def _standing(self, paths: list[Path]) -> str:
        """Return their latest change at those places, in its words."""
        for change in reversed(self.theirs):
            if touch(paths, [one.at for one in change.edits]):
                return str(change.what)
        return ""


def _finer(edit: Edit) -> list[Edit]:
    """Return an edit of a whole object as edits of the fields that differ."""
    if not (isinstance(edit.before, dict) and isinstance(edit.after, dict)):
        return [] if edit.before == edit.after else [edit]
    return [
        finer
        for key in dict.fromkeys((*edit.before, *edit.after))
        for finer in _finer(
            Edit((*edit.at, key), edit.before.get(key, ABSENT), edit.after.get(key, ABSENT))
        )
    ]


def _rows_of(
    tables: Tables, rows: Mapping[str, Mapping[str, object]]
) -> dict[str, dict[str, Doc | None]]:
    return {
        table: {row: tables.get(table, {}).get(row) for row in docs} for table, docs in rows.items()
    }
