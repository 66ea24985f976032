"""The kinds of work outside the stages that a job's time is logged on."""

from collections.abc import Mapping
from datetime import datetime

from crewdesk.job.change import Change
from crewdesk.job.logged import total
from crewdesk.job.other_work import add_other_work, drop_other_work, rename_other_work
from crewdesk.job.record import Record
from crewdesk.job.stages import EXTRA_WORK, OtherWork
from crewdesk.screens.ask import Answer, Field
from crewdesk.screens.list_page import Column, ListPage, Removal
from crewdesk.trade.books.durations import to_the_minute


class OtherWorkPage(ListPage[OtherWork]):
    """A line for each kind, with the time that was logged on it."""

    WHERE = "{job} · other work"
    AREA = "other-work"
    NONE = "None; {add} adds a kind of work."
    TITLES = "A kind of work outside the stages", "Another name"
    DOES = "Add it", "Rename it"
    FIELDS = (Field("name", "Name", hint="Paperwork"),)

    def things(self) -> tuple[OtherWork, ...]:
        return self.desk_app.record.stages.other

    def key_of(self, one: OtherWork) -> str:
        return one.id

    def columns(self, width: int) -> tuple[Column[OtherWork], ...]:
        return Column("", 32, lambda one: one.name), Column("", 0, self._spent, "muted")

    def _spent(self, one: OtherWork) -> str:
        entries = [entry for entry in self.desk_app.record.entries if entry.stage == one.id]
        spent = total(entries, self.desk_app.now())
        return to_the_minute(spent) if spent else ""

    def about(self, key: str) -> str:
        if key == EXTRA_WORK:
            return self.with_keys(
                "For change orders' hours, so it stays; {rename} gives it another name."
            )
        return self.with_keys(
            "The clock offers it after the stages.\n"
            "The shop, {everywhere.shop}, says what new jobs begin with."
        )

    def shown(self, one: OtherWork | None) -> Mapping[str, str]:
        return {"name": one.name} if one else {}

    def keep(self, record: Record, answer: Answer, now: datetime, one: OtherWork | None) -> Change:
        if one is None:
            return add_other_work(record, answer["name"], now)
        return rename_other_work(record, one.id, answer["name"], now)

    def removal(self, one: OtherWork) -> Removal:
        return Removal(
            f"Drop {one.name}?",
            "Drop it",
            "Time that was logged on it stays.",
            lambda record, now: drop_other_work(record, one.id, now),
        )
