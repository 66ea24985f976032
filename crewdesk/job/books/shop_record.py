"""The business's record: settings, customers, and the ledger.

Its tables (see `crewdesk.job.rows`):

- `shop`, row 1: who works, rates, tax, terms; there is none before the first change;
- `customers`: a row for each;
- `documents`: a row for each invoice, credit and void, in the order of their numbers;
- `payments`: a row for each;
- `stock`: a row for each size of board that can be had;
- `on_hand`: a row for each board that lies there;
- `forms`: a row for each form of beam that the shop keeps by name;
- `unsettled`: a row for each change that was made in two places at once.
"""

from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any, ClassVar

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.readings import level_typed
from crewdesk.job.books.shop import Shop, shown
from crewdesk.job.change import ABSENT, Change, Doc, Edit, RowsAfter, edit, look
from crewdesk.job.rows import ONLY_ROW, Rows, read_later
from crewdesk.job.text_limits import brief, quoted
from crewdesk.job.time.today import books_day, today, typed_zone, zone_of

_NAMED = {"documents": ("number", "of"), "payments": ("invoice", "from", "to")}
"""The fields with document numbers, by table."""

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from crewdesk.job.books.ledger import HeadedDocument
    from crewdesk.job.books.shop_rows import Customer
    from crewdesk.job.lumber.stock import HandBoard, StockLine
    from crewdesk.trade.books.accounts import Payment
    from crewdesk.trade.books.invoice import Document, Issued


def _payment(row: str, doc: Doc) -> "Payment":
    from crewdesk.job.books.shop_rows import payment_from_doc

    return payment_from_doc(row, doc)


