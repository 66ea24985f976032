"""The hours: every time entry by day, with its totals and what is odd; mended by hand."""

from collections.abc import Iterable

from rich.text import Text
from textual import on
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.clock import running
from crewdesk.job.entry import Entry
from crewdesk.job.logged import by_day
from crewdesk.job.mend_entries import join, neighbour
from crewdesk.job.odd_entries import odd
from crewdesk.job.odd_entries import told as odd_told
from crewdesk.paper.plain import plain
from crewdesk.screens.hour_questions import (
    ask_added,
    ask_mended,
    ask_mending,
    ask_moved,
    ask_removed,
    ask_split,
)
from crewdesk.screens.hour_rows import entry_told, hour_rows, totals
from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.list_page import LinesPage
from crewdesk.trade.books.entries import Oddity

_NONE_YET = """
  No time was logged on this job yet.

  {everywhere.clock}  starts the clock on a stage with one key.
  {add}   adds an entry by hand: 7:30-11:45, or yesterday 2pm for 1h20.
"""
_ODD = "odd "
_LOOK_EVERY = 10


class HoursPage(LinesPage):
    """Entries by day, the newest first."""

    WHERE = "{job} · hours"
    AREA = "hours"
    DEFAULT_CSS = """
    HoursPage #here { height: 3; }
    HoursPage #totals { height: auto; padding: 0 1; background: $surface; }
    HoursPage Lines { padding: 0 0 0 1; }
    """

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
            return [Row(((line, "text"),)) for line in self.with_keys(_NONE_YET).splitlines()]
        summed.update(totals(record, now, self.size.width - 2))
        return hour_rows(record, days, now, self._strange)

    def about(self, key: str) -> Text:
        record, now = self.desk_app.record, self.desk_app.now()
        told, entry = "", self._entry
        if (oddity := self._oddity) is not None:
            told = f"{plain(odd_told(record, oddity))}\n" + self.with_keys("{mend} mends it.")
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

    def action_add(self) -> None:
        ask_added(self.desk_app)

    @on(Lines.Chosen)
    def action_mend(self) -> None:
        if (oddity := self._oddity) is not None:
            ask_mending(self.desk_app, oddity)
        elif (entry := self._entry) is not None:
            ask_mended(self.desk_app, entry)

    def action_pieces(self) -> None:
        if (entry := self._entry) is not None:
            self.desk_app.open("pieces-of-an-entry", entry)

    def action_split(self) -> None:
        if (entry := self._entry) is not None:
            ask_split(self.desk_app, entry)

    def action_join(self) -> None:
        if (entry := self._entry) is not None:
            row = entry.row
            self.desk_app.do(lambda record, now: join(record, row, neighbour(record, row), now))

    def action_move(self) -> None:
        if (entry := self._entry) is not None:
            ask_moved(self.desk_app, entry)

    def action_next_odd(self) -> None:
        lines = self.query_one(Lines)
        keys = [row.key for row in lines.rows if row.key in self._strange]
        if not keys:
            self.tell("Nothing is odd: no overlap, no gap within a day, no entry over 12 h.")
            return
        places = [at for at, row in enumerate(lines.rows) if row.key in self._strange]
        after = [at for at in places if at > lines.at]
        lines.go_to(lines.rows[(after or places)[0]].key)

    def action_remove(self) -> None:
        if (entry := self._entry) is not None:
            ask_removed(self.desk_app, entry)
