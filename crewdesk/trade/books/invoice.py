"""Invoices: a draft can change; an issued one has a number and never changes.

To correct an issued invoice, a credit (in part) or a void (in full) takes amounts back, each a
document with its own number in the same ledger.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

from crewdesk.errors import BadInput
from crewdesk.trade.books.invoice_lines import ExtraLine, Line
from crewdesk.trade.books.money import LONGEST_TERMS, ZERO, Taxable, TaxPer, cents, percent, tax

Billing = Literal["deposit", "progress", "final"]
Kind = Literal["deposit", "progress", "final", "credit", "void"]
FIRST_NUMBER = 1


@dataclass(frozen=True)
class Draft:
    """An invoice before it is issued; `extras` are separate from the base's `lines`.

    `job` is the id that its job had when it was drafted, `begun` the job's permanent id, which
    stays when the id changes; "" if unknown. `terms` is the days to pay in. Raises `BadInput`.
    """

    kind: Billing
    job: str
    customer: str
    lines: tuple[Line, ...] = ()
    extras: tuple[ExtraLine, ...] = ()
    tax_rate: Decimal = Decimal(0)
    tax_per: TaxPer = "invoice"
    terms: int = 30
    begun: str = ""

    def __post_init__(self) -> None:
        if self.kind not in ("deposit", "progress", "final"):
            raise BadInput(
                "{kind} isn't a kind of invoice. Use deposit, progress or final.", kind=self.kind
            )
        if not 0 <= self.terms <= LONGEST_TERMS:
            raise BadInput(
                "Payment terms of {days} days are out of range. Type 0 to {most}.",
                days=self.terms,
                most=LONGEST_TERMS,
            )
        percent(self.tax_rate, "tax")

    def is_of(self, job: str, begun: str) -> bool:
        """Return whether it belongs to the job with that id and permanent id. The id decides only
        if the invoice was issued without a permanent id: an id can pass to another job."""
        return self.begun == begun if self.begun else self.job == job

    @property
    def all_lines(self) -> tuple[Line | ExtraLine, ...]:
        """The base's lines, then the extras: the order of a credit's amounts."""
        return (*self.lines, *self.extras)

    @property
    def base(self) -> Decimal:
        """The sum of the base's lines, before tax."""
        return sum((line.amount for line in self.lines), ZERO)

    @property
    def extra(self) -> Decimal:
        """The sum of the extra work's lines, before tax."""
        return sum((line.amount for line in self.extras), ZERO)

    @property
    def subtotal(self) -> Decimal:
        """Base and extra work, before tax."""
        return self.base + self.extra

    @property
    def tax(self) -> Decimal:
        """The tax on the taxed lines, half up to the cent."""
        return self.tax_on([line.amount for line in self.all_lines])

    @property
    def taxed(self) -> Decimal:
        """The taxable amount."""
        return self.taxed_of([line.amount for line in self.all_lines])

    def taxed_of(self, amounts: Sequence[Decimal]) -> Decimal:
        """Return the taxable amount if the lines, base's first, came to these amounts."""
        if not self.tax_rate:
            return ZERO
        each = zip(amounts, self.all_lines, strict=True)
        return sum((money for money, line in each if line.taxed), ZERO)

    def tax_on(self, amounts: Sequence[Decimal]) -> Decimal:
        """Return the tax if the lines, base's first, came to these amounts."""
        taxable = [
            Taxable(each, line.taxed) for each, line in zip(amounts, self.all_lines, strict=True)
        ]
        return tax(taxable, self.tax_rate, self.tax_per)

    @property
    def total(self) -> Decimal:
        """Subtotal and tax."""
        return self.subtotal + self.tax


@dataclass(frozen=True)
class Issued:
    """An issued invoice: its draft at that time, its number and its date."""

    number: int
    issued_on: date
    draft: Draft

    @property
    def kind(self) -> Kind:
        """Deposit, progress or final."""
        return self.draft.kind

    @property
    def total(self) -> Decimal:
        """The total that it asks for."""
        return self.draft.total

    @property
    def due_on(self) -> date:
        """The due date."""
        return self.issued_on + timedelta(days=self.draft.terms)


