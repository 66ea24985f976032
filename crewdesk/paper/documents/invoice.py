"""An invoice or a credit memo as a document, and as JSON."""

from datetime import date
from decimal import Decimal
from typing import Any

from crewdesk.job.books.ledger import HeadedDocument
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.paper.documents.letter import Letter, Part, Row, money
from crewdesk.paper.sheet import facts_json
from crewdesk.trade.books.accounts import Standing, standing
from crewdesk.trade.books.dates import day_text
from crewdesk.trade.books.invoice import Credit, Draft, Issued, void_of
from crewdesk.trade.books.invoice_lines import Line

KINDS = {
    "deposit": "Deposit",
    "progress": "Progress",
    "final": "Final",
    "credit": "Credit memo",
    "void": "Void",
}


STANDING = ("credited", "paid", "applied", "balance", "overdue_days=days_over")
"""The JSON fields of an invoice's standing."""


def invoice_letter(
    headed: HeadedDocument,
    books: ShopRecord,
    today: date,
    *,
    preview: bool,
    contract: Decimal | None = None,
) -> Letter:
    """Return the document; an issued invoice shows its standing today.

    contract: its job's contract as of its day (see `contract_on`); None for none.
    """
    document = headed.document
    if isinstance(document, Credit):
        return _credit_letter(headed, document, books)
    draft, head = document.draft, headed.head
    facts = [
        ("Number", f"{document.number}"),
        *_first_sent(headed),
        ("Date", day_text(document.issued_on)),
        ("Terms", _terms(document)),
        ("Kind", KINDS[document.kind]),
        ("Job", head.job_name),
    ]
    if head.site:
        facts.append(("Site", head.site))
    parts = [] if contract is None else [_along(document, books, contract)]
    if draft.lines:
        parts.append(Part("Work", tuple(Row(one.text, money(one.amount)) for one in draft.lines)))
    if draft.extras:
        rows = tuple(Row(one.text, money(one.amount)) for one in draft.extras)
        parts.append(Part("Extra work, by change order", rows))
    totals = [Row("Subtotal", money(draft.subtotal))]
    if draft.tax_rate:
        totals.append(_tax_row(draft, draft.taxed, draft.subtotal, draft.tax))
    totals.append(Row("Total", money(draft.total), strong=True))
    stands = standing_of(document, books, today, preview=preview)
    void = None if preview else void_of(document.number, books.trail)
    if stands.credited:
        totals.append(Row("Credited", money(-stands.credited)))
    if stands.paid:
        totals.append(Row("Paid", money(-stands.paid)))
    applied = () if preview else _applied_rows(document.number, books, today)
    totals += applied
    if stands.credited or stands.paid or applied:
        name = "Balance due" if stands.balance >= 0 else "Credit balance"
        totals.append(Row(name, money(abs(stands.balance)), strong=True))
    notes = []
    if stands.overdue:
        notes = [f"This invoice is {standing_text(stands, voided=False)}."]
    elif not preview and stands.balance <= 0:
        notes = ["Paid in full. Thank you."] if stands.held else []
    if stands.balance < 0:
        notes = [
            f"You have paid {money(-stands.balance)} more than this invoice; it is "
            "your credit balance."
        ]
    if void is not None:
        on = day_text(void.issued_on)
        notes.append(f"Voided by number {void.number} of {on}: nothing is due on it.")
    if draft.kind == "progress" and any("% of $" in line.text for line in draft.lines):
        notes.append("Percents are rounded to whole ones; amounts are exact.")
    if head.terms_text:
        notes.append(head.terms_text)
    return Letter(
        head,
        draft.customer,
        f"Invoice {document.number}",
        tuple(facts),
        tuple(parts),
        tuple(totals),
        tuple(notes),
        "PREVIEW, NOT ISSUED" if preview else "VOID" if void is not None else "",
        due=_due(document, stands),
    )


def invoice_values(
    headed: HeadedDocument, books: ShopRecord, today: date, *, preview: bool
) -> dict[str, Any]:
    """Return a document as JSON: money as decimal strings, days in ISO 8601."""
    document = headed.document
    if isinstance(document, Credit):
        return {**_credit_values(document), "was": list(headed.was)}
    draft = document.draft
    stands = standing_of(document, books, today, preview=preview)
    lines = [
        {
            **facts_json(one, "text", "amount"),
            "sort": one.sort if isinstance(one, Line) else "extra",
            "taxed": one.taxed,
        }
        for one in draft.all_lines
    ]
    return {
        "number": document.number,
        "was": list(headed.was),
        "issued": not preview,
        **facts_json(document, "kind", "date=issued_on", "due=due_on"),
        **facts_json(draft, "job", "customer"),
        "lines": lines,
        **facts_json(draft, "subtotal", "tax_rate", "tax", "total"),
        **facts_json(stands, *STANDING),
    }


