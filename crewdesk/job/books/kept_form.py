"""A form of beam that the shop keeps by name."""

from dataclasses import dataclass

from crewdesk.job.beam import section_from_doc
from crewdesk.job.change import Doc
from crewdesk.job.forms import USUAL, Form, boards, form_of
from crewdesk.job.words import checked_name
from crewdesk.job.written import read_plainly
from crewdesk.trade.cuts.section import Section


@dataclass(frozen=True)
class KeptForm:
    """A form and a section under a name; `row` is "" of one that comes with the program."""

    row: str
    name: str
    form: Form
    section: Section

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "KeptForm":
        """The form as it stands in the record; raises `NotAllowed`."""
        with read_plainly(f"Form {row} of the record", "a form is"):
            kept = KeptForm(
                row,
                checked_name(doc["name"], "form"),
                form_of(doc.get("form", USUAL)),
                section_from_doc(doc["section"]),
            )
            if kept.form.id != "ridge":
                boards(kept.form.id, kept.section, None, (None, None))
            return kept
