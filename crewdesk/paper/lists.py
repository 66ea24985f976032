"""The lists that money is made of: customers, change orders, material."""

from fractions import Fraction
from typing import Any

from crewdesk.job.books.job_rows import Order
from crewdesk.job.books.shop import Shop
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.shop_rows import Customer
from crewdesk.job.record import Record
from crewdesk.paper.letter import address_lines, money
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet, heading, job_values
from crewdesk.trade.books.invoice import extras_billed


def customers_sheet(books: ShopRecord) -> Sheet:
    """Every customer with the days they have to pay."""
    every = sorted(books.customers, key=lambda one: one.name.casefold())
    lines = [line for one in every for line in _customer(one, books.shop)]
    values = [one._asdict() for one in every]
    for one in values:
        del one["row"]
    return Sheet(tuple(lines or ["No customer yet."]), lambda: {"customers": values})


def _customer(one: Customer, shop: Shop) -> list[str]:
    days = f"{shop.terms} days to pay, the shop's" if one.terms is None else f"{one.terms} days"
    more = [*address_lines(one.address), *(plain(t) for t in (one.phone, one.email) if t)]
    return [f"{plain(one.name):<32}{days}", *(f"    {line}" for line in more)]


def orders_sheet(id_: str, record: Record, books: ShopRecord) -> Sheet:
    """The job's change orders, each with its number, its price and how it stands."""
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
                "text": one.text,
                "price": None if one.price is None else str(one.price),
                "hour": None if one.hour is None else str(one.hour),
                "accepted_by": one.accepted_by or None,
                "accepted_on": one.accepted_on.isoformat() if one.accepted_on else None,
                "invoice": invoice,
            }
        )
    if not values:
        lines.append("No extra work yet.")
    return Sheet(tuple(lines), lambda: {"job": job_values(id_, record.job), "orders": values})


def order_price(order: Order) -> str:
    """A change order's price, or its rate by the hour."""
    if order.hour is not None:
        return f"{money(order.hour)}/h"
    return "" if order.price is None else money(order.price)


def order_stands(order: Order, invoice: int | None) -> str:
    """How a change order stands; `invoice` is the number of the one that bears it."""
    if invoice is not None:
        return f"on invoice {invoice}"
    return f"accepted {order.accepted_on}" if order.taken else "not accepted yet"


def quantity_told(quantity: Fraction) -> str:
    """How many, to the nearest thousandth where it is no whole number."""
    if quantity.denominator == 1:
        return f"{quantity.numerator:,}"
    return f"{float(quantity):,.3f}".rstrip("0").rstrip(".")


def materials_sheet(id_: str, record: Record, shop: Shop) -> Sheet:
    """The job's material line by line: how many, at what price, with which waste and markup."""
    head = f"{'':<6}{'':<34}{'how many':>9}{'each':>12}{'waste':>8}{'markup':>8}{'in all':>12}"
    lines = [heading(record.job, "material"), head]
    values: list[dict[str, Any]] = []
    for line in record.materials:
        found = line.material(shop)
        waste, markup = found.waste.normalize(), found.markup.normalize()
        lines.append(
            f"{line.row:>4}  {plain(line.text):<34.34}{quantity_told(line.quantity):>9}"
            f"{money(line.price):>12}{waste:>6f} %{markup:>6f} %{money(found.amount):>12}"
        )
        values.append(
            {
                "number": int(line.row),
                "text": line.text,
                "sort": line.sort,
                "quantity": str(line.quantity),
                "price": str(line.price),
                "waste": str(found.waste),
                "markup": str(found.markup),
                "cost": str(found.cost),
                "amount": str(found.amount),
                "takeoff": bool(line.of),
            }
        )
    if not values:
        lines[1:] = ["No material yet."]
    return Sheet(tuple(lines), lambda: {"job": job_values(id_, record.job), "materials": values})
