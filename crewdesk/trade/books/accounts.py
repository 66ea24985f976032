"""Who owes what, since when: invoices against credits and payments, at a given day."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from crewdesk.trade.books.invoice import Credit, Document, Issued


@dataclass(frozen=True)
class Payment:
    """Money received on an invoice, or given back where it is a refund; above zero.

    Where it has a `source` no money came: what was paid over on that invoice was applied to
    this one as credit.
    """

    invoice: int
    amount: Decimal
    on: date
    refund: bool = False
    note: str = ""
    source: int | None = None

    @property
    def received(self) -> Decimal:
        """The money that came: below zero where it was given back, none of a credit applied."""
        if self.source is not None:
            return Decimal("0.00")
        return -self.amount if self.refund else self.amount

    def applied_to(self, number: int) -> Decimal:
        """The credit that an invoice got by it, below zero where it gave it."""
        if self.source is None or number not in (self.invoice, self.source):
            return Decimal("0.00")
        return self.amount if number == self.invoice else -self.amount


@dataclass(frozen=True)
class Standing:
    """How one invoice stands on a day; a balance below zero is owed to the customer.

    Before the day of its date it asks for nothing: `total` is zero then, and what came ahead of
    it, a deposit say, is owed to the customer until that day.

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
        """The money that stands on it: paid, and applied as credit."""
        return self.paid + self.applied

    @property
    def overdue(self) -> bool:
        """Whether money is still owed after the last day to pay."""
        return self.days_over > 0


@dataclass(frozen=True)
class Owed:
    """What a customer owes in all, the oldest unpaid invoice's date, and the part overdue."""

    customer: str
    balance: Decimal
    since: date
    overdue: Decimal


def standing(
    invoice: Issued, trail: Sequence[Document], payments: Sequence[Payment], on: date
) -> Standing:
    """How the invoice stands at the end of the day `on`; what came later does not count."""
    credited = -sum(
        (
            d.total
            for d in trail
            if isinstance(d, Credit) and d.of == invoice.number and d.issued_on <= on
        ),
        Decimal("0.00"),
    )
    counted = [p for p in payments if p.on <= on]
    paid = sum((p.received for p in counted if p.invoice == invoice.number), Decimal("0.00"))
    applied = sum((p.applied_to(invoice.number) for p in counted), Decimal("0.00"))
    total = invoice.total if invoice.issued_on <= on else Decimal("0.00")
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
    """Every invoice issued up to the day `on`, as it stood then, and each on which money had
    come by then ahead of its date."""
    ahead = {payment.invoice for payment in payments if payment.on <= on}
    return tuple(
        standing(document, trail, payments, on)
        for document in trail
        if isinstance(document, Issued) and (document.issued_on <= on or document.number in ahead)
    )


def owed(found: Sequence[Standing]) -> tuple[Owed, ...]:
    """Who owes, the longest owing first; balances below zero are not set off."""
    open_ = [s for s in found if s.balance > 0]
    customers = dict.fromkeys(s.customer for s in sorted(open_, key=lambda s: s.issued_on))
    zero = Decimal("0.00")
    return tuple(
        Owed(
            customer,
            sum((s.balance for s in open_ if s.customer == customer), zero),
            min(s.issued_on for s in open_ if s.customer == customer),
            sum((s.balance for s in open_ if s.customer == customer and s.overdue), zero),
        )
        for customer in customers
    )


def owed_back(found: Sequence[Standing]) -> tuple[Standing, ...]:
    """The invoices on which more was paid than is asked by then, the oldest first."""
    return tuple(s for s in sorted(found, key=lambda s: s.issued_on) if s.balance < 0)
