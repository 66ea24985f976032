"""The accounts as text, as JSON and as CSV for the bookkeeper."""

from datetime import date
from decimal import Decimal
from typing import Any

from crewdesk.job.books.accounts import Accounts, Year, before_tax, tax_of, taxed_of
from crewdesk.job.books.documents import renumbered_text
from crewdesk.job.books.ledger import HeadedDocument
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.paper.documents.invoice import STANDING
from crewdesk.paper.documents.letter import money
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet, csv_text, facts_json
from crewdesk.trade.books.accounts import Payment, Standing
from crewdesk.trade.books.dates import day_text
from crewdesk.trade.books.durations import short
from crewdesk.trade.books.invoice import Credit

WEEKS_SHOWN = 12
YEAR_SUMS = ("before_tax", "taxed", "tax", "total", "paid")
"""The sums of a `Year`, each a column here, on the screen and in the CSV."""
YEAR_WIDE = 12
"""The width of each sum's column."""
BY_WHICH_DAY = (
    "Before tax, taxable, tax, total: by the date of the invoice, credit or void.",
    "Paid, tax included, less refunds: by the day the payment came in.",
)
"""The bases of a year's sums, in words."""
_ROW_HEADS = (
    "date", "what", "number", "of_invoice", "job", "customer",
    "before_tax", "taxed", "tax_rate", "tax", "total", "paid", "note",
)  # fmt: skip


def accounts_sheet(found: Accounts, books: ShopRecord, year: int | None) -> Sheet:
    """Return the accounts: who owes what since when, the latest weeks, and all years or the one
    asked for."""
    renumbered = [renumbered_text(books, one) for one in found.renumbered]
    lines = [f"Accounts as of {day_text(found.on)}", ""]
    for one in found.owed:
        late = f", {money(one.overdue)} of it overdue" if one.overdue else ""
        who = plain(one.customer) or "(no customer)"
        lines.append(f"  {who} owes {money(one.balance)} since {day_text(one.since)}{late}")
    if not found.owed:
        lines.append("  No one owes anything.")
    lines += [f"  {credit_balance_text(one, found.on)}" for one in found.owed_back]
    lines += ["", *(f"  {plain(one)}" for one in renumbered)] if renumbered else []
    weeks = [w for w in found.weeks if year in (None, w.year)]
    if weeks:
        text = ", each whole in the year of its Thursday"
        if year is None:
            text = f", the latest {WEEKS_SHOWN}" if len(weeks) > WEEKS_SHOWN else ""
            weeks = weeks[-WEEKS_SHOWN:]
        lines += ["", f"Hours by week{text}"]
        lines += [
            f"  {one.name}  from {day_text(one.begins)}  {short(one.seconds)}" for one in weeks
        ]
    years = [one for one in found.years if year in (None, one.year)]
    if years:
        lines += ["", f"By year{year_heads()}{'hours':>9}"]
    for each in years:
        lines.append(f"  {each.year} {year_sums(each)}{short(each.seconds):>9}")
    if years:
        lines += ["", *(f"  {line}" for line in BY_WHICH_DAY)]
    elif year is not None:
        lines += ["", f"In {year} nothing was billed, paid or worked."]
    return Sheet(tuple(lines), lambda: _values(found, year))


def year_heads() -> str:
    """Return the heads of `year_sums`."""
    return "".join(f"{name.replace('_', ' '):>{YEAR_WIDE}}" for name in YEAR_SUMS)


def year_sums(year: Year) -> str:
    """Return a year's sums of money, each in its column."""
    return "".join(f"{money(getattr(year, name)):>{YEAR_WIDE}}" for name in YEAR_SUMS)


def credit_balance_text(one: Standing, on: date) -> str:
    """Return in words which customer has a credit balance of how much on that day, and on which
    invoice; or who paid before its date."""
    who = plain(one.customer) or "(no customer)"
    if one.issued_on > on:
        return f"{who} had paid {money(-one.balance)} ahead of invoice {one.number}"
    return f"{who} has a credit balance of {money(-one.balance)} on invoice {one.number}"


