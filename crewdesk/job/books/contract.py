"""How far a job's money is along its contract: paid, billed, earned, and still to do."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from crewdesk.errors import CrewdeskError
from crewdesk.job.books.billing import next_invoice
from crewdesk.job.books.job_books import JobBooks
from crewdesk.job.books.pricing import price_job
from crewdesk.job.books.shop import EXTRAS
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.work_value import billed_time, by_price
from crewdesk.job.record import Record
from crewdesk.trade.books.invoice import Draft, Issued, void_of
from crewdesk.trade.books.invoice_lines import extra_line
from crewdesk.trade.books.money import ZERO
from crewdesk.trade.books.stage_rates import PastJob


@dataclass(frozen=True)
class Contract:
    """The parts of a contract one after the other, tax in each of them.

    paid: what came in, with credit applied. unpaid: billed, and not paid. earned: what the next
    invoice would bill. left: the rest of `whole`. whole: the accepted price, or the likely one
    while none is accepted, and the extra work accepted; None while there is no price. extra: the
    part of it that is extra work. next: the next invoice, or None if there is nothing to bill.
    """

    paid: Decimal
    unpaid: Decimal
    earned: Decimal
    left: Decimal
    whole: Decimal | None
    extra: Decimal
    accepted: bool
    next: Draft | None

    @property
    def most(self) -> Decimal:
        """The amount that the stick's length means: the whole, or the sum of the parts if that is
        more."""
        return max(self.paid + self.unpaid + self.earned + self.left, self.whole or ZERO)


def contract(job: JobBooks) -> Contract:
    """Return how far the job's money is along its contract, as of now."""
    found, accepted = job.money, job.record.accepted
    draft = _next(job)
    base = accepted.total if accepted is not None else _likely(job)
    extra = _extra(job)
    paid, unpaid = max(found.paid, ZERO), max(found.balance, ZERO)
    earned = _earned(draft)
    whole = None if base is None else base + extra
    left = ZERO if whole is None else max(whole - paid - unpaid - earned, ZERO)
    return Contract(paid, unpaid, earned, left, whole, extra, accepted is not None, draft)


def unbilled(job: JobBooks) -> Decimal:
    """Return what the job's next invoice would bill of what is earned, as of now."""
    return _earned(_next(job))


def _next(job: JobBooks) -> Draft | None:
    """The next invoice, None where there is nothing to bill."""
    try:
        return next_invoice(job)
    except CrewdeskError:
        return None


def _earned(draft: Draft | None) -> Decimal:
    return draft.total if draft is not None and draft.kind != "deposit" else ZERO


def _likely(job: JobBooks) -> Decimal | None:
    """Return the likely price as of now, None while there is none."""
    try:
        return price_job(job.record, job.books.shop, job.past).estimate.likely.total
    except CrewdeskError:
        return None


def unbilled_by_job(
    jobs: Iterable[tuple[str, Record]], books: ShopRecord, past: tuple[PastJob, ...], now: datetime
) -> tuple[tuple[str, Decimal], ...]:
    """Return what each job that has no final invoice would be billed now, by its id, the most
    first; a deposit isn't earned yet."""
    final = [
        one.draft
        for one in books.trail
        if isinstance(one, Issued) and one.kind == "final" and not void_of(one.number, books.trail)
    ]
    found = []
    for id_, record in jobs:
        if any(draft.is_of(id_, record.begun) for draft in final):
            continue
        if (amount := unbilled(JobBooks(id_, record, books, past, now))) > 0:
            found.append((id_, amount))
    return tuple(sorted(found, key=lambda one: (-one[1], one[0])))


def contract_on(job: JobBooks, day: date) -> Decimal | None:
    """Return a job's contract, tax in it: the price accepted by that day and the extra work
    accepted by then; None where no price was."""
    accepted = job.record.accepted
    if accepted is None or accepted.on > day or not by_price(job.record):
        return None
    return accepted.total + _extra(job, day)


def _extra(job: JobBooks, day: date = date.max) -> Decimal:
    """What the change orders accepted by a day come to so far, tax in it."""
    lines = []
    for order in job.record.orders:
        if order.taken and (order.accepted_on is None or order.accepted_on <= day):
            seconds = 0
            if order.hour is not None:
                time = billed_time(job.record, job.shop.rounding, job.now, order=order.row)
                seconds = time.billed_seconds
            lines.append(extra_line(order.order, seconds, taxed=EXTRAS in job.shop.taxed))
    shop = job.shop
    return Draft("progress", job.id, "", (), tuple(lines), shop.tax, shop.tax_per).total
