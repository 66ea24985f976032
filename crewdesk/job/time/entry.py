"""Time entries, and the days on which work is planned."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.piece import KIND_OF, Spot
from crewdesk.job.row import DAY, FLAG, LINE, MONEY, NOTE, TIME, Kind, Row, TableRow, field
from crewdesk.job.text_limits import brief, comes_in

LISTED_PIECES = 2000


def _pieces(docs: Any, _what: str) -> tuple[Spot, ...]:
    if not isinstance(docs, list) or not 1 <= len(docs) <= LISTED_PIECES:
        raise NotAllowed(f"An entry can have 1 to {LISTED_PIECES} pieces. Leave them out for none.")
    spots = []
    for doc in docs:
        if not isinstance(doc, list) or len(doc) != 2 or not isinstance(doc[0], str):
            raise TypeError
        if doc[1] not in KIND_OF:
            raise NotAllowed(
                f"A beam has no piece {brief(doc[1])}. Its pieces are {', '.join(KIND_OF)}."
            )
        spots.append(Spot(doc[0], doc[1]))
    return tuple(dict.fromkeys(spots))


PIECES = Kind(_pieces, lambda spots: [list(one) for one in spots], "list of `[beam's row, piece]`")


class Entry(TableRow, noun="time entry"):
    """Work from `start` to `stop` (None while the clock runs) on a stage, given by its id.

    `pieces` are those worked on, or None if not given. `rate` is the hourly rate if not the usual
    one. `order` is the row of its change order, or "".
    """

    start: datetime = field(TIME)
    stage: str = field(LINE)
    stop: datetime | None = field(TIME, default=None)
    note: str = field(NOTE, "note", default="")
    pieces: tuple[Spot, ...] | None = field(PIECES, default=None)
    billable: bool = field(FLAG, default=True)
    rate: Decimal | None = field(MONEY, default=None)
    order: str = field(LINE, "time entry's change order", default="")

    @property
    def running(self) -> bool:
        """Whether the clock is running."""
        return self.stop is None

    def lasted(self, now: datetime) -> timedelta:
        """Return the time worked, up to `now` while it runs; correct across daylight-saving
        changes."""
        stop = now if self.stop is None else self.stop
        return max(stop.astimezone(UTC) - self.start.astimezone(UTC), timedelta(0))

    def check(self) -> None:
        """Raise `NotAllowed` if a new entry has no stage, or stops before it starts."""
        if not self.stage and comes_in():
            raise NotAllowed("A time entry needs a stage or another kind of work.")
        if self.stop is not None and self.stop < self.start:
            raise NotAllowed(
                f"A time entry can't stop at {self.stop:%H:%M} before it started at "
                f"{self.start:%H:%M}; nothing was changed."
            )


class Planned(Row, noun="planned day"):
    """A planned day, and a note of the work."""

    day: date = field(DAY, "plan")
    note: str = field(LINE, default="")
