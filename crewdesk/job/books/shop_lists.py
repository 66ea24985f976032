"""Add, change and remove customers and saved beam types."""

from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.forms import USUAL, form_of
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.shop_rows import Customer, KeptForm, days_to_pay
from crewdesk.job.change import ABSENT, Change, edit
from crewdesk.job.text_limits import brief, checked_name, quoted
from crewdesk.trade.cuts.section import Section

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
    """Return the change that adds a customer as typed, or changes the one in `row`."""
    new = Customer(
        row or books.new_row("customers"),
        checked_name(name, "customer"),
        address.strip(),
        phone.strip(),
        email.strip(),
        days_to_pay(_typed_terms(terms.strip())) if terms.strip() else None,
    )
    twin = books.customer_named(new.name)
    if twin is not None and twin.row != new.row:
        raise NotAllowed(f"{quoted(twin.name)} is already a customer. Type another name.")
    what = f"{'changed' if row else 'added'} customer {new.name}"
    return Change(what, (edit(books.tables, ("customers", new.row), new.to_doc()),), now)


def typed_customer(
    books: ShopRecord, name: str, values: Mapping[str, str], now: datetime
) -> Change:
    """Return the change that adds the customer of that name, or sets the typed values."""
    if strange := [key for key in values if key not in FIELDS]:
        raise NotAllowed(
            f"A customer has no {brief(strange[0])}. Customers have {', '.join(FIELDS)}."
        )
    old = books.customer_named(name)
    if old is None:
        return keep_customer(books, now, **{"name": name, **values})
    if not values:
        raise NotAllowed(f"{quoted(old.name)} is already a customer. Type another name.")
    was = {key: getattr(old, key) for key in FIELDS}
    was["terms"] = "" if old.terms is None else str(old.terms)
    return keep_customer(books, now, row=old.row, **{**was, **values})


def customer_note(books: ShopRecord, typed: str) -> str:
    """Return a note on a job's customer while the name is typed; "" if there are no customers, or
    it is one of them."""
    typed = typed.strip()
    if not books.customers or books.customer_named(typed) is not None:
        return ""
    names = [one.name for one in books.customers]
    known = ", ".join(names[:_MOST_TOLD]) + (", ..." if len(names) > _MOST_TOLD else "")
    if not typed:
        return f"Your customers: {known}."
    return f"{quoted(typed)} isn't among your customers: {known}."


def remove_customer(books: ShopRecord, row: str, now: datetime) -> Change:
    """Return the change that removes a customer; their documents stay."""
    customer = books.view("customers", row)
    gone = edit(books.tables, ("customers", row), ABSENT)
    return Change(f"removed customer {customer.name}", (gone,), now)


def _typed_terms(text: str) -> object:
    return int(text) if text.isdecimal() and len(text) <= 6 else text


MOST_KEPT = 50


def _usual(name: str, width: str, height: str, form: str = USUAL) -> KeptForm:
    return KeptForm("", name, form_of(form), Section(Fraction(width), Fraction(height)))


USUAL_FORMS = (
    _usual("Usual", "8", "10"),
    _usual("Low", "29/4", "6"),
    _usual("Small", "6", "8"),
    _usual("Along a wall", "4", "8", "wall"),
    _usual("Mitered", "8", "10", "mitred"),
)
"""The beam types offered before the shop saves its own (common practice, no source)."""


def known_forms(books: ShopRecord) -> tuple[KeptForm, ...]:
    """Return the shop's own beam types, the latest first, then the usual ones."""
    own = books.every("forms")
    names = {one.name.casefold() for one in own}
    return (
        *reversed(own),
        *(one for one in USUAL_FORMS if one.name.casefold() not in names),
    )


def keep_form(books: ShopRecord, name: str, form: str, section: Section, now: datetime) -> Change:
    """Return the change that saves a beam type under a name, replacing one of that name.

    Raises `NotAllowed`.
    """
    own = books.every("forms")
    twins = [one for one in own if one.name.casefold() == " ".join(name.split()).casefold()]
    if len(own) - len(twins) >= MOST_KEPT:
        raise NotAllowed(f"You can save up to {MOST_KEPT} beam types. Remove one first.")
    row = twins[0].row if twins else books.new_row("forms")
    kept = KeptForm(row, checked_name(name, "form"), form_of(form), section)
    if twins and kept == twins[0]:
        raise NotAllowed(f"{quoted(kept.name)} is saved like that already. Nothing was changed.")
    kept.check()
    made = edit(books.tables, ("forms", row), kept.to_doc())
    return Change(f"saved beam type {kept.name}", (made,), now)


def remove_form(books: ShopRecord, row: str, now: datetime) -> Change:
    """Return the change that removes a saved beam type; beams made from it stay."""
    one = books.view("forms", row)
    gone = edit(books.tables, ("forms", row), ABSENT)
    return Change(f"removed beam type {one.name}", (gone,), now)
