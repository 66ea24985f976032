"""The hours: every time entry by day, with its totals; add, mend and remove by hand."""

from collections.abc import Iterable
from datetime import date, datetime, timedelta, tzinfo
from typing import TYPE_CHECKING, ClassVar

from dateutil.tz import tzlocal
from rich.text import Text
from textual import on
from textual.binding import Binding, BindingType
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.clock import remove, running
from crewdesk.job.entry import Entry
from crewdesk.job.logged import Day, by_day, by_stage, on_day, on_site, site_zone, total
from crewdesk.job.record import Record
from crewdesk.job.typed_entry import added, mended, shown_entry
from crewdesk.screens.ask import Answer, Ask, Choose, Line
from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.page import Page
from crewdesk.screens.words import hours, plain

if TYPE_CHECKING:
    from crewdesk.screens.app import CrewdeskApp

_NONE_YET = """
  No time was logged on this job yet.

  F2  starts the clock on a stage with one key.
  a   adds an entry by hand: a day, from when to when, the stage.
"""
_STAGE = 16
_LOOK_EVERY = 10


def open_hours(app: "CrewdeskApp") -> None:
    """Show the hours, unless they are in front."""
    if not isinstance(app.screen, HoursPage):
        app.push_screen(HoursPage())


class HoursPage(Page):
    """Entries by day, the newest first."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "Add"),
        Binding("enter", "mend", "Mend"),
        Binding("delete,backspace", "remove", "Remove", key_display="del"),
        Binding("escape", "leave", "Back"),
    ]
    DEFAULT_CSS = """
    HoursPage #totals { height: auto; padding: 0 1; background: $surface; }
    HoursPage Lines { padding: 0 0 0 1; }
    HoursPage #none { height: 1fr; }
    """

    @property
    def where(self) -> str:
        return f"{self.desk_app.record.job.name} · hours"

    def body(self) -> Iterable[Widget]:
        yield Static(id="totals", markup=False)
        yield Lines()
        yield Static(_NONE_YET, id="none", markup=False)

    def on_mount(self) -> None:
        """Begin on the newest entry; while a clock runs, count it up."""
        self.query_one(Lines).focus()
        self.set_interval(_LOOK_EVERY, self._look)

    def _look(self) -> None:
        if running(self.desk_app.record) is not None:
            self._show()

    @on(Resize)
    def resized(self) -> None:
        """Fit the totals to the new width."""
        self.call_after_refresh(self._show)

    def record_changed(self, rows: frozenset[tuple[str, str]]) -> None:
        """Show the entries as they are."""
        self._show()

    def _show(self) -> None:
        record, now = self.desk_app.record, self.desk_app.now()
        lines = self.query_one(Lines)
        days = by_day(record, now)
        lines.show(_rows(record, days, now))
        lines.display = bool(days)
        self.query_one("#none").display = not days
        totals = self.query_one("#totals", Static)
        totals.display = bool(days)
        totals.update(_totals(record, now, self.size.width - 2))

    @property
    def _entry(self) -> Entry | None:
        key = self.query_one(Lines).key
        return self.desk_app.record.entry(key) if key else None

    def _zone(self, entry: Entry | None) -> tzinfo:
        """The zone that typed times are in: the site's or, without one, that of the clock."""
        kept = entry.start.tzinfo if entry else None
        return site_zone(self.desk_app.record) or kept or tzlocal()

    def action_add(self) -> None:
        """Ask for an entry."""
        app, zone = self.desk_app, self._zone(None)
        latest = app.record.entries[-1:]
        stage = app.record.stages.name_of(latest[0].stage) if latest else ""
        today = f"{app.now().astimezone(zone):%Y-%m-%d}"

        def given(answer: Answer | None) -> None:
            if answer is not None:
                app.do(lambda record, now: added(record, answer, now, zone))

        self.app.push_screen(
            Ask(
                "Add time by hand",
                _lines({"day": today, "start": "", "stop": "", "stage": stage, "note": ""}),
                lambda answer: added(app.record, answer, app.now(), zone),
                does="Add it",
                about=_stages_told(app.record),
            ),
            callback=given,
        )

    @on(Lines.Chosen)
    def action_mend(self) -> None:
        """Ask for other times, another stage or note of the entry under the cursor."""
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

    def action_leave(self) -> None:
        """Back to where one came from."""
        self.app.pop_screen()


def _lines(shown: dict[str, str], *, runs: bool = False) -> tuple[Line, ...]:
    stop = "empty while the clock runs" if runs else "11:45, or how long it took: 1h20"
    return (
        Line("day", "Day", shown["day"], "today, yesterday, mon, 3/9, 2026-03-09"),
        Line("start", "Start", shown["start"], "7:30"),
        Line("stop", "Stop", shown["stop"], stop),
        Line("stage", "Stage", shown["stage"], "its number or its name"),
        Line("note", "Note", shown["note"]),
    )


def _stages_told(record: Record) -> str:
    return "  ".join(f"{number} {one.name}" for number, one in enumerate(record.stages, 1))


def _totals(record: Record, now: datetime, width: int) -> Text:
    """The whole job's time, today's, and each stage's, as many to a line as go in whole."""
    today = total(on_day(record, on_site(record, now).date()), now)
    text = Text(no_wrap=True)
    text.append(f"Whole job {hours(total(record.entries, now))}", style="bold")
    text.append(f"   today {hours(today)}")
    line = width
    for stage, time in by_stage(record, record.entries, now):
        part = plain(f"{record.stages.name_of(stage)} {hours(time)}")
        goes_in = line + 3 + len(part) <= width
        text.append(f"   {part}" if goes_in else f"\n{part}")
        line = line + 3 + len(part) if goes_in else len(part)
    return text


def _rows(record: Record, days: Iterable[Day], now: datetime) -> list[Row]:
    """Each day's head with its total, then its entries."""
    today = on_site(record, now).date()
    wide = min(max(len(plain(stage.name)) for stage in record.stages), _STAGE)
    rows: list[Row] = []
    for one in days:
        if rows:
            rows.append(Row(()))
        rows.append(
            Row(
                (
                    (f"{_day_told(one.day, today):<26}", "head"),
                    (f"{hours(one.total):>11}", "strong"),
                )
            )
        )
        rows += [_row(record, entry, now, wide) for entry in one.entries]
    return rows


def _day_told(day: date, today: date) -> str:
    near = {today: "  today", today - timedelta(days=1): "  yesterday"}.get(day, "")
    return f"{day:%a %Y-%m-%d}{near}"


def _row(record: Record, entry: Entry, now: datetime, wide: int) -> Row:
    start = on_site(record, entry.start)
    if entry.stop is None:
        until = "now"
    else:
        stop = on_site(record, entry.stop)
        days = (stop.date() - start.date()).days
        until = f"{stop:%H:%M}{f' +{days}' if days else ''}"
    stage = plain(record.stages.name_of(entry.stage))
    ink = "running" if entry.running else "text"
    return Row(
        (
            (f" {'▶' if entry.running else ' '} {start:%H:%M} to {until:<13} ", ink),
            (f"{hours(entry.lasted(now)):>11}  ", ink),
            (f"{stage:<{wide}.{wide}}  ", ink),
            (entry.note.replace("\n", " "), "muted"),
        ),
        entry.row,
    )
