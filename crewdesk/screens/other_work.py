"""The kinds of work outside the stages that a job's time is logged on."""

from textual import on

from crewdesk.job.logged import total
from crewdesk.job.other_work import add_other_work, drop_other_work, rename_other_work
from crewdesk.job.stages import EXTRA_WORK, OtherWork
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import Choose, Line
from crewdesk.screens.ask_change import ask_change
from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.lines_page import LinesPage
from crewdesk.trade.books.durations import to_the_minute


class OtherWorkPage(LinesPage):
    """A line for each kind, with the time that was logged on it."""

    AREA = "other-work"

    @property
    def where(self) -> str:
        return f"{self.desk_app.record.job.name} · other work"

    def rows(self) -> list[Row]:
        record, now = self.desk_app.record, self.desk_app.now()
        rows = []
        for one in record.stages.other:
            spent = total([entry for entry in record.entries if entry.stage == one.id], now)
            told = to_the_minute(spent) if spent else ""
            rows.append(Row(((f" {plain(one.name):<32.32}", "text"), (told, "muted")), one.id))
        return rows or [Row(((self.with_keys(" None; {add} adds a kind of work."), "muted"),))]

    def about(self, key: str) -> str:
        if key == EXTRA_WORK:
            return self.with_keys(
                "For change orders' hours, so it stays; {rename} gives it another name."
            )
        return self.with_keys(
            "The clock offers it after the stages.\n"
            "The shop, {everywhere.shop}, says what new jobs begin with."
        )

    @property
    def _here(self) -> OtherWork | None:
        other = self.desk_app.record.stages.other
        return next((one for one in other if one.id == self.key), None)

    def action_add(self) -> None:
        ask_change(
            self.desk_app,
            "A kind of work outside the stages",
            (Line("name", "Name", "", "Paperwork"),),
            lambda record, answer, now: add_other_work(record, answer["name"], now),
            does="Add it",
        )

    @on(Lines.Chosen)
    def action_rename(self) -> None:
        if (one := self._here) is not None:
            ask_change(
                self.desk_app,
                "Another name",
                (Line("name", "Name", one.name),),
                lambda record, answer, now: rename_other_work(record, one.id, answer["name"], now),
                does="Rename it",
            )

    def action_drop(self) -> None:
        one = self._here
        if one is None:
            return

        def chosen(way: str | None) -> None:
            if way is not None:
                self.desk_app.do(lambda record, now: drop_other_work(record, one.id, now))

        ways = (("yes", "Drop it"),)
        about = "Time that was logged on it stays."
        self.app.push_screen(Choose(f"Drop {one.name}?", ways, about=about), callback=chosen)
