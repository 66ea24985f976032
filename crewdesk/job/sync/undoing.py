"""Undo and redo, going back to a time, and rows as they were at a check-off."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.change import ABSENT, Change, Doc, Edit, Tables, look, put, rows_after


@dataclass
class Undoing:
    """The undo state: numbers of changes, read from the history in order.

    made: changes in effect, the latest last. taken: undone changes that can be redone, the next one
    last. earlier: changes before those read, the latest first, read only as needed.
    """

    made: list[int] = field(default_factory=list)
    taken: list[int] = field(default_factory=list)
    earlier: Iterator[tuple[int, Change]] = field(default_factory=lambda: iter(()))
    _settled: set[int] = field(default_factory=set)

    def note(self, number: int, change: Change) -> None:
        """Add change `number`. A new one drops what could be redone; one without edits can't be
        undone."""
        if change.undoes is not None:
            self.stands(change.undoes)
            self.made.remove(change.undoes)
            self.taken.append(change.undoes)
        elif change.redoes is not None:
            self.taken.remove(change.redoes)
            self.made.append(change.redoes)
        elif change.edits:
            self.made.append(number)
            self.taken.clear()

    def stands(self, number: int) -> bool:
        """Return whether a change is in effect, which puts it in `made`."""
        while number not in self.made and self._go_back():
            pass
        return number in self.made

    @property
    def latest(self) -> int:
        """The number of the latest change in effect; 0 if there is none."""
        while not self.made and self._go_back():
            pass
        return self.made[-1] if self.made else 0

    def _go_back(self) -> bool:
        """Add one earlier change; return whether there was any."""
        for number, change in self.earlier:
            self.fold_earlier(number, change)
            return True
        return False

    def fold_earlier(self, number: int, change: Change) -> None:
        """Add an earlier change: it counts if nothing later undid or redid it."""
        turned = change.undoes if change.undoes is not None else change.redoes
        which = number if turned is None else turned
        if which not in self._settled and change.undoes is None and change.edits:
            self.made.insert(0, which)
        self._settled.add(which)


def folded(changes: Iterable[Change]) -> Undoing:
    """Return the undo state after a history, from its first change on."""
    undoing = Undoing()
    for number, change in enumerate(changes, 1):
        undoing.note(number, change)
    return undoing


def folded_back(back: Iterable[tuple[int, Change]], upto: int) -> Undoing:
    """Return the undo state after a history given with numbers, the latest first.

    Only the changes after number `upto` are read, and those that determine what can be redone.
    """
    undoing, earlier, since = Undoing(), iter(back), []
    known = False
    for number, change in earlier:
        undoing.fold_earlier(number, change)
        if not known:
            since.append(change)
            known = bool(change.edits) and change.undoes is None and change.redoes is None
        if known and number <= upto + 1:
            break
    for change in reversed(since):
        if change.undoes is not None:
            undoing.taken.append(change.undoes)
        elif change.redoes is not None:
            undoing.taken.remove(change.redoes)
    undoing.earlier = earlier
    return undoing


def gone_back(tables: Tables, history: Sequence[Change], to: datetime, now: datetime) -> Change:
    """Return the change that takes the record back to its state at `to`; `history` is all of it,
    oldest first.

    Raises `NotAllowed` if nothing was made by then, or nothing since.
    """
    count = next((n for n, one in enumerate(history) if one.when > to), len(history))
    at = f"{to:%Y-%m-%d %H:%M}"
    if not count:
        began = f"{history[0].when.astimezone(to.tzinfo):%Y-%m-%d %H:%M}" if history else ""
        raise NotAllowed(
            f"Nothing is known of it at {at}. The first change is from {began}."
            if began
            else "It has no history, so it can't be returned to an earlier time."
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
        raise NotAllowed(f"It is as it was at {at}. Nothing was changed.")
    return Change(f"returned to what it was at {at}", edits, now)


JOB_AT = ("job", "1")


class Ticked(NamedTuple):
    """A check-off: the beam's row, the piece, the step, and its time."""

    row: str
    piece: str
    step: str
    when: datetime

    @property
    def at(self) -> tuple[str, ...]:
        """Its path in the record."""
        return ("beams", self.row, "pieces", self.piece, "steps", self.step)

    def stands_in(self, tables: Tables) -> bool:
        """Return whether tables have this check-off."""
        mark = look(tables, self.at)
        return isinstance(mark, dict) and datetime.fromisoformat(mark["when"]) == self.when


class Then(NamedTuple):
    """The job's and the beam's rows just after a check-off."""

    job: Doc
    beam: Doc


def ticked_without(tables: Tables) -> Iterator[Ticked]:
    """Return every check-off without figures."""
    for row, beam in tables.get("beams", {}).items():
        for key, piece in beam.get("pieces", {}).items():
            for step, mark in piece.get("steps", {}).items():
                if mark.get("state") == "done" and "cut" not in mark:
                    yield Ticked(row, key, step, datetime.fromisoformat(mark["when"]))


def rows_then(
    tables: Tables, history: Sequence[Change], asked: Iterable[Ticked]
) -> Mapping[Ticked, Then]:
    """Return the rows at each check-off that the history has; `history` is all of it, oldest first,
    and leads to `tables`."""
    left = {one for one in asked if one.stands_in(tables)}
    found: dict[Ticked, Then] = {}
    then: Tables = {table: dict(rows) for table, rows in tables.items()}
    for change in reversed(history):
        if not left:
            break
        touched = {one.at[1] for one in change.edits if one.at[0] == "beams"}
        job, beams = then[JOB_AT[0]].get(JOB_AT[1]), dict(then.get("beams", {}))
        try:
            put(then, rows_after(then, _backwards(change)))
        except CrewdeskError:
            break  # the history doesn't lead here, so earlier changes are useless
        for one in [one for one in left if one.row in touched and not one.stands_in(then)]:
            left.remove(one)
            if job is not None:
                found[one] = Then(job, beams[one.row])
    return found


def _backwards(change: Change) -> Change:
    """Return the part of a change's undoing that concerns a beam or the job."""
    back = change.taken_back(0, change.when)
    return back._replace(edits=tuple(one for one in back.edits if one.at[0] in ("beams", "job")))
