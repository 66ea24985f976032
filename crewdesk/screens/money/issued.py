"""An issued invoice or credit memo: its standing, payments, credits, void."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import datetime
from decimal import Decimal
from typing import Unpack

from rich.text import Text

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.books.contract import contract_on
from crewdesk.job.books.documents import (
    BILLED_AGAIN,
    check_number,
    credit_comes_to,
    document_id,
    document_with_id,
    typed_credit,
    void_invoice,
)
from crewdesk.job.books.job_books import JobBooks
from crewdesk.job.books.ledger import HeadedDocument
from crewdesk.job.books.payments import (
    apply,
    likely_credit,
    pay,
    payment_text,
    payments_on,
    read_number,
    take_payment_out,
)
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Change
from crewdesk.paper.documents.invoice import KINDS, invoice_letter, standing_of, standing_text
from crewdesk.paper.documents.letter import Letter, money
from crewdesk.paper.plain import plain
from crewdesk.screens.money.letter_page import LetterHead, LetterPage
from crewdesk.screens.parts.ask import Answer, Field, Told, ask_shop_change, choose
from crewdesk.screens.parts.page import TopLine
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.parts.stick import Part
from crewdesk.trade.books.accounts import credit_on, of_customer
from crewdesk.trade.books.dates import day_text, read_day
from crewdesk.trade.books.invoice import Credit, Issued, void_of
from crewdesk.trade.books.money import read_money

_DAYS = "today, yesterday, mon, 3/9, 2026-03-09"
_OVER = "{apply-credit}  applies it to another invoice,  {give-back}  enters a refund."
_ELSEWHERE = "{apply-credit}  applies it to this one."

_LABEL = 23
_MOST_ASKED = 9
"""The most payments in the question, the latest: one for each digit."""


class IssuedPage(LetterPage):
    """A document of the ledger, with its standing today; payments, credit and void."""

    OF_SHOP = True
    SHOWS_BOOKS = True
    AREA = "an-invoice"

    def __init__(self, document: str) -> None:
        """document: its id (see `document_id`), which stays when its number changes."""
        super().__init__()
        self.document = document
        self._number: int | None = None

    @property
    def number(self) -> int:
        """The number shown last."""
        return self._headed.document.number if self._number is None else self._number

    @property
    def _headed(self) -> HeadedDocument:
        """Return the current document; raises `NotAllowed`."""
        return document_with_id(self.program.books, self.document)

    @property
    def where(self) -> str:
        try:
            document = self._headed.document
        except NotAllowed:
            return "Invoices"
        return f"{KINDS[document.kind]} · number {document.number}"

    @property
    def file(self) -> str:
        """The file name without suffix, such as ``invoice-12``."""
        kind = "credit" if isinstance(self._headed.document, Credit) else "invoice"
        return f"{kind}-{self.number}"

    def record_changed(self, rows: ChangedRows) -> None:
        """Show the current document, by its current number."""
        with suppress(NotAllowed):
            self._number = self._headed.document.number
        self.query_one(TopLine).tell(self.where)
        super().record_changed(rows)

    def _ask(
        self,
        title: str,
        fields: Sequence[Field],
        act: Callable[[ShopRecord, int, Answer, datetime], Change],
        **text: Unpack[Told],
    ) -> None:
        """Ask, and make the change that `act` returns for the document's number."""
        number = self._checked()
        ask_shop_change(
            self.program,
            title,
            fields,
            lambda books, answer, now: act(books, number(books), answer, now),
            **text,
        )

    def _checked(self) -> Callable[[ShopRecord], int]:
        """Return a function that returns the document's number while an answer is carried out, and
        raises `NotAllowed` if it isn't the one in the question."""
        shown = self.number
        return lambda books: check_number(books, self.document, shown)

    def _as_shown(self) -> bool:
        """Return whether the document still has the shown number; if not, say so, and show it
        again."""
        try:
            check_number(self.program.books, self.document, self.number)
        except NotAllowed as refused:
            self.record_changed(frozenset())
            self.tell(str(refused), "wrong")
            return False
        return True

    def letter(self) -> Letter:
        """Return the document, with its standing today."""
        books, headed = self.program.books, self._headed
        whole = self._contract(headed.document)
        return invoice_letter(headed, books, self.day, preview=False, contract=whole)

    def _contract(self, document: Issued | Credit) -> Decimal | None:
        """Return the contract of an invoice's job as of its day; or None if it can't be found."""
        app = self.program
        if isinstance(document, Credit):
            return None
        draft = document.draft
        try:
            mine = app.job is not None and app.job.id == draft.job
            record = app.record if mine else app.desk.open(draft.job, writing=False).record
        except CrewdeskError:
            return None
        if not draft.is_of(draft.job, record.begun):
            return None
        job = JobBooks(draft.job, record, app.books, (), app.now())
        return contract_on(job, document.issued_on)

    def head(self) -> LetterHead:
        """Return the amount due on it, and its standing."""
        books, invoice = self.program.books, self._invoice
        try:
            document = self._headed.document
        except NotAllowed:
            return LetterHead("Invoices")
        if invoice is None:
            return LetterHead(self.where, money(document.total))
        stands = standing_of(invoice, books, self.day, preview=False)
        void = void_of(invoice.number, books.trail) is not None
        title = f"{KINDS[invoice.kind]} invoice {invoice.number}"
        if invoice.draft.customer:
            title += f" to {invoice.draft.customer}"
        if stands.balance <= 0:
            state = [(standing_text(stands, voided=void), "strong")]
            over = f"{money(-stands.balance)} of it" if stands.balance else ""
            beside: list[list[Part]] = [state, [(over, "text")] if over else []]
            return LetterHead(title, money(invoice.total), beside)
        beside = [
            [(self.with_keys("Once it comes in: press {payment}"), "set")],
            [(standing_text(stands, voided=void), "wrong" if stands.overdue else "text")],
            [(self.with_keys("{save} saves it, to send"), "muted")],
        ]
        return LetterHead(title, money(stands.balance), beside)

    def shown(self) -> Text:
        """Return the document, and its payments below."""
        text = super().shown()
        books = self.program.books
        if self._invoice is not None:
            for line in self._payments_told(books):
                text.append(f"\n{line}")
        if line := self._credit_told(books):
            text.append(f"\n\n{line}")
        return text

    def _payments_told(self, books: ShopRecord) -> list[str]:
        """Return payments, refunds and credits, one by one."""
        return [
            f"{day_text(one.on)}  {payment_text(one, self.number)}  {plain(one.note)}".rstrip()
            for _, one in payments_on(books, self.number)
        ]

    def _credit_told(self, books: ShopRecord) -> str:
        """Return where this customer's credit is, and how to use it."""
        invoice = self._invoice
        if invoice is None:
            return ""
        if over := credit_on(invoice, books.trail, books.payments, self.day):
            return f"Credit balance: {money(over)}.\n" + self.with_keys(_OVER)
        if standing_of(invoice, books, self.day, preview=False).balance <= 0:
            return ""
        try:
            source, _ = likely_credit(books, self.number, self.day)
        except CrewdeskError:
            return ""
        found = credit_on(books.invoice(source), books.trail, books.payments, self.day)
        text = f"Invoice {source} of this customer has a credit balance of {money(found)}.\n"
        return text + self.with_keys(_ELSEWHERE)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Allow payments on invoices only."""
        if action not in ("pay", "refund", "apply", "credit", "void", "take_out"):
            return True
        return self.is_mounted and self._invoice is not None

    @property
    def _invoice(self) -> Issued | None:
        try:
            document = self._headed.document
        except NotAllowed:
            return None
        return document if isinstance(document, Issued) else None

    def action_pay(self) -> None:
        self._ask_money(refund=False)

    def action_refund(self) -> None:
        self._ask_money(refund=True)

    def _ask_money(self, *, refund: bool) -> None:
        invoice = self._invoice
        if invoice is None or not self._as_shown():
            return
        books = self.program.books
        stands = standing_of(invoice, books, self.day, preview=False)
        due = -stands.balance if refund else stands.balance
        self._ask(
            f"{('Refund' if refund else 'Payment')} on invoice {self.number}",
            (
                Field("amount", "Amount", f"{due}" if due > 0 else "", "1,250.00"),
                Field("on", "On", f"{self.day}", _DAYS),
                Field("note", "Note", "", "a check's number, say"),
            ),
            lambda record, number, answer, now: pay(
                record,
                number,
                read_money(answer["amount"]),
                read_day(answer["on"], self.day),
                now,
                refund=refund,
                note=answer["note"],
            ),
            does="Enter it",
        )

    def action_apply(self) -> None:
        invoice = self._invoice
        if invoice is None or not self._as_shown():
            return
        books = self.program.books
        every = of_customer(invoice, books.trail)
        known = {one.number: document_id(books, one.number) for one in every}

        def typed(record: ShopRecord, text: str) -> int:
            number = read_number(text)
            return check_number(record, known[number], number) if number in known else number

        def act(record: ShopRecord, _: int, answer: Answer, now: datetime) -> Change:
            return apply(
                record,
                typed(record, answer["from"]),
                typed(record, answer["to"]),
                read_money(answer["amount"]) if answer["amount"].strip() else None,
                read_day(answer["on"], self.day),
                now,
                note=answer["note"],
            )

        try:
            source, number = likely_credit(books, self.number, self.day)
        except CrewdeskError as refused:
            self.tell(str(refused), "wrong")
            return
        self._ask(
            "Apply credit",
            (
                Field("from", "From invoice", f"{source}", "where more was paid than is due"),
                Field("to", "To invoice", f"{number}", "another of the same customer"),
                Field("amount", "Amount", "", "empty: as much as there is and is due"),
                Field("on", "On", f"{self.day}", _DAYS),
                Field("note", "Note", "", ""),
            ),
            act,
            does="Apply it",
            about=("The credit balance of one invoice pays another; no money changes hands."),
        )

    def action_take_out(self) -> None:
        if not self._as_shown():
            return
        books, number = self.program.books, self._checked()
        listed, every = payments_on(books, self.number), self._payments_told(books)
        if not every:
            self.tell(f"Nothing has been paid on invoice {self.number}.", "wrong")
            return
        latest = list(enumerate(every, 1))[-_MOST_ASKED:]

        def chosen(way: str) -> None:
            place = int(way)

            def act(books: ShopRecord, now: datetime) -> Change:
                there = payments_on(books, number(books))[place - 1 : place]
                if [one for _, one in there] != [listed[place - 1][1]]:
                    raise NotAllowed(
                        "The payments have changed since they were listed. Look again, then "
                        "take it out."
                    )
                return take_payment_out(books, number(books), place, now)

            self.program.do_shop(act)

        choose(
            self.program,
            "Which one was entered by mistake?",
            [(f"{place}", text) for place, text in latest],
            chosen,
            about=("It is removed from the books. If you gave money back, enter a refund instead."),
        )

    def action_credit(self) -> None:
        invoice = self._invoice
        if invoice is None or not self._as_shown():
            return
        number = self._checked()
        left = self.program.books.left_of(self.number)
        lines = [
            Field(f"{place}", _short(plain(line.text)), f"{money_left}")
            for place, (line, money_left) in enumerate(
                zip(invoice.draft.all_lines, left, strict=True)
            )
        ]

        def typed(answer: Answer) -> tuple[str, ...]:
            return tuple(answer[line.key] for line in lines)

        def comes_to(answer: Answer) -> str:
            books = self.program.books
            try:
                whole = credit_comes_to(books, number(books), typed(answer), self.day)
            except CrewdeskError as refused:
                return str(refused)
            return f"It credits {money(whole)}, tax included."

        self._ask(
            f"Credit on invoice {self.number}",
            (Field("reason", "Reason", "", "what was wrong"), *lines),
            lambda record, number, answer, now: typed_credit(
                record, number, typed(answer), answer["reason"], self.day, now
            ),
            live=comes_to,
            does="Credit it; this can't be undone",
            about="How much of each line is credited, before tax; empty for none."
            + ("" if invoice.kind == "final" else f" {BILLED_AGAIN}"),
        )

    def action_void(self) -> None:
        if not self._as_shown():
            return
        self._ask(
            f"Void invoice {self.number}",
            (Field("reason", "Reason", "", "what was wrong"),),
            lambda record, number, answer, now: void_invoice(
                record, number, answer["reason"], self.day, now
            ),
            does="Void it; this can't be undone",
            about=("All of it is credited, by a document with the next number; both are kept."),
        )


def _short(text: str) -> str:
    """Return a line's text, cut to fit beside its field."""
    return text if len(text) <= _LABEL else f"{text[: _LABEL - 1]}…"
