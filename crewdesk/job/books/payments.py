"""Payments: receive, refund, apply credit, remove."""

from datetime import date, datetime
from decimal import Decimal

from crewdesk.errors import NotAllowed
from crewdesk.job.books.documents import invoice_text
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.shop_rows import payment_note, payment_to_doc
from crewdesk.job.change import ABSENT, Change, edit
from crewdesk.job.text_limits import brief
from crewdesk.trade.books.accounts import (
    Payment,
    apply_credit,
    credit_on,
    of_customer,
    standing,
    take_out,
    take_payment,
)
from crewdesk.trade.books.money import ZERO


def pay(
    books: ShopRecord,
    number: int,
    amount: Decimal,
    on: date,
    now: datetime,
    *,
    refund: bool = False,
    note: str = "",
) -> Change:
    """Return the change that records a payment on an invoice, or a refund.

    Raises `NotAllowed`, and `BadInput` as `crewdesk.trade.books.accounts.take_payment`.
    """
    payment = Payment(number, amount, _come(on, books, now), refund, payment_note(note))
    take_payment(payment, books.trail, books.payments)
    invoice = books.invoice(number)
    over = amount - max(standing(invoice, books.trail, books.payments, date.max).balance, ZERO)
    what = f"{'refund' if refund else 'payment'} of ${amount:,} on {invoice_text(books, number)}"
    if on < invoice.issued_on:
        what += f", on {on}, ahead of its date"
    if not refund and over > 0:
        what += f", {over} more than is due on it"
    return _noted(books, payment, what, now)


def apply(
    books: ShopRecord,
    source: int,
    number: int,
    amount: Decimal | None,
    on: date,
    now: datetime,
    *,
    note: str = "",
) -> Change:
    """Return the change that applies invoice `source`'s overpayment to another invoice of that
    customer, as credit; without an amount, as much as possible.

    Raises `NotAllowed`, and `BadInput` as `crewdesk.trade.books.accounts.apply_credit`.
    """
    if amount is None:
        over = credit_on(books.invoice(source), books.trail, books.payments, on)
        due = standing(books.invoice(number), books.trail, books.payments, date.max).balance
        if not over:
            raise NotAllowed(f"Invoice {source} has no credit balance.")
        if due <= 0:
            raise NotAllowed(
                f"Nothing more is due on invoice {number}, so credit can't be applied to it."
            )
        amount = min(over, due)
    payment = Payment(number, amount, _come(on, books, now), note=payment_note(note), source=source)
    apply_credit(payment, books.trail, books.payments)
    to = invoice_text(books, number)
    what = f"credit of ${amount:,} on invoice {source} applied to {to}"
    return _noted(books, payment, what, now)


def payments_on(books: ShopRecord, number: int) -> tuple[tuple[str, Payment], ...]:
    """Return the payments, refunds and credits on an invoice, and those given from it, each with
    its row; raises `NotAllowed` if there is no such invoice."""
    books.invoice(number)
    rows = sorted(books.tables.get("payments", {}), key=int)
    every = zip(rows, books.payments, strict=True)
    return tuple((row, one) for row, one in every if number in (one.invoice, one.source))


def take_payment_out(books: ShopRecord, number: int, place: int, now: datetime) -> Change:
    """Return the change that removes one of `payments_on` an invoice, entered by mistake; places
    count from 1.

    Raises `NotAllowed`, and `BadInput` as `crewdesk.trade.books.accounts.take_out`.
    """
    found = payments_on(books, number)
    if not 1 <= place <= len(found):
        text = f"there are 1 to {len(found)}" if found else "there is none yet"
        raise NotAllowed(f"There is no payment {place} on invoice {number}; {text}.")
    row, one = found[place - 1]
    take_out(books.payments.index(one), books.trail, books.payments)
    what = f"removed {payment_text(one, number)}, {one.on}, on {invoice_text(books, number)}"
    return Change(what, (edit(books.tables, ("payments", row), ABSENT),), now)


def payment_text(one: Payment, number: int) -> str:
    """Return a payment in words, for the invoice of that number."""
    if one.source == number:
        return f"credit of ${one.amount:,} applied to invoice {one.invoice}"
    if one.source is not None:
        return f"credit of ${one.amount:,} applied from invoice {one.source}"
    return f"{'refund' if one.refund else 'payment'} of ${one.amount:,}"


def likely_credit(books: ShopRecord, number: int, on: date) -> tuple[int, int]:
    """Return the likely source and target of a credit: from this invoice to the customer's first
    unpaid one, or from the first with credit to this one. Raises `NotAllowed`."""
    invoice = books.invoice(number)
    others = of_customer(invoice, books.trail)
    who = invoice.draft.customer or "this customer"
    if credit_on(invoice, books.trail, books.payments, on):
        for other in others:
            if standing(other, books.trail, books.payments, date.max).balance > 0:
                return number, other.number
        raise NotAllowed(
            f"No other invoice of {who} is open, so the credit balance stays on invoice "
            f"{number}. Issue the next one, then apply it there."
        )
    for other in others:
        if credit_on(other, books.trail, books.payments, on):
            return other.number, number
    raise NotAllowed(f"No invoice of {who} has a credit balance to apply.")


def read_number(text: str) -> int:
    """Return an invoice number as typed; raises `NotAllowed`."""
    plain = text.strip()
    if not plain.isdecimal() or len(plain) > 9:
        raise NotAllowed(f"{brief(plain)} isn't an invoice number. Type it like 12.")
    return int(plain)


def _noted(books: ShopRecord, payment: Payment, what: str, now: datetime) -> Change:
    at = ("payments", books.new_row("payments"))
    return Change(what, (edit(books.tables, at, payment_to_doc(payment)),), now)


def _come(on: date, books: ShopRecord, now: datetime) -> date:
    if on > books.books_day(now):
        raise NotAllowed(f"{on} is in the future. Enter a payment once you have it.")
    return on