def standing_of(invoice: Issued, books: ShopRecord, today: date, *, preview: bool) -> Standing:
    """Return an invoice's standing; nothing is paid on a preview."""
    if preview:
        return standing(invoice, (), (), invoice.issued_on)
    return standing(invoice, books.trail, books.payments, max(today, invoice.issued_on))


def standing_text(stands: Standing, *, voided: bool) -> str:
    """Return an invoice's standing in a few words."""
    if voided:
        return "void"
    if stands.overdue:
        return f"{stands.days_over} day{'' if stands.days_over == 1 else 's'} overdue"
    if stands.balance > 0:
        return f"due {day_text(stands.due_on)}"
    if stands.balance < 0:
        return "credit balance"
    return "paid" if stands.held else "credited"


def _applied_rows(number: int, books: ShopRecord, today: date) -> tuple[Row, ...]:
    """Return the rows of credit that an invoice got from others and gave to them."""
    found = []
    for one in books.payments:
        if one.on <= today and (applied := one.applied_to(number)):
            words = f"Applied to invoice {one.invoice}"
            if applied > 0:
                words = f"Credit from invoice {one.source}"
            found.append(Row(words, money(-applied)))
    return tuple(found)


def _tax_row(draft: Draft, taxed: Decimal, subtotal: Decimal, tax: Decimal) -> Row:
    on = f" on {money(taxed)}" if taxed != subtotal else ""
    by = ", line by line" if draft.tax_per == "line" else ""
    return Row(f"Tax, {draft.tax_rate.normalize():f}%{on}{by}", money(tax))


def _due(invoice: Issued, stands: Standing) -> str:
    """What is to be paid and by when, or "" if nothing is."""
    if stands.balance <= 0:
        return ""
    return f"{money(stands.balance)} due {day_text(invoice.due_on)}"


def _terms(invoice: Issued) -> str:
    """Return the payment terms; the due date is beside the balance."""
    days = invoice.draft.terms
    return f"{days} day{'' if days == 1 else 's'}" if days else "due on receipt"


def _along(invoice: Issued, books: ShopRecord, contract: Decimal) -> Part:
    """Return how far an invoice takes the billing of its job's contract, as of that invoice."""
    before = Decimal(0)
    for one in books.trail:
        of = one if isinstance(one, Issued) else books.invoice(one.of)
        if one.number < invoice.number and of.draft.is_of(invoice.draft.job, invoice.draft.begun):
            before += one.total
    left = contract - before - invoice.total
    rows = (
        Row("Contract, with the extra work accepted", money(contract)),
        Row("Billed before", money(before)),
        Row("This invoice", money(invoice.total)),
        Row("Left to bill" if left >= 0 else "Billed past the contract", money(abs(left))),
    )
    return Part("Contract, tax included" if invoice.draft.tax_rate else "Contract", rows)


def _credit_letter(sent: HeadedDocument, document: Credit, books: ShopRecord) -> Letter:
    headed = books.headed(document.of)
    invoice = books.invoice(document.of)
    title = f"{KINDS[document.kind]} {document.number}"
    if document.kind == "void":
        title = f"Void of invoice {document.of}"
    rows = tuple(
        Row(line.text, money(-taken))
        for line, taken in zip(invoice.draft.all_lines, document.amounts, strict=True)
        if taken
    )
    subtotal, taxed = sum(document.amounts, Decimal(0)), invoice.draft.taxed_of(document.amounts)
    totals = [Row("Subtotal", money(-subtotal))]
    if taxed or document.tax:
        totals.append(_tax_row(invoice.draft, -taxed, -subtotal, -document.tax))
    notes = [f"Reason: {document.reason}"]
    if not any(document.amounts):
        notes.append(f"Invoice {document.of} was voided before, so nothing was left to take back.")
    return Letter(
        headed.head,
        invoice.draft.customer,
        title,
        (
            ("Number", f"{document.number}"),
            ("Invoice", f"{document.of}"),
            *_first_sent(sent),
            ("Date", day_text(document.issued_on)),
            ("Job", headed.head.job_name),
        ),
        (Part("Credited", rows),),
        (*totals, Row("Total", money(document.total), strong=True)),
        tuple(notes),
    )


def _first_sent(headed: HeadedDocument) -> list[tuple[str, str]]:
    """Return the number that the invoice was first sent with, if it has another now."""
    return [("First sent as", f"number {one}") for one in headed.was[:1]]


def _credit_values(document: Credit) -> dict[str, Any]:
    return {
        "number": document.number,
        "issued": True,
        **facts_json(document, "kind", "of", "date=issued_on", "reason"),
        "lines": [{"text": document.reason, "amount": str(-sum(document.amounts))}],
        "subtotal": str(-sum(document.amounts)),
        "tax": str(-document.tax),
        "total": str(document.total),
        "paid": "0.00",
        "applied": "0.00",
        "balance": "0.00",
    }
