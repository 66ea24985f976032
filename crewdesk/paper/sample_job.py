"""The sample job in a data folder of its own, where no harm can be done to any other."""

from datetime import datetime
from pathlib import Path

from crewdesk.job.lumber.stock_list import take_stock_in
from crewdesk.paper.job_document import read_document
from crewdesk.store.desk import Desk
from crewdesk.store.shipped import shipped

_JOB, _STOCK = "tamarack-bend.json", "stock.json"


def sample_desk(folder: Path, now: datetime) -> tuple[Desk, str]:
    """A desk in `folder` with a fresh copy of the sample job and its stock; the job's id."""
    document = read_document(shipped("sample_data") / _JOB)
    stock = read_document(shipped("sample_data") / _STOCK)
    desk = Desk(folder)
    id_ = desk.take_in(document, now)
    desk.shop.make(lambda books, at: take_stock_in(books, stock, at), now)
    return desk, id_