class ShopRecord(Rows):
    """Typed views of the shop's tables."""

    OF = "shop"
    HEAD = "shop"
    READERS: ClassVar[dict[str, Any]] = {
        "shop": lambda _row, doc: Shop.alone(doc),
        "customers": read_later("crewdesk.job.books.shop_rows", "Customer"),
        "documents": read_later("crewdesk.job.books.ledger", "HeadedDocument"),
        "payments": _payment,
        "stock": read_later("crewdesk.job.lumber.stock", "StockLine"),
        "on_hand": read_later("crewdesk.job.lumber.stock", "HandBoard"),
        "forms": read_later("crewdesk.job.books.shop_rows", "KeptForm"),
        "unsettled": read_later("crewdesk.job.sync.conflicts", "Unsettled"),
    }
    NUMBERED: ClassVar = frozenset({"documents"})
    IN_TURN: ClassVar = frozenset({"documents"})

    @property
    def shop(self) -> Shop:
        """The business settings; the usual values if never changed."""
        if ONLY_ROW not in self.tables.get("shop", {}):
            return Shop()
        shop: Shop = self.view("shop", ONLY_ROW)
        return shop

    @property
    def zone(self) -> "ZoneInfo | None":
        """The business's time zone; or None if none is set, or one that isn't known here."""
        return zone_of(self.shop.zone)

    def today(self, now: datetime) -> date:
        """Return today in the business's zone, at the moment `now`."""
        return today(now, self.zone)

    def books_day(self, now: datetime) -> date:
        """Return the day for documents, payments and accounts at the moment `now`: today or the
        latest day already used, whichever is later."""
        used = [one.issued_on for one in self.trail]
        used += [one.on for one in self.payments]
        return books_day(self.today(now), max(used, default=None))

    @property
    def customers(self) -> "tuple[Customer, ...]":
        """Every customer, in the order added."""
        return self.every("customers")

    def customer_named(self, name: str) -> "Customer | None":
        """Return the customer of that name, ignoring case and spacing."""
        wanted = " ".join(name.split()).casefold()
        return next((one for one in self.customers if one.name.casefold() == wanted), None)

    def customer(self, name: str) -> "Customer":
        """Return the customer of that name; raises `NotAllowed`."""
        found = self.customer_named(name)
        if found is None:
            known = ", ".join(one.name for one in self.customers) or "none yet"
            raise NotAllowed(f"{quoted(name)} isn't a customer. Known are {known}.")
        return found

    @property
    def documents(self) -> "tuple[HeadedDocument, ...]":
        """Every document as it counts (see `as_counted`) with its letterhead, in the order of their
        numbers."""
        from crewdesk.trade.books.invoice import as_counted

        every: tuple[HeadedDocument, ...] = self.every("documents")
        counted = as_counted([one.document for one in every])
        return tuple(
            one if one.document is document else one._replace(document=document)
            for one, document in zip(every, counted, strict=True)
        )

    @property
    def first_number(self) -> int:
        """The number of the first document: once one was issued, what its number says. Another
        computer may have set another one before it knew of that."""
        for row, doc in self.tables.get("documents", {}).items():
            return int(doc["number"]) - int(row) + 1
        return self.shop.first_number

    @property
    def trail(self) -> "tuple[Document, ...]":
        """Every document, by number."""
        return tuple(headed.document for headed in self.documents)

    @property
    def payments(self) -> "tuple[Payment, ...]":
        """Every payment, refund and applied credit, in the order entered."""
        return self.every("payments")

    @property
    def stock(self) -> "tuple[StockLine, ...]":
        """The boards that can be bought, in the order added."""
        return self.every("stock")

    @property
    def on_hand(self) -> "tuple[HandBoard, ...]":
        """The boards on hand, in the order added."""
        return self.every("on_hand")

    def headed(self, number: int) -> "HeadedDocument":
        """Return the document of that number; raises `NotAllowed`."""
        for headed in self.documents:
            if headed.document.number == number:
                return headed
        raise NotAllowed(f"There is no document {number}; {self._numbers()}.")

    def invoice(self, number: int) -> "Issued":
        """Return the invoice of that number; raises `NotAllowed`."""
        from crewdesk.trade.books.invoice import Issued

        document = self.headed(number).document
        if not isinstance(document, Issued):
            raise NotAllowed(f"Number {number} is a {document.kind}, not an invoice.")
        return document

    def left_of(self, number: int) -> tuple[Decimal, ...]:
        """Return what is left of each line of an invoice after credits, before tax."""
        from crewdesk.trade.books.invoice import left_of

        return left_of(self.invoice(number), self.trail)

    def _numbers(self) -> str:
        numbers = [document.number for document in self.trail]
        return (
            f"numbers go from {numbers[0]} to {numbers[-1]}"
            if numbers
            else ("none has been issued")
        )

    def check(self, rows: RowsAfter, *, sound: bool = True) -> None:
        """Parse the rows after a change and check the ledger's rules; raises `NotAllowed`."""
        super().check(rows, sound=sound)
        new = sorted(
            (int(row), doc)
            for row, doc in rows.get("documents", {}).items()
            if doc is not None and row not in self.tables.get("documents", {})
        )
        wanted = len(self.tables.get("documents", {})) + 1
        for row, doc in new:
            if row != wanted or doc["number"] != self.first_number + row - 1:
                raise NotAllowed(
                    f"Number {doc['number']} isn't the next in the ledger. Nothing was changed."
                )
            wanted += 1

        for kept, left in rows.get("unsettled", {}).items():
            if left is None:
                self._check_issued(kept, rows)

    def _check_issued(self, row: str, rows: RowsAfter) -> None:
        """Raise `NotAllowed` if a change drops an unresolved document: it was issued."""
        old = self.tables.get("unsettled", {}).get(row, {})
        for one in old.get("edits", ()):
            doc = one.get("after")
            if one["at"][0] != "documents" or doc is None:
                continue
            there = [*self.tables.get("documents", {}).values()]
            there += [row for row in rows.get("documents", {}).values() if row is not None]
            if not any(as_issued(one) == as_issued(doc) for one in there):
                raise NotAllowed(
                    f"Number {doc.get('number')} was issued, so it can't be left out or "
                    "undone. Keep it instead: it gets the next free number."
                )

    def moved_with(self, table: str, doc: Doc, row: str) -> dict[tuple[str, str], str]:
        """Renumber a document together with its row."""
        if table != "documents":
            return {}
        number = self.first_number + int(row) - 1
        return {("number", str(doc["number"])): str(number)}

    @staticmethod
    def renumbered(at: tuple[str, ...], value: Any, moved: Mapping[tuple[str, str], str]) -> Any:
        """Return documents, credits and payments with new numbers; a renumbered document keeps its
        old numbers in `was`."""
        named = _NAMED.get(at[0], ())
        if len(at) == 2 and isinstance(value, dict):
            new = {key: ShopRecord.renumbered((*at, key), one, moved) for key, one in value.items()}
            if at[0] == "documents" and new["number"] != value["number"]:
                new["was"] = [*value.get("was", ()), value["number"]]
            return new
        if len(at) == 3 and at[2] in named and type(value) is int:
            return int(moved.get(("number", str(value)), value))
        return value

    def also_known(self, at: tuple[str, ...], doc: Doc) -> list[Edit]:
        """Return the numbers that a document had elsewhere, which were on its papers."""
        if at[0] != "documents":
            return []
        place = (*at, "was")
        found = self.united(Edit(place, ABSENT, [*doc.get("was", ()), doc["number"]]))
        return [found] if found.before != found.after else []

    def united(self, edit: Edit) -> Edit:
        """Return a document with all numbers that it had before, on any machine."""
        doc = look(self.tables, edit.at[:2])
        if edit.at[0] != "documents" or edit.at[2:] != ("was",) or doc is ABSENT:
            return edit
        known = dict.fromkeys(doc.get("was") or [doc["number"]])  # the first one is part of its id
        new = [one for one in dict.fromkeys(edit.after) if one not in {*known, doc["number"]}]
        before = doc.get("was", ABSENT)
        return Edit(edit.at, before, [*known, *new] if new else before)

    def names(self, edit: Edit) -> set[tuple[str, str]]:
        """Return the documents that a credit or a payment is on."""
        if not isinstance(edit.after, dict):
            return set()
        keys = set(_NAMED.get(edit.at[0], ())) - {"number"}
        return {("number", str(edit.after[key])) for key in keys & edit.after.keys()}

    @staticmethod
    def reworded(what: str, edits: Iterable[Edit], moved: Mapping[tuple[str, str], str]) -> str:
        """Reword the change that issued or names a document with its new number."""
        now = {new: old for (sort, old), new in moved.items() if sort == "number" and new != old}
        lines = [
            (f"number {now[number]} is number {number} now, because another computer used it too")
            for number in dict.fromkeys(
                str(one.after[key])
                for one in edits
                if isinstance(one.after, dict)
                for key in _NAMED.get(one.at[0], ())
                if key in one.after
            )
            if number in now
        ]
        return "; ".join([what, *lines])[:2000]

    def check_kept(self, table: str, row: str, doc: Doc | None) -> None:
        """Check that no issued document changes."""
        old = self.tables.get(table, {}).get(row)
        if table == "documents" and old is not None and old != doc:
            if doc is not None and _only_knows_more(old, doc):
                return
            number = old.get("number", row)
            if old.get("kind") in ("credit", "void"):
                raise NotAllowed(f"Number {number} was issued and can't be changed or undone.")
            raise NotAllowed(
                f"Invoice {number} was issued and can't be changed or undone. Credit or void it."
            )


