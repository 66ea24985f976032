"""Accounts receivable: invoices against credits and payments, at a given day."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple

from crewdesk.errors import BadInput
from crewdesk.trade.books.invoice import Credit, Document, Issued, void_of
from crewdesk.trade.books.money import ZERO


@dataclass(frozen=True)
class Payment:
    """Money received on an invoice, or refunded; above zero.

    With a `source` no money came: that invoice's overpayment was applied to this one as credit.
    """

    invoice: int
    amount: Decimal
    on: date
    refund: bool = False
    note: str = ""
    source: int | None = None

    @property
    def received(self) -> Decimal:
        """The money received: below zero for a refund, zero for applied credit."""
        if self.source is not None:
            return ZERO
        return -self.amount if self.refund else self.amount

    def applied_to(self, number: int) -> Decimal:
        """Return the credit that an invoice got by it, below zero if it gave it."""
        if self.source is None or number not in (self.invoice, self.source):
            return ZERO
        return self.amount if number == self.invoice else -self.amount


@dataclass(frozen=True)
class Standing:
    """An invoice's standing on a day; a balance below zero is owed to the customer.

    Before its own date it asks for nothing: `total` is zero, and money that came early, such as a
    deposit, is a credit balance until that day.

    `applied` is the credit from other invoices, less what this one gave to others.
    """

    number: int
    job: str
    customer: str
    issued_on: date
    total: Decimal
    credited: Decimal
    paid: Decimal
    applied: Decimal
    balance: Decimal
    due_on: date
    days_over: int
    begun: str = ""

    @property
    def held(self) -> Decimal:
        """The money on it: payments and applied credit."""
        return self.paid + self.applied

    @property
    def overdue(self) -> bool:
        """Whether money is owed after the last day to pay."""
        return self.days_over > 0


@dataclass(frozen=True)
class Owed:
    """What a customer owes in total, the oldest unpaid invoice's date, and the overdue part."""

    customer: str
    balance: Decimal
    since: date
    overdue: Decimal


def standing(
    invoice: Issued, trail: Sequence[Document], payments: Sequence[Payment], on: date
) -> Standing:
    """Return the invoice's standing at the end of the day `on`; later events don't count."""
    credited = -sum(
        (
            d.total
            for d in trail
            if isinstance(d, Credit) and d.of == invoice.number and d.issued_on <= on
        ),
        ZERO,
    )
    counted = [p for p in payments if p.on <= on]
    paid = sum((p.received for p in counted if p.invoice == invoice.number), ZERO)
    applied = sum((p.applied_to(invoice.number) for p in counted), ZERO)
    total = invoice.total if invoice.issued_on <= on else ZERO
    balance = total - credited - paid - applied
    late = (on - invoice.due_on).days if balance > 0 else 0
    return Standing(
        invoice.number,
        invoice.draft.job,
        invoice.draft.customer,
        invoice.issued_on,
        total,
        credited,
        paid,
        applied,
        balance,
        invoice.due_on,
        max(late, 0),
        invoice.draft.begun,
    )


def standings(
    trail: Sequence[Document], payments: Sequence[Payment], on: date
) -> tuple[Standing, ...]:
    """Return the standing of every invoice issued up to the day `on`, and of each with money that
    came before its date."""
    ahead = {payment.invoice for payment in payments if payment.on <= on}
    return tuple(
        standing(document, trail, payments, on)
        for document in trail
        if isinstance(document, Issued) and (document.issued_on <= on or document.number in ahead)
    )


def owed(found: Sequence[Standing]) -> tuple[Owed, ...]:
    """Return who owes, the longest first; credit balances are not offset."""
    open_ = [s for s in found if s.balance > 0]
    customers = dict.fromkeys(s.customer for s in sorted(open_, key=lambda s: s.issued_on))
    return tuple(
        Owed(
            customer,
            sum((s.balance for s in open_ if s.customer == customer), ZERO),
            min(s.issued_on for s in open_ if s.customer == customer),
            sum((s.balance for s in open_ if s.customer == customer and s.overdue), ZERO),
        )
        for customer in customers
    )


