"""What a check-off that kept no figures was made by, out of the history.

Records made before crewdesk kept cut figures have the readings and settings of that time in
their history alone: going back through it gives the rows as they were at each check-off.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from typing import NamedTuple

from crewdesk.errors import CrewdeskError
from crewdesk.job.change import Change, Doc, Tables, look, put, rows_after

JOB_AT = ("job", "1")


class Ticked(NamedTuple):
    """A check-off: the beam's row, the piece, the step, and when it was made."""

    row: str
    piece: str
    step: str
    when: datetime

    @property
    def at(self) -> tuple[str, ...]:
        """Where the record has it."""
        return ("beams", self.row, "pieces", self.piece, "steps", self.step)

    def stands_in(self, tables: Tables) -> bool:
        """Whether tables have this check-off."""
        mark = look(tables, self.at)
        return isinstance(mark, dict) and datetime.fromisoformat(mark["when"]) == self.when


class Then(NamedTuple):
    """The row of the job and that of the beam as they were just after a check-off."""

    job: Doc
    beam: Doc


def ticked_without(tables: Tables) -> Iterator[Ticked]:
    """Every check-off of a record that kept no figures."""
    for row, beam in tables.get("beams", {}).items():
        for key, piece in beam.get("pieces", {}).items():
            for step, mark in piece.get("steps", {}).items():
                if mark.get("state") == "done" and "cut" not in mark:
                    yield Ticked(row, key, step, datetime.fromisoformat(mark["when"]))


def rows_then(
    tables: Tables, history: Sequence[Change], asked: Iterable[Ticked]
) -> Mapping[Ticked, Then]:
    """The rows as they were at each check-off that the history has; `history` is all of it,
    oldest first, and led to `tables`."""
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
            break  # it did not lead here: what is earlier says nothing
        for one in [one for one in left if one.row in touched and not one.stands_in(then)]:
            left.remove(one)
            if job is not None:
                found[one] = Then(job, beams[one.row])
    return found


def _backwards(change: Change) -> Change:
    """The part of a change's undoing that a beam or the job has to do with."""
    back = change.taken_back(0, change.when)
    return back._replace(edits=tuple(one for one in back.edits if one.at[0] in ("beams", "job")))
