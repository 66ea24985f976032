"""The lists behind money: customers, change orders, material."""

from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.books.job_rows import Order
from crewdesk.job.books.shop import Shop
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.shop_rows import Customer
from crewdesk.job.lumber.stock import HandBoard, StockLine
from crewdesk.job.lumber.stock_list import shown_stock
from crewdesk.job.record import Record
from crewdesk.length import DEFAULT_STEP, feet_and_inches, show_length
from crewdesk.paper.documents.letter import address_lines, money
from crewdesk.paper.lengths import length_json, lengths_json
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet, facts_json, heading, job_values
from crewdesk.trade.books.dates import day_text
from crewdesk.trade.books.invoice import extras_billed


def customers_sheet(books: ShopRecord) -> Sheet:
    """Return every customer with their payment terms."""
    every = sorted(books.customers, key=lambda one: one.name.casefold())
    lines = [line for one in every for line in _customer(one, books.shop)]
    values = [one._asdict() for one in every]
    for one in values:
        del one["row"]
    return Sheet(tuple(lines or ["No customers."]), lambda: {"customers": values})


def _customer(one: Customer, shop: Shop) -> list[str]:
    days = (
        f"{shop.terms} days, from Business settings" if one.terms is None else f"{one.terms} days"
    )
    more = [*address_lines(one.address), *(plain(t) for t in (one.phone, one.email) if t)]
    return [f"{plain(one.name):<32}{days}", *(f"    {line}" for line in more)]


def orders_sheet(id_: str, record: Record, books: ShopRecord) -> Sheet:
    """Return the job's change orders, each with number, price and standing."""
    billed = extras_billed(id_, books.trail, record.begun)
    lines = [heading(record.job, "change orders")]
    values: list[dict[str, Any]] = []
    for one in record.orders:
        invoice = billed.get(one.row)
        lines.append(
            f"{one.row:>4}  {plain(one.text):<36.36}{order_price(one):>14}  "
            f"{order_stands(one, invoice)}"
        )
        values.append(
            {
                "number": int(one.row),
                **facts_json(one, "text", "price", "hour"),
                "accepted_by": one.accepted_by or None,
                "accepted_on": one.accepted_on.isoformat() if one.accepted_on else None,
                "invoice": invoice,
            }
        )
    if not values:
        lines.append("No extra work.")
    return Sheet(tuple(lines), lambda: {"job": job_values(id_, record.job), "orders": values})


def order_price(order: Order) -> str:
    """Return a change order's price, or its hourly rate."""
    if order.hour is not None:
        return f"{money(order.hour)}/h"
    return "" if order.price is None else money(order.price)


def order_stands(order: Order, invoice: int | None) -> str:
    """Return a change order's standing; `invoice` is the number of its invoice."""
    if invoice is not None:
        return f"on invoice {invoice}"
    return f"accepted {day_text(order.accepted_on)}" if order.accepted_on else "not accepted"


def quantity_text(quantity: Fraction) -> str:
    """Return a quantity, to the nearest thousandth if it isn't whole."""
    if quantity.denominator == 1:
        return f"{quantity.numerator:,}"
    return f"{float(quantity):,.3f}".rstrip("0").rstrip(".")


def materials_sheet(id_: str, record: Record, shop: Shop) -> Sheet:
    """Return the job's material line by line: quantity, price, waste and markup."""
    head = f"{'':<6}{'':<34}{'how many':>9}{'each':>12}{'waste':>8}{'markup':>8}{'in all':>12}"
    lines = [heading(record.job, "material"), head]
    values: list[dict[str, Any]] = []
    for line in record.materials:
        found = line.material(shop)
        waste, markup = found.waste.normalize(), found.markup.normalize()
        lines.append(
            f"{line.row:>4}  {plain(line.text):<34.34}{quantity_text(line.quantity):>9}"
            f"{money(line.price):>12}{waste:>7f}%{markup:>7f}%{money(found.amount):>12}"
        )
        values.append(
            {
                "number": int(line.row),
                **facts_json(line, "text", "sort", "quantity", "price"),
                **facts_json(found, "waste", "markup", "cost", "amount"),
                "takeoff": bool(line.of),
            }
        )
    if not values:
        lines[1:] = ["No material."]
    return Sheet(tuple(lines), lambda: {"job": job_values(id_, record.job), "materials": values})


