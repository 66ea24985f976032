"""Everything that can be done, in words, from whichever page one is on."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from crewdesk.job.books.numbers import document_id
from crewdesk.job.logged import on_site
from crewdesk.job.run_sheet import RunSheet
from crewdesk.paper.invoice import KINDS, stands_told
from crewdesk.paper.letter import money
from crewdesk.paper.plain import plain
from crewdesk.screens.actions import ACTIONS, AREAS, EVERYWHERE, key_words
from crewdesk.screens.going import JOBS, RUN_SHEET, come_to, drawn, in_turn
from crewdesk.screens.page import front
from crewdesk.screens.program import Program
from crewdesk.trade.books.accounts import standing
from crewdesk.trade.books.durations import to_the_minute
from crewdesk.trade.books.invoice import Credit, void_of

_MOST = 20
"""So many documents and entries, the latest."""
_BARE = {"back", "leave", "jobs"}
"""Actions that only lead away."""


@dataclass(frozen=True)
class Act:
    """Something that can be done: its words with those of its page, its keys, what it is
    good for, whether it is of the page in front, what does it, whether it is about one
    thing out of several: a batch, an invoice, an entry; and other words for it."""

    words: str
    keys: str
    about: str
    here: bool
    do: Callable[[], None]
    of_one: bool = False
    also: str = ""


@dataclass(frozen=True)
class _Thing:
    """One of several things of a sort: the name of the page that is about one, its words, what
    is told of it, the page over which it opens, what its page is opened with, and which
    actions of its page there are (None: all)."""

    page: str
    words: str
    about: str
    over: str
    args: tuple[Any, ...]
    only: frozenset[str] | None = None


def acts(app: Program) -> list[Act]:
    """Everything that can be done from the page in front, its own first."""
    page_here = front(app)
    found: list[Act] = []
    for page in AREAS.values():
        here = page_here is not None and page.name == page_here.AREA
        if not here and page.name != EVERYWHERE and not _reached(app, page.name):
            continue
        for one in page.actions:
            if one.name in _BARE:
                continue
            words = one.words if here or page.name == EVERYWHERE else f"{page.words}: {one.words}"
            keys = app.key(one.id)
            do = partial(_do, app, "" if here else page.name, one.does)
            found.append(Act(words, key_words(keys), one.about, here, do, also=one.find))
    return [*sorted(found, key=lambda act: not act.here), *_on_things(app)]


def _on_things(app: Program) -> Iterator[Act]:
    """What can be done with each thing out of several: that it is opened, and what its page
    can do."""
    for thing in _things(app):
        yield Act(thing.words, "", thing.about, False, partial(_do_with, app, thing, ""), True)
        for one in AREAS[thing.page].actions:
            if one.name in _BARE or (thing.only is not None and one.name not in thing.only):
                continue
            keys = key_words(app.key(one.id))
            do = partial(_do_with, app, thing, one.does)
            yield Act(f"{thing.words}: {one.words}", keys, one.about, False, do, True)


def _do_with(app: Program, thing: _Thing, action: str) -> None:
    """Open a thing over its page, and do something there."""

    async def do() -> None:
        if await come_to(app, thing.over):
            app.open(thing.page, *thing.args)
            await drawn(app)
            if action:
                await app.screen.run_action(action)

    in_turn(app, do)


def _reached(app: Program, page: str) -> bool:
    """Whether a page can be come to now: what is of a job, only while one is open."""
    while way := AREAS[page].way:
        page = ACTIONS[way].area
    return page in (EVERYWHERE, JOBS) or (page == RUN_SHEET and app.job is not None)


def _do(app: Program, page: str, action: str) -> None:
    """Come to a page, where it is not in front, and do something there."""

    async def do() -> None:
        if not page or await come_to(app, page):
            await app.screen.run_action(action)

    if page == EVERYWHERE:
        app.run_worker(app.run_action(action), group="way")
    else:
        in_turn(app, do)


# What can be done with one thing out of several: a batch, a document, an entry's pieces


def _things(app: Program) -> Iterator[_Thing]:
    """Every batch that is ready, the latest documents and entries, as they stand."""
    if app.job is not None:
        yield from _batches(app)
        yield from _entries(app)
    yield from _documents(app)


def _batches(app: Program) -> Iterator[_Thing]:
    found = (getattr(one, "sheet", None) for one in app.screen_stack)
    sheet = next((one for one in found if isinstance(one, RunSheet)), None)
    for batch in sheet.batches() if sheet else ():
        count = len(batch.spots)
        yield _Thing(
            "batch",
            plain(f"Batch {batch.stage.name}: {batch.step.name}"),
            f"{count} piece{' is' if count == 1 else 's are'} ready.",
            RUN_SHEET,
            (sheet, batch),
            frozenset({"tick-all", "paper", "cautions"}),
        )


def _entries(app: Program) -> Iterator[_Thing]:
    record, now = app.record, app.now()
    for entry in reversed(record.entries[-_MOST:]):
        start = on_site(record, entry.start)
        many = f"{len(entry.pieces)} told" if entry.pieces else "none told yet"
        yield _Thing(
            "pieces-of-an-entry",
            f"Pieces of {start:%a %Y-%m-%d %H:%M}, {plain(record.stages.name_of(entry.stage))}",
            f"{to_the_minute(entry.lasted(now))}, {many}.",
            "hours",
            (entry,),
            frozenset({"all-pieces", "no-piece"}),
        )


def _documents(app: Program) -> Iterator[_Thing]:
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
        yield _Thing(
            "an-invoice",
            words,
            about,
            RUN_SHEET if app.job is not None else JOBS,
            (document_id(books, number),),
            only,
        )
