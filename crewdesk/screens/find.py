"""Find: jobs, beams, readings, notes and actions, from everywhere."""

import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import islice
from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input, Static

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams.piece import Spot
from crewdesk.job.books.documents import document_id
from crewdesk.job.findable import Findable, findable, matches, pieces_named
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.time.logged import on_site
from crewdesk.paper.documents.invoice import KINDS, standing_text
from crewdesk.paper.documents.letter import money
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.actions import ACTIONS, AREAS, EVERYWHERE, key_words
from crewdesk.screens.parts.going import JOBS, RUN_SHEET, come_to, drawn, in_turn
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.page import front
from crewdesk.screens.parts.program import Program
from crewdesk.screens.parts.sheet import Sheet
from crewdesk.screens.parts.terminal import TypedLine
from crewdesk.store.folder import Listed
from crewdesk.store.search_index import Found, SearchIndex
from crewdesk.trade.books.accounts import standing
from crewdesk.trade.books.dates import weekday
from crewdesk.trade.books.durations import to_the_minute
from crewdesk.trade.books.invoice import Credit, void_of

_LATEST = 20
"""The most documents and entries that are listed, the latest."""
_BARE = {"back", "leave", "jobs"}
"""Actions that only navigate."""


@dataclass(frozen=True)
class Act:
    """An action: its words with its page's, its keys, its description, whether it is on the page in
    front, the function that does it, whether it is about one of several things (a batch, an
    invoice, an entry), and other words for it."""

    words: str
    keys: str
    about: str
    here: bool
    do: Callable[[], None]
    of_one: bool = False
    also: str = ""


@dataclass(frozen=True)
class _Thing:
    """One of several things of a sort: its page's name, its words, its description, the page over
    which it opens, the arguments of its page, and its actions (None: all)."""

    page: str
    words: str
    about: str
    over: str
    args: tuple[Any, ...]
    only: frozenset[str] | None = None


def acts(app: Program) -> list[Act]:
    """Return every action possible from the page in front, its own first."""
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
    """Return the actions for each of several things: to open it, and its page's."""
    for thing in _things(app):
        yield Act(thing.words, "", thing.about, False, partial(_do_with, app, thing, ""), True)
        for one in AREAS[thing.page].actions:
            if one.name in _BARE or (thing.only is not None and one.name not in thing.only):
                continue
            keys = key_words(app.key(one.id))
            do = partial(_do_with, app, thing, one.does)
            yield Act(f"{thing.words}: {one.words}", keys, one.about, False, do, True)


def _do_with(app: Program, thing: _Thing, action: str) -> None:
    """Open a thing over its page, and run an action there."""

    async def do() -> None:
        if await come_to(app, thing.over):
            app.open(thing.page, *thing.args)
            await drawn(app)
            if action:
                await app.screen.run_action(action)

    in_turn(app, do)


def _reached(app: Program, page: str) -> bool:
    """Return whether a page can be opened now: a job's only while one is open."""
    while way := AREAS[page].way:
        page = ACTIONS[way].area
    return page in (EVERYWHERE, JOBS) or (page == RUN_SHEET and app.job is not None)


def _do(app: Program, page: str, action: str) -> None:
    """Open a page if it isn't in front, and run an action there."""

    async def do() -> None:
        if not page or await come_to(app, page):
            await app.screen.run_action(action)

    if page == EVERYWHERE:
        app.run_worker(app.run_action(action), group="way")
    else:
        in_turn(app, do)


# What can be done with one thing out of several: a batch, a document, an entry's pieces


def _things(app: Program) -> Iterator[_Thing]:
    """Return every ready batch, and the latest documents and entries."""
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
    for entry in reversed(record.entries[-_LATEST:]):
        start = on_site(record, entry.start)
        many = f"{len(entry.pieces)} told" if entry.pieces else "no pieces chosen"
        yield _Thing(
            "pieces-of-an-entry",
            f"Pieces of {weekday(start.date())} {start:%H:%M}, "
            f"{plain(record.stages.name_of(entry.stage))}",
            f"{to_the_minute(entry.lasted(now))}, {many}.",
            "hours",
            (entry,),
            frozenset({"all-pieces", "no-piece"}),
        )


