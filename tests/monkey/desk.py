"""The data folder that the user without sense is let loose on: the sample job, the stock list
and a shop with an hourly rate."""

import json
from datetime import datetime
from pathlib import Path

from crewdesk.job.lumber.stock_list import take_stock_in
from crewdesk.store.desk import Desk
from crewdesk.store.disk import shipped

BEGUN = datetime.fromisoformat("2026-03-06T07:00:00-07:00")
"""After the last change of the sample job."""


def filled(folder: Path) -> tuple[Desk, str]:
    """The folder's desk, and the id of the job in it."""
    desk = Desk(folder)
    samples = shipped("sample_data")
    id_ = desk.take_in(json.loads((samples / "tamarack-bend.json").read_text()), BEGUN)
    stock = json.loads((samples / "stock.json").read_text())
    desk.shop.make(lambda books, at: take_stock_in(books, stock, at), BEGUN)
    desk.shop.change(BEGUN, hour="85")
    return desk, id_
