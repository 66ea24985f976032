"""The next invoice of a job: a deposit, what is earned so far, or all that is left.

Progress and final invoices list the value of all work up to now minus what was billed before, so
they stay right if an entry or a check-off is corrected later.
"""

from dataclasses import replace

from crewdesk.errors import NotAllowed
from crewdesk.job.books.job_books import Billed, JobBooks, extra_time_notes
from crewdesk.job.books.ledger import Letterhead
from crewdesk.job.books.pricing import price_job
from crewdesk.job.books.shop import EXTRAS
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.work_value import billed_time, by_price, taxed_now, work_value
from crewdesk.job.record import Record
from crewdesk.sentence import many
from crewdesk.trade.books.durations import short
from crewdesk.trade.books.invoice import Billing, Draft, left_of
from crewdesk.trade.books.invoice_lines import ExtraLine, Line, deposit_line, extra_line, less_line
from crewdesk.trade.books.money import ZERO

_MOST_NUMBERS = 6
"""The most invoices that are named; more are only counted."""


def next_invoice(job: JobBooks, *, kind: Billing | None = None) -> Draft:
    """Return the draft of a job's next invoice.

    Raises `NotAllowed` if there is nothing to bill, and `BadInput` as the trade does.
    """
    kind = kind or usual_kind(job)
    record, shop, billed = job.record, job.shop, job.billed
    customer = job.books.customer_named(record.job.customer)
    terms = shop.terms
    if customer is not None and customer.terms is not None:
        terms = customer.terms
    if kind == "deposit":
        lines = _deposit(job)
        extras: tuple[ExtraLine, ...] = ()
    else:
        lines = work_value(record, shop, job.now, job.done, all_of_it=kind == "final")
        earned = sum((line.amount for line in lines), ZERO)
        lines = _less(lines, billed)
        extras = _extras(job, hourly=kind == "final")
        due = sum((line.amount for line in lines), ZERO)
        if kind == "progress" and due <= 0:
            lines = ()  # more was billed than is earned so far: only extra work is due
        if not extras and due <= 0:
            if not earned and not billed.all and by_price(record):
                raise NotAllowed(
                    "There is nothing to bill: the price is earned by steps checked off on the "
                    "run sheet, and none is yet. Choose a deposit, or check off steps first."
                )
            text = f"The work up to now comes to {earned:,}, and {billed.all:,} was billed already"
            if left := extra_time_notes(job):
                raise NotAllowed(f"{text}, so there is nothing to bill. But see: {' '.join(left)}")
            raise NotAllowed(
                f"{text}, so there is nothing to bill. Credit an invoice to give money back."
            )
    return Draft(
        kind,
        job.id,
        record.job.customer,
        lines,
        extras,
        shop.tax,
        shop.tax_per,
        terms,
        record.begun,
    )


def usual_kind(job: JobBooks) -> Billing:
    """Return the kind of the next invoice: final once every step is done or skipped, deposit before
    the first one is, else progress."""
    if job.done and all(stage.part == 1 for stage in job.done):
        return "final"
    begun = any(stage.part for stage in job.done) or job.record.entries or job.invoices
    return "progress" if begun or not job.shop.deposit else "deposit"


def letterhead(record: Record, books: ShopRecord) -> Letterhead:
    """Return the text of a job's documents beside the figures, as of now."""
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


def _deposit(job: JobBooks) -> tuple[Line, ...]:
    record = job.record
    for document in job.invoices:
        if document.kind == "progress" or not any(left_of(document, job.books.trail)):
            continue
        if document.kind == "deposit":
            raise NotAllowed(f"A deposit was billed already, on invoice {document.number}.")
        raise NotAllowed(
            f"Invoice {document.number} was the final one, so a deposit can't be billed."
        )
    rate = job.shop.deposit
    if not rate:
        raise NotAllowed("The deposit in Business settings is 0%, so there is none to bill.")
    if record.accepted is not None and by_price(record):
        lines, left_out = record.accepted.lines, record.accepted.left_out
    else:
        priced = price_job(record, job.shop, job.past)
        lines, left_out = priced.estimate.likely.lines, priced.left_out
    lines = taxed_now(lines, job.shop)
    without = f", {many(len(left_out), 'beam')} not included" if left_out else ""
    found = []
    for taxed in (False, True):
        base = sum((line.amount for line in lines if line.taxed == taxed), ZERO)
        of = "" if base == sum((line.amount for line in lines), ZERO) else _told(taxed)
        if base > 0:
            text = f"Deposit, {rate.normalize():f}% of ${base:,}{of}{without}"
            found.append(deposit_line(text, base, rate, taxed=taxed))
    return tuple(found)


def _on(numbers: tuple[int, ...]) -> str:
    if len(numbers) > _MOST_NUMBERS:
        return f", on {len(numbers)} invoices"
    return f", on invoice{'s' if len(numbers) > 1 else ''} {', '.join(map(str, numbers))}"


def _told(taxed: bool) -> str:
    return " that is taxable" if taxed else " that isn't taxable"


def _less(lines: tuple[Line, ...], billed: Billed) -> tuple[Line, ...]:
    """Return the lines minus what was billed before; none if nothing is left."""
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


def _extras(job: JobBooks, *, hourly: bool) -> tuple[ExtraLine, ...]:
    """Return the accepted change orders that are on no invoice; hourly ones last."""
    found = []
    for order in job.record.orders:
        if not order.taken or order.row in job.extras or (order.hour is not None and not hourly):
            continue
        time = billed_time(job.record, job.shop.rounding, job.now, order=order.row)
        line = extra_line(order.order, time.billed_seconds, taxed=EXTRAS in job.shop.taxed)
        if order.hour is not None:
            line = replace(
                line, text=f"{line.text}, {short(time.billed_seconds)} at ${order.hour}/h"
            )
        if line.amount:
            found.append(line)
    return tuple(found)
