"""Credits and voids: what was wrong in an issued invoice, taken back with a trail."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Literal

from crewdesk.errors import BadInput
from crewdesk.trade.books.invoice import (
    FIRST_NUMBER,
    Credit,
    Document,
    Issued,
    left_of,
    number_for,
)
from crewdesk.trade.books.money import cents

_NOTHING = Decimal(0)


def credit(
    invoice: Issued,
    amounts: Sequence[Decimal],
    reason: str,
    trail: Sequence[Document],
    on: date,
    first: int = FIRST_NUMBER,
) -> Credit:
    """Take back so much of each line (base's, then extras), before tax.

    A line that took something off is below zero, and so is what is taken back of it.
    The tax taken back is that on what was left less that on what then is left, so
    that credits of a whole invoice take back its tax to the cent.

    Raises `BadInput`: as `number_for`; without a reason, for nothing, and for more than is left of
    a line or of the whole.
    """
    lines = invoice.draft.all_lines
    if not reason.strip():
        raise BadInput(
            "Taking back from invoice {number} needs a reason; write one.", number=invoice.number
        )
    if len(amounts) != len(lines):
        raise BadInput(
            "Invoice {number} has {lines} line(s) and {given} amount(s) were given; give one "
            "for each.",
            number=invoice.number,
            lines=len(lines),
            given=len(amounts),
        )
    left = left_of(invoice, trail)
    taken = tuple(cents(each) for each in amounts)
    if not any(taken):
        raise BadInput(
            "Nothing is taken back of invoice {number}; give an amount it still asks.",
            number=invoice.number,
        )
    for line, most, each in zip(lines, left, taken, strict=True):
        if not min(most, _NOTHING) <= each <= max(most, _NOTHING):
            raise BadInput(
                "{amount} of {text} can't be taken back; it may be from 0 to {left}.",
                text=line.text,
                amount=each,
                left=most,
            )
    found = _credit(invoice, "credit", reason, left, taken, trail, on, first)
    still = invoice.total + sum(
        d.total for d in trail if isinstance(d, Credit) and d.of == invoice.number
    )
    if not 0 < -found.total <= still:
        raise BadInput(
            "{amount} can't be taken back of invoice {number}; it may be over 0 and up to {left}.",
            number=invoice.number,
            amount=-found.total,
            left=still,
        )
    return found


def void(
    invoice: Issued,
    reason: str,
    trail: Sequence[Document],
    on: date,
    paid: Decimal,
    first: int = FIRST_NUMBER,
) -> Credit:
    """Take back all that is left of an invoice on which nothing is `paid` or applied.

    Raises `BadInput`: as `number_for`; without a reason, where something is paid, and where
    nothing is left.
    """
    if paid != 0:
        raise BadInput(
            "Invoice {number} has {paid} paid on it and can't be voided; credit it instead.",
            number=invoice.number,
            paid=paid,
        )
    if not reason.strip():
        raise BadInput(
            "Taking back from invoice {number} needs a reason; write one.", number=invoice.number
        )
    left = left_of(invoice, trail)
    if not any(left):
        raise BadInput(
            "Nothing is taken back of invoice {number}; give an amount it still asks.",
            number=invoice.number,
        )
    return _credit(invoice, "void", reason, left, left, trail, on, first)


def _credit(
    invoice: Issued,
    kind: Literal["credit", "void"],
    reason: str,
    left: Sequence[Decimal],
    taken: tuple[Decimal, ...],
    trail: Sequence[Document],
    on: date,
    first: int,
) -> Credit:
    after = [a - b for a, b in zip(left, taken, strict=True)]
    back = invoice.draft.tax_on(left) - invoice.draft.tax_on(after)
    number = number_for(trail, on, first)
    return Credit(number, on, invoice.number, kind, reason, taken, back)
