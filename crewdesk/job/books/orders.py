"""Adding, accepting and removing change orders."""

from datetime import date, datetime

from crewdesk.errors import NotAllowed
from crewdesk.job.books.order import order_text
from crewdesk.job.change import ABSENT, Change, Doc, edit
from crewdesk.job.record import Record
from crewdesk.job.words import LONGEST_NAME, checked_line
from crewdesk.trade.books.money import read_rate


def typed_order(record: Record, text: str, price: str, now: datetime, *, row: str = "") -> Change:
    """The change that adds a change order, or words and prices `row` anew before it is accepted.

    `price` is an amount, or a rate as ``85/h``. Raises `NotAllowed` or `BadInput`.
    """
    rate = read_rate(price, "each")
    if rate.per == "foot":
        raise NotAllowed("A change order has a price, as 240, or an hourly rate, as 85/h.")
    if row and record.order(row).taken:
        raise NotAllowed(f"{record.order(row).text} was accepted and stays as it is; add another.")
    key = "hour" if rate.per == "hour" else "price"
    doc: Doc = {"text": order_text(text), key: str(rate.amount)}
    at = ("orders", row or record.new_row("orders"))
    what = f"{'changed' if row else 'added'} change order {doc['text']}"
    return Change(what, (edit(record.tables, at, doc),), now)


def accepted_order(
    record: Record, text: str, price: str, by: str, on: date, now: datetime, *, today: date
) -> Change:
    """The change that adds a change order that was accepted already; raises as `typed_order`
    and `accept_order`."""
    made = typed_order(record, text, price, now)
    (new,) = made.edits
    doc = {**new.after, **_acceptance(by, on, today)}
    return Change(made.what, (edit(record.tables, new.at, doc),), now)


def accept_order(
    record: Record, row: str, by: str, on: date, now: datetime, *, today: date
) -> Change:
    """Return the change that saves who accepted a change order, and on which day.

    today: the business's day at `now`. Raises `NotAllowed` where `on` is after it.
    """
    order = record.order(row)
    if order.taken:
        raise NotAllowed(
            f"{order.text} was accepted already, by {order.accepted_by} on {order.accepted_on}."
        )
    found = _acceptance(by, on, today)
    edits = tuple(edit(record.tables, ("orders", row, key), it) for key, it in found.items())
    return Change(f"{found['accepted_by']} accepted {order.text}", edits, now)


def remove_order(record: Record, row: str, now: datetime) -> Change:
    """The change that takes out a change order that nobody accepted."""
    order = record.order(row)
    if order.taken:
        raise NotAllowed(f"{order.text} was accepted and stays; nothing was changed.")
    if any(entry.order == row for entry in record.entries):
        raise NotAllowed(f"Time was logged on {order.text}; fix that first, nothing was changed.")
    gone = edit(record.tables, ("orders", row), ABSENT)
    return Change(f"removed change order {order.text}", (gone,), now)


def _acceptance(by: str, on: date, today: date) -> dict[str, str]:
    by = checked_line(by, "name of who accepts", most=LONGEST_NAME)
    if not by:
        raise NotAllowed("Say who accepted the change order; nothing was changed.")
    if on > today:
        raise NotAllowed(f"{on} is in the future; a change order is accepted today or earlier.")
    return {"accepted_by": by, "accepted_on": on.isoformat()}
