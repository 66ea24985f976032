"""A job's boards and the shop's stock: plan, set aside, return."""

from datetime import datetime

from crewdesk.errors import NotAllowed
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Change
from crewdesk.job.lumber.kept import claim, close_plan, keep, put_in_stock
from crewdesk.job.lumber.takeoff import Takeoff
from crewdesk.job.lumber.task import Task, task_of
from crewdesk.store.desk import Desk
from crewdesk.store.job_file import JobFile


def job_task(desk: Desk, id_: str, job: JobFile) -> Task:
    """Return a job's takeoff as a task, from the shop's current stock; raises as `task_of`."""
    return task_of(job.record, desk.shop.record(), id_)


def keep_plan(desk: Desk, job: JobFile, takeoff: Takeoff, now: datetime) -> Change:
    """Keep a takeoff in its job, and set aside the boards on hand that it uses.

    Raises `NotAllowed` as `JobFile.make` and `ShopFile.make`.
    """
    change = keep(job.record, takeoff, now)
    job.make(change)
    set_aside(desk, job, now)
    return change


def set_aside(desk: Desk, job: JobFile, now: datetime) -> None:
    """Set aside the boards on hand that a job's kept plan uses, and no others."""
    if claim(desk.shop.record(), job.record, job.id, now) is None:
        return

    def act(books: ShopRecord, at: datetime) -> Change:
        change = claim(books, job.record, job.id, at)
        if change is None:
            raise NotAllowed("The boards on hand have changed since then. Plan again.")
        return change

    desk.shop.make(act, now)


def give_back(desk: Desk, job: JobFile, now: datetime) -> Change:
    """Put a job's cutoffs into the stock on hand; return the business's change.

    Raises `NotAllowed` if that was done before, or nothing is worth keeping.
    """
    job.writable()
    day = desk.shop.record().today(now)
    close_plan(job.record, day, now)
    change = desk.shop.make(lambda books, at: put_in_stock(books, job.record, job.id, at), now)
    job.make(close_plan(job.record, day, now))
    return change