def _documents(app: Program) -> Iterator[_Thing]:
    books, today = app.books, app.today
    trail, payments = books.trail, books.payments
    for document in reversed(trail[-_LATEST:]):
        number = document.number
        only = None
        if isinstance(document, Credit):
            words = f"{KINDS[document.kind]} {number} of invoice {document.of}"
            about, only = f"{money(document.total)}.", frozenset({"save"})
        else:
            words = f"Invoice {number}, {plain(document.draft.customer) or 'no customer'}"
            stands = standing(document, trail, payments, max(today, document.issued_on))
            told = standing_text(stands, voided=void_of(number, trail) is not None)
            about = f"{money(document.total)}, {told}."
        yield _Thing(
            "an-invoice",
            words,
            about,
            RUN_SHEET if app.job is not None else JOBS,
            (document_id(books, number),),
            only,
        )


_RECENT, _MOST, _MOST_OF_ONE = 8, 40, 16
_KEYS = "Enter: go there, or do it.  ↑↓: another line.  {leave}: leave."
_HINT = "a job, a beam, a reading, a note, or what you want to do"
_HEADS = {"beam": "Beams", "reading": "Readings", "note": "Notes"}
BREATH = 0.005
"""The pause between two jobs that are indexed, in seconds, to let keys through."""


@dataclass(frozen=True)
class _Hit:
    """A line to choose: its head, its words, its description, its action."""

    head: str
    words: str
    more: str
    go: Callable[[], None]


