"""A job's planned days on site, and its kinds of work outside the stages."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from itertools import zip_longest
from textwrap import wrap

from textual import on
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.errors import CrewdeskError
from crewdesk.job.change import Change
from crewdesk.job.record import Record
from crewdesk.job.steps.stages import EXTRA_WORK, OtherWork
from crewdesk.job.time.entry import Planned
from crewdesk.job.time.logged import by_day, day_spans, hours_shown, total
from crewdesk.job.time.other_work import (
    add_other_work,
    drop_other_work,
    plan_day,
    rename_other_work,
    unplan_day,
)
from crewdesk.paper.plain import plain
from crewdesk.paper.text.lists import planned_ics
from crewdesk.screens.hours.day import day_parts, hour_marks
from crewdesk.screens.hours.weeks import KEY, PLANNED, heads, week_parts, weeks_shown
from crewdesk.screens.parts.ask import Answer, Field, filled
from crewdesk.screens.parts.inked import inked
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.list_page import Column, ListPage, fit
from crewdesk.screens.parts.paper import ask_save
from crewdesk.screens.parts.stick import ruled
from crewdesk.trade.books.dates import read_day_ahead, weekday
from crewdesk.trade.books.durations import to_the_minute

_PART_FOR_WEEKS = 4
"""Weeks have at most one in so many of the rows."""
_DAY = 15
"""Columns before a planned day's note."""
_WORKED, _SHORTEST = 22, 12
"""The columns before a worked day's stick, and those from which it shows its hours."""
_NOTE = Field("note", "Work to do", hint="scribe the great room")


def _unplan(record: Record, day: str, now: datetime) -> Change:
    return unplan_day(record, date.fromisoformat(day), now)


