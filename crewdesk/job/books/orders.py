"""Change orders: extra work with its own price or rate, and who took it on, and when."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from crewdesk.job.books.amounts import read_amount, read_date
from crewdesk.job.change import ABSENT, Change, Doc, edit
from crewdesk.job.refused import Refused
from crewdesk.job.words import LONGEST_NAME, checked_line
from crewdesk.job.written import read_plainly
from crewdesk.trade.books.invoice_lines import ChangeOrder
from crewdesk.trade.books.money import read_rate

if TYPE_CHECKING:
    from crewdesk.job.record import Record


@dataclass(frozen=True)
class Order:
    """Extra work: a fixed `price`, or `hour` for each hour; never part of the base price."""

    row: str
    text: str
    price: Decimal | None
    hour: Decimal | None
    accepted_by: str = ""
    accepted_on: date | None = None

    @property
    def taken(self) -> bool:
        """Whether it was accepted."""
        return bool(self.accepted_by)

    @property
    def order(self) -> ChangeOrder:
        """As an invoice's line takes it."""
        return ChangeOrder(
            self.row, self.text, self.price, self.hour, self.accepted_by, self.accepted_on
        )

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "Order":
        """The change order as it stands in the record; raises `Refused`."""
        with read_plainly(f"Change order {row} of the record", "one is"):
            found = Order(
                row,
                _text(doc["text"]),
                read_amount(doc["price"], "price of a change order") if "price" in doc else None,
                read_amount(doc["hour"], "rate of a change order") if "hour" in doc else None,
                checked_line(doc.get("accepted_by", ""), "name of who accepts", most=LONGEST_NAME),
                read_date(doc["accepted_on"], "change order") if "accepted_on" in doc else None,
            )
        if (found.price is None) == (found.hour is None):
            raise Refused(f"The change order {found.text} needs a price or an hourly rate.")
        if bool(found.accepted_by) != (found.accepted_on is not None):
            raise Refused(f"The change order {found.text} was accepted by somebody on a day.")
        return found


def typed_order(record: "Record", text: str, price: str, now: datetime, *, row: str = "") -> Change:
    """The change that adds a change order, or words and prices `row` anew before it is accepted.

    `price` is an amount, or a rate as ``85/h``. Raises `Refused` or `Refusal`.
    """
    rate = read_rate(price, "each")
    if rate.per == "foot":
        raise Refused("A change order has a price, as 240, or an hourly rate, as 85/h.")
    if row and record.order(row).taken:
        raise Refused(f"{record.order(row).text} was accepted and stays as it is; add another.")
    key = "hour" if rate.per == "hour" else "price"
    doc: Doc = {"text": _text(text), key: str(rate.amount)}
    at = ("orders", row or record.new_row("orders"))
    what = f"{'changed' if row else 'added'} change order {doc['text']}"
    return Change(what, (edit(record.tables, at, doc),), now)


def accepted_order(
    record: "Record", text: str, price: str, by: str, on: date, now: datetime
) -> Change:
    """The change that adds a change order that was accepted already; raises as `typed_order`
    and `accept_order`."""
    made = typed_order(record, text, price, now)
    (new,) = made.edits
    doc = {**new.after, **_acceptance(by, on, now)}
    return Change(made.what, (edit(record.tables, new.at, doc),), now)


def accept_order(record: "Record", row: str, by: str, on: date, now: datetime) -> Change:
    """The change that notes who accepted a change order, and when."""
    order = record.order(row)
    if order.taken:
        raise Refused(
            f"{order.text} was accepted already, by {order.accepted_by} on {order.accepted_on}."
        )
    found = _acceptance(by, on, now)
    edits = tuple(edit(record.tables, ("orders", row, key), it) for key, it in found.items())
    return Change(f"{found['accepted_by']} accepted {order.text}", edits, now)


def remove_order(record: "Record", row: str, now: datetime) -> Change:
    """The change that takes out a change order that nobody accepted."""
    order = record.order(row)
    if order.taken:
        raise Refused(f"{order.text} was accepted and stays; nothing was changed.")
    if any(entry.order == row for entry in record.entries):
        raise Refused(f"Time was logged on {order.text}; mend that first, nothing was changed.")
    gone = edit(record.tables, ("orders", row), ABSENT)
    return Change(f"removed change order {order.text}", (gone,), now)


def _acceptance(by: str, on: date, now: datetime) -> dict[str, str]:
    by = checked_line(by, "name of who accepts", most=LONGEST_NAME)
    if not by:
        raise Refused("Say who accepted the change order; nothing was changed.")
    if on > now.date():
        raise Refused(f"{on} is yet to come; a change order is accepted on or before today.")
    return {"accepted_by": by, "accepted_on": on.isoformat()}


def _text(text: object) -> str:
    found = checked_line(text, "text of a change order")
    if not found:
        raise Refused("Say what the change order is for; nothing was changed.")
    return found
