"""The next invoice of a job: a deposit, what is earned so far, or all that is left.

Progress and final invoices tell all that the work is worth up to now and take off what
was billed before, so they stay right when an entry or a tick is mended afterwards.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from crewdesk.errors import NotAllowed
from crewdesk.job.books.extra_time import extra_time_told
from crewdesk.job.books.ledger import Letterhead
from crewdesk.job.books.pricing import price_job
from crewdesk.job.books.shop import EXTRAS
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.work_value import (
    ZERO,
    billed_time,
    by_price,
    done_by_stage,
    taxed_now,
    worth,
)
from crewdesk.job.record import Record
from crewdesk.trade.books.durations import short
from crewdesk.trade.books.invoice import Billing, Draft, Issued, extras_billed, left_of
from crewdesk.trade.books.invoice_lines import (
    ExtraLine,
    Line,
    deposit_line,
    extra_line,
    less_line,
)
from crewdesk.trade.books.stage_rates import PastJob

_MOST_NUMBERS = 6
"""More invoices than this are counted, not named."""


@dataclass(frozen=True)
class Billed:
    """What a job was billed of its base price so far, of taxed and of untaxed lines, and on
    which invoices."""

    taxed: Decimal
    untaxed: Decimal
    numbers: tuple[int, ...] = ()

    @property
    def all(self) -> Decimal:
        """Both together."""
        return self.taxed + self.untaxed


def next_invoice(
    record: Record,
    job: str,
    books: ShopRecord,
    now: datetime,
    *,
    kind: Billing | None = None,
    past: Sequence[PastJob] = (),
) -> Draft:
    """The draft of a job's next invoice; `job` is the job's id. What was billed already is found
    by the job's beginning, see `Draft.is_of`.

    Raises `NotAllowed` where there is nothing to bill, and `BadInput` as the trade does.
    """
    kind = kind or usual_kind(record, job, books)
    billed = billed_before(record, job, books)
    customer = books.customer_named(record.job.customer)
    shop = books.shop if books.shop.tax else books.shop._replace(taxed=())
    terms = shop.terms
    if customer is not None and customer.terms is not None:
        terms = customer.terms
    if kind == "deposit":
        lines = _deposit(record, job, books, past)
        extras: tuple[ExtraLine, ...] = ()
    else:
        lines = worth(record, shop, now, past, all_of_it=kind == "final")
        earned = sum((line.amount for line in lines), ZERO)
        lines = _less(lines, billed)
        extras = _extras(record, job, books, now, hourly=kind == "final")
        due = sum((line.amount for line in lines), ZERO)
        if kind == "progress" and due <= 0:
            lines = ()  # more was billed than is earned so far: only extra work is due
        if not extras and due <= 0:
            if not earned and not billed.all and by_price(record):
                raise NotAllowed(
                    "The price is earned by the steps ticked on the run sheet, and none is yet, "
                    "so there is nothing to bill but a deposit: choose that kind."
                )
            told = f"The work up to now comes to {earned:,} and {billed.all:,} was billed already"
            if left := extra_time_told(record, job, books, now):
                raise NotAllowed(f"{told}, so there is nothing to bill; but note: {' '.join(left)}")
            raise NotAllowed(
                f"{told}, so there is nothing to bill; credit an invoice to give money back."
            )
    return Draft(
        kind,
        job,
        record.job.customer,
        lines,
        extras,
        shop.tax,
        shop.tax_per,
        terms,
        record.begun,
    )


def usual_kind(record: Record, job: str, books: ShopRecord) -> Billing:
    """The kind of invoice that is due next: final once every step is behind, a deposit
    before the first is, else progress."""
    done = done_by_stage(record, books.shop.factors)
    if done and all(stage.part == 1 for stage in done):
        return "final"
    begun = any(stage.part for stage in done) or bool(record.entries)
    billed = bool(_invoices(record, job, books))
    return "progress" if begun or billed or not books.shop.deposit else "deposit"


def letterhead(record: Record, books: ShopRecord) -> Letterhead:
    """What stands on a job's letters besides the figures, as of now."""
    shop = books.shop
    customer = books.customer_named(record.job.customer)
    return Letterhead(
        shop.name,
        shop.address,
        shop.licence,
        shop.phone,
        shop.email,
        record.job.name,
        record.job.site,
        customer.address if customer else "",
        shop.terms_text,
    )


