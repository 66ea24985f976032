"""The hours: every time entry by day, with totals and oddities; the questions about an entry."""

from collections.abc import Iterable
from datetime import timedelta, tzinfo

from rich.text import Text
from textual import on
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.beams.piece import Spot
from crewdesk.job.record import Record
from crewdesk.job.time.clock import mend, remove, running
from crewdesk.job.time.entry import Entry
from crewdesk.job.time.entry_fixes import join, mendings, neighbour, odd, oddity_text
from crewdesk.job.time.logged import Day, by_day, entry_day, on_site, site_zone
from crewdesk.job.time.typed_entry import added, mended, moved, shown_entry, split_at
from crewdesk.paper.plain import plain
from crewdesk.screens.hours.rows import entry_told, hour_heads, hour_rows, totals
from crewdesk.screens.parts.ask import Field, ask_change, choose, filled, make_sure
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.list_page import LinesPage
from crewdesk.screens.parts.program import Program
from crewdesk.screens.parts.sheet import MarkSheet
from crewdesk.sentence import many
from crewdesk.trade.books.dates import weekday
from crewdesk.trade.books.durations import Oddity, to_the_minute

_WHEN = "8-12, 12:30-16, or mon 2pm for 1h20"
_DAYS = "today, yesterday, mon, 3/9, 2026-03-09"
_ADD = "add"
_MORE = (
    Field("stage", "Stage", hint="its number or its name"),
    Field("note", "Note"),
    Field("billed", "Billable", answers=("yes", "no")),
    Field("rate", "Hourly rate", hint="empty: the usual rate"),
    Field("order", "Change order", hint="its number, if it is extra work"),
)


def ask_added(app: Program, when: str = "", zone: tzinfo | None = None) -> None:
    """Ask for an entry; `when` is already filled in, in the zone `zone`."""
    zone = zone or _zone(app, None)
    latest = app.record.entries[-1:]
    stage = app.record.stages.name_of(latest[0].stage) if latest else ""
    ask_change(
        app,
        "Add time by hand",
        (Field("when", "When", when, _WHEN), *filled(_MORE, {"stage": stage, "billed": "yes"})),
        lambda record, answer, now: added(record, answer, now, zone),
        does="Add it",
        about=_stages_told(app.record),
    )


def ask_mended(app: Program, entry: Entry) -> None:
    """Ask for corrected values of an entry."""
    zone = _zone(app, entry)
    shown = shown_entry(app.record, entry, zone)
    stop = "empty while the clock runs" if entry.running else "11:45, or how long it took: 1h20"
    ask_change(
        app,
        "Change the entry",
        (
            Field("day", "Day", shown["day"], _DAYS),
            Field("start", "Start", shown["start"], "7:30"),
            Field("stop", "Stop", shown["stop"], stop),
            *filled(_MORE, shown),
        ),
        lambda record, answer, now: mended(record, entry.row, answer, now, zone),
        about=_stages_told(app.record),
    )


def ask_mending(app: Program, oddity: Oddity) -> None:
    """Ask how to fix an oddity; in a gap, an entry can be added."""
    ways = {one.key: one for one in mendings(app.record, oddity, app.now())}
    begin = oddity.start + timedelta(seconds=-oddity.start.second % 60)
    buttons = [(key, _upper(one.words)) for key, one in ways.items()]
    if oddity.sort == "gap":
        buttons.append((_ADD, "A gap or another entry is between them"))

    def chosen(way: str) -> None:
        if way == _ADD:
            when = f"{begin:%Y-%m-%d %H:%M}-{oddity.stop:%H:%M}"
            ask_added(app, when, begin.tzinfo)
        else:
            app.do(lambda record, now: ways[way].change)

    choose(app, oddity_text(app.record, oddity), buttons, chosen)


def ask_split(app: Program, entry: Entry) -> None:
    """Ask where to split an entry."""
    zone = _zone(app, entry)
    start = on_site(app.record, entry.start)
    stop = on_site(app.record, entry.stop or app.now())
    ask_change(
        app,
        "Split the entry in two",
        (Field("at", "The second starts at", "", "9:55"),),
        lambda record, answer, now: split_at(record, entry.row, answer["at"], now, zone),
        does="Split it",
        about=f"It goes from {start:%H:%M} to {stop:%H:%M}.",
    )


def ask_moved(app: Program, entry: Entry) -> None:
    """Ask for an entry's new start; it keeps its length."""
    zone = _zone(app, entry)
    shown = shown_entry(app.record, entry, zone)
    ask_change(
        app,
        "Move the entry; its length stays",
        (Field("day", "Day", shown["day"], _DAYS), Field("start", "Start", shown["start"], "7:30")),
        lambda record, answer, now: moved(record, entry.row, answer, now, zone),
        does="Move it",
    )


def ask_removed(app: Program, entry: Entry) -> None:
    """Ask whether to remove an entry."""
    record = app.record
    start = on_site(record, entry.start)

    make_sure(
        app,
        f"Remove {to_the_minute(entry.lasted(app.now()))} on "
        f"{record.stages.name_of(entry.stage)}, {weekday(start.date())} from {start:%H:%M}?",
        "Remove it",
        lambda: app.do(lambda record, now: remove(record, entry.row, now)),
    )


def _zone(app: Program, entry: Entry | None) -> tzinfo:
    """Return the zone of typed times: the site's or, without one, the entry's, or the business's
    for a new entry."""
    kept = entry.start.tzinfo if entry else None
    return site_zone(app.record) or kept or app.zone


