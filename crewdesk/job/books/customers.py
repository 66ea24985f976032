"""Adding, changing and removing customers of the shop."""

from collections.abc import Mapping
from datetime import datetime

from crewdesk.errors import NotAllowed
from crewdesk.job.books.customer import Customer, days_to_pay
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import ABSENT, Change, Doc, edit
from crewdesk.job.words import brief, quoted

_MOST_TOLD = 6
FIELDS = ("name", "address", "phone", "email", "terms")


def keep_customer(
    books: ShopRecord,
    now: datetime,
    *,
    row: str = "",
    name: str = "",
    address: str = "",
    phone: str = "",
    email: str = "",
    terms: str = "",
) -> Change:
    """The change that adds a customer as typed, or changes the one in `row`."""
    new = Customer.from_doc(row or books.new_row("customers"), {"name": name})
    twin = books.customer_named(new.name)
    if twin is not None and twin.row != new.row:
        raise NotAllowed(f"{quoted(twin.name)} is already a customer; nothing was changed.")
    doc: Doc = {"name": new.name}
    for key, text in (("address", address), ("phone", phone), ("email", email)):
        if text.strip():
            doc[key] = text.strip()
    if terms.strip():
        doc["terms"] = days_to_pay(_typed_terms(terms.strip()))
    at = ("customers", new.row)
    what = f"{'changed' if row else 'added'} customer {new.name}"
    return Change(what, (edit(books.tables, at, doc),), now)


def typed_customer(
    books: ShopRecord, name: str, values: Mapping[str, str], now: datetime
) -> Change:
    """The change that adds the customer of that name, or gives them other values as typed."""
    if strange := [key for key in values if key not in FIELDS]:
        raise NotAllowed(f"A customer has no {brief(strange[0])}; they have {', '.join(FIELDS)}.")
    old = books.customer_named(name)
    if old is None:
        return keep_customer(books, now, **{"name": name, **values})
    if not values:
        raise NotAllowed(f"{quoted(old.name)} is already a customer; nothing was changed.")
    was = {key: getattr(old, key) for key in FIELDS}
    was["terms"] = "" if old.terms is None else str(old.terms)
    return keep_customer(books, now, row=old.row, **{**was, **values})


def customer_told(books: ShopRecord, typed: str) -> str:
    """What is known of a job's customer as typed, while it is typed: nothing where the shop keeps
    no customers, or that one."""
    typed = typed.strip()
    if not books.customers or books.customer_named(typed) is not None:
        return ""
    names = [one.name for one in books.customers]
    known = ", ".join(names[:_MOST_TOLD]) + (", ..." if len(names) > _MOST_TOLD else "")
    if not typed:
        return f"The shop's customers: {known}."
    return f"{quoted(typed)} is not among the shop's customers: {known}."


def remove_customer(books: ShopRecord, row: str, now: datetime) -> Change:
    """The change that takes a customer out; what was sent to them stays."""
    customer = books.view("customers", row, Customer.from_doc)
    gone = edit(books.tables, ("customers", row), ABSENT)
    return Change(f"removed customer {customer.name}", (gone,), now)


def _typed_terms(text: str) -> object:
    return int(text) if text.isdecimal() and len(text) <= 6 else text
