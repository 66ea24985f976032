"""Documents: find one by number, check before issuing, issue, credit and void."""

from collections.abc import Iterable
from datetime import date, datetime
from decimal import Decimal
from hashlib import sha256
from json import dumps

from crewdesk.errors import NotAllowed
from crewdesk.job.books.job_books import JobBooks, extra_time_notes
from crewdesk.job.books.ledger import CreditRow, HeadedDocument, IssuedRow, Letterhead
from crewdesk.job.books.shop_record import ShopRecord, as_issued
from crewdesk.job.books.work_value import by_price
from crewdesk.job.change import Change, Doc, Edit, edit
from crewdesk.job.text_limits import checked_line, quoted
from crewdesk.trade.books.accounts import credit_on, of_customer, standing
from crewdesk.trade.books.invoice import Credit, Draft, Issued, credit, issue, void
from crewdesk.trade.books.money import read_money

_NOBODY = "no customer"


def document_id(books: ShopRecord, number: int) -> str:
    """Return a document's permanent id: the number it was issued with, and a hash of its fixed
    content. Raises `NotAllowed` if there is no such document."""
    doc = _doc(books, number)
    if doc is None:
        raise NotAllowed(f"There is no document {number}.")
    return _id(books, doc)


def document_with_id(books: ShopRecord, id_: str) -> HeadedDocument:
    """Return the document of that id; raises `NotAllowed`."""
    first = id_.partition("-")[0]
    for doc in books.tables.get("documents", {}).values():
        if str(_first(doc)) == first and _id(books, doc) == id_:
            return books.headed(doc["number"])
    raise NotAllowed("This document isn't in the books any more.")


def check_number(books: ShopRecord, id_: str, shown: int) -> int:
    """Return the number of the document with that id; raises `NotAllowed` if it isn't the number
    that was shown."""
    document = document_with_id(books, id_).document
    if document.number != shown:
        raise NotAllowed(
            f"{_kind(books, document.number)} {shown} of "
            f"{_job_of(books, document.number)} is number {document.number} now, "
            "because another computer used it too. Look again, then repeat this."
        )
    return shown


def invoice_meant(books: ShopRecord, number: int, whose: str = "") -> int:
    """Return the current number of the invoice that was sent with the typed number.

    whose: the beginning of its customer's or job's name. Raises `NotAllowed` if several documents
    had the number and `whose` doesn't decide, or if none is theirs.
    """
    every = [
        one
        for one in books.documents
        if isinstance(one.document, Issued) and number in (one.document.number, *one.was)
    ]
    found = _theirs(every, whose) if whose.strip() else every
    if every and not found:
        raise NotAllowed(f"Invoice {number} is for {_either(every)}, not {quoted(whose)}.")
    if len(found) > 1:
        raise NotAllowed(
            f"More than one document has number {number}: {_papers(found)}. Add --customer with "
            "the name of the customer or the job."
        )
    return found[0].document.number if found else number


def invoice_text(books: ShopRecord, number: int) -> str:
    """Return an invoice in words, with whose it is: "invoice 1 (Ada Quill, Hill house)"."""
    headed = books.headed(number)
    sent = f", first sent as number {headed.was[0]}" if headed.was else ""
    return f"invoice {number} ({_who(headed)}{sent})"


def renumbered_documents(books: ShopRecord) -> tuple[HeadedDocument, ...]:
    """Return the documents that were sent with another number."""
    return tuple(one for one in books.documents if one.was)


def renumbered_text(books: ShopRecord, headed: HeadedDocument) -> str:
    """Return a document that was sent with another number in words, on one line."""
    document = headed.document
    was = " and ".join(f"{one}" for one in dict.fromkeys(headed.was))
    of = document.of if isinstance(document, Credit) else document.number
    kind = _kind(books, document.number)
    return f"{kind} {document.number}, {_who(books.headed(of))}: first sent as number {was}"


def numbers_changed(before: ShopRecord, now: ShopRecord) -> list[str]:
    """Return a sentence for each document that has another number now than before."""
    lines = []
    for doc in before.tables.get("documents", {}).values():
        try:
            document = document_with_id(now, _id(before, doc)).document
        except NotAllowed:
            continue
        if document.number != doc["number"]:
            kind = _kind(now, document.number)
            moved = "" if isinstance(document, Credit) else "Its payments and credits moved too. "
            lines.append(
                f"{kind} {doc['number']} of {_job_of(now, document.number)} is number "
                f"{document.number} now, because another computer used number "
                f"{doc['number']} too. {moved}Send the new document, which shows both "
                "numbers."
            )
    return lines


