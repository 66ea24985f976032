"""The accounts of all jobs: who owes what since when, hours by week, totals by year."""

from datetime import date
from decimal import Decimal
from textwrap import wrap

from textual import on

from crewdesk.job.books.accounts import Accounts, accounts, read_day_of_accounts
from crewdesk.job.books.contract import unbilled_by_job
from crewdesk.job.books.documents import document_id, renumbered_text
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.paper.documents.accounts import (
    BY_WHICH_DAY,
    WEEKS_SHOWN,
    accounts_csv,
    credit_balance_text,
    year_heads,
    year_sums,
)
from crewdesk.paper.documents.invoice import standing_text
from crewdesk.paper.documents.letter import money
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.ask import Answer, Field, ask, choose
from crewdesk.screens.parts.going import go_to_page
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.list_page import LinesPage, fit
from crewdesk.screens.parts.paper import ask_save
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.parts.stick import bar, ruled, stick
from crewdesk.store.books import counted, past_jobs
from crewdesk.trade.books.accounts import owed_by_age, sum_of
from crewdesk.trade.books.dates import day_text
from crewdesk.trade.books.durations import short
from crewdesk.trade.books.money import ZERO

_INVOICE, _YEAR, _JOB = "invoice ", "year ", "job "
_AGES, _AMOUNT = 20, 12
"""The columns of an amount's name, and of the amount."""
_BY_DAY = "Total by the day it was billed, paid by the day it came in."
"""What the two sums count by that there is room for in a narrow window."""
_MOST_ASKED = 9
"""The most years in the question, the latest: a digit for each, and one for all."""
_ABOUT = {
    _INVOICE: "{show} shows the invoice: payments, credit, void, file.",
    _JOB: "{show} shows the job's money and its next invoice.",
    _YEAR: "{save-as-csv} saves every document and payment of the year for the bookkeeper.",
}


