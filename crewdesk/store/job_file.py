"""One job on disk."""

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from crewdesk.errors import Damaged, NotAllowed
from crewdesk.job.change import ABSENT, Change, Doc
from crewdesk.job.job_row import BEGUN, PUT_AWAY
from crewdesk.job.record import JOB_ROW, Record
from crewdesk.store.record_file import RecordFile

if TYPE_CHECKING:
    from crewdesk.job.cuts.open_cuts import Keys
    from crewdesk.job.sync.contradictions import Before, CameIn

KIND = "job"


class JobFile(RecordFile[Record]):
    """An open job, for writing or, if another crewdesk is writing it, for reading only."""

    def __init__(self, path: Path, *, writing: bool = True) -> None:
        super().__init__(path, KIND, Record, writing=writing)
        self.record.history = self._known
        self.record.ask_begun = self._storage.begun
        self.on_arrival: Callable[[CameIn], None] = lambda came: None
        self._before: Before | None = None
        self._latest: Before | None = None

    def coming(self) -> None:
        """Take a snapshot of the cuts and the changes kept apart before others' changes are
        merged."""
        from crewdesk.job.sync.contradictions import Before

        self._latest = Before.of(self.record)
        self._before = self._before or self._latest

    def arrived(self, came: Sequence[Change]) -> None:
        """Call `on_arrival` with the effects of others' changes."""
        from crewdesk.job.sync.contradictions import came_in

        if came and self._latest is not None:
            self.on_arrival(came_in(self.record, self._latest, came))

    def say_arrived(self) -> None:
        """Call `on_arrival` with other machines' changes since this one last had the job."""
        from crewdesk.job.sync.contradictions import Before

        if came := self._storage.arrived:
            alone = Record(self._storage.alone)
            alone.ask_crew = self.record.ask_crew
            alone.history = self._known
            self._latest = Before.of(alone)
            self._before = self._before or self._latest
            self.came += came
            self.arrived(came)

    def cuts_before(self, now: "Keys") -> "Keys":
        """Return the cuts that needed an answer before anything came since the last call; those of
        `now` if nothing did."""
        before, self._before = self._before, None
        return now if before is None else before.cuts

    def _known(self) -> Sequence[Change]:
        """Return every change of the job, as far as the history can be read."""
        try:
            return self.history()
        except Damaged:
            return ()

    @property
    def id(self) -> str:
        """The name of the job's folder."""
        return self.path.parent.name

    def summary(self) -> Doc:
        """Return the job's summary for the list of jobs."""
        return summary(self.record)

    def check_undo(self, change: Change) -> None:
        """Check that the change that started a job isn't undone."""
        if any(edit.at == ("job", JOB_ROW) and edit.before is ABSENT for edit in change.edits):
            raise NotAllowed("There is nothing to undo. The job was started here.")

    def check_again(self, change: Change) -> None:
        """Check that no step is checked off despite the hold of a cut."""
        from crewdesk.job.cuts.open_cuts import check_not_past_a_hold

        check_not_past_a_hold(self.record, change)


def summary(record: Record) -> Doc:
    """Return a job's summary for the list of jobs, which doesn't open it."""
    from crewdesk.job.steps.run_sheet import RunSheet
    from crewdesk.job.time.clock import running

    job, total, entry = record.job, RunSheet(record).total(), running(record)
    shown: Doc = {
        "name": job.name,
        "customer": job.customer,
        "site": job.site,
        "beams": len(record.beams),
        "behind": total.behind,
        "steps": total.steps,
    }
    if job.put_away is not None:
        shown[PUT_AWAY] = job.put_away.isoformat()
    if begun := record.tables["job"][JOB_ROW].get(BEGUN):
        shown[BEGUN] = begun
    if entry is not None:
        shown["running"] = {
            "since": entry.start.isoformat(),
            "stage": record.stages.name_of(entry.stage),
        }
    return shown


def is_summary(told: Doc) -> bool:
    """Return whether a head's content is what `summary` returns."""
    running = told.get("running", {"since": "2026-01-01T00:00:00+00:00", "stage": ""})
    try:
        return (
            all(isinstance(told[key], str) for key in ("name", "customer", "site"))
            and all(type(told[key]) is int for key in ("beams", "behind", "steps"))
            and isinstance(running["stage"], str)
            and datetime.fromisoformat(running["since"]).tzinfo is not None
        )
    except (KeyError, TypeError, ValueError):
        return False