class Wanted(TypedLine):
    """The search field; Up and Down move through the results."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "screen.move(-1)", show=False),
        Binding("down", "screen.move(1)", show=False),
        Binding("pageup", "screen.move(-8)", show=False),
        Binding("pagedown", "screen.move(8)", show=False),
    ]


class FindSheet(Sheet[None]):
    """The search field with the results below: the open job and actions at once, other jobs a
    moment later."""

    AREA = "find"
    DEFAULT_CSS = """
    FindSheet .question { width: 90; height: 92%; padding: 0 1; }
    FindSheet Wanted { background: $panel; margin: 0 0 1 0; }
    FindSheet Lines { height: 1fr; background: $surface; }
    FindSheet Lines > .lines--here { background: $cursor; }
    FindSheet .about { margin: 0; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._hits: list[_Hit] = []
        self._own: list[tuple[str, Findable]] = []
        self._jobs: list[tuple[str, Listed, str]] = []
        self._acts: list[Act] = []
        self._elsewhere: list[Found] = []
        self._trouble = ""

    def compose(self) -> ComposeResult:
        with Vertical(classes="question"):
            yield Wanted(placeholder=_HINT, compact=True)
            yield Lines()
            yield Static(self.with_keys(_KEYS), classes="about keys", markup=False)

    def on_mount(self) -> None:
        """Begin with the recent jobs; read in the background what changed in the others."""
        self.query_one(Lines).can_focus = False
        self.query_one(Wanted).focus()
        app = self.program
        self._acts = acts(app)
        if app.job is not None:
            self._own = [(one.text.casefold(), one) for one in findable(app.record)]
        self._jobs = [_job_told(one) for one in app.listed if not one.trouble]
        self._index = SearchIndex(app.desk, app.cache_folder)
        self.run_worker(self._refresh, thread=True, group="refresh")
        self._show()

    def _refresh(self) -> None:
        """Bring the index up to date, in a thread; then look in it again."""

        def go_on() -> bool:
            time.sleep(BREATH)
            return self.is_attached

        try:
            self._index.refresh(go_on)
        except (CrewdeskError, OSError) as error:
            self._trouble = str(error)
        if self.is_attached:
            self.app.call_from_thread(self._look_elsewhere)

    @on(Input.Changed)
    def changed(self) -> None:
        """Show the immediate results, and search the other jobs."""
        self._elsewhere = []
        self._show()
        self._look_elsewhere()

    @property
    def _stands(self) -> bool:
        """Whether this sheet is still open: a thread can end after it is closed."""
        return self.is_attached and bool(self.query(Wanted)) and bool(self.query(Lines))

    def _look_elsewhere(self) -> None:
        if self._stands and (text := self.query_one(Wanted).value.strip()):
            look = partial(self._find_elsewhere, text)
            self.run_worker(look, thread=True, group="find", exclusive=True)

    def _find_elsewhere(self, text: str) -> None:
        try:
            found = self._index.find(text, _MOST)
        except (CrewdeskError, OSError) as error:
            found, self._trouble = [], str(error)
        if self.is_attached:
            self.app.call_from_thread(self._found_elsewhere, text, found)

    def _found_elsewhere(self, text: str, found: list[Found]) -> None:
        if self._stands and self.query_one(Wanted).value.strip() == text:
            here = self.program.job.id if self.program.job else ""
            self._elsewhere = [one for one in found if one.job != here and one.sort != "job"]
            self._show()

    def _show(self) -> None:
        text = self.query_one(Wanted).value.strip()
        words = text.casefold().split()
        self._hits = list(self._found(words) if words else self._offered())
        rows: list[Row] = []
        for at, hit in enumerate(self._hits):
            if not at or hit.head != self._hits[at - 1].head:
                rows.append(Row((hit.head, "head")))
            rows.append(Row((f"  {hit.words}", "strong"), (f"  {hit.more}", "muted"), key=str(at)))
        if not rows:
            rows = [Row((f"  No match for {text}.", "muted"))]
        if self._trouble:
            rows.append(Row((f"  {plain(self._trouble)}", "wrong")))
        lines = self.query_one(Lines)
        kept = lines.key if self._elsewhere else ""
        lines.show(rows)
        lines.go_to(kept or "0")

    def _offered(self) -> Iterable[_Hit]:
        """Return the lines for an empty search: the recent jobs, then the possible actions."""
        yield from self._jobs_with([], "Recent jobs", _RECENT)
        yield from self._done_by([], here=True)

    def _found(self, words: list[str]) -> Iterable[_Hit]:
        pieces = pieces_named(self.program.record, words) if self.program.job else ()
        for one in islice(pieces, _MOST):
            yield _Hit("Pieces", plain(one.text), "", partial(self._go_to, "", one.beam, one.piece))
        yield from islice(self._done_by(words), _MOST)
        yield from self._jobs_with(words, "Jobs", _MOST)
        yield from islice(self._done_by(words, of_one=True), _MOST_OF_ONE)
        for sort, head in _HEADS.items():
            own = (it for told, it in self._own if it.sort == sort and _holds(told, words))
            for one in islice(own, _MOST):
                go = partial(self._go_to, "", one.beam, one.piece)
                yield _Hit(head, plain(one.text), "", go)
        names = {one.id: one.name for one in self.program.listed}
        for found in self._elsewhere:
            go = partial(self._go_to, found.job, found.beam, found.piece)
            yield _Hit("In other jobs", plain(found.text), names.get(found.job, found.job), go)

    def _jobs_with(self, words: list[str], head: str, most: int) -> Iterable[_Hit]:
        found = (one for one in self._jobs if _holds(one[0], words))
        for _, job, told in islice(found, most):
            yield _Hit(head, plain(job.name), plain(told), partial(self._go_to, job.id, "", ""))

    def _done_by(
        self, words: list[str], *, here: bool = False, of_one: bool = False
    ) -> Iterable[_Hit]:
        every = [one for one in self._acts if one.of_one == of_one]
        found = [one for one in every if matches(f"{one.words} {one.about} {one.also}", words)]
        head = "Batches, invoices, entries" if of_one else "To do"

        def order(act: Act) -> tuple[bool, bool, bool]:
            told = f"{act.words} {act.about}"
            return not act.here, not matches(act.words, words), not matches(told, words)

        for one in sorted(found, key=order):
            if one.here or not here:
                yield _Hit(head, one.words, f"{one.keys}  {one.about}".strip(), one.do)

    def _go_to(self, job: str, beam: str, piece: str) -> None:
        self.program.go_to(job, Spot(beam, piece) if beam else None)

    def action_move(self, by: int) -> None:
        self.query_one(Lines).action_move(by)

    @on(Input.Submitted)
    @on(Lines.Chosen)
    def choose(self) -> None:
        """Open the line under the bar, or run it."""
        if key := self.query_one(Lines).key:
            go = self._hits[int(key)].go
            self.dismiss()
            self.app.call_later(go)


def _job_told(one: Listed) -> tuple[str, Listed, str]:
    """Return a job with its words, casefolded, and its description."""
    told = " · ".join(one.summary[key] for key in ("customer", "site") if one.summary.get(key))
    return f"{one.name} {told}".casefold(), one, told


def _holds(casefolded: str, words: list[str]) -> bool:
    return all(word in casefolded for word in words)
