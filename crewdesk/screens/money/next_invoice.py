"""A job's next invoice as a preview; it is issued here, after extra time has its change order."""

from datetime import datetime, timedelta
from textwrap import wrap

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.books.contract import contract_on
from crewdesk.job.books.documents import NO_NAME, before_issuing, document_id
from crewdesk.job.books.job_books import (
    JobBooks,
    leave_unbilled,
    open_orders,
    put_on_new_order,
    put_on_order,
    without_order,
)
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Change
from crewdesk.paper.documents.invoice import KINDS, invoice_letter
from crewdesk.paper.documents.letter import Letter, money
from crewdesk.paper.plain import plain
from crewdesk.paper.text.lists import order_price
from crewdesk.screens.money.letter_page import LetterHead, LetterPage
from crewdesk.screens.parts.ask import Field, ask_change, choose
from crewdesk.screens.parts.program import ChangedRows, Program
from crewdesk.screens.parts.stick import Part
from crewdesk.store.books import Preview, issuing, preview, rate_to_keep
from crewdesk.trade.books.dates import day_text, read_day
from crewdesk.trade.books.invoice import Billing, Issued

_NEW = "new"
_ISSUE = "Issue it: press {issue-it}"
_NAME_FIRST = "Set your business name: press {everywhere.shop}"
_NAME_NARROW = "Set business name:\npress {everywhere.shop}"
_WIDE = 76
"""Columns from which on that goes into one line beside the amount."""
_MOST_TOLD = 4
"""The most lines of notes; the question before issuing has all of them."""
_MOST_ASKED = 8
"""The most change orders in the question, the latest: one for each digit, and one is new."""


def ask_order(app: Program, job: str) -> None:
    """Ask for the change order of that time, or for a new one."""
    books = app.books
    orders = open_orders(JobBooks(job, app.record, books, (), app.now()))[-_MOST_ASKED:]
    if not orders:
        _ask_new(app)
        return

    def chosen(way: str) -> None:
        if way == _NEW:
            _ask_new(app)
        else:
            app.do(lambda record, now: put_on_order(JobBooks(job, record, books, (), now), way))

    ways = [
        (one.row, f"{one.text}, {order_price(one)}{('' if one.taken else ', not accepted')}")
        for one in orders
    ]
    choose(app, "On which change order?", [*ways, (_NEW, "A new one")], chosen)


def _ask_new(app: Program) -> None:
    day = app.today
    ask_change(
        app,
        "A change order for that time",
        (
            Field("text", "What", "", "the extra work"),
            Field("price", "Price or rate", "", "240, or 85/h"),
            Field("by", "Accepted by", app.record.job.customer, "a name"),
            Field("on", "On", f"{day}", "today, yesterday, mon, 3/9, 2026-03-09"),
        ),
        lambda record, answer, now: put_on_new_order(
            record,
            answer["text"],
            answer["price"],
            answer["by"],
            read_day(answer["on"], day),
            now,
            today=app.today,
        ),
        does="Put it there",
    )


_BILLINGS: tuple[Billing, ...] = ("deposit", "progress", "final")
_FIRST = (
    ("order", "Put that time on a change order first"),
    ("unbilled", "Make that time non-billable, and issue it"),
)
_FOR_EVER = (
    "It keeps its number and can't be changed. A mistake in it can then only be credited or voided."
)


