"""Credits and voids: what was wrong in an issued invoice, taken back with a trail."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Literal

from crewdesk.trade.books.invoice import (
    FIRST_NUMBER,
    Credit,
    Document,
    Issued,
    left_of,
    number_for,
)
from crewdesk.trade.books.money import cents
from crewdesk.trade.refusal import Refusal

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

    Raises `Refusal`: as `next_number`, `invoice-date`, `credit-lines`, `credit-nothing`,
    `credit-out-of-range` (a line), `credit-too-much` (the whole), `credit-without-reason`.
    """
    lines = invoice.draft.all_lines
    if not reason.strip():
        raise Refusal("credit-without-reason", number=invoice.number)
    if len(amounts) != len(lines):
        raise Refusal("credit-lines", number=invoice.number, lines=len(lines), given=len(amounts))
    left = left_of(invoice, trail)
    taken = tuple(cents(each) for each in amounts)
    if not any(taken):
        raise Refusal("credit-nothing", number=invoice.number)
    for line, most, each in zip(lines, left, taken, strict=True):
        if not min(most, _NOTHING) <= each <= max(most, _NOTHING):
            raise Refusal("credit-out-of-range", text=line.text, amount=each, left=most)
    found = _credit(invoice, "credit", reason, left, taken, trail, on, first)
    still = invoice.total + sum(
        d.total for d in trail if isinstance(d, Credit) and d.of == invoice.number
    )
    if not 0 < -found.total <= still:
        raise Refusal("credit-too-much", number=invoice.number, amount=-found.total, left=still)
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

    Raises `Refusal`: as `next_number`, `invoice-date`, `void-paid`, `credit-nothing`,
    `credit-without-reason`.
    """
    if paid != 0:
        raise Refusal("void-paid", number=invoice.number, paid=paid)
    if not reason.strip():
        raise Refusal("credit-without-reason", number=invoice.number)
    left = left_of(invoice, trail)
    if not any(left):
        raise Refusal("credit-nothing", number=invoice.number)
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
