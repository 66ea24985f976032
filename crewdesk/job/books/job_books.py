"""What a job's money is worked out from, once: estimates, invoices and what is owed read it.

Everything flows one way: prices and past jobs, the value of the work, the next invoice, the ledger.
"""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import cached_property

from crewdesk.job.books.shop import Shop
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.work_value import done_by_stage
from crewdesk.job.record import Record
from crewdesk.trade.books.accounts import Standing, standings
from crewdesk.trade.books.invoice import Credit, Document, Issued, extras_billed, left_of
from crewdesk.trade.books.invoice_lines import StageDone
from crewdesk.trade.books.money import ZERO
from crewdesk.trade.books.stage_rates import PastJob


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


@dataclass(frozen=True)
class JobMoney:
    """The job's `documents` in the order of their numbers; how each invoice of it stands, by
    number; which number bears each change order; the numbers that were voided; the sums.

    `billed` is what its invoices ask for, tax and all, less what was taken back; in `paid`
    counts credit that was applied to them, and less what they gave to others.
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

    What was billed already is found by the job's beginning, see `Draft.is_of`.
    """

    id: str
    record: Record
    books: ShopRecord
    past: tuple[PastJob, ...]
    now: datetime

    @property
    def today(self) -> date:
        """The day that it is for the business."""
        return self.books.today(self.now)

    @property
    def shop(self) -> Shop:
        """The business settings; without a tax nothing is taxed."""
        shop = self.books.shop
        return shop if shop.tax else shop._replace(taxed=())

    @cached_property
    def done(self) -> tuple[StageDone, ...]:
        """How far the job is, stage by stage."""
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
        """What the job's invoices ask of its base price, less what was taken back."""
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
    def money(self) -> JobMoney:
        """How the job stands today; documents of later days count as of theirs."""
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
