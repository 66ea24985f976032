"""A job's money, computed once for estimates, invoices and accounts.

Values flow one way: prices and past jobs, value of the work, next invoice, ledger. Extra work that
is on no invoice is listed here too.
"""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import cached_property

from crewdesk.errors import NotAllowed
from crewdesk.job.books.job_lists import accepted_order
from crewdesk.job.books.job_rows import Order
from crewdesk.job.books.shop import Shop
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.work_value import billed_time, by_price, done_by_stage
from crewdesk.job.change import Change, Edit, edit
from crewdesk.job.record import Record
from crewdesk.job.steps.stages import EXTRA_WORK
from crewdesk.job.time.entry import Entry
from crewdesk.job.time.logged import total
from crewdesk.trade.books.accounts import Standing, standings
from crewdesk.trade.books.durations import short
from crewdesk.trade.books.invoice import Credit, Document, Issued, extras_billed, left_of
from crewdesk.trade.books.invoice_lines import StageDone, extra_line
from crewdesk.trade.books.money import ZERO
from crewdesk.trade.books.stage_rates import PastJob


@dataclass(frozen=True)
class Billed:
    """The base price billed so far, on taxed and untaxed lines, and the invoices' numbers."""

    taxed: Decimal
    untaxed: Decimal
    numbers: tuple[int, ...] = ()

    @property
    def all(self) -> Decimal:
        """Both together."""
        return self.taxed + self.untaxed


@dataclass(frozen=True)
class JobMoney:
    """A job's documents by number, each invoice's standing, the invoice of each change order,
    voided numbers, and sums.

    billed: total of invoices with tax, less credits. paid: payments and credit applied, less credit
    given to other invoices.
    """

    documents: tuple[Document, ...]
    standings: dict[int, Standing]
    extras: dict[str, int]
    voided: frozenset[int]
    billed: Decimal
    paid: Decimal
    balance: Decimal
    overdue: Decimal


@dataclass(frozen=True)
class JobBooks:
    """A job by its id, the business's books, the finished jobs without this one, and the time.

    Its invoices are found by the job's `begun` hash, see `Draft.is_of`.
    """

    id: str
    record: Record
    books: ShopRecord
    past: tuple[PastJob, ...]
    now: datetime

    @property
    def today(self) -> date:
        """Today in the business's zone."""
        return self.books.today(self.now)

    @property
    def shop(self) -> Shop:
        """The business settings; without a tax rate nothing is taxed."""
        shop = self.books.shop
        return shop if shop.tax else shop._replace(taxed=())

    @cached_property
    def done(self) -> tuple[StageDone, ...]:
        """The part done of each stage."""
        return done_by_stage(self.record, self.shop.factors, self.past)

    @cached_property
    def invoices(self) -> tuple[Issued, ...]:
        """The job's invoices, in the order of their numbers."""
        trail, begun = self.books.trail, self.record.begun
        return tuple(
            one for one in trail if isinstance(one, Issued) and one.draft.is_of(self.id, begun)
        )

    @cached_property
    def extras(self) -> dict[str, int]:
        """The number of the invoice that each billed change order is on."""
        return extras_billed(self.id, self.books.trail, self.record.begun)

    @cached_property
    def billed(self) -> Billed:
        """The base price that the job's invoices ask, less credits."""
        sums = {True: ZERO, False: ZERO}
        numbers = []
        for document in self.invoices:
            left = left_of(document, self.books.trail)[: len(document.draft.lines)]
            for line, money in zip(document.draft.lines, left, strict=True):
                sums[line.taxed] += money
            if any(left):
                numbers.append(document.number)
        return Billed(sums[True], sums[False], tuple(numbers))

    @cached_property
    def material_amount(self) -> Decimal:
        """What all lines of material come to on the customer's bill, before tax."""
        lines = (one.material(self.books.shop) for one in self.record.materials)
        return sum((line.amount for line in lines), ZERO)

    @cached_property
    def extra_accepted(self) -> Decimal:
        """What the accepted change orders with a price of their own come to, before tax."""
        return sum((one.price or ZERO for one in self.record.orders if one.taken), ZERO)

    @cached_property
    def money(self) -> JobMoney:
        """Return the job's money today; later documents count from their own day."""
        trail, numbers = self.books.trail, {one.number for one in self.invoices}
        documents = tuple(
            d for d in trail if (d.of if isinstance(d, Credit) else d.number) in numbers
        )
        latest = max((d.issued_on for d in documents), default=self.today)
        found = {
            one.number: one
            for one in standings(trail, self.books.payments, max(self.today, latest))
            if one.number in numbers
        }
        every = found.values()
        return JobMoney(
            documents,
            found,
            self.extras,
            frozenset(d.of for d in documents if isinstance(d, Credit) and d.kind == "void"),
            sum((one.total - one.credited for one in every), ZERO),
            sum((one.held for one in every), ZERO),
            sum((one.balance for one in every), ZERO),
            sum((one.balance for one in every if one.overdue), ZERO),
        )


