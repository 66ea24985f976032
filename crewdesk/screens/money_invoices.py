"""The invoices of a job, with what was paid, credited and voided, and how each stands."""

from crewdesk.job.books.job_money import JobMoney
from crewdesk.job.books.numbers import document_id, document_with_id
from crewdesk.job.books.trail import HeadedDocument
from crewdesk.paper.invoice import KINDS, stands_told
from crewdesk.paper.letter import money
from crewdesk.paper.plain import plain
from crewdesk.screens.leaf import Leaf, none_rows
from crewdesk.screens.lines import Row
from crewdesk.store.books import JobBooks
from crewdesk.trade.books.invoice import Credit

_NONE = "No invoice yet.  {invoice} shows the next one as it would be; there it is issued."


class InvoicesLeaf(Leaf):
    """A line for each document, the latest first; enter shows it, with its payments."""

    NAME = "Invoices"

    def heads(self, books: JobBooks, width: int) -> str:
        date = f"{'date':<10}" if _dated(width) else ""
        return f"  no.  {'kind':<9}{date}{'total':>12}{'balance':>12}  how it stands"

    def rows(self, books: JobBooks, width: int) -> list[Row]:
        found = books.money
        rows = [
            _row(books.books.headed(one.number), found, width, document_id(books.books, one.number))
            for one in reversed(found.documents)
        ]
        return rows or none_rows(self.keyed(_NONE), width)

    def about(self, books: JobBooks, key: str) -> str:
        if not key:
            return "A deposit comes first, then progress by what is ticked, then the final one."
        found = books.money
        document = document_with_id(books.books, key).document
        if isinstance(document, Credit):
            return (
                f"Takes back {money(-document.total)} of invoice {document.of}.\n"
                f"Reason: {plain(document.reason)}"
            )
        stands = found.standings[document.number]
        return (
            f"Paid {money(stands.paid)}, credited {money(stands.credited)}, "
            + (f"credit applied {money(stands.applied)}, " if stands.applied else "")
            + f"due on {stands.due_on}.\n"
            + self.keyed("{open} shows it: payments, credit, void, file.")
        )

    def change(self, books: JobBooks, key: str) -> None:
        """Show the document under the cursor."""
        if key:
            self.app.open("an-invoice", key)


def _dated(width: int) -> bool:
    """Whether there is room for the date, which Enter shows, too."""
    return width >= 70


def _row(headed: HeadedDocument, found: JobMoney, width: int, key: str) -> Row:
    document = headed.document
    sent = f", first sent as {headed.was[0]}" if headed.was else ""
    kind = KINDS[document.kind].lower()
    date = f"{document.issued_on:%Y-%m-%d}" if _dated(width) else ""
    start = f"{document.number:>5}  {kind:<9}{date}"
    if isinstance(document, Credit):
        parts = [
            (f"{start}{money(document.total):>12}", "muted"),
            (f"{'':>12}  of invoice {document.of}{sent}", "muted"),
        ]
        return Row(tuple(parts), key)
    stands = found.standings[document.number]
    told = stands_told(stands, voided=document.number in found.voided)
    ink = "wrong" if stands.overdue else "running" if stands.balance > 0 else "muted"
    parts = [
        (f"{start}{money(document.total):>12}", "text"),
        (f"{money(stands.balance):>12}", "strong"),
        (f"  {told}{sent}", ink),
    ]
    return Row(tuple(parts), key)
