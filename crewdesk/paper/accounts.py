"""The accounts in print, as JSON and as CSV for the bookkeeper."""

from typing import Any

from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.yearly import Accounts, before_tax, tax_of
from crewdesk.paper.csv_text import csv_text
from crewdesk.paper.letter import money
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet
from crewdesk.trade.books.durations import short
from crewdesk.trade.books.invoice import Credit

WEEKS_SHOWN = 12
_YEAR_HEADS = ("year", "before_tax", "tax", "total", "paid", "hours")
_ROW_HEADS = (
    "date", "what", "number", "of_invoice", "job", "customer",
    "before_tax", "tax", "total", "paid", "note",
)  # fmt: skip


def accounts_sheet(found: Accounts, year: int | None) -> Sheet:
    """Who owes what since when, the latest weeks, and the years or the one asked for."""
    lines = [f"Accounts as of {found.on}", ""]
    for one in found.owed:
        late = f", {money(one.overdue)} of it overdue" if one.overdue else ""
        who = plain(one.customer) or "(no customer named)"
        lines.append(f"  {who} owes {money(one.balance)} since {one.since}{late}")
    if not found.owed:
        lines.append("  Nobody owes anything.")
    weeks = [w for w in found.weeks if year in (None, w.year)][-WEEKS_SHOWN:]
    if weeks:
        lines += ["", "Hours by week"]
        lines += [f"  {one.name}  from {one.begins}  {short(one.seconds)}" for one in weeks]
    years = [one for one in found.years if year in (None, one.year)]
    if years:
        lines += ["", "By year    before tax         tax        total         paid    hours"]
    for each in years:
        sums = "".join(
            f"{money(m):>13}" for m in (each.before_tax, each.tax, each.total, each.paid)
        )
        lines.append(f"  {each.year} {sums}  {short(each.seconds):>7}")
    return Sheet(tuple(lines), lambda: _values(found, year))


def accounts_csv(found: Accounts, books: ShopRecord, year: int | None) -> str:
    """A line for each year; of one year, a line for each document and payment in it."""
    if year is None:
        return csv_text(
            _YEAR_HEADS,
            (
                (y.year, y.before_tax, y.tax, y.total, y.paid, f"{y.seconds / 3600:.2f}")
                for y in found.years
            ),
        )
    return csv_text(_ROW_HEADS, _rows(books, year))


def _rows(books: ShopRecord, year: int) -> list[tuple[object, ...]]:
    """The year's documents and payments by date, documents first on a day."""
    found: list[tuple[object, ...]] = []
    for document in books.trail:
        if document.issued_on.year != year:
            continue
        of = document.of if isinstance(document, Credit) else None
        invoice = books.invoice(document.number if of is None else of)
        found.append(
            (
                document.issued_on.isoformat(),
                document.kind,
                document.number,
                of,
                invoice.draft.job,
                invoice.draft.customer,
                before_tax(document),
                tax_of(document),
                document.total,
                None,
                document.reason if isinstance(document, Credit) else "",
            )
        )
    for payment in books.payments:
        if payment.on.year == year:
            invoice = books.invoice(payment.invoice)
            what = "refund" if payment.refund else "payment"
            paid = -payment.amount if payment.refund else payment.amount
            found.append(
                (
                    payment.on.isoformat(),
                    what,
                    None,
                    payment.invoice,
                    invoice.draft.job,
                    invoice.draft.customer,
                    None,
                    None,
                    None,
                    paid,
                    payment.note,
                )
            )
    return sorted(found, key=lambda row: str(row[0]))


def _values(found: Accounts, year: int | None) -> dict[str, Any]:
    return {
        "on": found.on.isoformat(),
        "owed": [
            {
                "customer": one.customer,
                "balance": str(one.balance),
                "since": one.since.isoformat(),
                "overdue": str(one.overdue),
            }
            for one in found.owed
        ],
        "invoices": [
            {
                "number": one.number,
                "job": one.job,
                "customer": one.customer,
                "date": one.issued_on.isoformat(),
                "due": one.due_on.isoformat(),
                "total": str(one.total),
                "credited": str(one.credited),
                "paid": str(one.paid),
                "balance": str(one.balance),
                "overdue_days": one.days_over,
            }
            for one in found.standings
            if year in (None, one.issued_on.year)
        ],
        "weeks": [
            {
                "week": one.name,
                "from": one.begins.isoformat(),
                "seconds": one.seconds,
                "billable_seconds": one.billable,
            }
            for one in found.weeks
            if year in (None, one.year)
        ],
        "years": [
            {
                "year": one.year,
                "before_tax": str(one.before_tax),
                "tax": str(one.tax),
                "total": str(one.total),
                "paid": str(one.paid),
                "seconds": one.seconds,
            }
            for one in found.years
            if year in (None, one.year)
        ],
    }
