"""A time entry: a stretch of work on a stage."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from crewdesk.job.change import Doc
from crewdesk.job.readings import moment
from crewdesk.job.refused import Refused
from crewdesk.job.words import checked_line, checked_note


@dataclass(frozen=True)
class Entry:
    """From `start` to `stop` (None while the clock runs) on a stage, told by its id."""

    row: str
    start: datetime
    stop: datetime | None
    stage: str
    note: str = ""

    @property
    def running(self) -> bool:
        """Whether the clock still runs."""
        return self.stop is None

    def lasted(self, now: datetime) -> timedelta:
        """Time worked, up to `now` while it runs; true across daylight-saving shifts."""
        stop = now if self.stop is None else self.stop
        return max(stop.astimezone(UTC) - self.start.astimezone(UTC), timedelta(0))

    def to_doc(self) -> Doc:
        """As JSON, times in ISO 8601; no stop while the clock runs."""
        doc: Doc = {"start": self.start.isoformat(), "stage": self.stage}
        if self.stop is not None:
            doc["stop"] = self.stop.isoformat()
        if self.note:
            doc["note"] = self.note
        return doc

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "Entry":
        """The entry that `to_doc` wrote; raises `Refused`."""
        try:
            start = moment(doc["start"], "time entry")
            stop = moment(doc["stop"], "time entry") if "stop" in doc else None
            stage, note = (
                checked_line(doc["stage"], "stage of a time entry"),
                checked_note(doc.get("note", "")),
            )
        except KeyError as lacking:
            raise Refused(f"Time entry {row} of the record has no {lacking.args[0]}.") from None
        except (TypeError, AttributeError):
            raise Refused(
                f"Time entry {row} of the record is not built as an entry is; "
                "see the format of a job file."
            ) from None
        if stop is not None and stop < start:
            raise Refused(
                f"A time entry can't stop at {stop:%H:%M} before it started at {start:%H:%M}; "
                "nothing was changed."
            )
        return Entry(row, start, stop, stage, note)
