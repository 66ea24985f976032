"""The customers of the shop: where they are, and on which terms they pay."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from crewdesk.job.change import ABSENT, Change, Doc, edit
from crewdesk.job.refused import Refused
from crewdesk.job.words import LONGEST_NAME, brief, checked_line, checked_name, checked_note, quoted
from crewdesk.trade.books.money import LONGEST_TERMS

if TYPE_CHECKING:
    from crewdesk.job.books.shop_record import ShopRecord

FIELDS = ("name", "address", "phone", "email", "terms")


@dataclass(frozen=True)
class Customer:
    """`terms` is the days to pay in, None where the shop's count."""

    row: str
    name: str
    address: str = ""
    phone: str = ""
    email: str = ""
    terms: int | None = None

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "Customer":
        """The customer as it stands in the record; raises `Refused`."""
        if "name" not in doc:
            raise Refused(f"Customer {row} of the record has no name.")
        return Customer(
            row,
            checked_name(doc["name"], "customer"),
            checked_note(doc.get("address", ""), "address", most=400),
            checked_line(doc.get("phone", ""), "phone number", most=LONGEST_NAME),
            checked_line(doc.get("email", ""), "e-mail address", most=LONGEST_NAME),
            _terms(doc["terms"]) if "terms" in doc else None,
        )


def keep_customer(
    record: "ShopRecord",
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
    new = Customer.from_doc(row or record.new_row("customers"), {"name": name})
    twin = record.customer_named(new.name)
    if twin is not None and twin.row != new.row:
        raise Refused(f"{quoted(twin.name)} is already a customer; nothing was changed.")
    doc: Doc = {"name": new.name}
    for key, text in (("address", address), ("phone", phone), ("email", email)):
        if text.strip():
            doc[key] = text.strip()
    if terms.strip():
        doc["terms"] = _terms(_typed_terms(terms.strip()))
    at = ("customers", new.row)
    what = f"{'changed' if row else 'added'} customer {new.name}"
    return Change(what, (edit(record.tables, at, doc),), now)


def typed_customer(
    record: "ShopRecord", name: str, values: Mapping[str, str], now: datetime
) -> Change:
    """The change that adds the customer of that name, or gives them other values as typed."""
    if strange := [key for key in values if key not in FIELDS]:
        raise Refused(f"A customer has no {brief(strange[0])}; they have {', '.join(FIELDS)}.")
    old = record.customer_named(name)
    if old is None:
        return keep_customer(record, now, **{"name": name, **values})
    if not values:
        raise Refused(f"{quoted(old.name)} is already a customer; nothing was changed.")
    was = {key: getattr(old, key) for key in FIELDS}
    was["terms"] = "" if old.terms is None else str(old.terms)
    return keep_customer(record, now, row=old.row, **{**was, **values})


def remove_customer(record: "ShopRecord", row: str, now: datetime) -> Change:
    """The change that takes a customer out; what was sent to them stays."""
    customer = record.view("customers", row, Customer.from_doc)
    gone = edit(record.tables, ("customers", row), ABSENT)
    return Change(f"removed customer {customer.name}", (gone,), now)


def _typed_terms(text: str) -> object:
    return int(text) if text.isdecimal() and len(text) <= 6 else text


def _terms(days: object) -> int:
    if type(days) is not int or not 0 <= days <= LONGEST_TERMS:
        raise Refused(f"A customer's terms are from 0 to {LONGEST_TERMS} days, as 30.")
    return days