def _only_knows_more(old: Doc, new: Doc) -> bool:
    """Return whether a document is the same but for more numbers in `was`."""
    before = old.get("was") or [old["number"]]
    same = as_issued(old) == as_issued(new) and old["number"] == new.get("number")
    return same and new.get("was", [])[: len(before)] == before


def as_issued(doc: Doc) -> Doc:
    """Return a document without its number, which can change after it was issued."""
    return {key: one for key, one in doc.items() if key not in ("number", "was")}


def _level(text: Any) -> str:
    """Check a typed level's length; raises `BadInput` and `NotAllowed`."""
    level: str = Shop.by_key()["level"].read(text)
    level_typed(level)
    return level


_TYPED: Mapping[str, Callable[[Any], Any]] = {"zone": typed_zone, "level": _level}
"""Settings with stricter checks for typed values than for saved ones."""


def change_shop(books: ShopRecord, values: Mapping[str, Any], now: datetime) -> Change:
    """Return the change that sets some business settings, each as typed (see `shown`).

    Raises `NotAllowed`, and `BadInput` for an invalid value.
    """
    new = changed_values(books, values)
    if not new:
        raise NotAllowed("That is the same as before. Nothing was changed.")
    if "first_number" in new and books.tables.get("documents"):
        raise NotAllowed("Invoices have been issued, so the first number can't be changed.")
    at = ("shop", ONLY_ROW)
    edits = [edit(books.tables, (*at, key), value) for key, value in new.items()]
    if ONLY_ROW not in books.tables.get("shop", {}):
        edits = [edit(books.tables, at, new)]
    return Change(
        f"changed Business settings: {', '.join(new).replace('_', ' ')}", tuple(edits), now
    )


def changed_values(books: ShopRecord, values: Mapping[str, Any]) -> Doc:
    """Return the values that differ from the current ones; raises as `change_shop`."""
    new: Doc = {}
    known = Shop.by_key()
    for key, value in values.items():
        if key not in known:
            raise NotAllowed(
                f"Business settings have no {brief(key)}. They have {', '.join(known)}."
            )
        read = _TYPED.get(key, known[key].read)(value)
        if read != getattr(books.shop, key):
            new[key] = shown(Shop(**{key: read}), key)
    return new
