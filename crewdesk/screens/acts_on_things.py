"""What can be done with one thing out of several: a batch, a document, an entry's pieces."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.screen import Screen

from crewdesk.job.logged import on_site
from crewdesk.paper.invoice import KINDS, stands_told
from crewdesk.paper.letter import money
from crewdesk.paper.plain import plain
from crewdesk.screens.going import JOBS, RUN_SHEET
from crewdesk.trade.books.accounts import standing
from crewdesk.trade.books.durations import to_the_minute
from crewdesk.trade.books.invoice import Credit, void_of

if TYPE_CHECKING:
    from crewdesk.screens.app import CrewdeskApp

_MOST = 20
"""So many documents and entries, the latest."""


@dataclass(frozen=True)
class Thing:
    """One of several things of a sort: the name of the page that is about one, its words, what
    is told of it, the page over which it opens, what opens it, and which actions of its page
    there are (None: all)."""

    page: str
    words: str
    about: str
    over: str
    made: Callable[[], Screen[None]]
    only: frozenset[str] | None = None


def things(app: "CrewdeskApp") -> Iterator[Thing]:
    """Every batch that is ready, the latest documents and entries, as they stand."""
    if app.job is not None:
        yield from _batches(app)
        yield from _entries(app)
    yield from _documents(app)


def _batches(app: "CrewdeskApp") -> Iterator[Thing]:
    from crewdesk.screens.batch import BatchSheet
    from crewdesk.screens.run_sheet import RunSheetPage

    page = next((one for one in app.screen_stack if isinstance(one, RunSheetPage)), None)
    for batch in page.sheet.batches() if page else ():
        count = len(batch.spots)
        yield Thing(
            "batch",
            plain(f"Batch {batch.stage.name}: {batch.step.name}"),
            f"{count} piece{' is' if count == 1 else 's are'} ready.",
            RUN_SHEET,
            lambda page=page, batch=batch: BatchSheet(page.sheet, batch),  # type: ignore[misc]
            frozenset({"tick-all", "paper", "cautions"}),
        )


def _entries(app: "CrewdeskApp") -> Iterator[Thing]:
    from crewdesk.screens.pieces import PiecesSheet

    record, now = app.record, app.now()
    for entry in reversed(record.entries[-_MOST:]):
        start = on_site(record, entry.start)
        many = f"{len(entry.pieces)} told" if entry.pieces else "none told yet"
        yield Thing(
            "pieces-of-an-entry",
            f"Pieces of {start:%a %Y-%m-%d %H:%M}, {plain(record.stages.name_of(entry.stage))}",
            f"{to_the_minute(entry.lasted(now))}, {many}.",
            "hours",
            lambda entry=entry: PiecesSheet(entry),  # type: ignore[misc]
            frozenset({"all-pieces", "no-piece"}),
        )


def _documents(app: "CrewdeskApp") -> Iterator[Thing]:
    from crewdesk.job.books.numbers import document_id
    from crewdesk.screens.issued import IssuedPage

    books, today = app.desk.shop.record(), app.today
    trail, payments = books.trail, books.payments
    for document in reversed(trail[-_MOST:]):
        number = document.number
        only = None
        if isinstance(document, Credit):
            words = f"{KINDS[document.kind]} {number} of invoice {document.of}"
            about, only = f"{money(document.total)}.", frozenset({"save"})
        else:
            words = f"Invoice {number}, {plain(document.draft.customer) or 'nobody named'}"
            stands = standing(document, trail, payments, max(today, document.issued_on))
            told = stands_told(stands, voided=void_of(number, trail) is not None)
            about = f"{money(document.total)}, {told}."
        yield Thing(
            "an-invoice",
            words,
            about,
            RUN_SHEET if app.job is not None else JOBS,
            lambda number=number: IssuedPage(document_id(books, number)),  # type: ignore[misc]
            only,
        )
