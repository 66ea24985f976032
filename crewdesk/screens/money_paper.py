"""A letter on the screen: the next invoice as it would be, and one that was issued."""

from abc import abstractmethod
from collections.abc import Iterable
from datetime import date
from typing import ClassVar

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.books.job_money import typed_credit
from crewdesk.job.books.trail import pay, void_invoice
from crewdesk.job.refused import Refused, said
from crewdesk.paper.invoice import KINDS, invoice_letter, standing_of
from crewdesk.paper.letter import Letter, letter_lines, money
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import Choose, Line
from crewdesk.screens.ask_change import ask_shop_change
from crewdesk.screens.page import Page
from crewdesk.screens.save_as import ask_save_letter
from crewdesk.store.books import Preview, issuing, preview, today
from crewdesk.trade.books.dates import read_day
from crewdesk.trade.books.invoice import Billing, Credit, Issued
from crewdesk.trade.books.money import read_money
from crewdesk.trade.refusal import Refusal

_BILLINGS: tuple[Billing, ...] = ("deposit", "progress", "final")
_DAYS = "today, yesterday, mon, 3/9, 2026-03-09"


class PaperPage(Page):
    """A letter, to look at and to save."""

    DEFAULT_CSS = """
    PaperPage VerticalScroll { height: 1fr; scrollbar-size-vertical: 1; }
    PaperPage #letter { height: auto; padding: 1 3; }
    """

    def body(self) -> Iterable[Widget]:
        with VerticalScroll():
            yield Static(id="letter", markup=False)

    def on_mount(self) -> None:
        """Let the keys scroll the letter."""
        self.query_one(VerticalScroll).focus()

    def record_changed(self, rows: frozenset[tuple[str, str]]) -> None:
        """Show the letter as it is."""
        self.query_one("#letter", Static).update(self.shown())

    def shown(self) -> Text:
        """What stands on the page: the letter, or why there is none."""
        try:
            lines = letter_lines(self.letter())
        except (Refused, Refusal) as refused:
            return Text(plain(said(refused)))
        text = Text()
        for place, line in enumerate(lines):
            text.append(f"{line}\n", style="bold" if not place or _is_head(line) else "")
        return text

    @abstractmethod
    def letter(self) -> Letter:
        """The letter; raises `Refused` or `Refusal`."""

    @property
    def day(self) -> date:
        """Today, at the site of the open job if one is open."""
        app = self.desk_app
        return app.now().date() if app.job is None else today(app.record, app.now())

    def action_save(self) -> None:
        """Ask where the letter goes."""
        try:
            letter = self.letter()
        except (Refused, Refusal) as refused:
            self.tell(said(refused), "wrong")
            return
        ask_save_letter(self.desk_app, letter, self.file)

    @property
    def file(self) -> str:
        """The name of the letter's file, without its end."""
        return "letter"

    def action_leave(self) -> None:
        """Back to where one came from."""
        self.app.pop_screen()


class PreviewPage(PaperPage):
    """The open job's next invoice as it would be; here it is issued."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("i", "issue", "Issue it"),
        Binding("k", "kind", "Other kind"),
        Binding("s", "save", "Save"),
        Binding("escape", "leave", "Back"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._kind: Billing | None = None
        self._preview: Preview | None = None

    @property
    def where(self) -> str:
        return f"{self.desk_app.record.job.name} · next invoice"

    @property
    def file(self) -> str:
        """As the invoice's own, marked as a preview."""
        return f"preview-{self.desk_app.job.id}" if self.desk_app.job else "preview"

    def record_changed(self, rows: frozenset[tuple[str, str]]) -> None:
        """Reckon the invoice anew."""
        self._look()
        super().record_changed(rows)

    def _look(self) -> None:
        app = self.desk_app
        self._preview, self._why = None, ""
        self._at = app.now()
        if app.job is None:
            return
        try:
            self._preview = preview(app.desk, app.job.id, app.record, self._at, kind=self._kind)
        except (Refused, Refusal) as refused:
            self._why = said(refused)

    def letter(self) -> Letter:
        """The preview's letter."""
        if self._preview is None:
            kind = f"No {self._kind} invoice: " if self._kind else ""
            raise Refused(f"{kind}{self._why}")
        books = self.desk_app.desk.shop.record()
        return invoice_letter(self._preview.paper, books, self.day, preview=True)

    def action_kind(self) -> None:
        """Ask which kind of invoice it is to be."""

        def chosen(way: str | None) -> None:
            for kind in _BILLINGS:
                if kind == way:
                    self._kind = kind
                    self.record_changed(frozenset())

        ways = [(kind, KINDS[kind]) for kind in _BILLINGS]
        about = (
            "A deposit is part of the price, before the work. Progress bills what is earned so "
            "far, less what was billed before; final bills all that is left."
        )
        self.app.push_screen(Choose("Which invoice?", ways, about=about), callback=chosen)

    def action_issue(self) -> None:
        """Ask whether it is issued, for ever."""
        app, shown = self.desk_app, self._preview
        if shown is None or app.job is None:
            self.tell(self._why, "wrong")
            return
        at, id_ = self._at, app.job.id
        to = f" to {shown.draft.customer}" if shown.draft.customer else ", to nobody named"

        def chosen(way: str | None) -> None:
            if way is None:
                return
            act = issuing(app.desk, id_, app.record, at, kind=shown.draft.kind, shown=shown.draft)
            if app.do_shop(act):
                number = app.desk.shop.record().trail[-1].number
                self.app.pop_screen()
                self.app.push_screen(IssuedPage(number))
                self.app.call_later(
                    app.tell, f"Saved: issued invoice {number} of {shown.draft.total}.", "saved"
                )

        self.app.push_screen(
            Choose(
                f"Issue invoice {shown.number} of {money(shown.draft.total)}{to}?",
                (("yes", "Issue it"),),
                about="It keeps its number and stays as it is for ever; what is wrong in it can "
                "then only be credited or voided.",
            ),
            callback=chosen,
        )


