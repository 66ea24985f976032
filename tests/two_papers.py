"""Two machines that both gave the number 1: Ada's went to Quillfeather Homes first, Bo's to
Zimmer Builders a minute later."""

import shutil
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path

from crewdesk.job.books.documents import issue_invoice
from crewdesk.job.books.ledger import Letterhead
from crewdesk.store.desk import Desk
from crewdesk.trade.books.invoice import Draft
from crewdesk.trade.books.invoice_lines import Line


def invoiced(desk: Desk, customer: str, job: str, at: datetime) -> None:
    """Issue the next invoice, of 100.00."""
    lines = (Line("fixed", "Work", Decimal("100.00"), taxed=False),)
    draft = Draft("progress", job.casefold().replace(" ", "-"), customer, lines)
    head = Letterhead(name="Quill Beams", job_name=job)
    desk.shop.make(lambda books, now: issue_invoice(books, draft, head, at.date(), now), at)


def two_papers(folder: Path, now: datetime) -> tuple[Desk, Desk]:
    """Ada's and Bo's folders, before a sync."""
    ada = Desk(folder / "ada", "ada")
    ada.shop.change(now, name="Quill Beams")
    shutil.copytree(ada.folder, folder / "bo")
    bo = Desk(folder / "bo", "bo")
    invoiced(ada, "Quillfeather Homes", "Tamarack Bend", now)
    invoiced(bo, "Zimmer Builders", "Birch Row", now + timedelta(minutes=1))
    return ada, bo


def bring(some: Desk, other: Desk) -> None:
    """Copy what the first machine wrote of the shop to the other, as a sync does."""
    other.shop_path.parent.mkdir(exist_ok=True)
    for one in some.shop_path.parent.glob(f"{some.machine}.*"):
        shutil.copy2(one, other.shop_path.parent / one.name)