@dataclass(frozen=True)
class Credit:
    """A credit: an amount for each line (base's lines, then extras) of invoice `of`.

    `amounts` and `tax` have the signs of the invoice's own; `total` is their negative sum, so below
    zero. A void is a credit of everything left.
    """

    number: int
    issued_on: date
    of: int
    kind: Literal["credit", "void"]
    reason: str
    amounts: tuple[Decimal, ...]
    tax: Decimal

    @property
    def total(self) -> Decimal:
        """The credited total, below zero."""
        return -(sum(self.amounts, ZERO) + self.tax)


Document = Issued | Credit


def next_number(numbers: Sequence[int], first: int = FIRST_NUMBER) -> int:
    """Return the number after all issued documents, credits and voids included, in their order.

    Raises `BadInput` if the ledger doesn't have each number once, from `first` on.
    """
    for wanted, number in enumerate(numbers, first):
        if number < wanted:
            raise BadInput(
                "Number {number} is in the ledger twice or out of order. Fix that first.",
                number=number,
            )
        if number > wanted:
            raise BadInput(
                "Number {number} is missing in the ledger. Fix that first.", number=wanted
            )
    return first + len(numbers)


def issue(draft: Draft, trail: Sequence[Document], on: date, first: int = FIRST_NUMBER) -> Issued:
    """Return a draft issued with its number and date; `trail` is the whole ledger so far.

    Raises `BadInput`: as `number_for`, for no line, a total below zero, and a change order
    that is billed already or twice here.
    """
    if not draft.lines and not draft.extras:
        raise BadInput("The invoice has no line. Add one before you issue it.")
    if draft.total < 0:
        raise BadInput(
            "The invoice comes to {total}, below zero. Credit an earlier invoice instead.",
            total=draft.total,
        )
    billed = extras_billed(draft.job, trail, draft.begun)
    for extra in draft.extras:
        if extra.order in billed:
            raise BadInput(
                "The change order {text} is on invoice {number} already.",
                text=extra.text,
                number=billed[extra.order],
            )
    orders = [extra.order for extra in draft.extras]
    for extra in draft.extras:
        if orders.count(extra.order) > 1:
            raise BadInput(
                "The change order {text} is on this invoice twice. Leave one out.",
                text=extra.text,
            )
    return Issued(number_for(trail, on, first), on, draft)


def extras_billed(job: str, trail: Sequence[Document], begun: str = "") -> dict[str, int]:
    """Return the change orders of a job (see `Draft.is_of`) that are on an invoice, with its
    number, without credited ones."""
    found = {}
    for document in trail:
        if isinstance(document, Issued) and document.draft.is_of(job, begun):
            left = left_of(document, trail)[len(document.draft.lines) :]
            for extra, money in zip(document.draft.extras, left, strict=True):
                if money > 0:
                    found[extra.order] = document.number
    return found


def left_of(invoice: Issued, trail: Sequence[Document]) -> tuple[Decimal, ...]:
    """Return what is left of each line after credits, base's lines first, before tax."""
    left = [line.amount for line in invoice.draft.all_lines]
    for document in trail:
        if isinstance(document, Credit) and document.of == invoice.number:
            left = [a - b for a, b in zip(left, document.amounts, strict=True)]
    return tuple(left)


def void_of(number: int, trail: Sequence[Document]) -> Credit | None:
    """Return the void of the invoice of that number, if any."""
    return next(
        (
            one
            for one in trail
            if isinstance(one, Credit) and one.of == number and one.kind == "void"
        ),
        None,
    )