def accounts_csv(
    found: Accounts, books: ShopRecord, year: int | None, up_to: date = date.max
) -> str:
    """Return the accounts as CSV: a line for each year; of one year a line for each document and
    payment up to that day."""
    if year is None:
        return csv_text(
            ("year", *YEAR_SUMS, "hours"),
            (
                (y.year, *(getattr(y, name) for name in YEAR_SUMS), f"{y.seconds / 3600:.2f}")
                for y in found.years
            ),
        )
    return csv_text(_ROW_HEADS, _rows(found, books, year, up_to))


def _rows(
    accounts: Accounts, books: ShopRecord, year: int, up_to: date
) -> list[tuple[object, ...]]:
    """Return the year's documents and payments by date, documents first on a day."""
    found: list[tuple[object, ...]] = []
    for headed in books.documents:
        document = headed.document
        if document.issued_on.year != year or document.issued_on > up_to:
            continue
        of = document.of if isinstance(document, Credit) else None
        invoice = books.invoice(document.number if of is None else of)
        found.append(
            (
                document.issued_on.isoformat(),
                document.kind,
                document.number,
                of,
                accounts.id_of(invoice.draft.job, invoice.draft.begun),
                invoice.draft.customer,
                before_tax(document),
                taxed_of(document, books),
                invoice.draft.tax_rate,
                tax_of(document),
                document.total,
                None,
                _note(headed),
            )
        )
    for payment in books.payments:
        if payment.on.year == year and payment.on <= up_to:
            if payment.source is None:
                what = "refund" if payment.refund else "payment"
                found.append(
                    _paid_row(accounts, books, payment, payment.invoice, what, payment.received)
                )
                continue
            for number in (payment.source, payment.invoice):
                applied = payment.applied_to(number)
                found.append(_paid_row(accounts, books, payment, number, "credit applied", applied))
    return sorted(found, key=lambda row: str(row[0]))


def _note(headed: HeadedDocument) -> str:
    """Return the reason of a credit, and the number that a document was first sent with."""
    text = [headed.document.reason] if isinstance(headed.document, Credit) else []
    return "; ".join([*text, *(f"first sent as number {one}" for one in headed.was[:1])])


def _paid_row(
    accounts: Accounts,
    books: ShopRecord,
    payment: Payment,
    number: int,
    what: str,
    paid: Decimal,
) -> tuple[object, ...]:
    draft = books.invoice(number).draft
    note = payment.note
    if payment.source is not None:
        way = f"from invoice {payment.source} to invoice {payment.invoice}"
        note = f"{way}, {note}" if note else way
    no_sums = (None,) * 5
    day = payment.on.isoformat()
    job = accounts.id_of(draft.job, draft.begun)
    return (day, what, None, number, job, draft.customer, *no_sums, paid, note)


def _values(found: Accounts, year: int | None) -> dict[str, Any]:
    return {
        "on": found.on.isoformat(),
        "owed": [facts_json(one, "customer", "balance", "since", "overdue") for one in found.owed],
        "owed_back": [
            {"customer": one.customer, "invoice": one.number, "amount": str(-one.balance)}
            for one in found.owed_back
        ],
        "invoices": [
            {
                "number": one.number,
                "job": found.id_of(one.job, one.begun),
                **facts_json(one, "customer", "date=issued_on", "due=due_on", "total"),
                **facts_json(one, *STANDING),
            }
            for one in found.standings
            if year in (None, one.issued_on.year)
        ],
        "renumbered": [
            {"number": one.document.number, "was": list(one.was)} for one in found.renumbered
        ],
        "weeks": [
            facts_json(one, "week=name", "from=begins", "seconds", "billable_seconds=billable")
            for one in found.weeks
            if year in (None, one.year)
        ],
        "years": [
            facts_json(one, "year", *YEAR_SUMS, "seconds")
            for one in found.years
            if year in (None, one.year)
        ],
    }
