"""The days on which work is planned at a site."""

from dataclasses import dataclass
from datetime import date

from crewdesk.job.books.amounts import read_date
from crewdesk.job.change import Doc
from crewdesk.job.words import checked_line


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
        """The day that `to_doc` wrote; raises `NotAllowed`."""
        return Planned(
            read_date(doc["day"], "plan"), checked_line(doc.get("note", ""), "note of a day")
        )
