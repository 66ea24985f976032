"""The hours: every time entry by day, with its totals and what is odd; mended by hand."""

from collections.abc import Iterable
from datetime import tzinfo
from typing import TYPE_CHECKING, ClassVar

from dateutil.tz import tzlocal
from rich.text import Text
from textual import on
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.clock import remove, running
from crewdesk.job.entry import Entry
from crewdesk.job.logged import by_day, on_site, site_zone
from crewdesk.job.mend_entries import join, neighbour
from crewdesk.job.odd_entries import mendings, odd
from crewdesk.job.odd_entries import told as odd_told
from crewdesk.job.record import Record
from crewdesk.job.typed_entry import added, mended, moved, shown_entry, split_at
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import Answer, Ask, Choose, Line
from crewdesk.screens.ask_change import ask_change
from crewdesk.screens.hour_rows import entry_told, hour_rows, totals
from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.lines_page import LinesPage
from crewdesk.screens.pieces import PiecesSheet
from crewdesk.screens.planned import PlannedPage
from crewdesk.screens.words import hours
from crewdesk.trade.books.entries import Oddity

if TYPE_CHECKING:
    from crewdesk.screens.app import CrewdeskApp

_NONE_YET = """
  No time was logged on this job yet.

  F2  starts the clock on a stage with one key.
  a   adds an entry by hand: 7:30-11:45, or yesterday 2pm for 1h20.
"""
_WHEN = "7:30-11:45, or mon 2pm for 1h20"
_ODD = "odd "
_LOOK_EVERY = 10


def open_hours(app: "CrewdeskApp") -> None:
    """Show the hours, unless they are in front."""
    if not isinstance(app.screen, HoursPage):
        app.push_screen(HoursPage())