def _invoices(record: Record, job: str, books: ShopRecord) -> tuple[Issued, ...]:
    return tuple(
        one for one in books.trail if isinstance(one, Issued) and one.draft.is_of(job, record.begun)
    )


def billed_before(record: Record, job: str, books: ShopRecord) -> Billed:
    """What the job's invoices ask of its base price, less what was taken back."""
    sums = {True: ZERO, False: ZERO}
    numbers = []
    for document in _invoices(record, job, books):
        left = left_of(document, books.trail)[: len(document.draft.lines)]
        for line, money in zip(document.draft.lines, left, strict=True):
            sums[line.taxed] += money
        if any(left):
            numbers.append(document.number)
    return Billed(sums[True], sums[False], tuple(numbers))


def _deposit(
    record: Record, job: str, books: ShopRecord, past: Sequence[PastJob]
) -> tuple[Line, ...]:
    for document in _invoices(record, job, books):
        if document.kind == "deposit" and any(left_of(document, books.trail)):
            raise NotAllowed(f"A deposit was billed on invoice {document.number} already.")
        if document.kind == "final" and any(left_of(document, books.trail)):
            raise NotAllowed(f"Invoice {document.number} was the final one; bill no deposit.")
    rate = books.shop.deposit
    if not rate:
        raise NotAllowed("The shop's deposit is 0 %, so there is none to bill.")
    lines = (
        record.accepted.lines
        if record.accepted is not None and by_price(record)
        else price_job(record, books.shop, past).estimate.likely.lines
    )
    lines = taxed_now(lines, books.shop)
    found = []
    for taxed in (False, True):
        base = sum((line.amount for line in lines if line.taxed == taxed), ZERO)
        of = "" if base == sum((line.amount for line in lines), ZERO) else _told(taxed)
        if base > 0:
            text = f"Deposit, {rate.normalize():f} % of ${base:,}{of}"
            found.append(deposit_line(text, base, rate, taxed=taxed))
    return tuple(found)


def _on(numbers: tuple[int, ...]) -> str:
    if len(numbers) > _MOST_NUMBERS:
        return f", on {len(numbers)} invoices"
    return f", on invoice{'s' if len(numbers) > 1 else ''} {', '.join(map(str, numbers))}"


def _told(taxed: bool) -> str:
    return " that is taxed" if taxed else " that is not taxed"


def _less(lines: tuple[Line, ...], billed: Billed) -> tuple[Line, ...]:
    """The lines with what was billed before taken off; none where that leaves nothing."""
    both = bool(billed.taxed) and bool(billed.untaxed)
    found = list(lines)
    for taxed, money in ((False, billed.untaxed), (True, billed.taxed)):
        if money:
            text = "Less billed before" + (_told(taxed).replace(" that is", ",") if both else "")
            text += _on(billed.numbers)
            found.append(less_line(text, money, taxed=taxed))
    sums = {True: ZERO, False: ZERO}
    for line in found:
        sums[line.taxed] += line.amount
    return tuple(found) if any(sums.values()) else ()


def _extras(
    record: Record, job: str, books: ShopRecord, now: datetime, *, hourly: bool
) -> tuple[ExtraLine, ...]:
    """The accepted change orders that no invoice bears yet; those by the hour at the end."""
    billed = extras_billed(job, books.trail, record.begun)
    taxed = EXTRAS in books.shop.taxed and bool(books.shop.tax)
    found = []
    for order in record.orders:
        if not order.taken or order.row in billed or (order.hour is not None and not hourly):
            continue
        time = billed_time(record, books.shop.rounding, now, order=order.row)
        line = extra_line(order.order, time.billed_seconds, taxed=taxed)
        if order.hour is not None:
            line = replace(
                line, text=f"{line.text}, {short(time.billed_seconds)} at ${order.hour}/h"
            )
        if line.amount:
            found.append(line)
    return tuple(found)
