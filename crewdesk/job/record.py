"""The record of one job, for the rules and the screens.

It gives typed views of the rows of its tables (see `crewdesk.job.rows`):

- `job`, row 1: name, customer, site, notes, section defaults, stages, shown step;
- `beams`: a row for each beam with its pieces, their readings and steps;
- `entries`: a row for each time entry;
- `materials`: a row for each line of material;
- `orders`: a row for each change order;
- `accepted`: a row for each estimate that was accepted, the latest counts;
- `boards`: a row for each board of the plan that is kept;
- `unsettled`: a row for each change that was made in two places at once.
"""

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from datetime import datetime
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.beams.beam import Beam, beam_outline
from crewdesk.job.beams.readings import READ_TO
from crewdesk.job.beams.type_pieces import with_pieces
from crewdesk.job.change import Change, Doc, Edit, Tables
from crewdesk.job.job_row import BEGUN, Job
from crewdesk.job.parsing import fraction
from crewdesk.job.rows import ONLY_ROW, Rows, read_later
from crewdesk.job.steps.stages import Stages
from crewdesk.trade.cuts.instruments import Instruments
from crewdesk.trade.cuts.shop_machine import Crew

if TYPE_CHECKING:
    from crewdesk.job.books.job_rows import Accepted, MaterialLine, Order
    from crewdesk.job.lumber.takeoff import Board
    from crewdesk.job.sync.undoing import Then, Ticked
    from crewdesk.job.time.entry import Entry

JOB_ROW = ONLY_ROW


def _later(name: str) -> Callable[[Any, Doc], None]:
    """Return a rule of `crewdesk.job.invariants`, imported with the first row that comes in."""

    def check(row: Any, doc: Doc) -> None:
        from crewdesk.job import invariants as sound

        getattr(sound, name)(row, doc)

    return check


