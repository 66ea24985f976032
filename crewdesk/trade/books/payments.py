"""What may be paid, given back or applied as credit on an invoice, and taken out again."""

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal

from crewdesk.trade.books.accounts import Payment, standing
from crewdesk.trade.books.invoice import Document, Issued, void_of
from crewdesk.trade.refusal import Refusal

MOST_AHEAD = timedelta(days=366)
"""How long before its invoice's date money may have come; a day further off has another year."""


def take_payment(
    payment: Payment, trail: Sequence[Document], payments: Sequence[Payment]
) -> tuple[Payment, ...]:
    """The payments with one more. More than the balance may be paid; it is then owed back. Money
    may have come ahead of the invoice's date, as deposits do: it has the day it came.

    Raises `Refusal`: `payment-not-positive`, `payment-unknown-invoice`,
    `payment-long-before-invoice`, `refund-too-much`; on a void invoice `payment-on-void` where
    others of the customer still ask, `payment-on-void-none-open` where one can bear it as
    credit, `payment-on-void-alone` where there is no other.
    """
    invoice = _invoice(payment.invoice, payment, trail)
    if payment.refund:
        held = min(standing(invoice, trail, payments, on).held for on in (payment.on, date.max))
        if payment.amount > held:
            raise Refusal(
                "refund-too-much", amount=payment.amount, number=invoice.number, paid=held
            )
    elif (void := void_of(invoice.number, trail)) is not None:
        others = [one for one in of_customer(invoice, trail) if not void_of(one.number, trail)]
        open_ = [o.number for o in others if standing(o, trail, payments, date.max).balance > 0]
        number, by = invoice.number, void.number
        if open_:
            raise Refusal("payment-on-void", number=number, by=by, others=tuple(open_))
        if others:
            raise Refusal(
                "payment-on-void-none-open", number=number, by=by, other=others[-1].number
            )
        raise Refusal("payment-on-void-alone", number=number, by=by)
    return (*payments, payment)


def apply_credit(
    payment: Payment, trail: Sequence[Document], payments: Sequence[Payment]
) -> tuple[Payment, ...]:
    """The payments with one more: what was paid over on its `source`, applied to its invoice.

    Raises `Refusal`: as `take_payment`, `credit-before-invoice`, `credit-same-invoice`,
    `credit-other-customer`, `credit-not-owed` where less or nothing is owed back on the source,
    `credit-over-balance` where the invoice asks for less or nothing.
    """
    if payment.source is None:
        raise ValueError("credit is applied from an invoice")
    source = _invoice(payment.source, payment, trail)
    invoice = _invoice(payment.invoice, payment, trail)
    if source is invoice:
        raise Refusal("credit-same-invoice", number=invoice.number)
    if invoice not in of_customer(source, trail):
        raise Refusal("credit-other-customer", number=invoice.number, source=source.number)
    over = credit_on(source, trail, payments, payment.on)
    if payment.amount > over:
        raise Refusal("credit-not-owed", amount=payment.amount, source=source.number, over=over)
    due = max(standing(invoice, trail, payments, date.max).balance, Decimal("0.00"))
    if payment.amount > due:
        raise Refusal("credit-over-balance", amount=payment.amount, number=invoice.number, due=due)
    return (*payments, payment)


def take_out(
    place: int, trail: Sequence[Document], payments: Sequence[Payment]
) -> tuple[Payment, ...]:
    """The payments without the one at that place, counted from 0.

    Raises `Refusal` `payment-used` where what it brought was given back or applied since.
    """
    gone = payments[place]
    left = (*payments[:place], *payments[place + 1 :])
    for document in trail:
        if (
            isinstance(document, Issued)
            and document.number in (gone.invoice, gone.source)
            and standing(document, trail, left, date.max).held < 0
        ):
            raise Refusal("payment-used", amount=gone.amount, number=document.number)
    return left


def credit_on(
    invoice: Issued, trail: Sequence[Document], payments: Sequence[Payment], on: date
) -> Decimal:
    """What is owed back on an invoice on a day, and still is by all that is known."""
    most = max(standing(invoice, trail, payments, each).balance for each in (on, date.max))
    return max(-most, Decimal("0.00"))


def of_customer(invoice: Issued, trail: Sequence[Document]) -> tuple[Issued, ...]:
    """The other invoices of an invoice's customer; where nobody is named, of the same job."""
    return tuple(
        one
        for one in trail
        if isinstance(one, Issued)
        and one.number != invoice.number
        and _customer(one) == _customer(invoice)
    )


def _customer(invoice: Issued) -> tuple[str, str]:
    named = " ".join(invoice.draft.customer.split()).casefold()
    return named, "" if named else invoice.draft.job


def _invoice(number: int, payment: Payment, trail: Sequence[Document]) -> Issued:
    """An invoice on which so much can be booked on that day."""
    if payment.amount <= 0:
        raise Refusal("payment-not-positive", amount=payment.amount)
    for one in trail:
        if isinstance(one, Issued) and one.number == number:
            on, issued_on = payment.on, one.issued_on
            if payment.source is not None and on < issued_on:
                raise Refusal("credit-before-invoice", on=on, number=number, issued_on=issued_on)
            if on < issued_on - MOST_AHEAD:
                raise Refusal(
                    "payment-long-before-invoice", on=on, number=number, issued_on=issued_on
                )
            return one
    raise Refusal("payment-unknown-invoice", number=number)
