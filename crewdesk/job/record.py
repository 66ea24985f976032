"""The record of one job, as the rules and the screens read it.

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
from functools import cached_property, partial
from typing import TYPE_CHECKING, Any, ClassVar, NamedTuple

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.beam import Beam, Habits, beam_outline, section_from_doc
from crewdesk.job.change import Change, Doc, Edit, Tables
from crewdesk.job.readings import READ_TO, fraction
from crewdesk.job.rows import ONLY_ROW, Rows, read_later
from crewdesk.job.shop_machine import Crew
from crewdesk.job.stages import Stages
from crewdesk.job.words import LONGEST_NAME, brief, checked_line, checked_name, checked_note
from crewdesk.job.written import read_plainly
from crewdesk.length import STEPS, Step
from crewdesk.trade.cuts.cleat import CLEAT
from crewdesk.trade.cuts.instruments import Instruments
from crewdesk.trade.cuts.section import Section

if TYPE_CHECKING:
    from decimal import Decimal

    from crewdesk.job.as_then import Then, Ticked
    from crewdesk.job.books.accepted import Accepted
    from crewdesk.job.books.material import MaterialLine
    from crewdesk.job.books.order import Order
    from crewdesk.job.entry import Entry
    from crewdesk.job.lumber.board import Board
    from crewdesk.job.lumber.cutting_rules import CuttingRules
    from crewdesk.job.lumber.takeoff import KeptPlan
    from crewdesk.job.planned import Planned

JOB_ROW = ONLY_ROW
BEGUN = "begun"
"""The field of the job's row that names its beginning, where its history doesn't."""
BILLINGS = ("", "price", "rates")
SHARES = ("length", "evenly")
KEPT = ("hour", "planned", "nails", "cutting", "plan")
"""What of a job is read when it is first asked for, so that a cut list is told sooner."""

_JOB = ("The job itself", "a job is; see the format of a job file")


class _Told(NamedTuple):
    name: str
    customer: str
    site: str
    notes: str
    section: Section
    stages: Stages
    step: Step
    zone: str
    share: str
    billing: str
    kept: Mapping[str, Any]


class Job(_Told):
    """What is true of the whole job. `step` is what lengths are shown to.

    `share` is how a batch's time is shared among its pieces; `billing` says whether the
    work is billed by the accepted price or by rates, "" for the price where there is one.
    `kept` holds what is read later, see `KEPT`.
    """

    @cached_property
    def hour(self) -> "Decimal | None":
        """What an hour costs in this job, where that is not the shop's rate."""
        from crewdesk.job.books.amounts import read_amount

        hour = self.kept.get("hour")
        return read_amount(hour, "hourly rate") if hour else None

    @cached_property
    def planned(self) -> "tuple[Planned, ...]":
        """The days that work is planned on."""
        from crewdesk.job.planned import Planned

        return tuple(Planned.from_doc(one) for one in self.kept.get("planned", ()))

    @cached_property
    def nails(self) -> Mapping[str, Fraction]:
        """The nails' lengths that the user chose, in inches, by what they hold."""
        from crewdesk.job.nails import nails_from_doc

        return nails_from_doc(self.kept.get("nails", {}))

    @cached_property
    def cutting(self) -> "CuttingRules":
        """How the job's boards are cut."""
        from crewdesk.job.lumber.cutting_rules import CuttingRules

        return CuttingRules.from_doc(self.kept.get("cutting", {}))

    @cached_property
    def habits(self) -> Habits:
        """What the job settles for the marks of each beam."""
        rules = self.kept.get("cutting")
        cleat = rules.get("cleat") if isinstance(rules, dict) else None
        return Habits(CLEAT if cleat is None else fraction(cleat, "cleat"), self.step)

    @cached_property
    def plan(self) -> "KeptPlan | None":
        """What the plan of its boards has beside them."""
        from crewdesk.job.lumber.takeoff import KeptPlan

        return KeptPlan.from_doc(self.kept["plan"]) if "plan" in self.kept else None

    @staticmethod
    def checked(row: str, doc: Doc) -> "Job":
        """The job with all that is kept of it read, as it must be before it is saved."""
        job = Job.from_doc(row, doc)
        with read_plainly(*_JOB):
            for name in KEPT:
                getattr(job, name)
        return job

    @staticmethod
    def from_doc(_row: str, doc: Doc) -> "Job":
        """The job as it stands in the record; raises `NotAllowed`."""
        with read_plainly(*_JOB):
            step = STEPS.get(str(doc["step"]))
            if step is None:
                raise NotAllowed(
                    f"Lengths are shown to {', '.join(STEPS)}, not to {brief(doc['step'])}; "
                    "nothing was changed."
                )
            return Job(
                checked_name(doc["name"], "job"),
                checked_line(doc.get("customer", ""), "customer"),
                checked_line(doc.get("site", ""), "site"),
                checked_note(doc.get("notes", "")),
                section_from_doc(doc["section"]),
                Stages.from_doc(doc["stages"], doc.get("other_work"), doc.get("waived", ())),
                step,
                checked_line(doc.get("zone", ""), "time zone", most=LONGEST_NAME),
                _one_of(doc.get("share", SHARES[0]), SHARES, "way to share a batch's time"),
                _one_of(doc.get("billing", ""), BILLINGS, "way to bill a job"),
                {name: doc[name] for name in KEPT if name in doc},
            )


