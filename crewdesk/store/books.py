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
    """A job's next invoice, and the number that it would get now."""

    number: int
    on: date
    draft: Draft
    headed: HeadedDocument


def past_jobs(desk: Desk, but: str, now: datetime) -> tuple[PastJob, ...]:
    """Return every readable finished job in the folder, once, except the one with the id `but`."""
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
    """Yield every readable job by its id, from the disk."""
    for id_ in desk.ids():
        try:
            yield id_, desk.open(id_, writing=False).record
        except CrewdeskError:
            continue


def counted(
    desk: Desk, unread: Callable[[CrewdeskError], object] = lambda _: None
) -> Iterator[tuple[str, Record]]:
    """Yield every readable job by its id, once: of several copies the one with the most changes.
    Call `unread` with the error of another."""
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
    """Return a job's books as of now."""
    return JobBooks(job, record, desk.shop.record(), past_jobs(desk, job, now), now)


def preview(
    desk: Desk, job: str, record: Record, now: datetime, *, kind: Billing | None = None
) -> Preview:
    """Return a job's next invoice as of now; raises as `next_invoice`."""
    found = job_books(desk, job, record, now)
    books, draft = found.books, next_invoice(found, kind=kind)
    number, on = books.first_number + len(books.trail), books.books_day(now)
    headed = HeadedDocument(Issued(number, on, draft), letterhead(record, books))
    return Preview(number, on, draft, headed)


def rate_to_keep(
    desk: Desk, job: str, record: Record, now: datetime, kind: Billing | None
) -> Change | None:
    """Return the change that fixes the shop's hourly rate in a job from its first hourly invoice
    on, so that billed hours keep their rate; None if it isn't needed."""
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
    """Issue a job's next invoice; return its row of the ledger.

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
    """Return the act that issues a job's next invoice, computed as of `now`.

    It raises `NotAllowed` if the draft isn't the one that was `shown`, if one was.
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
