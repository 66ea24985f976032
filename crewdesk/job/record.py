"""The record of one job, as the rules and the screens read it.

It looks at tables of plain JSON (see `crewdesk.job.change`) and gives typed views
of their rows, made when first asked for and again after a change:

- `job`, row 1: name, customer, site, notes, section defaults, stages, shown step;
- `beams`: a row for each beam with its pieces, their readings and steps;
- `entries`: a row for each time entry.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeVar

from crewdesk.job.beam import Beam, section_from_doc
from crewdesk.job.change import Change, Doc, RowsAfter, Tables, put, rows_after
from crewdesk.job.entry import Entry
from crewdesk.job.refused import Refused, said
from crewdesk.job.stages import Stages
from crewdesk.job.words import LONGEST_NAME, brief, checked_line, checked_name, checked_note
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.length import STEPS, Step
from crewdesk.trade.refusal import Refusal

JOB_ROW = "1"
_ROW = re.compile("[1-9][0-9]{0,8}")
_Row = TypeVar("_Row")


@dataclass(frozen=True)
class Job:
    """What is true of the whole job. `step` is what lengths are shown to."""

    name: str
    customer: str
    site: str
    notes: str
    section: Section
    stages: Stages
    step: Step
    zone: str

    @staticmethod
    def from_doc(_row: str, doc: Doc) -> "Job":
        """The job as it stands in the record; raises `Refused`."""
        try:
            step = STEPS.get(str(doc["step"]))
            if step is None:
                raise Refused(
                    f"Lengths are shown to {', '.join(STEPS)}, not to {brief(doc['step'])}; "
                    "nothing was changed."
                )
            return Job(
                checked_name(doc["name"], "job"),
                checked_line(doc.get("customer", ""), "customer"),
                checked_line(doc.get("site", ""), "site"),
                checked_note(doc.get("notes", "")),
                section_from_doc(doc["section"]),
                Stages.from_doc(doc["stages"]),
                step,
                checked_line(doc.get("zone", ""), "time zone", most=LONGEST_NAME),
            )
        except Refusal as refusal:
            raise Refused(said(refusal)) from None
        except KeyError as lacking:
            raise Refused(f"The job itself has no {lacking.args[0]}.") from None
        except (TypeError, AttributeError):
            raise Refused(
                "The job itself is not built as a job is; see the format of a job file."
            ) from None


class Record:
    """Typed views of a job's tables."""

    def __init__(self, tables: Tables) -> None:
        self.tables = tables
        self._views: dict[tuple[str, str], object] = {}

    def _view(self, table: str, row: str, make: Callable[[str, Doc], _Row]) -> _Row:
        key = (table, row)
        if key not in self._views:
            try:
                doc = self.tables[table][row]
            except KeyError:
                raise Refused(f"There is no row {row} among the {table} of this job.") from None
            self._views[key] = make(row, doc)
        return self._views[key]  # type: ignore[return-value]

    @property
    def job(self) -> Job:
        """The job itself."""
        return self._view("job", JOB_ROW, Job.from_doc)

    @property
    def stages(self) -> Stages:
        """The job's stages."""
        return self.job.stages

    def beam(self, row: str) -> Beam:
        """One beam by its row; raises `Refused`."""
        return self._view("beams", row, Beam.from_doc)

    @property
    def beams(self) -> tuple[Beam, ...]:
        """Every beam, grouped by room in the order in which the rooms first came."""
        rows = sorted(self.tables.get("beams", {}), key=int)
        beams = [self.beam(row) for row in rows]
        rooms = {room: place for place, room in enumerate(dict.fromkeys(b.room for b in beams))}
        return tuple(sorted(beams, key=lambda beam: rooms[beam.room]))

    def entry(self, row: str) -> Entry:
        """One time entry by its row; raises `Refused`."""
        return self._view("entries", row, Entry.from_doc)

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Every time entry, earliest first."""
        rows = sorted(self.tables.get("entries", {}), key=int)
        return tuple(sorted((self.entry(row) for row in rows), key=lambda one: one.start))

    def new_row(self, table: str) -> str:
        """A row number that is free in a table."""
        return str(1 + max(map(int, self.tables.get(table, {})), default=0))

    def forget(self, rows: Iterable[tuple[str, str]]) -> None:
        """Drop the views of rows that were changed."""
        for key in rows:
            self._views.pop(key, None)

    def check(self, rows: RowsAfter) -> None:
        """Read rows as they would stand; raises `Refused` where one makes no sense."""
        for table, docs in rows.items():
            if table not in _READERS:
                raise Refused(f"A job has no table {brief(table)}; it has {', '.join(_READERS)}.")
            for row, doc in docs.items():
                if not _ROW.fullmatch(row) or (table == "job" and row != JOB_ROW):
                    raise Refused(f"There can't be a row {brief(row)} among the {table}.")
                if doc is not None:
                    _READERS[table](row, doc)
                elif table == "job":
                    raise Refused("A job can't lose its own row; nothing was changed.")

    def check_all(self) -> None:
        """Read every row; raises `Refused` at the first that makes no sense."""
        if JOB_ROW not in self.tables.get("job", {}):
            raise Refused("The record holds no job.")
        self.check({table: dict(rows) for table, rows in self.tables.items()})
        labels = [(beam.room.casefold(), beam.name.casefold()) for beam in self.beams]
        if len(set(labels)) < len(labels):
            twice = next(
                b for b, label in zip(self.beams, labels, strict=True) if labels.count(label) > 1
            )
            raise Refused(f"There are two beams {twice.label}; each needs a name of its own.")
        if sum(entry.running for entry in self.entries) > 1:
            raise Refused("Two time entries have no stop; only one clock can run.")

    def make(self, change: Change) -> None:
        """Make a change in memory alone: all of it or, where it is refused, none."""
        rows = rows_after(self.tables, change)
        self.check(rows)
        put(self.tables, rows)
        self.forget(change.rows)


_READERS: dict[str, Callable[[str, Doc], object]] = {
    "job": Job.from_doc,
    "beams": Beam.from_doc,
    "entries": Entry.from_doc,
}
