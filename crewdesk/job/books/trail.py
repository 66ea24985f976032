"""The trail of money documents: each invoice, credit and void as it was issued, for ever.

A document is a row of its own, numbered on from the first; none is ever changed or taken
out, also not by undoing. What was wrong is taken back by a credit or a void, a document
with the next number.
"""

from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from crewdesk.job.books.amounts import read_amount, read_date, read_part
from crewdesk.job.change import Change, Doc, edit
from crewdesk.job.refused import Refused
from crewdesk.job.words import brief, checked_line, checked_note
from crewdesk.job.written import read_plainly
from crewdesk.trade.books.accounts import standing
from crewdesk.trade.books.invoice import Credit, Document, Draft, Issued, issue
from crewdesk.trade.books.invoice_lines import ExtraLine, Line
from crewdesk.trade.books.take_back import credit, void

if TYPE_CHECKING:
    from crewdesk.job.books.shop_record import ShopRecord

BILLED_AGAIN = (
    "What is credited of the work counts as not billed: the job's next invoice asks for it "
    "again. To give it for good, credit the final invoice."
)
_LINE_SORTS = ("hours", "feet", "fixed", "material", "deposit", "less")
_HEAD = {
    "name": "name of the shop",
    "licence": "licence number",
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
        """The letterhead that `to_doc` wrote; raises `Refused`."""
        lines = {key: checked_line(doc.get(key, ""), what) for key, what in _HEAD.items()}
        notes = {key: checked_note(doc.get(key, ""), key.replace("_", " ")) for key in _NOTES}
        return Letterhead(**lines, **notes)


@dataclass(frozen=True)
class Paper:
    """A document of the trail; an invoice with what else stood on it."""

    document: Document
    head: Letterhead = field(default_factory=Letterhead)

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "Paper":
        """The document as it stands in the trail; raises `Refused`."""
        with read_plainly(f"Document {row} of the shop", "one is"):
            number, on = doc["number"], read_date(doc["on"], "document")
            if type(number) is not int or number < 1:
                raise Refused(f"A document has a number from 1 up, not {brief(number)}.")
            document: Document
            if doc["kind"] in ("credit", "void"):
                document = _credit(number, on, doc)
            else:
                document = Issued(number, on, _draft(doc))
            if str(document.total) != doc["total"]:
                raise Refused(f"The lines and the tax of number {number} miss its total.")
            return Paper(document, Letterhead.from_doc(doc.get("head", {})))


def issue_invoice(
    record: "ShopRecord", draft: Draft, head: Letterhead, on: date, now: datetime
) -> Change:
    """The change that gives a draft the next number and puts it in the trail.

    Raises `Refusal` as `crewdesk.trade.books.invoice.issue`.
    """
    found = issue(draft, record.trail, on, record.shop.first_number)
    doc: Doc = {
        "number": found.number,
        "on": on.isoformat(),
        "kind": draft.kind,
        "job": draft.job,
        "customer": draft.customer,
        "lines": [
            {"sort": one.sort, "text": one.text, "amount": str(one.amount), "taxed": one.taxed}
            for one in draft.lines
        ],
        "extras": [
            {"order": one.order, "text": one.text, "amount": str(one.amount), "taxed": one.taxed}
            for one in draft.extras
        ],
        "tax_rate": str(draft.tax_rate),
        "tax_per": draft.tax_per,
        "tax": str(draft.tax),
        "total": str(found.total),
        "terms": draft.terms,
        "head": head.to_doc(),
    }
    what = f"issued invoice {found.number} of {found.total} to {draft.customer or 'nobody named'}"
    return Change(what, (_new(record, doc),), now)


def credit_invoice(
    record: "ShopRecord",
    number: int,
    reason: str,
    on: date,
    now: datetime,
    *,
    amounts: tuple[Decimal, ...] | None = None,
) -> Change:
    """The change that credits an invoice: so much of each line, or all that is left of it.

    Raises `Refused`, and `Refusal` as `crewdesk.trade.books.take_back.credit`.
    """
    invoice = record.invoice(number)
    reason = checked_line(reason, "reason of a credit")
    amounts = record.left_of(number) if amounts is None else amounts
    found = credit(invoice, amounts, reason, record.trail, on, record.shop.first_number)
    return _taken_back(record, found, now)


def void_invoice(record: "ShopRecord", number: int, reason: str, on: date, now: datetime) -> Change:
    """The change that voids an invoice on which nothing is paid; raises as `credit_invoice`."""
    invoice = record.invoice(number)
    reason = checked_line(reason, "reason of a void")
    paid = standing(invoice, record.trail, record.payments, date.max).held
    found = void(invoice, reason, record.trail, on, paid, record.shop.first_number)
    return _taken_back(record, found, now)


def _taken_back(record: "ShopRecord", found: Credit, now: datetime) -> Change:
    doc: Doc = {
        "number": found.number,
        "on": found.issued_on.isoformat(),
        "kind": found.kind,
        "of": found.of,
        "reason": found.reason,
        "amounts": [str(one) for one in found.amounts],
        "tax": str(found.tax),
        "total": str(found.total),
    }
    word = "voided" if found.kind == "void" else f"credited {-found.total} of"
    return Change(f"{word} invoice {found.of}", (_new(record, doc),), now)


def _new(record: "ShopRecord", doc: Doc) -> Any:
    return edit(record.tables, ("documents", record.new_row("documents")), doc)


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
        raise Refused(f"{brief(value)} is no sort of line; known are {', '.join(_LINE_SORTS)}.")
    return value


def _said(doc: Doc) -> str:
    return checked_line(doc["text"], "text of a line", most=400)


def _money(doc: Doc) -> Decimal:
    return read_amount(doc["amount"], "amount of a line", below_zero=True)


def _taxed(doc: Doc) -> bool:
    if not isinstance(doc["taxed"], bool):
        raise TypeError
    return doc["taxed"]