class PreviewPage(LetterPage):
    """The open job's next invoice, to preview and issue."""

    WHERE = "{job} · next invoice"
    AREA = "next-invoice"
    SHOWS_BOOKS = True

    def __init__(self) -> None:
        super().__init__()
        self._kind: Billing | None = None
        self._preview: Preview | None = None

    @property
    def file(self) -> str:
        """The invoice's file name, marked as a preview."""
        return f"preview-{self.program.job.id}" if self.program.job else "preview"

    def record_changed(self, rows: ChangedRows) -> None:
        """Compute the invoice again."""
        self._look()
        super().record_changed(rows)
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """What isn't there can't be issued, saved or looked at."""
        if action in ("issue", "save", "as_sent") and self.is_mounted:
            return self._preview is not None
        return super().check_action(action, parameters)

    def _look(self) -> None:
        app = self.program
        self._preview, self._why = None, ""
        self._at = app.now()
        if app.job is None:
            return
        try:
            self._preview = preview(app.desk, app.job.id, app.record, self._at, kind=self._kind)
        except CrewdeskError as refused:
            self._why = str(refused)

    def letter(self) -> Letter:
        """Return the preview's document."""
        if self._preview is None:
            kind = f"No {self._kind} invoice: " if self._kind else ""
            raise NotAllowed(f"{kind}{self._why}")
        app, shown = self.program, self._preview
        assert app.job is not None
        job = JobBooks(app.job.id, app.record, app.books, (), self._at)
        whole = contract_on(job, shown.on)
        return invoice_letter(shown.headed, app.books, self.day, preview=True, contract=whole)

    def head(self) -> LetterHead:
        """Return the billed amount and the key to issue it, above the notes."""
        if self._preview is None:
            return LetterHead("Next invoice")
        draft = self._preview.draft
        to = f" to {draft.customer}" if draft.customer else ", no customer"
        due = day_text(self._preview.on + timedelta(days=draft.terms))
        tax = f", tax {money(draft.tax)}" if draft.tax else ""
        act = _ISSUE if self._named else _NAME_FIRST if self.size.width >= _WIDE else _NAME_NARROW
        made = f"subtotal {money(draft.subtotal)}{tax}" if tax else "no tax on it"
        beside: list[list[Part]] = [[(line, "set")] for line in self.with_keys(act).splitlines()]
        beside += [[(f"due {due}", "text")], [(made, "muted")]]
        width = max(self.size.width - 4, 20)
        texts = [
            f"{'  ' if place else '! '}{line}"
            for one in self._before
            if one != NO_NAME
            for place, line in enumerate(wrap(plain(one), width))
        ]
        below: list[list[Part]] = [[(line, "wrong")] for line in texts[:_MOST_TOLD]]
        title = f"{KINDS[draft.kind]} invoice {self._preview.number}{to}"
        lines = [(one.text, one.amount) for one in draft.all_lines]
        return LetterHead(title, money(draft.total), beside, below, lines)

    @property
    def _named(self) -> bool:
        """Whether there is a business name to put at the top."""
        return bool(self.program.books.shop.name)

    @property
    def _before(self) -> tuple[str, ...]:
        document = self._preview.headed.document if self._preview else None
        app = self.program
        if not isinstance(document, Issued) or app.job is None:
            return ()
        books = JobBooks(app.job.id, app.record, app.books, (), self._at)
        return before_issuing(books, document)

    def action_kind(self) -> None:

        def chosen(way: str) -> None:
            self._kind = next(kind for kind in _BILLINGS if kind == way)
            self.record_changed(frozenset())

        ways = [(kind, KINDS[kind]) for kind in _BILLINGS]
        about = (
            "A deposit is part of the price, before the work. Progress bills what is "
            "earned so far, less what was billed before. Final bills all that is left."
        )
        choose(self.program, "Which invoice?", ways, chosen, about=about)

    def action_issue(self) -> None:
        app, shown = self.program, self._preview
        if shown is None or app.job is None:
            self.tell(self._why, "wrong")
            return
        at, id_ = self._at, app.job.id
        loose = shown.draft.kind != "deposit" and without_order(app.record)
        to = f" to {shown.draft.customer}" if shown.draft.customer else ", no customer"

        def chosen(way: str) -> None:
            if way == "order":
                ask_order(app, id_)
                return
            if way == "unbilled" and not app.do(leave_unbilled):
                return
            rate = rate_to_keep(app.desk, id_, app.record, at, shown.draft.kind)
            if rate is not None and not app.do(lambda record, now: rate):
                return
            act = issuing(app.desk, id_, app.record, at, kind=shown.draft.kind, shown=shown.draft)
            made: list[Change] = []

            def kept(books: ShopRecord, now: datetime) -> Change:
                made.append(act(books, now))
                return made[-1]

            if app.do_shop(kept):
                number = made[-1].edits[0].after["number"]
                self.app.pop_screen()
                app.open("an-invoice", document_id(app.books, number))
                self.app.call_later(
                    app.tell,
                    f"Saved: issued invoice {number} of {money(shown.draft.total)}.",
                    "saved",
                )

        choose(
            app,
            f"Issue invoice {shown.number} of {money(shown.draft.total)}{to}?",
            (*_FIRST, ("yes", "Issue it, and leave that time for a later invoice"))
            if loose
            else (("yes", "Issue it"),),
            chosen,
            about=" ".join((*self._before, _FOR_EVER)),
        )