def stock_sheet(books: ShopRecord) -> Sheet:
    """Return both lists, in lines and as JSON."""
    lines = ["Boards you can buy"]
    lines += [f"  {plain(stock_text(one))}" for one in books.stock] or ["  none"]
    lines += ["Boards on hand"]
    lines += [f"  {plain(hand_text(one))}" for one in books.on_hand] or ["  none"]
    return Sheet(
        tuple(lines),
        lambda: {
            "stock": [_stock(one) for one in books.stock],
            "on_hand": [_hand(one) for one in books.on_hand],
        },
    )


def stock_text(one: StockLine) -> str:
    """Return a size of board in a line."""
    text = shown_stock(one)
    return f"{one.label} ({text['true']} in), {one.price:,.2f} per {one.per}: {text['lengths']}"


def hand_text(one: HandBoard) -> str:
    """Return a board on hand in a line."""
    text = (
        f"{one.label} ({show_length(one.thickness)} x {show_length(one.width)} in), "
        f"{feet_and_inches(one.length)}"
    )
    if one.bad:
        bad = ", ".join(f"{show_length(b.start)} to {show_length(b.end)} in" for b in one.bad)
        text += f", defects at {bad}"
    if one.of:
        text += f", cutoff of {one.of}"
    return text + (f", set aside for {one.job}" if one.job else "")


def _stock(one: StockLine) -> dict[str, Any]:
    return {
        **facts_json(one, "species", "grade", "size"),
        **lengths_json(one, DEFAULT_STEP, "thickness", "width"),
        "lengths": [
            {
                "length": length_json(length),
                "count": count,
                "each": str(one.price_of(length)),
                "board_feet": str(one.board_feet(length)),
            }
            for length, count in one.lengths
        ],
        **facts_json(one, "price", "per"),
    }


def _hand(one: HandBoard) -> dict[str, Any]:
    return {
        **facts_json(one, "species", "grade", "size"),
        **lengths_json(one, DEFAULT_STEP, "thickness", "width", "length"),
        "bad": [lengths_json(bad, DEFAULT_STEP, "start", "end") for bad in one.bad],
        **facts_json(one, "of", "job"),
    }


def planned_sheet(id_: str, record: Record) -> Sheet:
    """Return the planned days, one to a line."""
    days = record.job.planned
    lines = [heading(record.job, "planned days")]
    lines += [f"  {one.day:%a} {day_text(one.day)}  {plain(one.note)}".rstrip() for one in days]
    if not days:
        lines.append("No days are planned.")
    values = [one.to_doc() for one in days]
    return Sheet(tuple(lines), lambda: {"job": job_values(id_, record.job), "planned": values})


def planned_ics(id_: str, record: Record, now: datetime) -> str:
    """Return an all-day event for each planned day. Ids stay the same, so a calendar that reads the
    file again updates its events. Raises `NotAllowed` if no day is planned."""
    from icalendar import Calendar, Event

    if not record.job.planned:
        raise NotAllowed("No days are planned for this job, so there is no calendar to save.")
    calendar = Calendar()
    calendar.add("prodid", "-//crewdesk//planned days//EN")
    calendar.add("version", "2.0")
    for one in record.job.planned:
        event = Event()
        event.add("uid", f"{one.day:%Y%m%d}.{id_}@crewdesk")
        event.add("dtstamp", now.astimezone(UTC))
        event.add("dtstart", one.day)
        event.add("dtend", one.day + timedelta(days=1))
        named = f"{record.job.name}: {one.note}" if one.note else record.job.name
        event.add("summary", plain(named))
        if record.job.site:
            event.add("location", plain(record.job.site))
        calendar.add_component(event)
    return bytes(calendar.to_ical()).decode("utf-8")