@dataclass(frozen=True)
class Age:
    """What is owed by how late it is: `after` days late or more."""

    name: str
    after: int
    amount: Decimal


AGES = (
    ("not due yet", 0),
    ("1-30 days late", 1),
    ("31-60 days late", 31),
    ("61-90 days late", 61),
    ("over 90 days late", 91),
)
"""How late a balance is, as bookkeepers group it (common practice, no source): the name of each
group, and the days late from which on a balance is in it."""


def owed_by_age(found: Sequence[Standing]) -> tuple[Age, ...]:
    """Return the amounts owed by age, every group; balances below zero are not offset."""
    open_ = [s for s in found if s.balance > 0]
    return tuple(
        Age(name, first, sum((s.balance for s in open_ if first <= s.days_over < after), ZERO))
        for (name, first), after in zip(AGES, [*(one[1] for one in AGES[1:]), 10**9], strict=True)
    )


def sum_of(ages: Sequence[Age]) -> Decimal:
    """Return all that is owed."""
    return sum((one.amount for one in ages), ZERO)


class JobOwed(NamedTuple):
    """What is owed on a job's invoices, and whether any of it is overdue."""

    balance: Decimal
    overdue: bool


def owed_by_job(found: Sequence[Standing]) -> dict[str, JobOwed]:
    """Return the amount owed on each job with any, by its permanent id, or by its folder's id if an
    invoice has none; balances below zero are not offset."""
    owing: dict[str, JobOwed] = {}
    for one in found:
        if one.balance > 0:
            before = owing.get(one.begun or one.job, JobOwed(ZERO, overdue=False))
            both = JobOwed(before.balance + one.balance, before.overdue or one.overdue)
            owing[one.begun or one.job] = both
    return owing


def owed_back(found: Sequence[Standing]) -> tuple[Standing, ...]:
    """Return the overpaid invoices by then, the oldest first."""
    return tuple(s for s in sorted(found, key=lambda s: s.issued_on) if s.balance < 0)


MOST_AHEAD = timedelta(days=366)
"""How long before its invoice's date money may come; beyond that the year is probably wrong."""


def take_payment(
    payment: Payment, trail: Sequence[Document], payments: Sequence[Payment]
) -> tuple[Payment, ...]:
    """Return the payments with one more. More than the balance may be paid; it becomes a credit
    balance. Money may come before the invoice's date, like a deposit: it keeps its own day.

    Raises `BadInput`; for a void invoice it names that customer's invoice that can take it.
    """
    invoice = _invoice(payment.invoice, payment, trail)
    if payment.refund:
        held = min(standing(invoice, trail, payments, on).held for on in (payment.on, date.max))
        if payment.amount > held:
            raise BadInput(
                "{amount} can't be refunded on invoice {number}; only {paid} was paid on it.",
                amount=payment.amount,
                number=invoice.number,
                paid=held,
            )
    elif (void := void_of(invoice.number, trail)) is not None:
        others = [one for one in of_customer(invoice, trail) if not void_of(one.number, trail)]
        open_ = [o.number for o in others if standing(o, trail, payments, date.max).balance > 0]
        number, by = invoice.number, void.number
        if open_:
            raise BadInput(
                "Invoice {number} was voided by number {by} and can't be paid. Enter "
                "the payment on another open invoice of that customer: invoice "
                "{others}.",
                number=number,
                by=by,
                others=tuple(open_),
            )
        if others:
            raise BadInput(
                "Invoice {number} was voided by number {by} and can't be paid. If "
                "money came in, enter it on invoice {other} of that customer, where it "
                "becomes a credit balance for the next one.",
                number=number,
                by=by,
                other=others[-1].number,
            )
        raise BadInput(
            "Invoice {number} was voided by number {by} and can't be paid, and that "
            "customer has no other invoice. If money came in, issue the invoice that "
            "it is for and enter it there.",
            number=number,
            by=by,
        )
    return (*payments, payment)