class Record(Rows):
    """Typed views of a job's tables."""

    OF = "job"
    HEAD = "job"
    READERS: ClassVar[dict[str, Any]] = {
        "job": Job.checked,
        "beams": Beam.from_doc,
        "entries": read_later("crewdesk.job.time.entry", "Entry"),
        "materials": read_later("crewdesk.job.books.job_rows", "MaterialLine"),
        "orders": read_later("crewdesk.job.books.job_rows", "Order"),
        "accepted": read_later("crewdesk.job.books.job_rows", "Accepted"),
        "boards": read_later("crewdesk.job.lumber.takeoff", "Board"),
        "unsettled": read_later("crewdesk.job.sync.conflicts", "Unsettled"),
    }

    SOUND: ClassVar[dict[str, Any]] = {
        "job": _later("sound_job"),
        "beams": _later("sound_beam"),
    }

    def __init__(self, tables: Tables) -> None:
        super().__init__(tables)
        self.ask_crew: Callable[[], Crew] = Crew
        """Returns the crew's tools by Business settings."""
        self._crew: Crew | None = None
        self.history: Callable[[], Sequence[Change]] = tuple
        """Returns every change, oldest first, if the history is kept."""
        self.ask_begun: Callable[[], str] = str
        """Returns the hash of the history's first line, or "" if there is none (see `begun`)."""
        self._then: dict[Ticked, Then | None] = {}

    @property
    def begun(self) -> str:
        """The job's permanent id, whatever its folder is called: the one it got when it was
        imported without a history, else its history's first chain hash; "" for none."""
        own = self.tables.get("job", {}).get(JOB_ROW, {}).get(BEGUN)
        return own if isinstance(own, str) and own else self.ask_begun()

    @property
    def instruments(self) -> Instruments:
        """The crew's instruments with this job's steps. Raises `NotAllowed`."""
        return self.crew.instruments

    @property
    def crew(self) -> Crew:
        """The crew's tools, from `ask_crew` at first use, with this job's steps. Raises
        `NotAllowed`."""
        if self._crew is None:
            crew = self.ask_crew()
            self._crew = crew._replace(instruments=crew.instruments.with_steps(self.read_to))
        return self._crew

    @property
    def read_to(self) -> dict[str, Fraction]:
        """The steps that this job's instruments are read to, where they aren't the usual ones."""
        own = self.tables.get("job", {}).get(JOB_ROW, {}).get("read_to", {})
        if not isinstance(own, dict):
            return {}  # an older version could import it; see `contradictions`
        steps = {
            name: fraction(step, f"{name}'s step") for name, step in own.items() if name in READ_TO
        }
        return {name: step for name, step in steps.items() if step > 0}

    def look_at_crew(self) -> None:
        """Ask for the crew's tools again, and parse the beams again if they changed."""
        before, self._crew = self._crew, None
        if before is not None and before != self.crew:
            super().forget([("beams", row) for row in self.tables.get("beams", {})])

    def forget(self, rows: Iterable[tuple[str, str]]) -> None:
        """Drop the views of rows that were changed."""
        rows = tuple(rows)
        super().forget(rows)
        if (self.HEAD, JOB_ROW) in rows:
            self.look_at_crew()
            self._look_at_habits()

    def renew(self, tables: Tables) -> None:
        """Use other tables from now on; a row that is the same object keeps its view."""
        super().renew(tables)
        self.look_at_crew()
        self._look_at_habits()

    def _look_at_habits(self) -> None:
        """Drop the beams that were parsed with other habits or stages."""
        beams = [(key, one) for key, one in self._views.items() if isinstance(one, Beam)]
        for key, beam in beams:
            if beam.habits != self.job.habits or beam.ways != self._ways_of(beam):
                del self._views[key]

    @property
    def job(self) -> Job:
        """The job itself."""
        job: Job = self.view("job", JOB_ROW)
        return job

    @property
    def stages(self) -> Stages:
        """The job's stages."""
        return self.job.stages

    def beam(self, row: str) -> Beam:
        """Return one beam by its row; raises `NotAllowed`."""
        beam: Beam = self.view("beams", row)
        return beam

    def read_row(self, table: str, row: str, doc: Doc) -> Any:
        """Parse a row that is in the record; raises `NotAllowed`. Fields of the job parsed later
        are checked at first use."""
        if table == "job":
            return Job.from_doc(row, doc)
        return self.read_beam(row, doc) if table == "beams" else super().read_row(table, row, doc)

    def read_beam(self, row: str, doc: Doc) -> Beam:
        """Return a beam from a row, with the job's settings for all; raises `NotAllowed`."""
        beam = Beam.from_doc(row, doc)
        beam = beam._replace(
            instruments=self.crew.instruments,
            scribers=self.crew.machine.scribers,
            habits=self.job.habits,
            ways=self._ways_of(beam),
        )
        beam.as_ticked = partial(self._as_ticked, row)
        return beam

    def _ways_of(self, beam: Beam) -> Mapping[str, frozenset[str]]:
        """Return the step ids of each kind of piece on a beam of that type."""
        return self.stages.ids_by_kind(beam.form.traits)

    def _as_ticked(
        self, row: str, piece: str, step: str, when: datetime
    ) -> tuple[Tables, Beam] | None:
        """Return a beam at a check-off without figures, from the history, with its tables; None if
        the history doesn't have it."""
        from crewdesk.job.sync.undoing import Ticked, rows_then, ticked_without

        asked = Ticked(row, piece, step, when)
        if asked not in self._then:
            new = {asked, *ticked_without(self.tables)} - set(self._then)
            found = rows_then(self.tables, self.history(), new)
            self._then |= {one: found.get(one) for one in new}
        then = self._then[asked]
        if then is None:
            return None
        tables: Tables = {"job": {JOB_ROW: then.job}, "beams": {row: then.beam}}
        record = Record(tables)
        try:
            return tables, record.beam(row)
        except CrewdeskError:
            return None  # an older version accepted this row; this one doesn't

    @property
    def beams(self) -> tuple[Beam, ...]:
        """Every beam, grouped by room in the order in which the rooms first came."""
        beams = self.every("beams")
        rooms = {room: place for place, room in enumerate(dict.fromkeys(b.room for b in beams))}
        return tuple(sorted(beams, key=lambda beam: rooms[beam.room]))

    def outline(self) -> list[tuple[str, str, list[str]]]:
        """Return each beam's room, row and piece keys, in the order of `beams`, without parsing
        the beams: a long list is laid out before more than a screenful is shown. Raises
        `NotAllowed`."""
        docs = self.tables.get("beams", {})
        found = [beam_outline(row, docs[row]) for row in sorted(docs, key=int)]
        rooms = {room: place for place, room in enumerate(dict.fromkeys(one[0] for one in found))}
        return sorted(found, key=lambda one: rooms[one[0]])

    def entry(self, row: str) -> "Entry":
        """Return one time entry by its row; raises `NotAllowed`."""
        entry: Entry = self.view("entries", row)
        return entry

    @property
    def entries(self) -> "tuple[Entry, ...]":
        """Every time entry, earliest first."""
        every: tuple[Entry, ...] = self.every("entries")
        return tuple(sorted(every, key=lambda one: one.start))

    @property
    def materials(self) -> "tuple[MaterialLine, ...]":
        """The lines of material, in the order added."""
        return self.every("materials")

    def order(self, row: str) -> "Order":
        """Return one change order by its row; raises `NotAllowed`."""
        order: Order = self.view("orders", row)
        return order

    @property
    def orders(self) -> "tuple[Order, ...]":
        """The change orders, in the order added."""
        return self.every("orders")

    @property
    def accepted(self) -> "Accepted | None":
        """The latest accepted estimate, which counts."""
        every = self.every("accepted")
        return every[-1] if every else None

    def board(self, row: str) -> "Board":
        """Return one board of the plan by its row; raises `NotAllowed`."""
        board: Board = self.view("boards", row)
        return board

    @property
    def boards(self) -> "tuple[Board, ...]":
        """The boards of the kept plan, by number."""
        return self.every("boards")

    def broken_rules(self, rows: Iterable[tuple[str, str]]) -> dict[Hashable, str]:
        """Return broken rules: names used twice, two running clocks, steps done despite a closed
        gate."""
        from crewdesk.job.invariants import broken_rules

        return broken_rules(self, rows)

    def completed(self, edits: list[Edit]) -> list[Edit]:
        """Return edits with the pieces of a beam's new type."""
        return with_pieces(self.tables, edits)

    @staticmethod
    def renumbered(at: tuple[str, ...], value: Any, moved: Mapping[tuple[str, str], str]) -> Any:
        """Renumber beams and orders in entries, boards and cutting rules that refer to them."""
        from crewdesk.job.invariants import renumbered

        return renumbered(at, value, moved)

    def check_kept(self, table: str, row: str, doc: Doc | None) -> None:
        """Check that accepted estimates don't change; only undo removes one."""
        old = self.tables.get(table, {}).get(row)
        if table == self.HEAD and doc is None:
            raise NotAllowed("A job can't lose its own row. Nothing was changed.")
        if table == "accepted" and None not in (old, doc) and old != doc:
            raise NotAllowed(
                "An accepted estimate can't be changed. Accept a new one, which takes its place."
            )

    def check_all(self) -> None:
        """Parse every row; raise `NotAllowed` at the first invalid one, or if two beams have one
        name or two clocks run. Rows that older versions accepted pass: `contradictions` lists
        them."""
        if JOB_ROW not in self.tables.get("job", {}):
            raise NotAllowed("There is no job in this file.")
        self.check({table: dict(rows) for table, rows in self.tables.items()}, sound=False)
        self.check_between()

    def check_between(self) -> None:
        """Raise `NotAllowed` if two beams have one name or two clocks run."""
        labels = [(beam.room.casefold(), beam.name.casefold()) for beam in self.beams]
        if len(set(labels)) < len(labels):
            twice = next(
                b for b, label in zip(self.beams, labels, strict=True) if labels.count(label) > 1
            )
            raise NotAllowed(f"There are two beams {twice.label}. Give each its own name.")
        if sum(entry.running for entry in self.entries) > 1:
            raise NotAllowed("Two time entries have no stop. Only one clock can run.")
