"""The days on which work is planned at the site."""

from datetime import date

from textual import on

from crewdesk.errors import CrewdeskError
from crewdesk.job.plan_days import plan_day, unplan_day
from crewdesk.job.planned import Planned
from crewdesk.paper.calendar import planned_ics
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import Line
from crewdesk.screens.ask_change import ask_change
from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.lines_page import LinesPage
from crewdesk.screens.save_as import ask_save
from crewdesk.trade.books.dates import read_day_ahead

_NONE = " No day is planned yet.  {plan-a-day} plans one."


class PlannedPage(LinesPage):
    """A line for each day."""

    AREA = "planned-days"
    DEFAULT_CSS = """
    PlannedPage Lines { padding: 1 0 0 1; }
    PlannedPage #here { display: none; }
    """

    @property
    def where(self) -> str:
        return f"{self.desk_app.record.job.name} · planned days"

    def rows(self) -> list[Row]:
        today = self.desk_app.today
        shown = [
            Row(
                (
                    (f" {one.day:%a %Y-%m-%d}  ", "strong" if one.day >= today else "muted"),
                    (f"{'today' if one.day == today else '':<7}", "running"),
                    (plain(one.note), "text"),
                ),
                f"{one.day}",
            )
            for one in self.desk_app.record.job.planned
        ]
        return shown or [Row(((self.with_keys(_NONE), "muted"),))]

    @property
    def _here(self) -> Planned | None:
        every = self.desk_app.record.job.planned
        return next((one for one in every if f"{one.day}" == self.key), None)

    def action_add(self) -> None:
        today = self.desk_app.today
        ask_change(
            self.desk_app,
            "Plan a day",
            (
                Line("day", "Day", "", "mon, 3/9, mar 9, 2026-03-09, today"),
                Line("note", "What is to be done", "", "scribe the great room"),
            ),
            lambda record, answer, now: plan_day(
                record, read_day_ahead(answer["day"], today), now, note=answer["note"]
            ),
            does="Plan it",
        )

    @on(Lines.Chosen)
    def action_change(self) -> None:
        one = self._here
        if one is None:
            return
        ask_change(
            self.desk_app,
            f"{one.day:%a %Y-%m-%d}",
            (Line("note", "What is to be done", one.note),),
            lambda record, answer, now: plan_day(record, one.day, now, note=answer["note"]),
        )

    def action_remove(self) -> None:
        one = self._here
        if one is not None:
            day: date = one.day
            self.desk_app.do(lambda record, now: unplan_day(record, day, now))

    def action_save(self) -> None:
        app = self.desk_app
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
