"""The trail of money documents: each invoice, credit and void as it was issued, for ever.

A document is a row of its own, numbered on from the first; none is ever changed or taken
out, also not by undoing. What was wrong is taken back by a credit or a void, a document
with the next number.
"""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.books.amounts import read_amount, read_date, read_part
from crewdesk.job.change import Doc
from crewdesk.job.words import brief, checked_line, checked_note
from crewdesk.job.written import read_plainly
from crewdesk.trade.books.invoice import Credit, Document, Draft, Issued
from crewdesk.trade.books.invoice_lines import ExtraLine, Line

_LINE_SORTS = ("hours", "feet", "fixed", "material", "deposit", "less")
_HEAD = {
    "name": "name of the shop",
    "licence": "license number",
    "phone": "phone number",
    "email": "e-mail address",
    "job_name": "name of a job",
    "site": "site",
}
_NOTES = ("address", "customer_address", "terms_text")


@dataclass(frozen=True)
class Letterhead:
    """What stands on a letter besides its figures, as it was when it was sent.

    The shop's `name`, `address`, `licence`, `phone` and `email`; the job's name and site;
    where the customer is, and the text of the terms.
    """

    name: str = ""
    address: str = ""
    licence: str = ""
    phone: str = ""
    email: str = ""
    job_name: str = ""
    site: str = ""
    customer_address: str = ""
    terms_text: str = ""

    def to_doc(self) -> Doc:
        """As JSON, without what is empty."""
        return {key: text for key, text in vars(self).items() if text}

    @staticmethod
    def from_doc(doc: Doc) -> "Letterhead":
        """The letterhead that `to_doc` wrote; raises `NotAllowed`."""
        lines = {key: checked_line(doc.get(key, ""), what) for key, what in _HEAD.items()}
        notes = {key: checked_note(doc.get(key, ""), key.replace("_", " ")) for key in _NOTES}
        return Letterhead(**lines, **notes)


@dataclass(frozen=True)
class HeadedDocument:
    """A document of the trail; an invoice with what else stood on it.

    `was` are the numbers that it was sent under before, where another machine had given them
    to another document.
    """

    document: Document
    head: Letterhead = field(default_factory=Letterhead)
    was: tuple[int, ...] = ()

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "HeadedDocument":
        """The document as it stands in the trail; raises `NotAllowed`."""
        with read_plainly(f"Document {row} of the shop", "one is"):
            number, on = doc["number"], read_date(doc["on"], "document")
            if type(number) is not int or number < 1:
                raise NotAllowed(f"A document has a number from 1 up, not {brief(number)}.")
            document: Document
            if doc["kind"] in ("credit", "void"):
                document = _credit(number, on, doc)
            else:
                document = Issued(number, on, _draft(doc))
            if str(document.total) != doc["total"]:
                raise NotAllowed(f"The lines and the tax of number {number} miss its total.")
            was = tuple(doc.get("was", ()))
            if not all(type(one) is int for one in was):
                raise TypeError
            return HeadedDocument(document, Letterhead.from_doc(doc.get("head", {})), was)


def _draft(doc: Doc) -> Draft:
    lines = tuple(
        Line(_sort(one["sort"]), _said(one), _money(one), _taxed(one)) for one in doc["lines"]
    )
    extras = tuple(
        ExtraLine(checked_line(one["order"], "change order"), _said(one), _money(one), _taxed(one))
        for one in doc["extras"]
    )
    if doc["tax_per"] not in ("invoice", "line") or type(doc["terms"]) is not int:
        raise TypeError
    return Draft(
        doc["kind"],
        checked_line(doc["job"], "job of an invoice"),
        checked_line(doc["customer"], "customer of an invoice"),
        lines,
        extras,
        read_part(doc["tax_rate"], "tax"),
        doc["tax_per"],
        doc["terms"],
        checked_line(doc.get("begun", ""), "beginning of a job"),
    )


def _credit(number: int, on: date, doc: Doc) -> Credit:
    if type(doc["of"]) is not int:
        raise TypeError
    amounts = tuple(read_amount(one, "line of a credit", below_zero=True) for one in doc["amounts"])
    reason = checked_line(doc["reason"], "reason of a credit")
    tax = read_amount(doc["tax"], "tax of a credit", below_zero=True)
    return Credit(number, on, doc["of"], doc["kind"], reason, amounts, tax)


def _sort(value: Any) -> Any:
    if value not in _LINE_SORTS:
        raise NotAllowed(f"{brief(value)} is no sort of line; known are {', '.join(_LINE_SORTS)}.")
    return value


def _said(doc: Doc) -> str:
    return checked_line(doc["text"], "text of a line", most=400)


def _money(doc: Doc) -> Decimal:
    return read_amount(doc["amount"], "amount of a line", below_zero=True)


def _taxed(doc: Doc) -> bool:
    if not isinstance(doc["taxed"], bool):
        raise TypeError
    return doc["taxed"]
