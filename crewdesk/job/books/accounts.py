"""The accounts over all jobs: who owes what, hours by week, and the totals of each year."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from crewdesk.errors import NotAllowed
from crewdesk.job.books.documents import renumbered_documents
from crewdesk.job.books.ledger import HeadedDocument
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.record import Record
from crewdesk.job.time.logged import entry_day
from crewdesk.trade.books.accounts import (
    Owed,
    Payment,
    Standing,
    owed,
    owed_back,
    standings,
)
from crewdesk.trade.books.dates import read_day
from crewdesk.trade.books.durations import elapsed
from crewdesk.trade.books.invoice import Credit, Document, Issued
from crewdesk.trade.books.money import ZERO


@dataclass(frozen=True)
class Week:
    """A week as ISO 8601 numbers it (``2026-W10``), the day it begins, and its seconds."""

    name: str
    begins: date
    seconds: int
    billable: int

    @property
    def year(self) -> int:
        """The year that the week counts to, that of its Thursday."""
        return self.begins.isocalendar().year


@dataclass(frozen=True)
class Year:
    """The sums of a year: documents less credits, payments less refunds, hours worked.

    `before_tax` and `tax` make up `total`; `taxed` is the part of `before_tax` that is taxed.
    """

    year: int
    before_tax: Decimal
    taxed: Decimal
    tax: Decimal
    total: Decimal
    paid: Decimal
    seconds: int


@dataclass(frozen=True)
class Accounts:
    """The accounts as of a day."""

    on: date
    owed: tuple[Owed, ...]
    owed_back: tuple[Standing, ...]
    standings: tuple[Standing, ...]
    weeks: tuple[Week, ...]
    years: tuple[Year, ...]
    ids: Mapping[str, str]
    """A job's current id, by its `begun` hash."""
    renumbered: tuple[HeadedDocument, ...] = ()
    """The documents that were sent with another number."""

    def id_of(self, job: str, begun: str) -> str:
        """Return the current id of an invoice's job, or the id on the invoice if the job is
        gone."""
        return self.ids.get(begun, job)


def accounts(
    books: ShopRecord,
    jobs: Iterable[tuple[str, Record]],
    now: datetime,
    *,
    up_to: date | None = None,
) -> Accounts:
    """Return the accounts over all given jobs, as of today or as of the end of the day `up_to`."""
    last, today = up_to or date.max, books.books_day(now)
    trail = [one for one in books.trail if one.issued_on <= last]
    payments = [one for one in books.payments if one.on <= last]
    weeks: dict[date, list[int]] = {}
    worked: dict[int, int] = {}
    ids: dict[str, str] = {}
    for id_, record in jobs:
        if record.begun:
            ids[record.begun] = id_
        for entry in record.entries:
            day = entry_day(record, entry.start)
            if day > last:
                continue
            seconds = max(elapsed(entry.start, entry.stop or now), 0)
            begins = date.fromisocalendar(*day.isocalendar()[:2], 1)
            week = weeks.setdefault(begins, [0, 0])
            week[0] += seconds
            week[1] += seconds if entry.billable else 0
            worked[day.year] = worked.get(day.year, 0) + seconds
    found = standings(books.trail, payments, up_to or today)
    years = {d.issued_on.year for d in trail} | {p.on.year for p in payments}
    return Accounts(
        up_to or today,
        owed(found),
        owed_back(found),
        found,
        tuple(Week(f"{begins:%G-W%V}", begins, *weeks[begins]) for begins in sorted(weeks)),
        tuple(
            _year(books, trail, payments, year, worked.get(year, 0))
            for year in sorted(years | set(worked))
        ),
        ids,
        tuple(one for one in renumbered_documents(books) if one.document.issued_on <= last),
    )


def read_day_of_accounts(text: str, today: date) -> date:
    """Return the day of the accounts, as typed; raises `NotAllowed`, and `BadInput` for text that
    isn't a day."""
    day = read_day(text, today)
    if day > today:
        raise NotAllowed(f"{day} is in the future. The accounts go up to today.")
    return day


def before_tax(document: Document) -> Decimal:
    """Return a document's amount before tax, below zero for a credit."""
    if isinstance(document, Issued):
        return document.draft.subtotal
    return -sum(document.amounts, ZERO)


def taxed_of(document: Document, books: ShopRecord) -> Decimal:
    """Return the taxed part of `before_tax`, below zero for a credit."""
    if isinstance(document, Issued):
        return document.draft.taxed
    draft = books.invoice(document.of).draft
    return -draft.taxed_of(document.amounts)


def tax_of(document: Document) -> Decimal:
    """Return a document's tax, below zero for a credit."""
    return -document.tax if isinstance(document, Credit) else document.draft.tax


def _year(
    books: ShopRecord,
    trail: Sequence[Document],
    payments: Sequence[Payment],
    year: int,
    seconds: int,
) -> Year:
    documents = [d for d in trail if d.issued_on.year == year]
    paid = (p.received for p in payments if p.on.year == year)
    return Year(
        year,
        sum((before_tax(d) for d in documents), ZERO),
        sum((taxed_of(d, books) for d in documents), ZERO),
        sum((tax_of(d) for d in documents), ZERO),
        sum((d.total for d in documents), ZERO),
        sum(paid, ZERO),
        seconds,
    )
