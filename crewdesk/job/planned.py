"""The days on which work is planned at a site."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from crewdesk.job.books.amounts import read_date
from crewdesk.job.change import Change, Doc, edit
from crewdesk.job.refused import Refused
from crewdesk.job.rows import ONLY_ROW
from crewdesk.job.words import checked_line

if TYPE_CHECKING:
    from crewdesk.job.record import Record


@dataclass(frozen=True)
class Planned:
    """A day, and in a few words what is to be done."""

    day: date
    note: str = ""

    def to_doc(self) -> Doc:
        """As JSON."""
        doc: Doc = {"day": self.day.isoformat()}
        return {**doc, "note": self.note} if self.note else doc

    @staticmethod
    def from_doc(doc: Doc) -> "Planned":
        """The day that `to_doc` wrote; raises `Refused`."""
        return Planned(
            read_date(doc["day"], "plan"), checked_line(doc.get("note", ""), "note of a day")
        )


def plan_day(record: "Record", day: date, now: datetime, *, note: str = "") -> Change:
    """The change that plans a day, or gives a planned one another note."""
    new = Planned(day, checked_line(note, "note of a day"))
    if new in record.job.planned:
        raise Refused(f"{day:%Y-%m-%d} is planned already; nothing was changed.")
    rest = [one for one in record.job.planned if one.day != day]
    return _kept(record, [*rest, new], f"planned {day:%a %Y-%m-%d}", now)


def unplan_day(record: "Record", day: date, now: datetime) -> Change:
    """The change that takes a planned day out."""
    rest = [one for one in record.job.planned if one.day != day]
    if len(rest) == len(record.job.planned):
        raise Refused(f"{day:%Y-%m-%d} is not planned; nothing was changed.")
    return _kept(record, rest, f"took {day:%a %Y-%m-%d} out of the plan", now)


def _kept(record: "Record", days: list[Planned], what: str, now: datetime) -> Change:
    docs = [one.to_doc() for one in sorted(days, key=lambda one: one.day)]
    return Change(what, (edit(record.tables, ("job", ONLY_ROW, "planned"), docs),), now)