def _stages_told(record: Record) -> str:
    return "  ".join(f"{number} {one.name}" for number, one in enumerate(record.stages.work, 1))


def _upper(words: str) -> str:
    return words[:1].upper() + words[1:]


class PiecesSheet(MarkSheet[None, Spot]):
    """Every piece of the job, those of the entry marked."""

    AREA = "pieces-of-an-entry"
    KEYS = (
        "{in-or-out}: in or out.  {all-pieces}: all.  {no-piece}: none.  {keep}: save. "
        " {leave}: cancel."
    )
    asks = "Which pieces was it for?"

    def __init__(self, entry: Entry) -> None:
        super().__init__()
        self._entry = entry
        self.marked = set(entry.pieces or ())

    def body(self) -> Iterable[Widget]:
        yield Lines()
        yield Static(id="count", classes="about", markup=False)

    def things(self) -> Iterable[tuple[str, str, Spot | None]]:
        for beam in self.program.record.beams:
            yield "", beam.label, None
            for key, piece in beam.pieces.items():
                yield f"{beam.row} {key}", piece.name, Spot(beam.row, key)

    def show(self) -> None:
        super().show()
        count = len(self.marked)
        text = f"{many(count, 'piece')}" if count else "No pieces chosen"
        self.query_one("#count", Static).update(text)

    @property
    def _every(self) -> list[Spot]:
        return [one for _, _, one in self.things() if one is not None]

    def action_all(self) -> None:
        self.marked = set(self._every)
        self.show()

    def action_none(self) -> None:
        self.marked = set()
        self.show()

    def action_keep(self) -> None:
        app, row = self.program, self._entry.row
        spots = tuple(spot for spot in self._every if spot in self.marked)
        self.dismiss()
        if set(spots) != set(self._entry.pieces or ()):
            app.do(lambda record, now: mend(record, row, now, pieces=spots))


_NONE_YET = """
  No time has been logged on this job.

  {everywhere.clock}  starts the clock on a stage with one key.
  {add}   adds an entry: 7:30-11:45, or mon 2pm for 1h20.
"""
_ODD = "odd "
_LOOK_EVERY = 10


class HoursPage(LinesPage):
    """Entries by day, the newest first."""

    WHERE = "{job} · hours"
    AREA = "hours"
    DEFAULT_CSS = """
    HoursPage #here { height: 3; padding: 0 2 0 1; }
    HoursPage #totals { height: auto; padding: 0 1; background: $surface; }
    HoursPage #heads { color: $muted; text-style: none; }
    """

    def above(self) -> Iterable[Widget]:
        yield Static(id="totals", markup=False)
        yield Static(id="heads", markup=False)

    def on_mount(self) -> None:
        """While a clock runs, count it up."""
        self.set_interval(_LOOK_EVERY, self._look)

    def _look(self) -> None:
        if running(self.program.record) is not None:
            self.show()

    def rows(self) -> list[Row]:
        record, now = self.program.record, self.program.now()
        days = by_day(record, now)
        self._strange = {f"{_ODD}{n}": one for n, one in enumerate(odd(record, now))}
        summed = self.query_one("#totals", Static)
        heads = self.query_one("#heads", Static)
        summed.display = bool(days)
        summed.update(totals(record, now, self.size.width - 3))
        width = self.size.width - 2
        shown = days or (Day(entry_day(record, now), (), timedelta(0)),)
        heads.update(Text(hour_heads(record, shown, now, width), no_wrap=True))
        rows = hour_rows(record, shown, now, self._strange, width)
        if not days:
            rows += [Row((line, "text")) for line in self.with_keys(_NONE_YET).splitlines()]
        return rows

    def about(self, key: str) -> Text:
        record, now = self.program.record, self.program.now()
        text, entry = "", self._entry
        if (oddity := self._oddity) is not None:
            text = f"{plain(oddity_text(record, oddity))}\n" + self.with_keys(
                "Press {mend} to fix it."
            )
        elif entry is not None:
            rule = self.program.shop.rounding
            text = entry_told(record, entry, now, rule)
        return Text(text, overflow="ellipsis")

    @property
    def _oddity(self) -> Oddity | None:
        return self._strange.get(self.key)

    @property
    def _entry(self) -> Entry | None:
        key = self.key
        return self.program.record.entry(key) if key and key not in self._strange else None

    def needed(self, what: str) -> tuple[Entry] | None:
        return (self._entry,) if self._entry else None

    @on(Lines.Chosen)
    def action_mend(self) -> None:
        if (oddity := self._oddity) is not None:
            ask_mending(self.program, oddity)
        elif (entry := self._entry) is not None:
            ask_mended(self.program, entry)

    def action_join(self) -> None:
        if (entry := self._entry) is not None:
            row = entry.row
            self.program.do(lambda record, now: join(record, row, neighbour(record, row), now))

    def action_next_odd(self) -> None:
        lines = self.query_one(Lines)
        keys = [row.key for row in lines.rows if row.key in self._strange]
        if not keys:
            self.tell("No problems: no overlap, no gap within a day, no entry over 12 h.")
            return
        places = [at for at, row in enumerate(lines.rows) if row.key in self._strange]
        after = [at for at in places if at > lines.at]
        lines.go_to(lines.rows[(after or places)[0]].key)