def as_counted(trail: Sequence[Document]) -> tuple[Document, ...]:
    """Return the documents as they count.

    A void credits what is left of its invoice, once: if two computers credited or voided one
    invoice while they were apart, the first void credits what the credits left, and another one
    nothing.
    """
    credits: dict[int, list[Credit]] = {}
    for one in trail:
        if isinstance(one, Credit):
            credits.setdefault(one.of, []).append(one)
    shown: dict[int, Credit] = {}
    for invoice in trail:
        found = credits.get(invoice.number, ()) if isinstance(invoice, Issued) else ()
        voids = [one for one in found if one.kind == "void"]
        if not voids or not isinstance(invoice, Issued):
            continue
        lines = [line.amount for line in invoice.draft.all_lines]
        if [sum(each, ZERO) for each in zip(*(one.amounts for one in found), strict=True)] == lines:
            continue
        plain = [one for one in found if one.kind == "credit"]
        left = [
            line - sum((one.amounts[place] for one in plain), ZERO)
            for place, line in enumerate(lines)
        ]
        # What two computers credited twice stays credited; a void doesn't take that back.
        left = [each if each * line > 0 else ZERO for each, line in zip(left, lines, strict=True)]
        back = invoice.draft.tax - sum((one.tax for one in plain), ZERO) if any(left) else ZERO
        shown[voids[0].number] = replace(voids[0], amounts=tuple(left), tax=back)
        nothing = tuple(ZERO for _ in lines)
        shown |= {one.number: replace(one, amounts=nothing, tax=ZERO) for one in voids[1:]}
    return tuple(shown.get(one.number, one) for one in trail) if shown else tuple(trail)


def number_for(trail: Sequence[Document], on: date, first: int) -> int:
    """Return the next number, for a document of the day `on`; raises as `next_number`, and for a
    day before the last document."""
    if trail and on < trail[-1].issued_on:
        raise BadInput(
            "{on} is before {last}, the date of number {number}. A later number can't "
            "have an earlier date.",
            on=on,
            last=trail[-1].issued_on,
            number=trail[-1].number,
        )
    return next_number([document.number for document in trail], first)


_NOTHING = Decimal(0)


def credit(
    invoice: Issued,
    amounts: Sequence[Decimal],
    reason: str,
    trail: Sequence[Document],
    on: date,
    first: int = FIRST_NUMBER,
) -> Credit:
    """Return the credit of an amount for each line (base's, then extras), before tax.

    A discount line is below zero, and so is its credit. The credited tax is the tax on what was
    left minus that on what then is left, so that credits of a whole invoice return its tax to the
    cent.

    Raises `BadInput`: as `number_for`; without a reason, for nothing, and for more than is left of
    a line or of the whole.
    """
    lines = invoice.draft.all_lines
    if not reason.strip():
        raise BadInput(
            "A credit on invoice {number} needs a reason. Type one.", number=invoice.number
        )
    if len(amounts) != len(lines):
        raise BadInput(
            "Invoice {number} has {lines} line(s), but {given} amount(s) were typed. "
            "Type one for each.",
            number=invoice.number,
            lines=len(lines),
            given=len(amounts),
        )
    left = left_of(invoice, trail)
    taken = tuple(cents(each) for each in amounts)
    if not any(taken):
        raise BadInput(
            "Nothing is credited on invoice {number}. Type an amount that is still due on it.",
            number=invoice.number,
        )
    for line, most, each in zip(lines, left, taken, strict=True):
        if not min(most, _NOTHING) <= each <= max(most, _NOTHING):
            raise BadInput(
                "{amount} of {text} can't be credited; type from 0 to {left}.",
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
            "{amount} can't be credited on invoice {number}; type more than 0 and up to {left}.",
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
    """Return the void of an invoice without payments or applied credit.

    Raises `BadInput`: as `number_for`; without a reason, if something is paid, or if nothing is
    left.
    """
    if paid != 0:
        raise BadInput(
            "Invoice {number} has {paid} paid on it and can't be voided. Credit it instead.",
            number=invoice.number,
            paid=paid,
        )
    if not reason.strip():
        raise BadInput(
            "A credit on invoice {number} needs a reason. Type one.", number=invoice.number
        )
    left = left_of(invoice, trail)
    if not any(left):
        raise BadInput(
            "Nothing is credited on invoice {number}. Type an amount that is still due on it.",
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
