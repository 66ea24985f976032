"""The lists of a job besides its beams: the days planned on site, and the kinds of work outside the
stages that its time is logged on."""

from collections.abc import Sequence
from datetime import date, datetime

from crewdesk.errors import CrewdeskError
from crewdesk.job.change import Change
from crewdesk.job.record import Record
from crewdesk.job.steps.stages import EXTRA_WORK, OtherWork
from crewdesk.job.time.entry import Planned
from crewdesk.job.time.logged import total
from crewdesk.job.time.other_work import (
    add_other_work,
    drop_other_work,
    plan_day,
    rename_other_work,
    unplan_day,
)
from crewdesk.paper.text.lists import planned_ics
from crewdesk.screens.parts.ask import Answer, Field, filled
from crewdesk.screens.parts.list_page import Column, ListPage
from crewdesk.screens.parts.paper import ask_save
from crewdesk.trade.books.dates import read_day_ahead
from crewdesk.trade.books.durations import to_the_minute

_NOTE = Field("note", "Work to do", hint="scribe the great room")


def _unplan(record: Record, day: str, now: datetime) -> Change:
    return unplan_day(record, date.fromisoformat(day), now)


class PlannedPage(ListPage[Planned]):
    """A line for each day."""

    WHERE = "{job} · planned days"
    AREA = "planned-days"
    DEFAULT_CSS = """
    PlannedPage Lines { padding: 1 0 0 1; }
    PlannedPage #here { display: none; }
    """
    NONE = "No day is planned yet.  {plan-a-day} plans one."
    DOES = "Plan it", "Save"
    REMOVE = _unplan
    FIELDS = (Field("day", "Day", hint="mon, 3/9, mar 9, 2026-03-09, today"), _NOTE)

    def things(self) -> tuple[Planned, ...]:
        return self.program.record.job.planned

    def key_of(self, one: Planned) -> str:
        return f"{one.day}"

    def columns(self, width: int) -> tuple[Column[Planned], ...]:
        today = self.program.today
        return (
            Column(
                "",
                16,
                lambda one: f"{one.day:%a %Y-%m-%d}",
                lambda one: "strong" if one.day >= today else "muted",
            ),
            Column("", 7, lambda one: "today" if one.day == today else "", "set"),
            Column("", 0, lambda one: one.note),
        )

    def title_of(self, one: Planned | None) -> str:
        return f"{one.day:%a %Y-%m-%d}" if one else "Plan a day"

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