def _id(books: ShopRecord, doc: Doc) -> str:
    kept = as_issued(doc)
    if "of" in kept:  # a credit is known by its invoice, not by the invoice's number
        of = _doc(books, kept["of"])
        kept["of"] = "" if of is None else _id(books, of)
    return f"{_first(doc)}-{sha256(dumps(kept, sort_keys=True).encode()).hexdigest()}"


def _first(doc: Doc) -> int:
    """Return the number that a document was issued with."""
    return int(next(iter(doc.get("was", ())), doc["number"]))


def _doc(books: ShopRecord, number: int) -> Doc | None:
    rows = books.tables.get("documents", {})
    likely = rows.get(str(number - books.first_number + 1))
    if likely is not None and likely["number"] == number:
        return likely
    return next((one for one in rows.values() if one["number"] == number), None)


def _kind(books: ShopRecord, number: int) -> str:
    document = books.headed(number).document
    return document.kind.capitalize() if isinstance(document, Credit) else "Invoice"


def _who(headed: HeadedDocument) -> str:
    """Return the customer and the job of an invoice."""
    assert isinstance(headed.document, Issued)
    customer = headed.document.draft.customer or _NOBODY
    return f"{customer}, {headed.head.job_name}" if headed.head.job_name else customer


def _job_of(books: ShopRecord, number: int) -> str:
    """Return the name of a document's job; if there is none, its customer."""
    headed = books.headed(number)
    if isinstance(headed.document, Credit):
        headed = books.headed(headed.document.of)
    assert isinstance(headed.document, Issued)
    return headed.head.job_name or headed.document.draft.customer or _NOBODY


def _theirs(every: Iterable[HeadedDocument], whose: str) -> list[HeadedDocument]:
    """Return the invoices whose customer or job is named so; if none is, whose name begins so."""
    wanted = " ".join(whose.split()).casefold()
    named = []
    for one in every:
        assert isinstance(one.document, Issued)
        draft = one.document.draft
        named.append((one, [n.casefold() for n in (draft.customer, one.head.job_name, draft.job)]))
    exact = [one for one, names in named if wanted in names]
    return exact or [one for one, names in named if any(n.startswith(wanted) for n in names)]


def _papers(found: Iterable[HeadedDocument]) -> str:
    return " and ".join(
        f"invoice {one.document.number}{' now' if one.was else ''} ({_who(one)})" for one in found
    )


def _either(found: Iterable[HeadedDocument]) -> str:
    return " or ".join(_who(one) for one in found)


NO_NAME = "The document has no business name on it. Enter it in Business settings first."


def before_issuing(job: JobBooks, issued: Issued) -> tuple[str, ...]:
    """Return notes before a draft is issued, a sentence each: a letterhead without a name, a
    customer without an address, another tax rate than the accepted price, hourly extra work
    without hours, extra time that it leaves out, the customer's credit. `issued` is the draft
    once issued."""
    record, books, draft = job.record, job.books, issued.draft
    found = []
    if not books.shop.name:
        found.append(NO_NAME)
    if draft.customer and books.customers and books.customer_named(draft.customer) is None:
        found.append(
            f"{draft.customer} isn't among your customers, so the document has no address."
        )
    accepted = record.accepted
    if accepted is not None and by_price(record) and accepted.tax_rate != draft.tax_rate:
        was, is_ = (f"{rate.normalize():f}%" for rate in (accepted.tax_rate, draft.tax_rate))
        found.append(
            f"The price was accepted with a tax of {was}; Business settings have {is_} now."
        )
    if draft.kind == "final":
        worked = {entry.order for entry in record.entries if entry.billable}
        found += [
            f"No billed hour is on {order.text}, which was accepted by the hour."
            for order in record.orders
            if order.taken and order.hour is not None and order.row not in worked
        ]
    if draft.kind != "deposit":
        found += extra_time_notes(job)
    for one in of_customer(issued, books.trail):
        if over := credit_on(one, books.trail, books.payments, issued.issued_on):
            found.append(
                f"Invoice {one.number} of this customer has a credit balance of "
                f"{over:,}. Once this one is issued, it can be applied to it."
            )
    return tuple(found)