def without_order(record: Record) -> tuple[Entry, ...]:
    """Return the billable time of extra work that is on no change order. A job billed by its price
    doesn't invoice it; a job billed by rates bills it like other work."""
    if not by_price(record):
        return ()
    return tuple(
        one for one in record.entries if one.stage == EXTRA_WORK and one.billable and not one.order
    )


def extra_time_notes(job: JobBooks) -> tuple[str, ...]:
    """Return a sentence for each sort of extra time that the next invoice leaves out."""
    record, now, billed = job.record, job.now, job.extras
    found = []
    if entries := without_order(record):
        found.append(
            f"{_hours(entries, now)} of extra work is on no change order, so no invoice bills it."
        )
    for order in record.orders:
        entries = tuple(one for one in record.entries if one.order == order.row and one.billable)
        if not entries:
            continue
        if not order.taken:
            found.append(
                f"{_hours(entries, now)} is on {order.text}, which hasn't been "
                "accepted, so no invoice bills it."
            )
        elif order.row in billed and order.hour is not None:
            number = billed[order.row]
            seconds = billed_time(record, job.shop.rounding, now, order=order.row).billed_seconds
            if extra_line(order.order, seconds).amount > _asked(job.books, number, order):
                found.append(
                    f"Time was logged on {order.text} after invoice {number} billed it, "
                    "and it is billed once. Put that time on a new change order."
                )
    return tuple(found)


def open_orders(job: JobBooks) -> tuple[Order, ...]:
    """Return the change orders that are on no invoice: time can still be added to them."""
    return tuple(one for one in job.record.orders if one.row not in job.extras)


def put_on_order(job: JobBooks, order: str) -> Change:
    """Return the change that puts all of `without_order` on a change order, by its number."""
    found = {one.row: one for one in open_orders(job)}
    if order not in found:
        known = ", ".join(f"{one.row} {one.text}" for one in found.values()) or "none yet"
        raise NotAllowed(f"Time goes on a change order that hasn't been billed. Known are {known}.")
    what = f"put {_hours(_some(job.record), job.now)} of extra work on {found[order].text}"
    return Change(what, _each(job.record, "order", order), job.now)


def put_on_new_order(
    record: Record, text: str, price: str, by: str, on: date, now: datetime, *, today: date
) -> Change:
    """Return the change that adds an accepted change order and puts all of `without_order` on it;
    raises `NotAllowed` or `BadInput`."""
    made = accepted_order(record, text, price, by, on, now, today=today)
    (new,) = made.edits
    what = f"{made.what} and put {_hours(_some(record), now)} on it"
    return Change(what, (new, *_each(record, "order", new.at[1])), now)


def leave_unbilled(record: Record, now: datetime) -> Change:
    """Return the change that marks all of `without_order` as non-billable."""
    what = f"marked {_hours(_some(record), now)} of extra work as non-billable"
    return Change(what, _each(record, "billable", False), now)


def _some(record: Record) -> tuple[Entry, ...]:
    found = without_order(record)
    if not found:
        raise NotAllowed("All extra time is on a change order. Nothing was changed.")
    return found


def _each(record: Record, key: str, value: object) -> tuple[Edit, ...]:
    return tuple(edit(record.tables, ("entries", one.row, key), value) for one in _some(record))


def _asked(books: ShopRecord, number: int, order: Order) -> Decimal:
    extras = books.invoice(number).draft.extras
    return next(one.amount for one in extras if one.order == order.row)


def _hours(entries: tuple[Entry, ...], now: datetime) -> str:
    return short(int(total(entries, now).total_seconds()))