def _one_of(value: object, known: tuple[str, ...], what: str) -> str:
    if not isinstance(value, str) or value not in known:
        ways = " or ".join(one for one in known if one)
        raise NotAllowed(f"{brief(value)} is no {what}; it is {ways}, nothing was changed.")
    return value


def _later(name: str) -> Callable[[Any, Doc], None]:
    """A rule of `crewdesk.job.sound`, which is loaded with the first row that comes in."""

    def check(row: Any, doc: Doc) -> None:
        from crewdesk.job import sound

        getattr(sound, name)(row, doc)

    return check


class Record(Rows):
    """Typed views of a job's tables."""

    OF = "job"
    HEAD = "job"
    READERS: ClassVar[dict[str, Any]] = {
        "job": Job.checked,
        "beams": Beam.from_doc,
        "entries": read_later("crewdesk.job.entry", "Entry"),
        "materials": read_later("crewdesk.job.books.material", "MaterialLine"),
        "orders": read_later("crewdesk.job.books.order", "Order"),
        "accepted": read_later("crewdesk.job.books.accepted", "Accepted"),
        "boards": read_later("crewdesk.job.lumber.board", "Board"),
        "unsettled": read_later("crewdesk.job.unsettled", "Unsettled"),
    }

    SOUND: ClassVar[dict[str, Any]] = {
        "job": _later("sound_job"),
        "beams": _later("sound_beam"),
    }

    def __init__(self, tables: Tables) -> None:
        super().__init__(tables)
        self.ask_crew: Callable[[], Crew] = Crew
        """Gives what the crew works with, as Business settings say."""
        self._crew: Crew | None = None
        self.history: Callable[[], Sequence[Change]] = tuple
        """Gives every change that led to the tables, oldest first, where that is kept."""
        self.ask_begun: Callable[[], str] = str
        """Gives the name of the history's beginning, "" where there is none (see `begun`)."""
        self._then: dict[Ticked, Then | None] = {}

    @property
    def begun(self) -> str:
        """The name of the job's beginning, which stays whatever its folder is called: what it
        was given when it came in without a history, else that of its history; "" for none."""
        own = self.tables.get("job", {}).get(JOB_ROW, {}).get(BEGUN)
        return own if isinstance(own, str) and own else self.ask_begun()

    @property
    def instruments(self) -> Instruments:
        """What the readings are taken with: the crew's instruments, read to this job's steps.
        Raises `NotAllowed`."""
        return self.crew.instruments

    @property
    def crew(self) -> Crew:
        """What the crew works with, as `ask_crew` gives it when it is first asked for, with the
        instruments read to this job's steps. Raises `NotAllowed`."""
        if self._crew is None:
            crew = self.ask_crew()
            self._crew = crew._replace(instruments=crew.instruments.with_steps(self.read_to))
        return self._crew

    @property
    def read_to(self) -> dict[str, Fraction]:
        """The steps that this job's instruments are read to, where they aren't the usual ones."""
        own = self.tables.get("job", {}).get(JOB_ROW, {}).get("read_to", {})
        if not isinstance(own, dict):
            return {}  # an older version could import it; `contradictions` lists it
        steps = {
            name: fraction(step, f"step of the {name}")
            for name, step in own.items()
            if name in READ_TO
        }
        return {name: step for name, step in steps.items() if step > 0}

    def look_at_crew(self) -> None:
        """Ask again what the crew works with, and read the beams again where it changed."""
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
        """Read other tables from now on; a row that is the same object keeps its view."""
        super().renew(tables)
        self.look_at_crew()
        self._look_at_habits()

    def _look_at_habits(self) -> None:
        """Drop the beams that were read with other habits or stages than the job has now."""
        beams = [(key, one) for key, one in self._views.items() if isinstance(one, Beam)]
        for key, beam in beams:
            if beam.habits != self.job.habits or beam.ways != self._ways_of(beam):
                del self._views[key]

    @property
    def job(self) -> Job:
        """The job itself."""
        return self.view("job", JOB_ROW, Job.from_doc)

    @property
    def stages(self) -> Stages:
        """The job's stages."""
        return self.job.stages

    def beam(self, row: str) -> Beam:
        """One beam by its row; raises `NotAllowed`."""
        return self.view("beams", row, self.read_beam)

    def read_beam(self, row: str, doc: Doc) -> Beam:
        """A beam out of a row, with what the job settles for all; raises `NotAllowed`."""
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
        """The ids of the steps that each kind of piece goes through on a beam of that type."""
        return self.stages.ids_by_kind(beam.form.traits)

    def _as_ticked(
        self, row: str, piece: str, step: str, when: datetime
    ) -> tuple[Tables, Beam] | None:
        """A beam as it was at a check-off that kept no figures, out of the history, with the
        tables it is from; None where the history doesn't have it."""
        from crewdesk.job.as_then import Ticked, rows_then, ticked_without

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
            return None  # what an older crewdesk took and this one does not

    @property
    def beams(self) -> tuple[Beam, ...]:
        """Every beam, grouped by room in the order in which the rooms first came."""
        beams = self.every("beams", self.read_beam)
        rooms = {room: place for place, room in enumerate(dict.fromkeys(b.room for b in beams))}
        return tuple(sorted(beams, key=lambda beam: rooms[beam.room]))

    def outline(self) -> list[tuple[str, str, list[str]]]:
        """Return of each beam its room, its row and the keys of its pieces, in the order of
        `beams`, without reading the beams: a long list is laid out by that before more of it is
        shown than fits a screen. Raises `NotAllowed`."""
        docs = self.tables.get("beams", {})
        found = [beam_outline(row, docs[row]) for row in sorted(docs, key=int)]
        rooms = {room: place for place, room in enumerate(dict.fromkeys(one[0] for one in found))}
        return sorted(found, key=lambda one: rooms[one[0]])

    def entry(self, row: str) -> "Entry":
        """One time entry by its row; raises `NotAllowed`."""
        entry: Entry = self.view("entries", row, self.READERS["entries"])
        return entry

    @property
    def entries(self) -> "tuple[Entry, ...]":
        """Every time entry, earliest first."""
        every: tuple[Entry, ...] = self.every("entries", self.READERS["entries"])
        return tuple(sorted(every, key=lambda one: one.start))

    @property
    def materials(self) -> "tuple[MaterialLine, ...]":
        """The lines of material, in the order in which they came."""
        return self.every("materials", self.READERS["materials"])

    def order(self, row: str) -> "Order":
        """One change order by its row; raises `NotAllowed`."""
        order: Order = self.view("orders", row, self.READERS["orders"])
        return order

    @property
    def orders(self) -> "tuple[Order, ...]":
        """The change orders, in the order in which they came."""
        return self.every("orders", self.READERS["orders"])

    @property
    def accepted(self) -> "Accepted | None":
        """The estimate that was accepted last, and so counts."""
        every = self.every("accepted", self.READERS["accepted"])
        return every[-1] if every else None

    def board(self, row: str) -> "Board":
        """One board of the plan by its row; raises `NotAllowed`."""
        board: Board = self.view("boards", row, self.READERS["boards"])
        return board

    @property
    def boards(self) -> "tuple[Board, ...]":
        """The boards of the plan that is kept, by their numbers."""
        return self.every("boards", self.READERS["boards"])

    def odd(self, rows: Iterable[tuple[str, str]]) -> dict[Hashable, str]:
        """Names given twice, clocks that run at once, steps done past a closed gate."""
        from crewdesk.job.between_rows import odd

        return odd(self, rows)

    def completed(self, edits: list[Edit]) -> list[Edit]:
        """Give a beam whose type changes the pieces of that type."""
        from crewdesk.job.beam_pieces import with_pieces

        return with_pieces(self.tables, edits)

    @staticmethod
    def renumbered(at: tuple[str, ...], value: Any, moved: Mapping[tuple[str, str], str]) -> Any:
        """Beams and orders, where entries, boards and the rules for cutting name them."""
        from crewdesk.job.between_rows import renumbered

        return renumbered(at, value, moved)

    def check_kept(self, table: str, row: str, doc: Doc | None) -> None:
        """What was accepted stays as it was; only undoing takes it out."""
        old = self.tables.get(table, {}).get(row)
        if table == self.HEAD and doc is None:
            raise NotAllowed("A job can't lose its own row; nothing was changed.")
        if table == "accepted" and None not in (old, doc) and old != doc:
            raise NotAllowed(
                "An accepted estimate can't be changed; accept a new one, which takes its place."
            )

    def check_all(self) -> None:
        """Read every row; raises `NotAllowed` at the first that makes no sense, or where two beams
        have one name or two clocks run. What older versions took and can't come in any more is
        let pass: `contradictions` lists it."""
        if JOB_ROW not in self.tables.get("job", {}):
            raise NotAllowed("The record holds no job.")
        self.check({table: dict(rows) for table, rows in self.tables.items()}, sound=False)
        self.check_between()

    def check_between(self) -> None:
        """Raise `NotAllowed` where two beams have one name or two clocks run."""
        labels = [(beam.room.casefold(), beam.name.casefold()) for beam in self.beams]
        if len(set(labels)) < len(labels):
            twice = next(
                b for b, label in zip(self.beams, labels, strict=True) if labels.count(label) > 1
            )
            raise NotAllowed(f"There are two beams {twice.label}; each needs a name of its own.")
        if sum(entry.running for entry in self.entries) > 1:
            raise NotAllowed("Two time entries have no stop; only one clock can run.")
