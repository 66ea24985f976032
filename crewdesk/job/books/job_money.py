"""How a job stands in the books: its documents, what was billed, paid and is owed of it."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.beams import change_job
from crewdesk.job.books.documents import credit_invoice
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Change
from crewdesk.job.record import Record
from crewdesk.trade.books.accounts import Standing, standings
from crewdesk.trade.books.invoice import Credit, Document, Issued, credit, extras_billed
from crewdesk.trade.books.money import read_money, read_rate

ZERO = Decimal("0.00")


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


def job_money(job: str, begun: str, books: ShopRecord, on: date) -> JobMoney:
    """How the job of that id and beginning stands on a day; documents of later days count as of
    theirs."""
    numbers = {d.number for d in books.trail if isinstance(d, Issued) and d.draft.is_of(job, begun)}
    documents = tuple(
        d for d in books.trail if (d.of if isinstance(d, Credit) else d.number) in numbers
    )
    latest = max((d.issued_on for d in documents), default=on)
    found = {
        one.number: one
        for one in standings(books.trail, books.payments, max(on, latest))
        if one.number in numbers
    }
    every = found.values()
    return JobMoney(
        documents,
        found,
        extras_billed(job, books.trail, begun),
        frozenset(d.of for d in documents if isinstance(d, Credit) and d.kind == "void"),
        sum((one.total - one.credited for one in every), ZERO),
        sum((one.held for one in every), ZERO),
        sum((one.balance for one in every), ZERO),
        sum((one.balance for one in every if one.overdue), ZERO),
    )


def typed_credit(
    books: ShopRecord,
    number: int,
    typed: tuple[str, ...],
    reason: str,
    on: date,
    now: datetime,
) -> Change:
    """The change that credits so much of each line, as typed; an empty line is nothing.

    A line that took something off is below zero, and what is taken back of it is typed with
    or without its sign. Raises `NotAllowed` or `BadInput` as `credit_invoice` and `read_money`.
    """
    amounts = _typed_amounts(books, number, typed)
    return credit_invoice(books, number, reason, on, now, amounts=amounts)


def credit_comes_to(books: ShopRecord, number: int, typed: tuple[str, ...], on: date) -> Decimal:
    """What a credit would take back in all, tax included, by the lines as typed; raises as
    `typed_credit`."""
    amounts = _typed_amounts(books, number, typed)
    first = books.shop.first_number
    return -credit(books.invoice(number), amounts, "asked", books.trail, on, first).total


def _typed_amounts(books: ShopRecord, number: int, typed: tuple[str, ...]) -> tuple[Decimal, ...]:
    amounts = []
    for line, text in zip(books.invoice(number).draft.all_lines, typed, strict=True):
        plain = text.strip()
        if line.amount < 0:
            amounts.append(-read_money(plain.removeprefix("-").strip() or "0"))
        else:
            amounts.append(read_money(plain or "0"))
    return tuple(amounts)


def typed_rates(record: Record, hour: str, billing: str, share: str, now: datetime) -> Change:
    """The change that gives a job its own hourly rate (empty for the shop's), its way to be
    billed (empty for the accepted price where there is one) and to share a batch's time.

    Raises `NotAllowed`, and `BadInput` where the rate can't be read.
    """
    kept = ""
    if hour.strip():
        rate = read_rate(hour)
        if rate.per != "hour" or not rate.amount:
            raise NotAllowed("An hourly rate is more than zero, as 85 or 85/h.")
        kept = str(rate.amount)
    values = {
        "hour": kept,
        "billing": billing.strip().lower(),
        "share": share.strip().lower() or "length",
    }
    job = record.job
    was = {"hour": "" if job.hour is None else str(job.hour)}
    was |= {"billing": job.billing, "share": job.share}
    new = {key: value for key, value in values.items() if value != was[key]}
    if not new:
        raise NotAllowed("Nothing is different; nothing was changed.")
    return change_job(record, new, now)