def apply_credit(
    payment: Payment, trail: Sequence[Document], payments: Sequence[Payment]
) -> tuple[Payment, ...]:
    """Return the payments with one more: the overpayment of its `source`, applied to its invoice.

    Raises `BadInput`: as `take_payment`; for the same invoice or another customer's; for more than
    the source's credit balance, or more than the invoice asks.
    """
    if payment.source is None:
        raise ValueError("credit is applied from an invoice")
    source = _invoice(payment.source, payment, trail)
    invoice = _invoice(payment.invoice, payment, trail)
    if source is invoice:
        raise BadInput(
            "The credit balance of invoice {number} can only be applied to another "
            "invoice. Type its number.",
            number=invoice.number,
        )
    if invoice not in of_customer(source, trail):
        raise BadInput(
            "Invoice {number} belongs to another customer than invoice {source}. Apply "
            "credit to an invoice of the same customer.",
            number=invoice.number,
            source=source.number,
        )
    over = credit_on(source, trail, payments, payment.on)
    if payment.amount > over:
        raise BadInput(
            "{amount} of credit can't be applied from invoice {source}; its credit "
            "balance is {over}.",
            amount=payment.amount,
            source=source.number,
            over=over,
        )
    due = max(standing(invoice, trail, payments, date.max).balance, ZERO)
    if payment.amount > due:
        raise BadInput(
            "{amount} of credit can't be applied to invoice {number}; only {due} is due on it.",
            amount=payment.amount,
            number=invoice.number,
            due=due,
        )
    return (*payments, payment)


def take_out(
    place: int, trail: Sequence[Document], payments: Sequence[Payment]
) -> tuple[Payment, ...]:
    """Return the payments without the one at that place, counted from 0.

    Raises `BadInput` if its money was refunded or applied since.
    """
    gone = payments[place]
    left = (*payments[:place], *payments[place + 1 :])
    for document in trail:
        if (
            isinstance(document, Issued)
            and document.number in (gone.invoice, gone.source)
            and standing(document, trail, left, date.max).held < 0
        ):
            raise BadInput(
                "{amount} on invoice {number} can't be removed: it was refunded or "
                "applied to another invoice since then. Remove that first.",
                amount=gone.amount,
                number=document.number,
            )
    return left


def credit_on(
    invoice: Issued, trail: Sequence[Document], payments: Sequence[Payment], on: date
) -> Decimal:
    """Return an invoice's credit balance on a day that is also still there by all later events."""
    most = max(standing(invoice, trail, payments, each).balance for each in (on, date.max))
    return max(-most, ZERO)


def of_customer(invoice: Issued, trail: Sequence[Document]) -> tuple[Issued, ...]:
    """Return the other invoices of an invoice's customer; without a customer, of the same job."""
    return tuple(
        one
        for one in trail
        if isinstance(one, Issued)
        and one.number != invoice.number
        and _customer(one) == _customer(invoice)
        and (_customer(one) or _same_job(one, invoice))
    )


def _customer(invoice: Issued) -> str:
    return " ".join(invoice.draft.customer.split()).casefold()


def _same_job(some: Issued, other: Issued) -> bool:
    if some.draft.begun and other.draft.begun:
        return some.draft.begun == other.draft.begun
    return some.draft.job == other.draft.job


def _invoice(number: int, payment: Payment, trail: Sequence[Document]) -> Issued:
    """Return an invoice that accepts that amount on that day."""
    if payment.amount <= 0:
        raise BadInput("A payment can't be {amount}. Type more than zero.", amount=payment.amount)
    for one in trail:
        if isinstance(one, Issued) and one.number == number:
            on, issued_on = payment.on, one.issued_on
            if payment.source is not None and on < issued_on:
                raise BadInput(
                    "{on} is before invoice {number} was issued. Apply credit from and "
                    "to it on {issued_on} or later.",
                    on=on,
                    number=number,
                    issued_on=issued_on,
                )
            if on < issued_on - MOST_AHEAD:
                raise BadInput(
                    "{on} is more than a year before invoice {number} of {issued_on}. "
                    "A deposit can come early, but not by that much: check the year.",
                    on=on,
                    number=number,
                    issued_on=issued_on,
                )
            return one
    raise BadInput("There is no invoice {number} to pay. Check the number.", number=number)
