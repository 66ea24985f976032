"""The commands about customers, change orders, material and planned days: change one line of a list
if asked, and return the list as text."""

from argparse import Namespace
from collections.abc import Callable
from datetime import date, datetime

from crewdesk.commands.books import Act, changed, day_of
from crewdesk.commands.streams import in_json, in_lines
from crewdesk.errors import NotAllowed
from crewdesk.job.books.job_lists import (
    accept_order,
    remove_material,
    remove_order,
    typed_material,
    typed_order,
)
from crewdesk.job.books.shop_lists import remove_customer, typed_customer
from crewdesk.job.record import Record
from crewdesk.job.text_limits import quoted, text_of
from crewdesk.job.time.other_work import plan_day, unplan_day
from crewdesk.paper.sheet import Sheet
from crewdesk.paper.text.lists import (
    customers_sheet,
    materials_sheet,
    orders_sheet,
    planned_ics,
    planned_sheet,
)
from crewdesk.store.desk import Desk
from crewdesk.trade.books.dates import read_day, read_day_ahead


def run(desk: Desk, args: Namespace, now: datetime) -> str:
    """Run a command about a list; raises `NotAllowed`, `BadInput` or `OSError`."""
    if args.command == "customers":
        sheet = _customers(desk, args, now)
    else:
        id_ = desk.find(args.job)
        record = desk.open(id_, writing=False).record
        act = _ACTS[args.command](args, record, desk.shop.record().today(now))
        if act is not None:
            record = changed(desk, id_, act, now)
        if getattr(args, "ics", False):
            return planned_ics(id_, record, now)
        sheet = _sheet(desk, id_, record, args.command)
    return in_json(sheet.values) if args.json else in_lines(*sheet.lines)


def _sheet(desk: Desk, id_: str, record: Record, command: str) -> Sheet:
    if command == "orders":
        return orders_sheet(id_, record, desk.shop.record())
    if command == "materials":
        return materials_sheet(id_, record, desk.shop.shop())

    return planned_sheet(id_, record)


def _orders(args: Namespace, record: Record, today: date) -> Act | None:
    _at_most_one(args.text, args.accept, args.remove)
    if (args.by or args.on) and args.accept is None:
        raise NotAllowed("Use --by and --on only with --accept.")
    if args.text is not None:
        if args.price is None:
            raise NotAllowed(
                "A change order needs a price or a rate. Type it last, for example 240 or 85/h."
            )
        return lambda record, now: typed_order(record, args.text, args.price, now)
    if args.accept is not None:
        by, on = args.by or record.job.customer, day_of(args.on, today)
        return lambda record, now: accept_order(record, str(args.accept), by, on, now, today=today)
    if args.remove is not None:
        return lambda record, now: remove_order(record, str(args.remove), now)
    return None


def _materials(args: Namespace, _record: Record, _today: date) -> Act | None:
    _at_most_one(args.text, args.remove)
    if args.text is not None:
        if args.quantity is None or args.price is None:
            raise NotAllowed(
                "Material needs a quantity and a unit price. Type both, for example 12 84.00."
            )
        return lambda record, now: typed_material(
            record,
            args.text,
            args.quantity,
            args.price,
            now,
            sort="consumables" if args.consumable else "materials",
            waste=args.waste,
            markup=args.markup,
        )
    if args.consumable or args.waste or args.markup:
        raise NotAllowed("Use --consumable, --waste and --markup only to add a line.")
    if args.remove is not None:
        return lambda record, now: remove_material(record, str(args.remove), now)
    return None


def _planned(args: Namespace, record: Record, today: date) -> Act | None:
    _at_most_one(args.day, args.remove)
    if args.day is not None:
        day = read_day_ahead(args.day, today)
        return lambda record, now: plan_day(record, day, now, note=args.note)
    if args.remove is not None:
        gone = _a_planned(args.remove, record, today)
        return lambda record, now: unplan_day(record, gone, now)
    return None


def _a_planned(text: str, record: Record, today: date) -> date:
    """Return the planned day that is meant: a future one, or a past one if that isn't planned."""
    ahead, behind = read_day_ahead(text, today), read_day(text, today)
    days = {one.day for one in record.job.planned}
    return behind if ahead not in days and behind in days else ahead


def _at_most_one(*asked: object) -> None:
    if sum(one is not None for one in asked) > 1:
        raise NotAllowed("Make one change at a time: add a line, or name one with an option.")


_ACTS: dict[str, Callable[[Namespace, Record, date], Act | None]] = {
    "orders": _orders,
    "materials": _materials,
    "planned": _planned,
}


def _customers(desk: Desk, args: Namespace, now: datetime) -> Sheet:
    name, values = args.name, dict(_value(word) for word in args.values)
    if args.remove and values:
        raise NotAllowed("Change a customer or remove one, not both at once.")
    if args.remove and name is None:
        raise NotAllowed("Name the customer to remove.")
    if name is not None and "=" in name and not args.remove:
        raise NotAllowed(f"The first word is the name. Type NAME, then {quoted(name)}.")
    if args.remove:
        desk.shop.make(lambda books, at: remove_customer(books, books.customer(name).row, at), now)
    elif name is not None:
        desk.shop.make(lambda books, at: typed_customer(books, name, values, at), now)
    return customers_sheet(desk.shop.record())


def _value(word: str) -> tuple[str, str]:
    key, sign, text = word.partition("=")
    if not sign:
        raise NotAllowed(
            f"{quoted(word)} isn't a field with a value. Type it like phone=555-0140 or terms=14."
        )
    key = key.strip().lower()
    return key, text_of(text.replace("\\n", " / ")) if key == "address" else text