class HoursPage(LinesPage):
    """Entries by day, the newest first."""

    KEYS_OF = "Hours"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "Add"),
        Binding("enter", "mend", "Mend"),
        Binding("p", "pieces", "Pieces"),
        Binding("s", "split", "Split"),
        Binding("j", "join", "Join with the nearest", show=False),
        Binding("v", "move", "Move", show=False),
        Binding("o", "next_odd", "Next odd", show=False),
        Binding("d", "planned", "Planned days", show=False),
        Binding("delete,backspace", "remove", "Remove", key_display="del"),
        Binding("escape", "leave", "Back"),
    ]
    DEFAULT_CSS = """
    HoursPage #totals { height: auto; padding: 0 1; background: $surface; }
    HoursPage Lines { padding: 0 0 0 1; }
    """

    @property
    def where(self) -> str:
        return f"{self.desk_app.record.job.name} · hours"

    def above(self) -> Iterable[Widget]:
        yield Static(id="totals", markup=False)

    def on_mount(self) -> None:
        """While a clock runs, count it up."""
        self.set_interval(_LOOK_EVERY, self._look)

    def _look(self) -> None:
        if running(self.desk_app.record) is not None:
            self.show()

    def rows(self) -> list[Row]:
        record, now = self.desk_app.record, self.desk_app.now()
        days = by_day(record, now)
        self._strange = {f"{_ODD}{n}": one for n, one in enumerate(odd(record, now))}
        summed = self.query_one("#totals", Static)
        summed.display = bool(days)
        if not days:
            return [Row(((line, "text"),)) for line in _NONE_YET.splitlines()]
        summed.update(totals(record, now, self.size.width - 2))
        return hour_rows(record, days, now, self._strange)

    def about(self, key: str) -> Text:
        record, now = self.desk_app.record, self.desk_app.now()
        told, entry = "", self._entry
        if (oddity := self._oddity) is not None:
            told = f"{plain(odd_told(record, oddity))}\nEnter mends it."
        elif entry is not None:
            rule = self.desk_app.desk.shop.shop().rounding
            told = entry_told(record, entry, now, rule)
        return Text(told, overflow="ellipsis")

    @property
    def _oddity(self) -> Oddity | None:
        return self._strange.get(self.key)

    @property
    def _entry(self) -> Entry | None:
        key = self.key
        return self.desk_app.record.entry(key) if key and key not in self._strange else None

    def _zone(self, entry: Entry | None) -> tzinfo:
        """The zone that typed times are in: the site's or, without one, that of the clock."""
        kept = entry.start.tzinfo if entry else None
        return site_zone(self.desk_app.record) or kept or tzlocal()

    def action_add(self) -> None:
        """Ask for an entry."""
        app, zone = self.desk_app, self._zone(None)
        latest = app.record.entries[-1:]
        stage = app.record.stages.name_of(latest[0].stage) if latest else ""

        def given(answer: Answer | None) -> None:
            if answer is not None:
                app.do(lambda record, now: added(record, answer, now, zone))

        self.app.push_screen(
            Ask(
                "Add time by hand",
                (Line("when", "When", "", _WHEN), *_more({"stage": stage, "billed": "yes"})),
                lambda answer: added(app.record, answer, app.now(), zone),
                does="Add it",
                about=_stages_told(app.record),
            ),
            callback=given,
        )

    @on(Lines.Chosen)
    def action_mend(self) -> None:
        """Ask for other values of the entry under the cursor, or how to mend what is odd."""
        if (oddity := self._oddity) is not None:
            self._ask_mending(oddity)
            return
        entry = self._entry
        if entry is None:
            return
        app, zone = self.desk_app, self._zone(entry)

        def given(answer: Answer | None) -> None:
            if answer is not None:
                app.do(lambda record, now: mended(record, entry.row, answer, now, zone))

        self.app.push_screen(
            Ask(
                "Mend the entry",
                _lines(shown_entry(app.record, entry, zone), runs=entry.running),
                lambda answer: mended(app.record, entry.row, answer, app.now(), zone),
                does="Save",
                about=_stages_told(app.record),
            ),
            callback=given,
        )

    def _ask_mending(self, oddity: Oddity) -> None:
        app = self.desk_app
        ways = {one.key: one for one in mendings(app.record, oddity, app.now())}

        def chosen(way: str | None) -> None:
            if way is not None:
                app.do(lambda record, now: ways[way].change)

        self.app.push_screen(
            Choose(
                odd_told(app.record, oddity),
                [(key, _upper(one.words)) for key, one in ways.items()],
            ),
            callback=chosen,
        )

    def action_pieces(self) -> None:
        """Ask which pieces the entry under the cursor was for."""
        if (entry := self._entry) is not None:
            self.app.push_screen(PiecesSheet(entry))

    def action_split(self) -> None:
        """Ask where the entry under the cursor is split."""
        entry = self._entry
        if entry is None:
            return
        zone, row = self._zone(entry), entry.row
        start = on_site(self.desk_app.record, entry.start)
        stop = on_site(self.desk_app.record, entry.stop or self.desk_app.now())
        ask_change(
            self.desk_app,
            "Split the entry in two",
            (Line("at", "The second starts at", "", "9:55"),),
            lambda record, answer, now: split_at(record, row, answer["at"], now, zone),
            does="Split it",
            about=f"It goes from {start:%H:%M} to {stop:%H:%M}.",
        )

    def action_join(self) -> None:
        """Make one entry of the one under the cursor and the nearest of its kind."""
        entry = self._entry
        if entry is None:
            return
        row = entry.row
        self.desk_app.do(lambda record, now: join(record, row, neighbour(record, row), now))

    def action_move(self) -> None:
        """Ask when the entry under the cursor began; it lasts as long as before."""
        entry = self._entry
        if entry is None:
            return
        zone, row = self._zone(entry), entry.row
        shown = shown_entry(self.desk_app.record, entry, zone)
        ask_change(
            self.desk_app,
            "Move the entry; it lasts as long",
            (
                Line("day", "Day", shown["day"], "today, yesterday, mon, 3/9, 2026-03-09"),
                Line("start", "Start", shown["start"], "7:30"),
            ),
            lambda record, answer, now: moved(record, row, answer, now, zone),
            does="Move it",
        )

    def action_next_odd(self) -> None:
        """Go to the next thing that is odd."""
        lines = self.query_one(Lines)
        keys = [row.key for row in lines.rows if row.key in self._strange]
        if not keys:
            self.tell("Nothing is odd: no overlap, no gap within a day, no entry over 12 h.")
            return
        places = [at for at, row in enumerate(lines.rows) if row.key in self._strange]
        after = [at for at in places if at > lines.at]
        lines.go_to(lines.rows[(after or places)[0]].key)

    def action_planned(self) -> None:
        """Open the planned days."""
        self.app.push_screen(PlannedPage())

    def action_remove(self) -> None:
        """Ask whether the entry under the cursor goes."""
        entry = self._entry
        if entry is None:
            return
        app = self.desk_app
        record = app.record
        start = on_site(record, entry.start)

        def chosen(way: str | None) -> None:
            if way is not None:
                app.do(lambda record, now: remove(record, entry.row, now))

        self.app.push_screen(
            Choose(
                f"Remove {hours(entry.lasted(app.now()))} on {record.stages.name_of(entry.stage)}, "
                f"{start:%a %Y-%m-%d} from {start:%H:%M}?",
                (("yes", "Remove it"),),
            ),
            callback=chosen,
        )


def _lines(shown: dict[str, str], *, runs: bool) -> tuple[Line, ...]:
    stop = "empty while the clock runs" if runs else "11:45, or how long it took: 1h20"
    return (
        Line("day", "Day", shown["day"], "today, yesterday, mon, 3/9, 2026-03-09"),
        Line("start", "Start", shown["start"], "7:30"),
        Line("stop", "Stop", shown["stop"], stop),
        *_more(shown),
    )


def _more(shown: dict[str, str]) -> tuple[Line, ...]:
    asks = (
        ("stage", "Stage", "its number or its name"),
        ("note", "Note", ""),
        ("billed", "Billed", "yes or no"),
        ("rate", "Rate an hour", "empty: the usual rate"),
        ("order", "Change order", "its number, if it is extra work"),
    )
    return tuple(Line(key, ask, shown.get(key, ""), hint) for key, ask, hint in asks)


def _stages_told(record: Record) -> str:
    return "  ".join(f"{number} {one.name}" for number, one in enumerate(record.stages.work, 1))


def _upper(words: str) -> str:
    return words[:1].upper() + words[1:]