class IssuedPage(PaperPage):
    """A document of the trail, with how it stands today; payments, credit and void."""

    OF_SHOP = True
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("p", "pay", "Payment"),
        Binding("g", "refund", "Give back", show=False),
        Binding("c", "credit", "Credit"),
        Binding("v", "void", "Void"),
        Binding("s", "save", "Save"),
        Binding("escape", "leave", "Back"),
    ]

    def __init__(self, number: int) -> None:
        super().__init__()
        self.number = number

    @property
    def where(self) -> str:
        paper = self.desk_app.desk.shop.record().paper(self.number)
        return f"{KINDS[paper.document.kind]} · number {self.number}"

    @property
    def file(self) -> str:
        """As ``invoice-12``."""
        document = self.desk_app.desk.shop.record().paper(self.number).document
        return f"{'credit' if isinstance(document, Credit) else 'invoice'}-{self.number}"

    def letter(self) -> Letter:
        """The document's letter, as it stands today."""
        books = self.desk_app.desk.shop.record()
        return invoice_letter(books.paper(self.number), books, self.day, preview=False)

    def shown(self) -> Text:
        """The letter, and below it what was paid, one by one."""
        text = super().shown()
        books = self.desk_app.desk.shop.record()
        for one in books.payments:
            if one.invoice == self.number:
                what = "given back" if one.refund else "paid"
                note = f"  {plain(one.note)}" if one.note else ""
                text.append(f"\n{one.on}  {what} {money(one.amount)}{note}")
        return text

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Money goes on invoices alone."""
        if action not in ("pay", "refund", "credit", "void"):
            return True
        return self.is_mounted and self._invoice is not None

    @property
    def _invoice(self) -> Issued | None:
        document = self.desk_app.desk.shop.record().paper(self.number).document
        return document if isinstance(document, Issued) else None

    def action_pay(self) -> None:
        """Ask for a payment."""
        self._ask_money(refund=False)

    def action_refund(self) -> None:
        """Ask for money that was given back."""
        self._ask_money(refund=True)

    def _ask_money(self, *, refund: bool) -> None:
        invoice = self._invoice
        if invoice is None:
            return
        books = self.desk_app.desk.shop.record()
        stands = standing_of(invoice, books, self.day, preview=False)
        due = -stands.balance if refund else stands.balance
        ask_shop_change(
            self.desk_app,
            f"{'Given back' if refund else 'Paid'} on invoice {self.number}",
            (
                Line("amount", "Amount", f"{due}" if due > 0 else "", "1,250.00"),
                Line("on", "On", f"{self.day}", _DAYS),
                Line("note", "Note", "", "a check's number, say"),
            ),
            lambda record, answer, now: pay(
                record,
                self.number,
                read_money(answer["amount"]),
                read_day(answer["on"], self.day),
                now,
                refund=refund,
                note=answer["note"],
            ),
            does="Note it",
        )

    def action_credit(self) -> None:
        """Ask how much of each line is taken back, and why."""
        invoice = self._invoice
        if invoice is None:
            return
        left = self.desk_app.desk.shop.record().left_of(self.number)
        lines = [
            Line(f"{place}", plain(line.text)[:23], f"{money_left}")
            for place, (line, money_left) in enumerate(
                zip(invoice.draft.all_lines, left, strict=True)
            )
        ]
        ask_shop_change(
            self.desk_app,
            f"Credit on invoice {self.number}",
            (Line("reason", "Reason", "", "what was wrong"), *lines),
            lambda record, answer, now: typed_credit(
                record,
                self.number,
                tuple(answer[f"{place}"] for place in range(len(lines))),
                answer["reason"],
                self.day,
                now,
            ),
            does="Credit it, for ever",
            about="How much of each line is taken back, before tax: all that is left, or less.",
        )

    def action_void(self) -> None:
        """Ask why the invoice is voided."""
        ask_shop_change(
            self.desk_app,
            f"Void invoice {self.number}",
            (Line("reason", "Reason", "", "what was wrong"),),
            lambda record, answer, now: void_invoice(
                record, self.number, answer["reason"], self.day, now
            ),
            does="Void it, for ever",
            about="All of it is taken back, by a document with the next number; both stay.",
        )


def _is_head(line: str) -> bool:
    return line.startswith(("Invoice ", "Work", "Extra work", "Total ", "Balance "))