class PlannedPage(ListPage[Planned]):
    """The weeks as rows with a stick for each day, over a line for each planned day and each that
    was worked."""

    WHERE = "{job} \u00b7 planned days"
    AREA = "planned-days"
    DEFAULT_CSS = """
    PlannedPage #weeks { height: auto; padding: 0 0 1 0; background: $surface;
                         text-wrap: nowrap; }
    PlannedPage #here { display: none; }
    """
    NONE = "No day is planned yet.  {plan-a-day} plans one."
    DOES = "Plan it", "Save"
    REMOVE = _unplan
    FIELDS = (Field("day", "Day", hint="mon, 3/9, mar 9, 2026-03-09, today"), _NOTE)

    def above(self) -> Iterable[Widget]:
        yield Static(id="weeks", markup=False)

    def show(self) -> None:
        super().show()
        self._show_weeks()

    @on(Lines.Moved)
    def _show_weeks(self) -> None:
        """Show the weeks that have days, those round the day under the cursor where all of them
        have no room."""
        record, now, today = self.program.record, self.program.now(), self.program.today
        worked = {one.day: one.total for one in by_day(record, now)}
        planned = [one.day for one in self.things()]
        width = self.size.width - 1
        here = self.here.day if self.here else today
        days = {today, here, *worked, *planned}
        shown = weeks_shown(days, here, max(self.size.height // _PART_FOR_WEEKS, 1))
        lines = [[*ruled(KEY, width)], heads(shown[0], width)]
        lines += [week_parts(week, worked, planned, today, width) for week in shown]
        self.query_one("#weeks", Static).update(inked(lines))

    @property
    def _next(self) -> date | None:
        """The next planned day, today's where it is one."""
        return min(
            (one.day for one in self.things() if one.day >= self.program.today), default=None
        )

    def things(self) -> tuple[Planned, ...]:
        return self.program.record.job.planned

    def key_of(self, one: Planned) -> str:
        return f"{one.day}"

    def rows(self) -> list[Row]:
        """Return the planned days, then the worked days, each as a stick of hours."""
        record, now = self.program.record, self.program.now()
        width = self.size.width - 2
        rows = [Row(*ruled("Planned", width))]
        for row, one in zip_longest(self.rows_in(width), self.things()):
            rows.append(row)
            notes = wrap(plain(one.note), max(width - _DAY, 20)) if one else []
            if len(notes) > 1:
                rows[-1] = Row(*row.parts[:-1], (notes[0], "text"), key=row.key)
                rows += [Row((f"{'':<{_DAY}}{line}", "text")) for line in notes[1:]]
        days = by_day(record, now)
        if not days:
            return rows
        room = max(width - _WORKED, 0)
        spans = {one.day: day_spans(record, one.entries, now) for one in days}
        first, last = hours_shown([span for of_day in spans.values() for span in of_day])
        rows += [Row(), Row(*ruled("Worked", width))]
        if room >= _SHORTEST:
            rows.append(Row((" " * _WORKED + hour_marks(first, last, room), "muted")))
        for one in days:
            text = f" {fit(weekday(one.day), 11)} {to_the_minute(one.total):>7}  "
            rows.append(Row((text, "text"), *day_parts(spans[one.day], first, last, room)))
        return rows

    def columns(self, width: int) -> tuple[Column[Planned], ...]:
        today = self.program.today
        return (
            Column(
                "",
                _DAY - 1,
                lambda one: (
                    (f"{PLANNED} " if one.day == self._next else "  ")
                    + ("Today" if one.day == today else weekday(one.day))
                ),
                lambda one: (
                    "set" if one.day == self._next else "strong" if one.day >= today else "muted"
                ),
            ),
            Column("", 0, lambda one: one.note),
        )

    def title_of(self, one: Planned | None) -> str:
        return weekday(one.day) if one else "Plan a day"

    def fields_of(self, one: Planned | None) -> Sequence[Field]:
        return filled((_NOTE,), self.shown(one)) if one else self.FIELDS

    def keep(self, record: Record, answer: Answer, now: datetime, one: Planned | None) -> Change:
        day = one.day if one else read_day_ahead(answer["day"], self.program.today)
        return plan_day(record, day, now, note=answer["note"])

    def action_save(self) -> None:
        app = self.program
        if app.job is None:
            return
        id_ = app.job.id
        try:
            text = planned_ics(id_, app.record, app.now())
        except CrewdeskError as refused:
            self.tell(str(refused), "wrong")
            return
        ask_save(
            app, "Save the planned days", f"planned-{id_}.ics", {".ics": lambda: text.encode()}
        )


class OtherWorkPage(ListPage[OtherWork]):
    """A line for each kind, with the time that was logged on it."""

    WHERE = "{job} · other work"
    AREA = "other-work"
    NONE = "None; {add} adds a kind of work."
    TITLES = "A kind of work outside the stages", "Another name"
    DOES = "Add it", "Rename it"
    REMOVAL = "Remove {0.name}?", "Remove it", "Time logged on it stays."
    REMOVE = drop_other_work
    FIELDS = (Field("name", "Name", hint="Paperwork"),)

    def things(self) -> tuple[OtherWork, ...]:
        return self.program.record.stages.other

    def key_of(self, one: OtherWork) -> str:
        return one.id

    def columns(self, width: int) -> tuple[Column[OtherWork], ...]:
        return Column("", 32, lambda one: one.name), Column("", 0, self._spent, "muted")

    def _spent(self, one: OtherWork) -> str:
        entries = [entry for entry in self.program.record.entries if entry.stage == one.id]
        spent = total(entries, self.program.now())
        return to_the_minute(spent) if spent else ""

    def about(self, key: str) -> str:
        if key == EXTRA_WORK:
            return self.with_keys(
                "For change orders' hours, so it can't be removed. {rename} gives it another name."
            )
        return self.with_keys(
            "The clock offers it after the stages.\nBusiness settings "
            "({everywhere.shop}) list it for new jobs."
        )

    def keep(self, record: Record, answer: Answer, now: datetime, one: OtherWork | None) -> Change:
        if one is None:
            return add_other_work(record, answer["name"], now)
        return rename_other_work(record, one.id, answer["name"], now)
