"""Adding, accepting and removing change orders; lines of material."""

from datetime import date, datetime
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.books.job_rows import MaterialLine, material_name, order_text
from crewdesk.job.change import ABSENT, Change, Doc, edit
from crewdesk.job.parsing import read_quantity
from crewdesk.job.record import Record
from crewdesk.job.text_limits import LONGEST_NAME, checked_line
from crewdesk.trade.books.money import MOST, read_money, read_percent, read_rate


def typed_order(record: Record, text: str, price: str, now: datetime, *, row: str = "") -> Change:
    """Return the change that adds a change order, or changes `row` before it is accepted.

    `price` is an amount, or a rate such as ``85/h``. Raises `NotAllowed` or `BadInput`.
    """
    rate = read_rate(price, "each")
    if rate.per == "foot":
        raise NotAllowed("A change order has a price, like 240, or an hourly rate, like 85/h.")
    if row and record.order(row).taken:
        raise NotAllowed(
            f"{record.order(row).text} was accepted and can't be changed. Add another one."
        )
    key = "hour" if rate.per == "hour" else "price"
    doc: Doc = {"text": order_text(text), key: str(rate.amount)}
    at = ("orders", row or record.new_row("orders"))
    what = f"{'changed' if row else 'added'} change order {doc['text']}"
    return Change(what, (edit(record.tables, at, doc),), now)


def accepted_order(
    record: Record, text: str, price: str, by: str, on: date, now: datetime, *, today: date
) -> Change:
    """Return the change that adds an accepted change order; raises as `typed_order` and
    `accept_order`."""
    made = typed_order(record, text, price, now)
    (new,) = made.edits
    doc = {**new.after, **_acceptance(by, on, today)}
    return Change(made.what, (edit(record.tables, new.at, doc),), now)


def accept_order(
    record: Record, row: str, by: str, on: date, now: datetime, *, today: date
) -> Change:
    """Return the change that saves who accepted a change order, and on which day.

    today: the business's day at `now`. Raises `NotAllowed` if `on` is after it.
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
    """Return the change that removes a change order that wasn't accepted."""
    order = record.order(row)
    if order.taken:
        raise NotAllowed(f"{order.text} was accepted and can't be removed. Nothing was changed.")
    if any(entry.order == row for entry in record.entries):
        raise NotAllowed(
            f"Time was logged on {order.text}. Move that time first. Nothing was changed."
        )
    gone = edit(record.tables, ("orders", row), ABSENT)
    return Change(f"removed change order {order.text}", (gone,), now)


def _acceptance(by: str, on: date, today: date) -> dict[str, str]:
    by = checked_line(by, "name of the person who accepts", most=LONGEST_NAME)
    if not by:
        raise NotAllowed("Type who accepted the change order.")
    if on > today:
        raise NotAllowed(f"{on} is in the future. A change order is accepted today or earlier.")
    return {"accepted_by": by, "accepted_on": on.isoformat()}


def typed_material(
    record: Record,
    text: str,
    quantity: str,
    price: str,
    now: datetime,
    *,
    row: str = "",
    sort: str = "materials",
    waste: str = "",
    markup: str = "",
) -> Change:
    """Return the change that adds a line of material as typed, or changes the line `row`.

    Empty `waste` and `markup` mean the shop's. Raises `NotAllowed` or `BadInput`.
    """
    text = material_name(text)
    many, each = read_quantity(quantity.strip(), text), read_money(price)
    if many * Fraction(each) > MOST:
        raise NotAllowed(
            f"That much {text} is more than any job here costs; the limit is {MOST:,}."
        )
    lines = record.tables.get("materials", {})
    if row and row not in lines:
        raise NotAllowed("That line of material isn't there any more. Nothing was changed.")
    line = MaterialLine(
        row or record.new_row("materials"),
        text,
        many,
        each,
        sort,  # type: ignore[arg-type]
        read_percent(waste, "waste") if waste.strip() else None,
        read_percent(markup, "markup") if markup.strip() else None,
        lines.get(row, {}).get("of", ""),
    )
    what = f"{'changed' if row else 'added'} {text}"
    return Change(what, (edit(record.tables, ("materials", line.row), line.to_doc()),), now)


def remove_material(record: Record, row: str, now: datetime) -> Change:
    """Return the change that removes a line of material."""
    line = record.view("materials", row)
    gone = edit(record.tables, ("materials", row), ABSENT)
    return Change(f"removed {line.text}", (gone,), now)
