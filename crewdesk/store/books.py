"""The books over the whole data folder: past jobs, and invoices issued under the shop's lock."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, datetime

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.beams.beams import change_job
from crewdesk.job.books.billing import letterhead, next_invoice, usual_kind
from crewdesk.job.books.documents import issue_invoice
from crewdesk.job.books.job_books import JobBooks
from crewdesk.job.books.ledger import HeadedDocument
from crewdesk.job.books.pricing import past_job
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.work_value import by_price
from crewdesk.job.change import Change
from crewdesk.job.record import Record
from crewdesk.store.beginnings import begun
from crewdesk.store.desk import Desk
from crewdesk.store.integrity import doubles
from crewdesk.store.shop_file import Act
from crewdesk.trade.books.invoice import Billing, Draft, Issued
from crewdesk.trade.books.stage_rates import PastJob


@dataclass(frozen=True)
class Preview:
    """What a job's next invoice would be, and the number that it would get as things stand."""

    number: int
    on: date
    draft: Draft
    headed: HeadedDocument


def past_jobs(desk: Desk, but: str, now: datetime) -> tuple[PastJob, ...]:
    """Every finished job in the folder that can be read, once, but the one of the id `but`."""
    found = []
    factors = desk.shop.shop().factors
    seen = {begun(desk.path(but))} if but else set()
    for listed in desk.jobs():
        steps = listed.summary.get("steps", 0)
        if listed.trouble or listed.id == but or not steps:
            continue
        if listed.summary.get("behind") == steps:
            record = desk.open(listed.id, writing=False).record
            if record.begun and record.begun in seen:
                continue  # a copy of that folder
            seen.add(record.begun)
            past = past_job(record, factors, now)
            if past is not None:
                found.append(past)
    return tuple(found)


def records(desk: Desk) -> Iterator[tuple[str, Record]]:
    """Every job that can be read, by its id, as it lies on the disk."""
    for id_ in desk.ids():
        try:
            yield id_, desk.open(id_, writing=False).record
        except CrewdeskError:
            continue


def counted(
    desk: Desk, unread: Callable[[CrewdeskError], object] = lambda _: None
) -> Iterator[tuple[str, Record]]:
    """Every job that can be read, by its id, once: of the copies of one the furthest. `unread`
    gets why another can't be read."""
    again = doubles(desk)
    for id_ in desk.ids():
        if id_ not in again:
            try:
                yield id_, desk.open(id_, writing=False).record
            except CrewdeskError as refused:
                unread(refused)
    for damaged in desk.no_folders():
        unread(damaged)


def job_books(desk: Desk, job: str, record: Record, now: datetime) -> JobBooks:
    """A job's books as they stand."""
    return JobBooks(job, record, desk.shop.record(), past_jobs(desk, job, now), now)


def preview(
    desk: Desk, job: str, record: Record, now: datetime, *, kind: Billing | None = None
) -> Preview:
    """A job's next invoice as it would be issued now; raises as `next_invoice`."""
    found = job_books(desk, job, record, now)
    books, draft = found.books, next_invoice(found, kind=kind)
    number, on = books.first_number + len(books.trail), books.books_day(now)
    headed = HeadedDocument(Issued(number, on, draft), letterhead(record, books))
    return Preview(number, on, draft, headed)


def rate_to_keep(
    desk: Desk, job: str, record: Record, now: datetime, kind: Billing | None
) -> Change | None:
    """The change that lets a job keep the shop's hourly rate from its first invoice by hours on, so
    that hours that were billed never count again at a later rate; or None if none is needed."""
    books = JobBooks(job, record, desk.shop.record(), (), now)
    hour = books.shop.hour
    if record.job.hour is not None or hour is None or by_price(record):
        return None
    if (kind or usual_kind(books)) == "deposit":
        return None
    change = change_job(record, {"hour": str(hour)}, now)
    return Change(f"kept the rate of {hour} an hour for this job", change.edits, now)


def issue(
    desk: Desk, job: str, record: Record, now: datetime, *, kind: Billing | None = None
) -> HeadedDocument:
    """Issue a job's next invoice; gives it as it stands in the trail, for ever.

    It is computed and numbered while the shop's lock is held. Raises as `next_invoice`,
    `issue_invoice` and `ShopFile.make`.
    """
    change = desk.shop.make(issuing(desk, job, record, now, kind=kind), now)
    (place,) = change.edits
    return HeadedDocument.from_doc(place.at[1], place.after)


def issuing(
    desk: Desk,
    job: str,
    record: Record,
    now: datetime,
    *,
    kind: Billing | None = None,
    shown: Draft | None = None,
) -> Act:
    """The act that issues a job's next invoice, computed as of `now`.

    It raises `NotAllowed` if that is not the draft that was `shown`, if one was.
    """
    past = past_jobs(desk, job, now)

    def act(books: ShopRecord, at: datetime) -> Change:
        draft = next_invoice(JobBooks(job, record, books, past, now), kind=kind)
        if shown is not None and draft != shown:
            raise NotAllowed(
                "The job or the books have changed since this was shown. Look again. "
                "Nothing was issued."
            )
        return issue_invoice(books, draft, letterhead(record, books), books.books_day(at), at)

    return act
