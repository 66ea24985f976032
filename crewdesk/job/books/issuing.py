"""Issuing, crediting and voiding: each puts a document into the trail."""

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from crewdesk.job.books.numbers import invoice_text
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.trail import Letterhead
from crewdesk.job.change import Change, Doc, edit
from crewdesk.job.words import checked_line
from crewdesk.trade.books.accounts import standing
from crewdesk.trade.books.invoice import Credit, Draft, issue
from crewdesk.trade.books.take_back import credit, void

BILLED_AGAIN = (
    "What is credited of the work counts as not billed: the job's next invoice asks for it "
    "again. To give it for good, credit the final invoice."
)


def issue_invoice(
    books: ShopRecord, draft: Draft, head: Letterhead, on: date, now: datetime
) -> Change:
    """The change that gives a draft the next number and puts it in the trail.

    Raises `BadInput` as `crewdesk.trade.books.invoice.issue`.
    """
    found = issue(draft, books.trail, on, books.shop.first_number)
    doc: Doc = {
        "number": found.number,
        "on": on.isoformat(),
        "kind": draft.kind,
        "job": draft.job,
        **({"begun": draft.begun} if draft.begun else {}),
        "customer": draft.customer,
        "lines": [
            {"sort": one.sort, "text": one.text, "amount": str(one.amount), "taxed": one.taxed}
            for one in draft.lines
        ],
        "extras": [
            {"order": one.order, "text": one.text, "amount": str(one.amount), "taxed": one.taxed}
            for one in draft.extras
        ],
        "tax_rate": str(draft.tax_rate),
        "tax_per": draft.tax_per,
        "tax": str(draft.tax),
        "total": str(found.total),
        "terms": draft.terms,
        "head": head.to_doc(),
    }
    what = f"issued invoice {found.number} of {found.total} to {draft.customer or 'nobody named'}"
    return Change(what, (_new(books, doc),), now)


def credit_invoice(
    books: ShopRecord,
    number: int,
    reason: str,
    on: date,
    now: datetime,
    *,
    amounts: tuple[Decimal, ...] | None = None,
) -> Change:
    """The change that credits an invoice: so much of each line, or all that is left of it.

    Raises `NotAllowed`, and `BadInput` as `crewdesk.trade.books.take_back.credit`.
    """
    invoice = books.invoice(number)
    reason = checked_line(reason, "reason of a credit")
    amounts = books.left_of(number) if amounts is None else amounts
    found = credit(invoice, amounts, reason, books.trail, on, books.shop.first_number)
    return _taken_back(books, found, now)


def void_invoice(books: ShopRecord, number: int, reason: str, on: date, now: datetime) -> Change:
    """The change that voids an invoice on which nothing is paid; raises as `credit_invoice`."""
    invoice = books.invoice(number)
    reason = checked_line(reason, "reason of a void")
    paid = standing(invoice, books.trail, books.payments, date.max).held
    found = void(invoice, reason, books.trail, on, paid, books.shop.first_number)
    return _taken_back(books, found, now)


def _taken_back(books: ShopRecord, found: Credit, now: datetime) -> Change:
    doc: Doc = {
        "number": found.number,
        "on": found.issued_on.isoformat(),
        "kind": found.kind,
        "of": found.of,
        "reason": found.reason,
        "amounts": [str(one) for one in found.amounts],
        "tax": str(found.tax),
        "total": str(found.total),
    }
    word = "voided" if found.kind == "void" else f"credited {-found.total} of"
    return Change(f"{word} {invoice_text(books, found.of)}", (_new(books, doc),), now)


def _new(books: ShopRecord, doc: Doc) -> Any:
    return edit(books.tables, ("documents", books.new_row("documents")), doc)
