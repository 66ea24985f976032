"""A job's next invoice as it would be; here it is issued."""

from datetime import datetime

from rich.text import Text

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.books.before_issuing import before_issuing
from crewdesk.job.books.extra_time import leave_unbilled, without_order
from crewdesk.job.books.numbers import document_id
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Change
from crewdesk.paper.invoice import KINDS, invoice_letter
from crewdesk.paper.letter import Letter, money
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import choose
from crewdesk.screens.extra_time import ask_order
from crewdesk.screens.letter_page import LetterPage
from crewdesk.store.books import Preview, issuing, preview, rate_to_keep
from crewdesk.trade.books.invoice import Billing, Issued

_BILLINGS: tuple[Billing, ...] = ("deposit", "progress", "final")
_FIRST = (
    ("order", "Put that time on a change order first"),
    ("unbilled", "Note that time as not billed, and issue it"),
)
_FOR_EVER = (
    "It keeps its number and stays as it is for ever; what is wrong in it can then only be "
    "credited or voided."
)


class PreviewPage(LetterPage):
    """The open job's next invoice as it would be; here it is issued."""

    WHERE = "{job} · next invoice"
    AREA = "next-invoice"
    SHOWS_BOOKS = True

    def __init__(self) -> None:
        super().__init__()
        self._kind: Billing | None = None
        self._preview: Preview | None = None

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
        except CrewdeskError as refused:
            self._why = str(refused)

    def letter(self) -> Letter:
        """The preview's letter."""
        if self._preview is None:
            kind = f"No {self._kind} invoice: " if self._kind else ""
            raise NotAllowed(f"{kind}{self._why}")
        books = self.desk_app.desk.shop.record()
        return invoice_letter(self._preview.headed, books, self.day, preview=True)

    def shown(self) -> Text:
        """The letter, and below it what should be known before it is issued."""
        text = super().shown()
        for told in self._before:
            text.append(f"\n{plain(told)}\n")
        return text

    @property
    def _before(self) -> tuple[str, ...]:
        document = self._preview.headed.document if self._preview else None
        if not isinstance(document, Issued):
            return ()
        app = self.desk_app
        return before_issuing(app.record, document, app.desk.shop.record(), self._at)

    def action_kind(self) -> None:

        def chosen(way: str) -> None:
            self._kind = next(kind for kind in _BILLINGS if kind == way)
            self.record_changed(frozenset())

        ways = [(kind, KINDS[kind]) for kind in _BILLINGS]
        about = (
            "A deposit is part of the price, before the work. Progress bills what is earned so "
            "far, less what was billed before; final bills all that is left."
        )
        choose(self.desk_app, "Which invoice?", ways, chosen, about=about)

    def action_issue(self) -> None:
        app, shown = self.desk_app, self._preview
        if shown is None or app.job is None:
            self.tell(self._why, "wrong")
            return
        at, id_ = self._at, app.job.id
        loose = shown.draft.kind != "deposit" and without_order(app.record)
        to = f" to {shown.draft.customer}" if shown.draft.customer else ", to nobody named"

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
                app.open("an-invoice", document_id(app.desk.shop.record(), number))
                self.app.call_later(
                    app.tell,
                    f"Saved: issued invoice {number} of {money(shown.draft.total)}.",
                    "saved",
                )

        choose(
            app,
            f"Issue invoice {shown.number} of {money(shown.draft.total)}{to}?",
            (*_FIRST, ("yes", "Issue it; that time stays for a later invoice"))
            if loose
            else (("yes", "Issue it"),),
            chosen,
            about=" ".join((*self._before, _FOR_EVER)),
        )
