"""On which change order the time of extra work goes that is on none."""

from crewdesk.job.books.extra_time import open_orders, put_on_new_order, put_on_order
from crewdesk.paper.lists import order_price
from crewdesk.screens.ask import Field, ask_change, choose
from crewdesk.screens.program import Program
from crewdesk.trade.books.dates import read_day

_NEW = "new"
_MOST_ASKED = 8
"""So many change orders, the latest, are asked about: one for each digit, and one is new."""


def ask_order(app: Program, job: str) -> None:
    """Ask on which of the job's change orders that time goes, or for a new one."""
    books = app.desk.shop.record()
    orders = open_orders(app.record, job, books)[-_MOST_ASKED:]
    if not orders:
        _ask_new(app)
        return

    def chosen(way: str) -> None:
        if way == _NEW:
            _ask_new(app)
        else:
            app.do(lambda record, now: put_on_order(record, way, job, books, now))

    ways = [
        (one.row, f"{one.text}, {order_price(one)}{'' if one.taken else ', not accepted yet'}")
        for one in orders
    ]
    choose(app, "On which change order?", [*ways, (_NEW, "A new one")], chosen)


def _ask_new(app: Program) -> None:
    day = app.today
    ask_change(
        app,
        "A change order for that time",
        (
            Field("text", "What", "", "what was done besides"),
            Field("price", "Price or rate", "", "240, or 85/h"),
            Field("by", "Accepted by", app.record.job.customer, "a name"),
            Field("on", "On", f"{day}", "today, yesterday, mon, 3/9, 2026-03-09"),
        ),
        lambda record, answer, now: put_on_new_order(
            record,
            answer["text"],
            answer["price"],
            answer["by"],
            read_day(answer["on"], day),
            now,
            today=app.today,
        ),
        does="Put it there",
    )