class AccountsPage(LinesPage):
    """Amounts owed, hours of the latest weeks, years."""

    WHERE = "Accounts over all jobs"
    OF_SHOP = True
    SHOWS_BOOKS = True
    up_to: date | None = None
    """The day at whose end the accounts are shown; None for today."""
    AREA = "accounts"
    DEFAULT_CSS = """
    AccountsPage Lines { padding: 0 0 0 1; }
    AccountsPage #here { height: 1; }
    """

    def record_changed(self, rows: ChangedRows) -> None:
        """Compute the accounts, as of now or of the requested day."""
        app = self.program
        now = app.now()
        self._books = app.books
        jobs = tuple(counted(app.desk))
        self._names = {id_: record.job.name for id_, record in jobs}
        self._found = accounts(self._books, jobs, now, up_to=self.up_to)
        self._unbilled = (
            unbilled_by_job(jobs, self._books, past_jobs(app.desk, "", now), now)
            if not self.up_to
            else ()
        )
        self.show()

    def rows(self) -> list[Row]:
        found, width = self._found, self.size.width - 3
        return [
            *_age_rows(found, sum((money for _, money in self._unbilled), ZERO), width),
            *self._unbilled_rows(width),
            *_owed_rows(found, self._books, width),
            Row(),
            *_week_rows(found, width),
            Row(),
            *_year_rows(found, width),
        ]

    def _unbilled_rows(self, width: int) -> list[Row]:
        """Return a row for each job with work to bill, the most first."""
        if not self._unbilled:
            return []
        rows = [Row(), Row(*ruled("Unbilled work of open jobs", width))]
        bill = self.with_keys("Bill it: press {show}")
        for id_, amount in self._unbilled:
            first, name = len(rows) == 2, fit(plain(self._names[id_]), _AGES - 3)
            text = bill if first else ""
            ink = "set" if first else "text"
            rows.append(
                Row(
                    (f" □ {name}{money(amount):>{_AMOUNT}}  {text}", ink),
                    key=f"{_JOB}{id_}",
                )
            )
        return rows

    def about(self, key: str) -> str:
        self.refresh_bindings()
        text = next((text for sort, text in _ABOUT.items() if key.startswith(sort)), "")
        return self.with_keys(text)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Only an invoice and a job with work to bill can be shown."""
        if action == "invoice" and self.is_mounted:
            return self.key.startswith((_INVOICE, _JOB))
        return super().check_action(action, parameters)

    @on(Lines.Chosen)
    def action_invoice(self) -> None:
        key = self.key
        if key.startswith(_INVOICE):
            self.program.open("an-invoice", key.removeprefix(_INVOICE))
        elif key.startswith(_JOB):
            go_to_page(self.program, key.removeprefix(_JOB), "money")

    def action_day(self) -> None:
        today = self.program.books_day

        def read(answer: Answer) -> date | None:
            text = answer["day"].strip()
            return read_day_of_accounts(text, today) if text else None

        def given(answer: Answer) -> None:
            self.up_to = read(answer)
            self.record_changed(frozenset())

        shown = "" if self.up_to is None else day_text(self.up_to)
        ask(
            self.program,
            "The accounts as of the end of a day",
            (Field("day", "Day", shown, "mon, 3/9 or 2026-03-09; empty: as of now"),),
            given,
            read,
            does="Show them",
            about="Anything later is left out, here and in the CSV.",
        )

    def action_save(self) -> None:
        key, years = self.key, [one.year for one in self._found.years]
        if key.startswith(_YEAR) or not years:
            self._save(int(key.removeprefix(_YEAR)) if key.startswith(_YEAR) else None)
            return
        ways = [(f"{year}", f"All of {year}, line by line") for year in years[:-_MOST_ASKED:-1]]
        choose(
            self.program,
            "What should be saved?",
            [*ways, ("all", "The totals of all years")],
            lambda way: self._save(int(way) if way.isdecimal() else None),
        )

    def _save(self, year: int | None) -> None:
        until = f", up to {day_text(self.up_to)}" if self.up_to else ""

        def made() -> bytes:
            last = self.up_to or date.max
            return accounts_csv(self._found, self._books, year, last).encode("utf-8")

        ask_save(
            self.program,
            (f"Save all of {year}" if year else "Save the totals of all years") + until,
            f"accounts-{year}.csv" if year else "accounts.csv",
            {".csv": made},
        )


def _age_rows(found: Accounts, to_bill: Decimal, width: int) -> list[Row]:
    """Return what is owed by age, and what is unbilled: each a stick to one scale, with a notch at
    both together."""
    ages = owed_by_age(found.standings)
    owed = sum_of(ages)
    whole = owed + to_bill
    title = f"Owed {money(owed)}" + (f", unbilled {money(to_bill)}" if to_bill else "")
    rows = [Row(*ruled(f"{title} as of {day_text(found.on)}", width))]
    if not whole:
        return [*rows, Row(("  No one owes anything.", "text"))]
    room = max(width - _AGES - _AMOUNT - 3, 2)
    scale = f"0{money(whole):>{room - 1}}"
    rows.append(Row((" " * (_AGES + _AMOUNT + 2) + scale, "dimension")))
    for one in ages if owed else ():
        ink = "wrong" if one.after and one.amount else "strong" if one.amount else "muted"
        sign = "! " if ink == "wrong" else "  "
        rows.append(_amount_row(sign, one.name, one.amount, ink, whole, room, bool(one.after)))
    if not owed:
        rows.append(_amount_row("  ", "owed", owed, "muted", whole, room, False))
    if to_bill:
        rows.append(_amount_row("  ", "unbilled", to_bill, "strong", whole, room, False))
    return rows


def _amount_row(
    sign: str, name: str, amount: Decimal, ink: str, whole: Decimal, room: int, late: bool
) -> Row:
    """Return an amount with its stick, the notch at the whole."""
    drawn = stick(amount, whole, whole, room, ink="over" if late else "text")
    return Row(
        (f"{sign}{name:<{_AGES - 2}}", ink if amount else "muted"),
        (f"{money(amount):>{_AMOUNT}}  ", ink),
        *drawn,
    )


def _owed_rows(found: Accounts, books: ShopRecord, width: int) -> list[Row]:
    """Return who owes, each with the unpaid invoices."""
    rows: list[Row] = []
    for one in found.owed:
        late = f", {money(one.overdue)} overdue" if one.overdue else ""
        who = plain(one.customer) or "(no customer)"
        rows += [Row(), Row(*ruled(f"{who} owes {money(one.balance)}{late}", width))]
        for each in found.standings:
            if each.customer == one.customer and each.balance > 0:
                text = standing_text(each, voided=False)
                job = plain(found.id_of(each.job, each.begun))
                rows.append(
                    Row(
                        (f"  invoice {each.number:<5}", "text"),
                        (f"{fit(job, 18)} {day_text(each.issued_on):<13}", "muted"),
                        (f"{money(each.balance):>{_AMOUNT}}  ", "strong"),
                        (text, "wrong" if each.overdue else "muted"),
                        key=f"{_INVOICE}{document_id(books, each.number)}",
                    )
                )
    for back in found.owed_back:
        text = f"  {credit_balance_text(back, found.on)}"
        rows.append(Row((text, "wrong"), key=f"{_INVOICE}{document_id(books, back.number)}"))
    if found.renumbered:
        rows.append(Row())
    for sent in found.renumbered:
        text, number = f"  {plain(renumbered_text(books, sent))}", sent.document.number
        rows.append(Row((text, "muted"), key=f"{_INVOICE}{document_id(books, number)}"))
    return rows


def _week_rows(found: Accounts, width: int) -> list[Row]:
    weeks = found.weeks[-WEEKS_SHOWN:]
    latest = f", the latest {WEEKS_SHOWN}" if len(found.weeks) > WEEKS_SHOWN else ""
    most = max((week.seconds for week in weeks), default=0)
    scale = f", to {short(most // 60 * 60)}" if most else ""
    title = f"Hours by week{latest}{scale}: ━ billable  ┄ non-billable"
    rows = [Row(*ruled(title, width))]
    if not weeks:
        return [*rows, Row(("  No time has been logged.", "text"))]
    for week in reversed(weeks):
        parts = ((week.billable, "━"), (week.seconds - week.billable, "┄"))
        rows.append(
            Row(
                (f"  from {day_text(week.begins):<{_AGES - 6}}", "text"),
                (f"{short(week.seconds // 60 * 60):>{_AMOUNT}}  ", "strong"),
                (bar(parts, most, max(width - _AGES - _AMOUNT - 3, 2)), "text"),
                key=f"week {week.name}",
            )
        )
    return rows


def _year_rows(found: Accounts, width: int) -> list[Row]:
    wide = len(year_heads()) + 18 <= width
    heads = year_heads() if wide else f"{'total':>{_AMOUNT}}{'paid':>{_AMOUNT}}"
    rows = [Row(*ruled("By year", width)), Row((f"       {heads}{'hours':>9}", "muted"))]
    for one in found.years:
        few = f"{money(one.total):>{_AMOUNT}}{money(one.paid):>{_AMOUNT}}"
        rows.append(
            Row(
                (f"  {one.year} ", "strong"),
                (f"{year_sums(one) if wide else few}{short(one.seconds // 60 * 60):>9}", "text"),
                key=f"{_YEAR}{one.year}",
            )
        )
    if not found.years:
        return [*rows, Row(("  No documents, payments or hours.", "text"))]
    by_day = BY_WHICH_DAY if wide else (_BY_DAY,)
    notes = [one for line in by_day for one in wrap(line, max(width - 3, 20))]
    return [*rows, *(Row((f"  {one}", "muted")) for one in notes)]
