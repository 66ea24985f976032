"""The ledger: each invoice, credit and void as it was issued, permanently.

A document is a numbered row that is never changed or removed, not even by undo. To correct one,
issue a credit or a void, a document with the next number.
"""

from datetime import date
from decimal import Decimal
from typing import Literal, NamedTuple

from crewdesk.errors import NotAllowed
from crewdesk.job.change import Doc
from crewdesk.job.parsing import refusing_alone
from crewdesk.job.row import (
    BALANCE,
    DAY,
    FLAG,
    LINE,
    NOTE,
    PERCENT,
    WHOLE,
    Row,
    TableRow,
    field,
    line,
    made_of,
    many,
    one_of,
)
from crewdesk.trade.books.invoice import Billing, Credit, Document, Draft, Issued
from crewdesk.trade.books.invoice_lines import ExtraLine, Line
from crewdesk.trade.books.money import TaxPer

BILLINGS = ("deposit", "progress", "final")
_LINE_SORTS = ("hours", "feet", "fixed", "material", "deposit", "less")
_SAID = {"text": line(400), "amount": BALANCE, "taxed": FLAG}
_LINE = made_of(Line, "line", sort=one_of(_LINE_SORTS), **_SAID)
_EXTRA = made_of(ExtraLine, "line", order=LINE, **_SAID)


class Letterhead(Row, noun="letterhead"):
    """The text of a document beside its figures, as it was sent.

    The shop's `name`, `address`, `licence`, `phone` and `email`; the job's name and site;
    where the customer is, and the text of the terms.
    """

    name: str = field(LINE, "business name", default="")
    address: str = field(NOTE, "address", default="")
    licence: str = field(LINE, "license number", default="")
    phone: str = field(LINE, "phone number", default="")
    email: str = field(LINE, "email address", default="")
    job_name: str = field(LINE, "job's name", default="")
    site: str = field(LINE, "site", default="")
    customer_address: str = field(NOTE, "customer's address", default="")
    terms_text: str = field(NOTE, "terms' text", default="")


class IssuedRow(TableRow, noun="document"):
    """An invoice as it was issued; `was` as in `HeadedDocument`."""

    number: int = field(WHOLE)
    on: date = field(DAY)
    kind: Billing = field(one_of(BILLINGS))
    job: str = field(LINE, "invoice's job")
    begun: str = field(LINE, "job's beginning", absent="")
    customer: str = field(LINE, "invoice's customer")
    lines: tuple[Line, ...] = field(many(_LINE, "line"))
    extras: tuple[ExtraLine, ...] = field(many(_EXTRA, "extra"))
    tax_rate: Decimal = field(PERCENT, "tax")
    tax_per: TaxPer = field(one_of(("invoice", "line")), "way to round tax")
    tax: Decimal | None = field(BALANCE, "tax of an invoice", absent=None)
    total: Decimal = field(BALANCE)
    terms: int = field(WHOLE)
    head: Letterhead = field(Letterhead, default=Letterhead(), given=lambda _: True)
    was: tuple[int, ...] = field(many(WHOLE), default=())

    @property
    def document(self) -> Issued:
        """Return the `Issued` invoice; raises `BadInput`."""
        names = ("kind", "job", "customer", "lines", "extras", "tax_rate", "tax_per", "terms")
        draft = Draft(**{name: getattr(self, name) for name in names}, begun=self.begun)
        return Issued(self.number, self.on, draft)


class CreditRow(TableRow, noun="document"):
    """A credit or a void as it was issued."""

    number: int = field(WHOLE)
    on: date = field(DAY)
    kind: Literal["credit", "void"] = field(one_of(("credit", "void")))
    of: int = field(WHOLE)
    reason: str = field(LINE, "reason for a credit")
    amounts: tuple[Decimal, ...] = field(many(BALANCE), "credit's line")
    tax: Decimal = field(BALANCE, "credit's tax")
    total: Decimal = field(BALANCE)
    was: tuple[int, ...] = field(many(WHOLE), default=())
    head = Letterhead()

    @property
    def document(self) -> Credit:
        """Return the `Credit`."""
        return Credit(self.number, self.on, self.of, self.kind, self.reason, self.amounts, self.tax)


class HeadedDocument(NamedTuple):
    """A document of the ledger; an invoice with its letterhead.

    `was` lists the numbers that it was sent under before, if another machine had given them to
    another document.
    """

    document: Document
    head: Letterhead = Letterhead()
    was: tuple[int, ...] = ()

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "HeadedDocument":
        """Return the document from its row; raises `NotAllowed`."""
        kind = CreditRow if doc.get("kind") in ("credit", "void") else IssuedRow
        made: CreditRow | IssuedRow = kind.from_doc(row, doc)
        with refusing_alone():
            document = made.document
        if made.number < 1:
            raise NotAllowed(f"A document has a number from 1 up, not {made.number}.")
        if document.total != made.total:
            raise NotAllowed(
                f"The lines and the tax of number {made.number} don't add up to its total."
            )
        return HeadedDocument(document, made.head, made.was)
