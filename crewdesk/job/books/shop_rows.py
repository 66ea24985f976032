"""Rows of the business's record: customers, saved beam types, payments."""

from datetime import date
from decimal import Decimal
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.beam import FORM, SECTION
from crewdesk.job.beams.forms import FORMS, USUAL, Form, boards
from crewdesk.job.change import Doc
from crewdesk.job.row import (
    DAY,
    FLAG,
    MONEY,
    NAME,
    SHORT,
    WHOLE,
    Kind,
    TableRow,
    as_is,
    field,
    note,
)
from crewdesk.trade.books.accounts import Payment
from crewdesk.trade.books.money import LONGEST_TERMS
from crewdesk.trade.cuts.section import Section


def days_to_pay(days: object, _what: str = "") -> int:
    """Return a customer's payment terms in days; raises `NotAllowed`."""
    if type(days) is not int or not 0 <= days <= LONGEST_TERMS:
        raise NotAllowed(
            f"A customer's payment terms are from 0 to {LONGEST_TERMS} days. Type them like 30."
        )
    return days


class Customer(TableRow, noun="customer"):
    """A customer; `terms` is the days to pay in, or None for the shop's."""

    name: str = field(NAME)
    address: str = field(note(400), "address", default="")
    phone: str = field(SHORT, "phone number", default="")
    email: str = field(SHORT, "email address", default="")
    terms: int | None = field(Kind(days_to_pay, as_is, "days"), default=None)


class KeptForm(TableRow, noun="form"):
    """A saved beam type: a form and a section under a name; `row` is "" for one that crewdesk
    ships."""

    name: str = field(NAME)
    form: Form = field(FORM, absent=FORMS[USUAL], given=lambda _: True)
    section: Section = field(SECTION)

    def check(self) -> None:
        """Raise `BadInput` if no boards can be made by its section and form."""
        if self.form.id != "ridge":
            boards(self.form.id, self.section, None, (None, None))


class PaymentRow(TableRow, noun="payment", first=("invoice", "source", "to")):
    """A payment or refund on `invoice`, or credit applied `from` one invoice `to` another."""

    amount: Decimal = field(MONEY, "payment")
    on: date = field(DAY)
    refund: bool = field(FLAG, default=False)
    note: str = field(SHORT, default="")
    invoice: int | None = field(WHOLE, default=None)
    source: int | None = field(WHOLE, key="from", default=None)
    to: int | None = field(WHOLE, default=None)

    @property
    def payment(self) -> Payment:
        """Return the `Payment`; raises `NotAllowed` if it is on no invoice."""
        number = self.invoice if self.source is None else self.to
        if number is None:
            key = "invoice" if self.source is None else "to"
            raise NotAllowed(f"Payment {self.row} in this file has no {key}.")
        return Payment(number, self.amount, self.on, self.refund, self.note, self.source)


def payment_from_doc(row: str, doc: Doc) -> Payment:
    """Return a payment from its row; raises `NotAllowed`."""
    return PaymentRow.from_doc(row, doc).payment


def payment_to_doc(one: Payment) -> Doc:
    """Return the document of a payment."""
    on: dict[str, Any] = {"invoice": one.invoice}
    if one.source is not None:
        on = {"source": one.source, "to": one.invoice}
    return PaymentRow("", one.amount, one.on, one.refund, one.note, **on).to_doc()


def payment_note(text: str) -> str:
    """Return the note of a payment, in one line; raises `NotAllowed`."""
    note: str = SHORT.read(text, "payment's note")
    return note
