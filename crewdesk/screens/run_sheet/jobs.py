"""The jobs: open one, begin one."""

from collections.abc import Iterable

from rich.text import Text
from textual import on
from textual.widget import Widget
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from crewdesk.errors import CrewdeskError
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.page import Page
from crewdesk.screens.parts.pick_list import PickList
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.store.folder import Listed

_NONE_YET = """No jobs yet.

  Press {new-job} to start one: its name, a beam type, the beams.
  Press {sample-job} to look around in a sample job.
  Run crewdesk import FILE.json to add an exported one.
"""
_BAR = 12


class JobsPage(Page):
    """Every job in the data folder, with how far it has come."""

    WHERE = "Jobs"
    LISTS_JOBS = True
    AREA = "jobs"
    DEFAULT_CSS = """
    JobsPage OptionList { height: 1fr; padding: 0; background: $background; }
    JobsPage OptionList, JobsPage OptionList:focus { border: none; }
    JobsPage #none { padding: 1 1; height: 1fr; }
    """

    def body(self) -> Iterable[Widget]:
        yield PickList(markup=False)
        yield Static(self.with_keys(_NONE_YET), id="none", markup=False)

    def to_do(self) -> str:
        if not self.program.desk.ids():
            return self.with_keys(
                "Press {new-job} and name your first job. Then add its beams, and measure."
            )
        return self.with_keys(
            "Press {open} to open the job under the bar, or {new-job} to start "
            "another. {everywhere.clock} shows the running clock."
        )

    def on_mount(self) -> None:
        """At the very first start, ask what has to be known."""
        if self.program.desk.untouched:
            from crewdesk.screens.run_sheet.new_job import ask_first

            ask_first(self.program)

    def on_screen_resume(self) -> None:
        """Back from the sample job, show one's own again."""
        if self.program.job is None:
            self.program.leave_sample()
        super().on_screen_resume()

    def record_changed(self, rows: ChangedRows) -> None:
        """List the jobs anew, when one comes back to them."""
        if rows:
            return
        try:
            listed = self.program.list_jobs()
        except CrewdeskError as refused:
            self.tell(str(refused), "wrong")
            return
        self._listed = {one.id: one for one in listed}
        options = self.query_one(OptionList)
        place = options.highlighted
        options.clear_options()
        options.add_options([Option(_told(one), id=one.id) for one in listed])
        options.display = bool(listed)
        self.query_one("#none").display = not listed
        if listed:
            options.highlighted = min(place or 0, len(listed) - 1)
            options.focus()

    @on(OptionList.OptionSelected)
    def chosen(self, event: OptionList.OptionSelected) -> None:
        """Open the job, or ask what to do about one that can't be read."""
        from crewdesk.screens.run_sheet.trouble import ask_trouble

        id_ = event.option_id or ""
        if self._listed[id_].trouble:
            ask_trouble(self.program, id_, self._listed[id_].trouble)
        else:
            self.program.open_job(id_)

    def action_open(self) -> None:
        self.query_one(OptionList).action_select()

    def action_sample(self) -> None:
        self.program.visit_sample()


def _told(one: Listed) -> Text:
    if one.trouble:
        return Text(f"! {plain(one.id)}  {plain(one.trouble)}", style="bold", no_wrap=True)
    told = one.summary
    behind, steps = told.get("behind", 0), told.get("steps", 0)
    filled = _BAR * behind // steps if steps else 0
    percent = 100 * behind // steps if steps else 0
    clock = f"   ▶ {plain(told['running']['stage'])}" if "running" in told else ""
    text = Text(no_wrap=True)
    text.append(f"{plain(one.name):<34.34} ", style="bold")
    text.append("━" * filled + "┄" * (_BAR - filled))
    beams = told.get("beams", 0)
    text.append(f" {percent:3d} %  {beams:3d} beam{'' if beams == 1 else 's'}")
    text.append(clock)
    about = " · ".join(plain(told[k]) for k in ("customer", "site") if told.get(k))
    text.append(f"\n  {about}" if about else "\n  ")
    return text
