"""A time entry: a stretch of work on a stage, or on a kind of work outside the stages."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.books.amounts import read_amount
from crewdesk.job.change import Doc
from crewdesk.job.coming_in import comes_in
from crewdesk.job.piece import KIND_OF, Spot
from crewdesk.job.readings import moment
from crewdesk.job.words import brief, checked_line, checked_note
from crewdesk.job.written import read_plainly, within

LISTED_PIECES = 2000


@dataclass(frozen=True)
class Entry:
    """From `start` to `stop` (None while the clock runs) on a stage, told by its id.

    `pieces` are those worked on, None where that was not told. `rate` is what an hour of
    it costs where that is not the usual rate. `order` is the row of the change order that
    it belongs to, or "".
    """

    row: str
    start: datetime
    stop: datetime | None
    stage: str
    note: str = ""
    pieces: tuple[Spot, ...] | None = None
    billable: bool = True
    rate: Decimal | None = None
    order: str = ""

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
        if self.pieces is not None:
            doc["pieces"] = [[one.beam, one.piece] for one in self.pieces]
        if not self.billable:
            doc["billable"] = False
        if self.rate is not None:
            doc["rate"] = str(self.rate)
        if self.order:
            doc["order"] = self.order
        return doc

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "Entry":
        """The entry that `to_doc` wrote; raises `NotAllowed`."""
        with read_plainly(
            f"Time entry {row} of the record", "an entry is; see the format of a job file"
        ):
            start = moment(doc["start"], "time entry")
            stop = moment(doc["stop"], "time entry") if "stop" in doc else None
            stage, note = (
                checked_line(doc["stage"], "stage of a time entry"),
                checked_note(doc.get("note", "")),
            )
            if not stage and comes_in():
                raise NotAllowed("A time entry needs a stage or another kind of work.")
            with within("pieces"):
                pieces = _pieces(doc["pieces"]) if "pieces" in doc else None
            billable = doc.get("billable", True)
            if not isinstance(billable, bool):
                raise NotAllowed(
                    f"Whether an entry is billed is true or false, not {brief(billable)}."
                )
            rate = read_amount(doc["rate"], "rate of a time entry") if "rate" in doc else None
            order = checked_line(doc.get("order", ""), "change order of a time entry")
        if stop is not None and stop < start:
            raise NotAllowed(
                f"A time entry can't stop at {stop:%H:%M} before it started at {start:%H:%M}; "
                "nothing was changed."
            )
        return Entry(row, start, stop, stage, note, pieces, billable, rate, order)


def _pieces(docs: Any) -> tuple[Spot, ...]:
    """The pieces of an entry's document; raises `NotAllowed` or `TypeError`."""
    if not isinstance(docs, list) or not 1 <= len(docs) <= LISTED_PIECES:
        raise NotAllowed(
            f"The pieces of an entry are a list of 1 to {LISTED_PIECES}; leave it out for none."
        )
    spots = []
    for doc in docs:
        if not isinstance(doc, list) or len(doc) != 2 or not isinstance(doc[0], str):
            raise TypeError
        if doc[1] not in KIND_OF:
            raise NotAllowed(
                f"A beam has no piece {brief(doc[1])}; its pieces are {', '.join(KIND_OF)}."
            )
        spots.append(Spot(doc[0], doc[1]))
    return tuple(dict.fromkeys(spots))