BILLED_AGAIN = (
    "Credited work goes back to unbilled: the job's next invoice asks for it again. To "
    "give it for good, credit the final invoice."
)


def issue_invoice(
    books: ShopRecord, draft: Draft, head: Letterhead, on: date, now: datetime
) -> Change:
    """Return the change that issues a draft under the next number.

    Raises `BadInput` as `crewdesk.trade.books.invoice.issue`.
    """
    found = issue(draft, books.trail, on, books.first_number)
    names = ("kind", "job", "begun", "customer", "lines", "extras", "tax_rate", "tax_per", "terms")
    row = IssuedRow(
        "",
        found.number,
        on,
        **{name: getattr(draft, name) for name in names},
        tax=draft.tax,
        total=found.total,
        head=head,
    )
    what = f"issued invoice {found.number} of ${found.total:,} to {draft.customer or 'no customer'}"
    return Change(what, (_new(books, row),), now)


def credit_invoice(
    books: ShopRecord,
    number: int,
    reason: str,
    on: date,
    now: datetime,
    *,
    amounts: tuple[Decimal, ...] | None = None,
) -> Change:
    """Return the change that credits an invoice: an amount for each line, or all that is left.

    Raises `NotAllowed`, and `BadInput` as `crewdesk.trade.books.invoice.credit`.
    """
    invoice = books.invoice(number)
    reason = checked_line(reason, "reason for a credit")
    amounts = books.left_of(number) if amounts is None else amounts
    found = credit(invoice, amounts, reason, books.trail, on, books.first_number)
    return _taken_back(books, found, now)


def typed_credit(
    books: ShopRecord,
    number: int,
    typed: tuple[str, ...],
    reason: str,
    on: date,
    now: datetime,
) -> Change:
    """Return the change that credits the typed amounts of lines; an empty one is nothing.

    A discount line is below zero; its amount is typed with or without the sign. Raises `NotAllowed`
    or `BadInput` as `credit_invoice` and `read_money`.
    """
    amounts = _typed_amounts(books, number, typed)
    return credit_invoice(books, number, reason, on, now, amounts=amounts)


def credit_comes_to(books: ShopRecord, number: int, typed: tuple[str, ...], on: date) -> Decimal:
    """Return a credit's total, tax included, from the typed lines; raises as `typed_credit`."""
    amounts = _typed_amounts(books, number, typed)
    first = books.first_number
    return -credit(books.invoice(number), amounts, "asked", books.trail, on, first).total


def _typed_amounts(books: ShopRecord, number: int, typed: tuple[str, ...]) -> tuple[Decimal, ...]:
    amounts = []
    for line, text in zip(books.invoice(number).draft.all_lines, typed, strict=True):
        plain = text.strip()
        if line.amount < 0:
            amounts.append(-read_money(plain.removeprefix("-").strip() or "0"))
        else:
            amounts.append(read_money(plain or "0"))
    return tuple(amounts)


def void_invoice(books: ShopRecord, number: int, reason: str, on: date, now: datetime) -> Change:
    """Return the change that voids an unpaid invoice; raises as `credit_invoice`."""
    invoice = books.invoice(number)
    reason = checked_line(reason, "reason for a void")
    paid = standing(invoice, books.trail, books.payments, date.max).held
    found = void(invoice, reason, books.trail, on, paid, books.first_number)
    return _taken_back(books, found, now)


def _taken_back(books: ShopRecord, found: Credit, now: datetime) -> Change:
    row = CreditRow(
        "",
        found.number,
        found.issued_on,
        found.kind,
        found.of,
        found.reason,
        found.amounts,
        found.tax,
        found.total,
    )
    word = "voided" if found.kind == "void" else f"credited {-found.total} of"
    return Change(f"{word} {invoice_text(books, found.of)}", (_new(books, row),), now)


def _new(books: ShopRecord, row: IssuedRow | CreditRow) -> Edit:
    return edit(books.tables, ("documents", books.new_row("documents")), row.to_doc())
